"""Which line brings what of a glass: its shares of the alcohol, sugar, acid, water and volume."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from station.bar.composition import Composition

ICE, ICE_NAME = "", "Ice, or water added"
PARTS = ("ethanol", "sugar", "acid", "water", "volume")

_BROUGHT: dict[str, Callable[[Composition], float]] = {
    "ethanol": lambda one: one["ethanol"],
    "sugar": lambda one: one.sugar_g,
    "acid": lambda one: one.acid_g,
    "water": lambda one: one["water"],
    "volume": lambda one: one.volume_ml,
}


@dataclass(frozen=True, slots=True)
class Source:
    """One line's shares, 0 to 1, of what is in the glass; `item` is "" for the dilution.

    Alcohol, sugar, acid and water are by mass. Volume is each line's own, at 20 °C, over the sum of all: what mixing takes
    away (500 ml of water and 500 ml of ethanol are 964.6 ml) belongs to no line. None where the glass has none of it.
    """

    item: str
    name: str
    ethanol: float | None
    sugar: float | None
    acid: float | None
    water: float | None
    volume: float | None


def sources(brought: Iterable[tuple[str, str, Composition]]) -> tuple[Source, ...]:
    """What each (item, name, liquid) brings of all; those that bring nothing are left out."""
    liquids = [one for one in brought if one[2].mass_g > 0.0]
    columns = [_shares([_BROUGHT[part](liquid) for _, _, liquid in liquids]) for part in PARTS]
    rows = zip(*columns, strict=True)
    return tuple(Source(item, name, *shares) for (item, name, _), shares in zip(liquids, rows, strict=True))


def _shares(parts: list[float]) -> list[float] | list[None]:
    whole = sum(parts)
    return [part / whole for part in parts] if whole > 0.0 else [None] * len(parts)
