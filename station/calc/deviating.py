"""How far what was weighed lies from what was asked, of readings only: a tap says nothing about a scale."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from station.bar.logged import READ, Weighing


@dataclass(frozen=True, slots=True)
class Deviation:
    """Of one person with one item: how many readings, mean miss as a fraction of what was asked, its spread (None of one)."""

    by: str
    item: str
    readings: int
    mean: float
    spread: float | None
    worst: float


def deviations(weighings: Iterable[Weighing]) -> list[Deviation]:
    """By person and item, the largest mean miss first. Weighings of nothing wanted have no fraction and are left out."""
    misses: dict[tuple[str, str], list[float]] = {}
    for one in weighings:
        if one.known == READ and one.wanted_g > 0.0:
            misses.setdefault((one.by, one.item), []).append(one.actual_g / one.wanted_g - 1.0)
    found = [_deviation(by, item, values) for (by, item), values in misses.items()]
    return sorted(found, key=lambda one: (-abs(one.mean), one.by, one.item))


def _deviation(by: str, item: str, values: list[float]) -> Deviation:
    mean = math.fsum(values) / len(values)
    squares = math.fsum((value - mean) ** 2 for value in values)
    spread = math.sqrt(squares / (len(values) - 1)) if len(values) > 1 else None
    return Deviation(by, item, len(values), mean, spread, max(values, key=abs))
