"""A stock made to a mass, a volume, a vessel, or from what is left of one of its lines."""

from __future__ import annotations

from dataclasses import dataclass

from station.bar.fault import CannotAnswer
from station.bar.nouns import Stock
from station.calc.blend import Blends, Making
from station.calc.scales import smallest_g
from station.calc.weigh import Dose

MOST_G = 1e6


@dataclass(frozen=True, slots=True)
class Yield:
    """What to make: exactly one of grams, millilitres, or grams of one line's item that are left."""

    g: float | None = None
    ml: float | None = None
    item: str = ""
    item_g: float = 0.0


@dataclass(frozen=True, slots=True)
class Made:
    """A stock at its size: lines in making order (water first, then what goes into it), and the whole."""

    g: float
    ml: float
    doses: tuple[Dose, ...]


def made_to(stock: Stock, making: Making, wanted: Yield) -> Made:
    """The stock's lines at the wanted size. Raises CannotAnswer for a size of nothing or an item that is in no line."""
    grams = making.composition.mass_g
    factor = _factor(stock, making, wanted)
    if not 0.0 < factor * grams <= MOST_G:
        raise CannotAnswer(f"that makes {factor * grams:g} g of {stock.name}", "ask for 1 g to 1000 kg")
    doses = [Dose(one.item, one.mass_g * factor, None if one.ml is None else one.ml * factor, one.basis) for one in making.doses]
    return Made(grams * factor, making.composition.volume_ml * factor, tuple(doses))


def least_g(making: Making, blends: Blends) -> float:
    """The least of the stock, g, of which a scale of the house can be trusted with every line; 0 where it lists no scale."""
    house = blends.library.house
    least = 0.0
    for dose in making.doses if house.scales else ():
        tolerance = house.weigh_acid if blends.stuff(dose.item).acid_like else house.weigh
        smallest = min(smallest_g(scale, tolerance) for scale in house.scales.values())
        if dose.mass_g > 0.0:
            least = max(least, smallest * making.composition.mass_g / dose.mass_g)
    return least


def _factor(stock: Stock, making: Making, wanted: Yield) -> float:
    if wanted.g is not None:
        return wanted.g / making.composition.mass_g
    if wanted.ml is not None:
        return wanted.ml / making.composition.volume_ml
    if not wanted.item:
        return 1.0
    each = sum(dose.mass_g for dose in making.doses if dose.item == wanted.item)
    if each <= 0.0:
        raise CannotAnswer(f"{wanted.item} is in no line of {stock.name}", "name one of its lines")
    return wanted.item_g / each
