"""How far alcohol, sugar and acid of a glass may be off: the errors of its lines, combined in quadrature.

What is carried is measuring: counts, jiggers, scales and calibrations. The ice, the making of stocks and the items' own
figures are not in it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from station.bar.composition import Composition
from station.calc.balance import figures
from station.calc.dilution import dilution
from station.calc.drink import Drink, Poured, together
from station.calc.unsure import Unsure


@dataclass(frozen=True, slots=True)
class Spread:
    """Standard uncertainties of three figures of a glass; two times in three a figure is within one of them."""

    abv_pct: float
    sugar_g_per_100ml: float
    acid_g_per_100ml: float


def of_one_drink(drink: Drink) -> Spread | None:
    """Of a glass whose lines are poured and counted one by one; None where there is no liquid."""
    return of_glass(drink, [poured.dose.unsure for poured in drink.poured])


def of_glass(drink: Drink, doubts: Sequence[Unsure]) -> Spread | None:
    """Of a glass whose lines are known as well as `doubts` says, one a line.

    Every line's grams are moved by their uncertainty, the ice's water following, and the glass is reckoned anew. Errors of
    a line's own are independent; those of one source move all its lines at once, so they add before they are squared.
    """
    if drink.glass.volume_ml <= 0.0:
        return None
    own: list[tuple[float, ...]] = []
    shared: dict[str, list[tuple[float, ...]]] = {}
    for poured, doubt in zip(drink.poured, doubts, strict=True):
        if not poured.counts or doubt.sd_g <= 0.0:
            continue
        slope = _slope(drink, poured, min(doubt.sd_g, 0.5 * poured.dose.mass_g))
        own.append(_times(slope, doubt.own_g))
        for source, grams in doubt.shared_g:
            shared.setdefault(source, []).append(_times(slope, grams))
    moved = [*own, *(tuple(map(sum, zip(*moves, strict=True))) for moves in shared.values())]
    return Spread(*(math.hypot(*(one[figure] for one in moved)) for figure in range(3)))


def _slope(drink: Drink, poured: Poured, step_g: float) -> tuple[float, ...]:
    """What a gram more of a line does to the three figures: by a step up and one down."""
    up, down = (figures(_moved(drink, poured, by)) for by in (step_g, -step_g))
    return tuple((high - low) / (2.0 * step_g) for high, low in zip(up, down, strict=True))


def _moved(drink: Drink, poured: Poured, grams: float) -> Composition:
    """The glass with so much more of one line; what meets the ice is diluted anew."""
    more = poured.stuff.per_g * grams
    if poured.line.when == "finish":
        return drink.glass + more
    undiluted = drink.undiluted + more
    water = dilution(drink.spec, undiluted)
    return undiluted + Composition.of(water=water.water_g) + together(drink.poured, "finish")


def _times(slope: tuple[float, ...], grams: float) -> tuple[float, ...]:
    return tuple(one * grams for one in slope)
