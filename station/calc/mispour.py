"""A mix in which something weighs other than it should, and a way on from there: what is in, what goes out, what is added."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from station.bar.composition import Composition
from station.calc.acidity import ta_g
from station.science.ethanol import ETHANOL_G_PER_ML

Vector: TypeAlias = tuple[float, ...]

# What a mis-pour is judged by, each of the mix in the vessel.
MOVES = ("abv", "sugar", "acid", "salt")
# Proportions that differ by less are the same; a fill is met within the same.
SAME = 1e-9
# What rounding leaves of nothing.
NOTHING_G = 1e-6
# A working fill may be passed by so much, below the brim: no hand fills a pitcher truer (common practice, no source).
OVER_FILL = 1.02
# A line of bitters or herbs moves no figure; by more than that one tastes it all the same (common practice, no source).
A_TENTH = 0.1
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Part:
    """One line of a mix, g: what the card wants, what is in the vessel, what is in a cup still, what the card yet brings.

    What the spec has no line for wants 0. `can_add` is False where there is none left. Of a `plain` one nothing is tasted but
    what the figures count: water, a weighed acid, salt or white sugar and what is made of them.
    """

    item: str
    wanted_g: float
    in_g: float
    per_g: Composition
    cup_g: float = 0.0
    ahead_g: float = 0.0
    can_add: bool = True
    plain: bool = False

    @property
    def there_g(self) -> float:
        return self.in_g + self.cup_g

    @property
    def share(self) -> float:
        """How much of the card's amount is there; infinite for what the card does not want."""
        return self.there_g / self.wanted_g if self.wanted_g else math.inf if self.there_g else 0.0

    def left_g(self, drawn: float) -> float:
        """What stays of it once that fraction of the vessel is drawn off."""
        return self.in_g * (1.0 - drawn) + self.cup_g


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


def choice(
    way: str,
    parts: Sequence[Part],
    room: Room,
    adds: Sequence[float],
    out: Sequence[float] = (),
    drawn: float = 0.0,
    size: float | None = None,
) -> Choice:
    """That way on: so much `out` of each part, a fraction of the vessel drawn, then so much added of each.

    Without a `size` every proportion is the card's only where every line is.
    """
    taken = tuple(out) or (0.0,) * len(parts)
    ends = [part.left_g(drawn) - gone + add for part, gone, add in zip(parts, taken, adds, strict=True)]
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
    return all(abs(end - part.wanted_g) <= SAME * max(part.wanted_g, 1.0) for part, end in zip(parts, ends, strict=True))


def outside(moved: Mapping[str, float | None], tolerance: float) -> tuple[str, ...]:
    """The figures that moved by more than that, relative, or that the card has none of."""
    return tuple(name for name, by in moved.items() if by is None or abs(by) > tolerance)


def off_by(parts: Sequence[Part], ends: Sequence[float]) -> tuple[float | None, ...]:
    """By how much each part's share of the mix by weight is off the card's, relative; None for what the card has none of."""
    card, mix = sum(part.wanted_g for part in parts), sum(ends)
    return tuple(
        (end / mix) / (part.wanted_g / card) - 1.0 if part.wanted_g and mix else None
        for part, end in zip(parts, ends, strict=True)
    )


def wanted(parts: Sequence[Part]) -> Composition:
    """The mix as the card has it."""
    return Composition.total(part.per_g * part.wanted_g for part in parts)


def figures(mix: Composition) -> dict[str, float]:
    """ABV in % vol; sugar, titratable acid and salt in g per 100 ml of the mix as it stands in the vessel."""
    per = 100.0 / mix.volume_ml if mix.volume_ml else 0.0
    grams = {"sugar": mix.sugar_g, "acid": ta_g(mix), "salt": mix["salt"]}
    return {"abv": mix["ethanol"] / ETHANOL_G_PER_ML * per, **{name: one * per for name, one in grams.items()}}


def moved_by(card: Composition, mix: Composition) -> dict[str, float | None]:
    """Each figure's relative change against the card, None for one the card has none of."""
    was, now = figures(card), figures(mix)
    return {name: _relative(was[name], now[name]) for name in MOVES}


def _relative(was: float, now: float) -> float | None:
    if was > 0.0:
        return now / was - 1.0
    return 0.0 if now <= SAME else None
