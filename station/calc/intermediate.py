"""A dose no scale can weigh, brought as part of a larger weighing: a weaker solution of it, its water taken from the batch's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from station.bar.composition import Composition
from station.bar.nouns import Scale
from station.calc.dissolve import tartrate
from station.calc.scales import ToWeigh, sees
from station.calc.stuff import Stuff
from station.science.electrolyte import OutOfRange
from station.science.solubility import MISCIBLE, solubility_g_per_100_g

# Round figures: what one makes of it, g, and how strong, by weight.
_TOTALS_G: Final = (20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
_STRENGTHS: Final = (0.2, 0.1, 0.05, 0.025, 0.02, 0.01, 0.005, 0.0025, 0.002, 0.001)
# Stronger than that a powder is only dissolved where its solubility is known.
_SURELY_DISSOLVES: Final = 0.05
_ROOM_C: Final = 20.0


@dataclass(frozen=True, slots=True)
class Intermediate:
    """Make `make_g` from `item_g` of the item and `water_g` of water, `strength_pct_ww` of the item by weight; weigh `weigh_g` of
    it, which brings `brings_water_g` that the batch's own water is less by."""

    make_g: float
    item_g: float
    water_g: float
    strength_pct_ww: float
    weigh_g: float
    brings_water_g: float


def intermediate(dose: ToWeigh, stuff: Stuff, water_g: float, scales: Mapping[str, Scale]) -> Intermediate | None:
    """The smallest making by which some scale sees both the item and the part of it; None where none does, or water is short."""
    fitting = (one for one in _makings(dose.g) if _works(one, dose, water_g, scales) and _dissolves(one, stuff))
    return next(fitting, None)


def _makings(grams: float) -> Iterator[Intermediate]:
    """The smallest first, of one size the strongest."""
    for total in _TOTALS_G:
        for share in _STRENGTHS:
            part = grams / share
            yield Intermediate(total, share * total, (1.0 - share) * total, 100.0 * share, part, part - grams)


def _works(one: Intermediate, dose: ToWeigh, water_g: float, scales: Mapping[str, Scale]) -> bool:
    if one.weigh_g > one.make_g or one.brings_water_g > water_g:
        return False
    return all(
        any(scale.capacity_g >= grams and sees(scale, ToWeigh(dose.key, grams, dose.tolerance)) for scale in scales.values())
        for grams in (one.item_g, one.weigh_g)
    )


def _dissolves(one: Intermediate, stuff: Stuff) -> bool:
    """A liquid mixes; a powder must be all dissolved at room temperature, and no part of it may be more than powder."""
    if stuff.g_per_ml is not None:
        return True
    liquid = stuff.per_g * one.item_g + Composition.of(water=one.water_g)
    if liquid["fat"] + liquid["other"] > 0.0 or any(True for _ in tartrate(liquid, _ROOM_C)):
        return False
    return all(_soluble(acid, grams, liquid["water"], one) for acid, grams in liquid.acids.items() if acid not in MISCIBLE)


def _soluble(acid: str, grams: float, water_g: float, one: Intermediate) -> bool:
    try:
        return 100.0 * grams / water_g <= solubility_g_per_100_g(acid, _ROOM_C)
    except OutOfRange:
        return one.strength_pct_ww <= 100.0 * _SURELY_DISSOLVES
