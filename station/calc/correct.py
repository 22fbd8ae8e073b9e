"""A mis-pour mended: what can still be done with a mix in which something weighs other than it should.

Everything is reckoned in grams, so a restored mix has every proportion of the card exactly; only what is weighed rounds.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from station.bar.composition import Composition
from station.calc.acidity import ta_g
from station.calc.least_change import Span, Vector, set_off
from station.science.ethanol import ETHANOL_G_PER_ML

LEAVE, TAKE_OUT, AGAIN, ADD, DRAW_OFF, NEAREST = "leave", "take out", "weigh again", "add", "draw off", "nearest"
# What a mis-pour is judged by, each of the mix in the vessel.
MOVES = ("abv", "sugar", "acid", "salt")

# Proportions that differ by less are the same; a fill is met within the same.
_SAME = 1e-9
# A line of bitters or herbs moves no figure; by more than that one tastes it all the same (common practice, no source).
_A_TENTH = 0.1
_ROUNDING = 1e-6
# A working fill may be passed by so much, below the brim: no hand fills a pitcher truer (common practice, no source).
OVER_FILL = 1.02
# What a vessel and a scale hold counts for so much more than a figure.
_FIRM, _MUCH = 1e-3, 1e6
# A figure out by one hundredth more than taste allows weighs as much as a line left out.
_A_LINE = 100.0
_LEAST_SCALE = 1e-3


@dataclass(frozen=True, slots=True)
class Part:
    """One line of a mix, g: what the card wants, what is in the vessel, what is in a cup still, what the card yet brings.

    What the spec has no line for wants 0. `can_add` is False where there is none left.
    """

    item: str
    wanted_g: float
    in_g: float
    per_g: Composition
    cup_g: float = 0.0
    ahead_g: float = 0.0
    can_add: bool = True

    @property
    def there_g(self) -> float:
        return self.in_g + self.cup_g

    @property
    def share(self) -> float:
        """How much of the card's amount is there; infinite for what the card does not want."""
        return self.there_g / self.wanted_g if self.wanted_g else math.inf if self.there_g else 0.0


@dataclass(frozen=True, slots=True)
class Room:
    """What the vessel takes, its working fill and brim in ml, and the net grams its scale can show; infinite where unknown."""

    ml: float = math.inf
    g: float = math.inf
    brim_ml: float = math.inf

    @property
    def most_ml(self) -> float:
        return min(self.ml * OVER_FILL, self.brim_ml)


@dataclass(frozen=True, slots=True)
class Choice:
    """One way on. `takes_out_g`, `adds_g`, `ends_g` are by part; `draws_g` is of the mix in the vessel, before anything is added.

    `size` is the whole over the card's, where every proportion is the card's; `moved` each figure's relative change
    against the card, None for one the card has none of.
    """

    way: str
    takes_out_g: Vector
    draws_g: float
    adds_g: Vector
    ends_g: Vector
    mix: Composition
    size: float | None
    moved: dict[str, float | None]
    fits_vessel: bool
    fits_scale: bool

    @property
    def restores(self) -> bool:
        return self.size is not None

    @property
    def fits(self) -> bool:
        return self.fits_vessel and self.fits_scale

    def within(self, tolerance: float) -> bool:
        """Whether nothing moved by more, relative."""
        return not outside(self.moved, tolerance)


def choices(parts: Sequence[Part], room: Room, taste: float) -> tuple[Choice, ...]:
    """What can be done, best first: what fits before what does not, then what restores with the least waste.

    Leaving it comes first where no figure moves by more than `taste` and no line by a tenth, and last where one does.
    """
    found = [_take_out(parts, room), _again(parts, room), _add(parts, room), _draw_off(parts, room)]
    ways = [one for one in found if one is not None]
    left = _choice(LEAVE, parts, room, [part.ahead_g for part in parts])
    if not any(one.fits for one in ways):
        ways.append(_nearest(parts, room, taste))
    ways.sort(key=lambda one: not one.fits)
    small = left.within(taste) and left.fits and all(map(_near, parts, left.ends_g))
    return (left, *ways) if small else (*ways, left)


