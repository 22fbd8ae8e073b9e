"""Where nothing restores a mix: what comes nearest to the card by what one tastes, with what there is, in the room there is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import chain

from station.bar.composition import Composition
from station.bar.nouns import WATER
from station.calc.acidity import ta_g
from station.calc.least_change import Span, Vector, set_off
from station.calc.mispour import A_TENTH, MOVES, SAME, Choice, Part, Room, choice, figures, off_by, wanted

NEAREST = "nearest"

# What each counts beside the whole that is e times as much or as little (our own weighing, no source): a figure past the taste
# tolerance and one off the card, by how much of itself; the part that is drawn off; a line tasted for itself, e times as much
# or as little; an acid, a salt or a syrup that grows e times, beside the room it takes.
_PAST_TASTE, _OFF_CARD, _WASTE, _SIZE, _TASTED, _DOSE = 5.0, 2.0, 1.0, 1.0, 2.0, 0.25
# What is in stays in, and a vessel or scale holds what it holds.
_FIRM, _MUCH = 1e4, 1e6
# Of a line that is left out a twentieth counts as there, as its logarithm would have no end; twice as much of one that is
# tasted is as far as coming near goes, and the whole half as much again or two thirds.
_LEAST_SHARE, _MOST_TIMES, _MOST_SIZE = 0.05, 2.0, 1.5
# Less than that, % vol and g/100 ml, counts as so much: a trace is not tasted (our own weighing, common practice, no source).
_TRACE = {"abv": 0.5, "sugar": 0.2, "acid": 0.1, "salt": 0.1}
_HALVINGS = 30
# Of water for a card without it, less than that part of the whole is not worth a hand's movement.
_WORTH = 1e-3
# Of what leaving it has, past taste, coming near must have less than that to be worth the work (our own rule).
_CLEARLY = 0.5


def nearest(parts: Sequence[Part], room: Room, taste: float) -> Choice:
    """The additions that bring ABV, sugar, acid and salt within `taste` of the card, or near it, and change the lines least.

    Water is always at hand where it is a part, if only with nothing wanted. Some is drawn off first where what would come
    nearer has no room.
    """
    plainly = _that_fits(parts, room, _adds(parts, _ends(parts, room, taste, _FIRM)))
    near = plainly.fits and plainly.within(taste) and not any(map(_is_tasted, parts, off_by(parts, plainly.ends_g)))
    return plainly if near else _drawn(parts, room, taste) or plainly


def is_clearly_nearer(parts: Sequence[Part], near: Choice, left: Choice, taste: float) -> bool:
    """Whether its furthest figure is past taste by less than half as much as the other's, a trace counting as one, and no line
    tasted for itself is further off the card, of the mix by weight, by a tenth or more."""
    lines = zip(parts, off_by(parts, near.ends_g), off_by(parts, left.ends_g), strict=True)
    further = (abs(by) - abs(was) for part, by, was in lines if by is not None and was is not None and not _by_figures(part))
    past = _furthest(parts, near, taste)
    return past < _CLEARLY * _furthest(parts, left, taste) and max(further, default=0.0) < A_TENTH


def _furthest(parts: Sequence[Part], one: Choice, taste: float) -> float:
    goal, found = figures(wanted(parts)), figures(one.mix)
    counts = [(max(goal[name], _TRACE[name]), max(found[name], _TRACE[name])) for name in MOVES]
    return max(max(0.0, abs(now / was - 1.0) - taste) for was, now in counts)


def _that_fits(parts: Sequence[Part], room: Room, adds: Sequence[float]) -> Choice:
    """With those additions, or so much of them as there is room for; none where what is in has too little already."""
    found, low, high = choice(NEAREST, parts, room, adds), 0.0, 1.0
    if found.fits:
        return found
    for _ in range(_HALVINGS):
        share = 0.5 * (low + high)
        fits = choice(NEAREST, parts, room, [share * add for add in adds]).fits
        low, high = (share, high) if fits else (low, share)
    return choice(NEAREST, parts, room, [low * add for add in adds])


def _is_tasted(part: Part, by: float | None) -> bool:
    return by is not None and abs(by) >= A_TENTH and not _by_figures(part)


def _by_figures(part: Part) -> bool:
    return part.plain or part.item == WATER


def _drawn(parts: Sequence[Part], room: Room, taste: float) -> Choice | None:
    """What comes nearest in a larger vessel, made smaller as a whole: what is in by drawing off; None where that cannot be."""
    ends = _ends(parts, room, taste, _WASTE)
    whole = Composition.total(part.per_g * end for part, end in zip(parts, ends, strict=True))
    if not whole.volume_ml:
        return None
    kept = min(1.0, room.most_ml / whole.volume_ml, room.g / whole.mass_g)
    smaller = [replace(part, in_g=kept * part.in_g) for part in parts]
    ends = [kept * end for end in ends]
    if kept == 1.0 or any(part.there_g > end * (1.0 + SAME) + SAME for part, end in zip(smaller, ends, strict=True)):
        return None
    adds = _adds(smaller, ends)
    if sum(part.in_g > 0.0 for part in parts) > 1:
        return choice(NEAREST, parts, room, adds, drawn=1.0 - kept)
    return choice(NEAREST, parts, room, adds, out=[(1.0 - kept) * part.in_g for part in parts])


def _adds(parts: Sequence[Part], ends: Sequence[float]) -> list[float]:
    least = _WORTH * sum(part.wanted_g for part in parts)
    more = [max(0.0, end - part.there_g) if part.can_add else 0.0 for part, end in zip(parts, ends, strict=True)]
    return [add if part.wanted_g or add >= least else 0.0 for part, add in zip(parts, more, strict=True)]


@dataclass(frozen=True, slots=True)
class _Line:
    """One part as it is sought. How far it is from the card: of one only the figures tell, the share of the card's whole it is
    more or less; of any other the logarithm of how many times it is what a whole of that size wants."""

    part: Part
    whole_g: float

    @property
    def moves(self) -> bool:
        return self.part.can_add and (self.part.wanted_g > 0.0 or self.part.item == WATER)

    @property
    def weight(self) -> float:
        """What is over already counts once: only more of all else, and a weaker drink, would make less of it."""
        return 1.0 if self.part.there_g > self.part.wanted_g else _TASTED

    def g(self, size: float, far: float) -> float:
        """Grams of it so far from the card: below 0 where it cannot be."""
        if _by_figures(self.part):
            return self.part.wanted_g + far * self.whole_g
        return size * self.part.wanted_g * ((1.0 + _LEAST_SHARE) * math.exp(far / self.weight) - _LEAST_SHARE)

    def far(self, size: float, grams: float) -> float:
        if _by_figures(self.part):
            return (grams - self.part.wanted_g) / self.whole_g
        return self.weight * self.grown(size, grams)

    def grown(self, size: float, grams: float) -> float:
        """The logarithm of how many times it is what a whole of that size wants, a twentieth of that always counted as there."""
        return math.log((grams / (size * self.part.wanted_g) + _LEAST_SHARE) / (1.0 + _LEAST_SHARE))

    @property
    def low(self) -> float:
        return self.far(1.0, self.part.there_g if _by_figures(self.part) else 0.0)

    @property
    def is_dose(self) -> bool:
        return self.part.plain and self.part.item != WATER and self.part.wanted_g > 0.0

    @property
    def floats(self) -> bool:
        """Whether what is in of it is no bound of how far it is, as that goes by the size too."""
        return self.part.there_g > 0.0 and not _by_figures(self.part)

    @property
    def high(self) -> float:
        if _by_figures(self.part):
            return math.inf
        return self.far(1.0, max(_MOST_TIMES * self.part.wanted_g, _MOST_TIMES * self.part.there_g))


def _ends(parts: Sequence[Part], room: Room, taste: float, hold: float) -> list[float]:
    """Grams of each part in the end; a vessel or scale that is passed counts `hold` times by how much."""
    whole_g = sum(part.wanted_g for part in parts)
    lines = [_Line(part, whole_g) for part in parts]
    moving = [line for line in lines if line.moves]
    held = [line for line in lines if not line.moves and line.part.wanted_g]
    doses = [line for line in moving if line.is_dose and not any(_makes_up_for(line.part, one.part) for one in held)]
    resting = Composition.total(line.part.per_g * line.part.there_g for line in lines if not line.moves)

    def changed(by: Vector) -> Vector:
        size = math.exp(by[0] / _SIZE)
        grams = [line.g(size, far) for line, far in zip(moving, by[1:], strict=True)]
        mix = Composition.total((resting, *(line.part.per_g * max(0.0, g) for line, g in zip(moving, grams, strict=True))))
        found = figures(mix)
        moved = [found[name] for name in MOVES]
        stay = [g - line.part.there_g for line, g in zip(moving, grams, strict=True) if line.floats]
        grown = [line.grown(size, max(0.0, g)) for line, g in zip(moving, grams, strict=True) if line in doses]
        still = [line.far(size, line.part.there_g) for line in held]
        return (*moved, *moved, mix.volume_ml, mix.mass_g, *stay, *grown, *still)

    there = Composition.total(part.per_g * part.there_g for part in parts)
    most = (max(room.most_ml, there.volume_ml), max(room.g, there.mass_g))
    limits = [Span(-math.inf, limit, min(limit, _MUCH) / hold) for limit in most]
    stays = [Span(0.0, math.inf, line.part.wanted_g / _FIRM) for line in moving if line.floats]
    grow = [Span(-math.inf, 0.0, 1.0 / _DOSE) for _ in doses]
    off = [Span(0.0, 0.0, 1.0) for _ in held]
    far = _SIZE * math.log(_MOST_SIZE)
    lows, highs = (-far, *(line.low for line in moving)), (far, *(line.high for line in moving))
    start = (0.0, *(max(0.0, line.far(1.0, line.part.there_g)) for line in moving))
    spans = [*chain(_spans(parts, taste), limits, stays, grow, off)]
    by = set_off(changed, spans, lows, highs, 1.0, start).by
    size, fars = math.exp(by[0] / _SIZE), iter(by[1:])
    return [max(line.part.there_g, line.g(size, next(fars))) if line.moves else line.part.there_g for line in lines]


def _makes_up_for(dose: Part, gone: Part) -> bool:
    """Whether the dose brings acid, sugar or salt in place of a line that is short and of which there is no more."""
    return gone.there_g < gone.wanted_g and any(
        of(dose.per_g) > 0.0 and of(gone.per_g) > 0.0 for of in (ta_g, lambda per_g: per_g.sugar_g, lambda per_g: per_g["salt"])
    )


def _spans(parts: Sequence[Part], taste: float) -> list[Span]:
    """Each figure within the taste tolerance of the card, a trace anywhere below what counts as one; and as near as goes."""
    goal = figures(wanted(parts))
    least = {name: max(goal[name], _TRACE[name]) for name in MOVES}
    lows = {name: goal[name] * (1.0 - taste) if goal[name] > _TRACE[name] else -math.inf for name in MOVES}
    past = [Span(lows[name], least[name] * (1.0 + taste), least[name] / _PAST_TASTE) for name in MOVES]
    return [*past, *(Span(goal[name], goal[name], least[name] / _OFF_CARD) for name in MOVES)]
