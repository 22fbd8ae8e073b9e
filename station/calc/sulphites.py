"""Sulphites of a drink, in mg as SO2: what its items state, through stocks, and which of them state none."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from station.calc.drink import Poured


@dataclass(frozen=True, slots=True)
class Sulphites:
    """mg as SO2 of one serve, and mg per litre of its glass.

    `unstated` holds the items with sulphites nobody put a figure to, as the lines bring them.
    """

    mg: float
    mg_per_l: float
    unstated: tuple[str, ...]


def sulphites(poured: Iterable[Poured], glass_ml: float) -> Sulphites | None:
    """What the lines of one serve bring, none of it taken as lost on the way; None where nothing brings any."""
    listed = [one for one in poured if one.counts]
    mg = sum(one.stuff.so2_mg_per_g * one.dose.mass_g for one in listed)
    unstated = tuple(dict.fromkeys(item for one in listed for item in sorted(one.stuff.so2_unstated)))
    if mg <= 0.0 and not unstated:
        return None
    return Sulphites(mg, 1000.0 * mg / glass_ml if glass_ml > 0.0 else 0.0, unstated)
