"""Which scale weighs which line, and what its display should read.

Small doses are weighed first, on the finest scale that holds them, together in one tared cup (another for another scale), and
tipped in last; the rest go straight into the vessel, largest first. Smallest weighing by USP <41> logic at the house's tolerance.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from station.bar import say
from station.bar.nouns import Scale
from station.science.weighing import smallest_net_g

CUP, VESSEL = "cup", "vessel"


@dataclass(frozen=True, slots=True)
class ToWeigh:
    """A dose in grams and the tolerance it is weighed to (a fraction). `key` tells doses apart."""

    key: int
    g: float
    tolerance: float


@dataclass(frozen=True, slots=True)
class Weighing:
    """One dose's place in the sequence: into cup or vessel, what the display reads after it, on which scale, and a warning."""

    key: int
    into: str
    reads_g: float
    scale: str
    note: str


def weighings(doses: Sequence[ToWeigh], tare_g: float, scales: Mapping[str, Scale]) -> tuple[Weighing, ...]:
    """Every dose placed: those for a cup first, then those for the vessel from the largest down."""
    coarse = _for_vessel(sum(dose.g for dose in doses) + tare_g, scales)
    by_cup = {dose.key: _for_cup(dose, coarse, scales) for dose in doses}
    small = [(dose, scale) for dose in doses if (scale := by_cup[dose.key]) is not None]
    large = sorted((dose for dose in doses if by_cup[dose.key] is None), key=lambda dose: -dose.g)
    return (*_into_cups(small), *_into_vessel(large, tare_g, coarse))


def smallest_g(scale: Scale, tolerance: float) -> float:
    """The least net weight in g that scale can be trusted with to that tolerance."""
    return smallest_net_g(scale.readability_g, tolerance)


def _for_vessel(gross_g: float, scales: Mapping[str, Scale]) -> Scale | None:
    """The finest scale that holds vessel and mix; if none does, the one that holds most."""
    holding = [scale for scale in scales.values() if scale.capacity_g >= gross_g]
    if holding:
        return min(holding, key=lambda scale: scale.readability_g)
    return max(scales.values(), key=lambda scale: scale.capacity_g, default=None)


def _trusted(dose: ToWeigh, scale: Scale) -> bool:
    return dose.g >= smallest_g(scale, dose.tolerance)


def _for_cup(dose: ToWeigh, coarse: Scale | None, scales: Mapping[str, Scale]) -> Scale | None:
    """The scale for a dose the vessel's cannot see: the finest that can, else the finest that holds it; None: the vessel's."""
    if coarse is None or _trusted(dose, coarse):
        return None
    finer = [one for one in scales.values() if one.readability_g < coarse.readability_g and one.capacity_g >= dose.g]
    seeing = [one for one in finer if _trusted(dose, one)]
    if seeing:
        return min(seeing, key=lambda one: one.readability_g)
    return min(finer, key=lambda one: one.readability_g, default=None)


def _into_cups(doses: Sequence[tuple[ToWeigh, Scale]]) -> list[Weighing]:
    """Cup after cup, a new one where the scale changes or would be overloaded."""
    placed: list[Weighing] = []
    cups, reads = 0, 0.0
    on: Scale | None = None
    for dose, scale in sorted(doses, key=lambda one: one[1].readability_g):
        if scale is not on or reads + dose.g > scale.capacity_g:
            on, cups, reads = scale, cups + 1, 0.0
        reads += dose.g
        into = CUP if cups == 1 else f"{CUP} {cups}"
        placed.append(Weighing(dose.key, into, reads, scale.id, _doubt(dose, scale)))
    return placed


def _into_vessel(doses: Sequence[ToWeigh], tare_g: float, scale: Scale | None) -> list[Weighing]:
    placed: list[Weighing] = []
    reads = 0.0
    for dose in doses:
        reads += dose.g
        if scale is None:
            placed.append(Weighing(dose.key, VESSEL, reads, "", "no scale in station.toml"))
            continue
        over = tare_g + reads > scale.capacity_g
        note = (
            f"over the {say.grams(scale.capacity_g)} of {scale.name}: weigh it apart, in portions"
            if over
            else _doubt(dose, scale)
        )
        placed.append(Weighing(dose.key, VESSEL, reads, scale.id, note))
    return placed


def _doubt(dose: ToWeigh, scale: Scale) -> str:
    if _trusted(dose, scale):
        return ""
    least = say.grams(smallest_g(scale, dose.tolerance))
    tolerance = say.percent(dose.tolerance, "of the dose")
    return (
        f"under {least}, the least {scale.name} can be trusted with to {tolerance}: make more at once, or weigh a weaker solution"
    )