def outside(moved: Mapping[str, float | None], tolerance: float) -> tuple[str, ...]:
    """The figures that moved by more than that, relative, or that the card has none of."""
    return tuple(name for name, by in moved.items() if by is None or abs(by) > tolerance)


def _near(part: Part, end_g: float) -> bool:
    return abs(end_g - part.wanted_g) <= _A_TENTH * part.wanted_g


def wanted(parts: Sequence[Part]) -> Composition:
    """The mix as the card has it."""
    return Composition.total(part.per_g * part.wanted_g for part in parts)


def figures(mix: Composition) -> dict[str, float]:
    """ABV in % vol; sugar, titratable acid and salt in g per 100 ml of the mix as it stands in the vessel."""
    per = 100.0 / mix.volume_ml if mix.volume_ml else 0.0
    grams = {"sugar": mix.sugar_g, "acid": ta_g(mix), "salt": mix["salt"]}
    return {"abv": mix["ethanol"] / ETHANOL_G_PER_ML * per, **{name: one * per for name, one in grams.items()}}


def size_restored(parts: Sequence[Part], drawn: float = 0.0) -> float | None:
    """The size, over the card's, at which additions alone restore every proportion once a fraction of the vessel is drawn.

    It is the card's own where that can be, the least above it, or the largest below it that what is left allows.
    """
    shares = [_left(part, drawn) / part.wanted_g if part.wanted_g else math.inf for part in parts if part.there_g]
    ends = [_left(part, drawn) / part.wanted_g for part in parts if part.wanted_g and not part.can_add]
    least, most = max(shares, default=0.0), min(ends, default=math.inf)
    if math.isinf(least) or least > most * (1.0 + _SAME) or most <= 0.0:
        return None
    return min(max(1.0, least), most)


def _left(part: Part, drawn: float) -> float:
    return part.in_g * (1.0 - drawn) + part.cup_g


def _take_out(parts: Sequence[Part], room: Room) -> Choice | None:
    """Back to what was wanted, out of a vessel or cup that holds one thing only; all else goes on as it was."""
    out = [0.0] * len(parts)
    for held in ([part.in_g for part in parts], [part.cup_g for part in parts]):
        there = [place for place, grams in enumerate(held) if grams > 0.0]
        if len(there) == 1 and parts[there[0]].share > 1.0 + _SAME:
            out[there[0]] = min(held[there[0]], parts[there[0]].there_g - parts[there[0]].wanted_g)
    return _choice(TAKE_OUT, parts, room, [part.ahead_g for part in parts], out=out) if any(out) else None


def _again(parts: Sequence[Part], room: Room) -> Choice | None:
    """A cup that is not tipped in yet is emptied and weighed again; nothing of the vessel is lost."""
    cups = [part for part in parts if part.cup_g > 0.0]
    if len(cups) < 2 or not any(part.share > 1.0 + _SAME for part in cups):
        return None
    fresh = [part for part in parts if part.in_g > 0.0]
    size = max([1.0, *(part.in_g / part.wanted_g if part.wanted_g else math.inf for part in fresh)])
    if math.isinf(size):
        return None
    adds = [size * part.wanted_g - part.in_g for part in parts]
    out = [part.cup_g for part in parts]
    return None if _lacks(parts, adds) else _choice(AGAIN, parts, room, adds, out=out, size=size)


def _add(parts: Sequence[Part], room: Room) -> Choice | None:
    size = size_restored(parts)
    return None if size is None else _choice(ADD, parts, room, _up_to(parts, size), size=size)


def _draw_off(parts: Sequence[Part], room: Room) -> Choice | None:
    """So much of the mix drawn off that additions bring it back to the card's own size.

    Only what is in the vessel is mixed and can be drawn; a cup stays as it is. One thing alone is taken out, not drawn.
    """
    grown = size_restored(parts)
    if grown is None or grown <= 1.0 + _SAME or sum(part.in_g > 0.0 for part in parts) < 2:
        return None
    # No part may be over once what its cup holds is tipped in.
    kept = min((part.wanted_g - part.cup_g) / part.in_g for part in parts if part.in_g > 0.0)
    in_cups = max(part.cup_g / part.wanted_g for part in parts if part.wanted_g)
    if not 0.0 <= kept < 1.0 - _SAME or in_cups > 1.0 + _SAME:
        return None
    adds = _up_to(parts, 1.0, 1.0 - kept)
    return None if _lacks(parts, adds) else _choice(DRAW_OFF, parts, room, adds, drawn=1.0 - kept, size=1.0)


