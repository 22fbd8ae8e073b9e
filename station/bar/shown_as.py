"""An amount said in another unit than the one it was written in."""

from __future__ import annotations

from dataclasses import replace

from station.bar import say
from station.bar.nouns import House, Library
from station.bar.units import ml_per

AUTHORED, ML, OZ, G = "authored", "ml", "oz", "g"
WAYS = (AUTHORED, ML, OZ, G)
WAY_NAMES = {AUTHORED: "as written", ML: "in ml", OZ: "in oz", G: "in g"}


def next_way(way: str) -> str:
    """The way that comes after that one, the first after the last."""
    return WAYS[(WAYS.index(way) + 1) % len(WAYS)]


def shown_as(way: str, written: str, ml: float | None, g: float | None, ounce_ml: float) -> str:
    """An amount that is `ml` and `g` in that way of WAYS; as written where it has no such measure (a twist, a powder in ml)."""
    figures = {ML: (ml, f"{say.number(ml)}{say.GAP}ml"), OZ: (ml, say.volume(ml, OZ, ounce_ml)), G: (g, say.grams(g))}
    known, text = figures.get(way, (None, written))
    return written if known is None else text


def ounce_ml_of(house: House, ounce: str = "") -> float:
    """Millilitres of the fluid ounce that is meant: the spec's own reading of it, else the house's."""
    return ml_per("oz", ounce or house.ounce, house.spoons)


def volume_in(house: House, ml: float | None) -> str:
    """A volume in the unit the house shows, and in its own ounce."""
    return say.volume(ml, house.volume, ounce_ml_of(house))


def in_volume(library: Library, unit: str) -> Library:
    """The library as a house that shows volumes in that unit (ml, cl, oz) has it; "" leaves it as it is."""
    return replace(library, house=replace(library.house, volume=unit)) if unit else library