def _up_to(parts: Sequence[Part], size: float, drawn: float = 0.0) -> list[float]:
    return [max(0.0, size * part.wanted_g - _left(part, drawn)) for part in parts]


def _lacks(parts: Sequence[Part], adds: Sequence[float]) -> bool:
    """Whether something is to be added of which there is none left."""
    return any(add > _SAME * part.wanted_g and not part.can_add for part, add in zip(parts, adds, strict=True))


def _nearest(parts: Sequence[Part], room: Room, taste: float) -> Choice:
    """The additions that bring ABV, sugar, acid and salt within `taste` of the card, or near it, and change the lines least."""
    lines = [part for part in parts if part.wanted_g]
    strange = Composition.total(part.per_g * part.there_g for part in parts if not part.wanted_g)
    goal = figures(wanted(parts))
    spans = [Span(goal[name] * (1.0 - taste), goal[name] * (1.0 + taste), max(goal[name], _LEAST_SCALE)) for name in MOVES]

    def changed(by: Vector) -> Vector:
        mix = strange + Composition.total(one.per_g * (one.wanted_g * (1.0 + more)) for one, more in zip(lines, by, strict=True))
        found = figures(mix)
        return (*(found[name] for name in MOVES), mix.volume_ml, mix.mass_g)

    lows = tuple(one.share - 1.0 for one in lines)
    highs = tuple(math.inf if one.can_add else max(one.share, 1e-6) - 1.0 for one in lines)
    limits = [Span(-math.inf, limit, _FIRM * min(limit, _MUCH)) for limit in (room.most_ml, room.g)]
    found = set_off(changed, [*spans, *limits], lows, highs, _A_LINE)
    reached = iter(found.by)
    adds = [max(0.0, part.wanted_g * (1.0 + next(reached)) - part.there_g) if part.wanted_g else 0.0 for part in parts]
    return _choice(NEAREST, parts, room, adds)


def _choice(
    way: str,
    parts: Sequence[Part],
    room: Room,
    adds: Sequence[float],
    out: Sequence[float] = (),
    drawn: float = 0.0,
    size: float | None = None,
) -> Choice:
    taken = tuple(out) or (0.0,) * len(parts)
    ends = [_left(part, drawn) - gone + add for part, gone, add in zip(parts, taken, adds, strict=True)]
    mix = Composition.total(part.per_g * grams for part, grams in zip(parts, ends, strict=True))
    if size is None and _in_proportion(parts, ends):
        size = 1.0
    return Choice(
        way=way,
        takes_out_g=taken,
        draws_g=drawn * sum(part.in_g for part in parts),
        adds_g=tuple(adds),
        ends_g=tuple(ends),
        mix=mix,
        size=size,
        moved=moved_by(wanted(parts), mix),
        fits_vessel=mix.volume_ml <= room.most_ml * (1.0 + _ROUNDING),
        fits_scale=mix.mass_g <= room.g * (1.0 + _ROUNDING),
    )


def _in_proportion(parts: Sequence[Part], ends: Sequence[float]) -> bool:
    return all(abs(end - part.wanted_g) <= _SAME * max(part.wanted_g, 1.0) for part, end in zip(parts, ends, strict=True))


def moved_by(card: Composition, mix: Composition) -> dict[str, float | None]:
    """Each figure's relative change against the card, None for one the card has none of."""
    was, now = figures(card), figures(mix)
    return {name: _relative(was[name], now[name]) for name in MOVES}


def _relative(was: float, now: float) -> float | None:
    if was > 0.0:
        return now / was - 1.0
    return 0.0 if now <= _SAME else None
