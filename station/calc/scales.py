"""Which scale weighs which line, and what its display should read.

Small doses are weighed first, on the finest scale that holds them, together in one tared cup (another for another scale), and
tipped in last; the rest go straight into the vessel, largest first. What is over a capacity is weighed apart, in tared portions.
Smallest weighing by USP <41> logic at the house's tolerance.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from station.bar import say
from station.bar.nouns import Scale
from station.science.weighing import smallest_net_g

CUP, VESSEL = "cup", "vessel"
# A jug that takes a portion weighs something too: of the capacity so much is left for what is in it. Common practice, no source.
_FOR_THE_PORTION: Final = 0.8


@dataclass(frozen=True, slots=True)
class ToWeigh:
    """A dose in grams and the tolerance it is weighed to (a fraction). `key` tells doses apart."""

    key: int
    g: float
    tolerance: float


@dataclass(frozen=True, slots=True)
class Weighing:
    """One dose's place in the sequence: into cup or vessel, what the display reads after it, on which scale, and a warning.

    One that is weighed `apart` starts from a tared jug; of several `times`, each reads the same.
    """

    key: int
    into: str
    reads_g: float
    scale: str
    note: str
    times: int = 1
    apart: bool = False


def weighings(doses: Sequence[ToWeigh], tare_g: float, scales: Mapping[str, Scale]) -> tuple[Weighing, ...]:
    """Every dose placed: those for a cup first, then those for the vessel from the largest down."""
    coarse = _for_vessel(sum(dose.g for dose in doses) + tare_g, scales)
    by_cup = {dose.key: _for_cup(dose, coarse, scales) for dose in doses}
    small = [(dose, scale) for dose in doses if (scale := by_cup[dose.key]) is not None]
    large = sorted((dose for dose in doses if by_cup[dose.key] is None), key=lambda dose: -dose.g)
    return (*_into_cups(small), *_into_vessel(large, tare_g, coarse))


def smallest_g(scale: Scale, tolerance: float) -> float:
    """The least net weight in g that scale can be trusted with to that tolerance."""
    return smallest_net_g(scale.readability_g, tolerance, scale.repeatability_g)


def doubts(doses: Sequence[ToWeigh], gross_g: float, scales: Mapping[str, Scale]) -> dict[int, str]:
    """By key, why the scale a dose goes on cannot be trusted with it; of the others nothing.

    `gross_g` is what the vessel's scale bears in the end.
    """
    coarse = _for_vessel(gross_g, scales)
    said = {}
    for dose in doses:
        scale = _for_cup(dose, coarse, scales) or coarse
        if scale and not sees(scale, dose):
            said[dose.key] = f"under the {say.grams(smallest_g(scale, dose.tolerance))} {scale.name} can be trusted with"
    return said


def sees(scale: Scale, dose: ToWeigh) -> bool:
    """Whether the scale can be trusted with the dose, whole or in portions."""
    return _trusted(dose, scale, _portions(dose.g, scale))


def _for_vessel(gross_g: float, scales: Mapping[str, Scale]) -> Scale | None:
    """The finest scale that holds vessel and mix; if none does, the one that holds most."""
    holding = [scale for scale in scales.values() if scale.capacity_g >= gross_g]
    if holding:
        return min(holding, key=lambda scale: scale.readability_g)
    return max(scales.values(), key=lambda scale: scale.capacity_g, default=None)


def _trusted(dose: ToWeigh, scale: Scale, times: int = 1) -> bool:
    return dose.g / times >= smallest_g(scale, dose.tolerance)


def _portions(grams: float, scale: Scale) -> int:
    """How many weighings it takes: one for all it bears, else portions that leave room for a jug."""
    return 1 if grams <= scale.capacity_g else math.ceil(grams / (_FOR_THE_PORTION * scale.capacity_g))


def _for_cup(dose: ToWeigh, coarse: Scale | None, scales: Mapping[str, Scale]) -> Scale | None:
    """The scale for a dose the vessel's cannot see; None: the vessel's.

    The finest that sees and bears it; else the one that sees it in the fewest portions; else the finest that bears it.
    """
    if coarse is None or _trusted(dose, coarse):
        return None
    finer = [one for one in scales.values() if one.readability_g < coarse.readability_g]
    bearing = [one for one in finer if one.capacity_g >= dose.g]
    seeing = [one for one in bearing if _trusted(dose, one)]
    if seeing:
        return min(seeing, key=lambda one: one.readability_g)
    in_portions = [one for one in finer if _trusted(dose, one, _portions(dose.g, one))]
    if in_portions:
        return min(in_portions, key=lambda one: _portions(dose.g, one))
    return min(bearing, key=lambda one: one.readability_g, default=None)


def _into_cups(doses: Sequence[tuple[ToWeigh, Scale]]) -> list[Weighing]:
    """Cup after cup, a new one where the scale changes or would be overloaded; what needs portions has a cup of its own."""
    placed: list[Weighing] = []
    cups, reads = 0, 0.0
    on: Scale | None = None
    for dose, scale in sorted(doses, key=lambda one: one[1].readability_g):
        times = _portions(dose.g, scale)
        if scale is not on or reads + dose.g > scale.capacity_g:
            on, cups, reads = scale, cups + 1, 0.0
        reads += dose.g
        into = CUP if cups == 1 else f"{CUP} {cups}"
        note = _in_portions(dose.g, times, scale) if times > 1 else _doubt(dose, scale)
        placed.append(Weighing(dose.key, into, dose.g / times if times > 1 else reads, scale.id, note, times, times > 1))
    return placed


def _into_vessel(doses: Sequence[ToWeigh], tare_g: float, scale: Scale | None) -> list[Weighing]:
    """One on top of the other for as long as the scale bears vessel and mix, from there on each in a jug of its own."""
    placed: list[Weighing] = []
    reads = 0.0
    for dose in doses:
        reads += dose.g
        if scale is None:
            placed.append(Weighing(dose.key, VESSEL, reads, "", "no scale in station.toml"))
        elif tare_g + reads > scale.capacity_g:
            times = _portions(dose.g, scale)
            note = f"vessel and mix are over the {say.grams(scale.capacity_g)} of {scale.name}: {_in_a_jug(dose.g, times)}"
            placed.append(Weighing(dose.key, VESSEL, dose.g / times, scale.id, note, times, apart=True))
        else:
            placed.append(Weighing(dose.key, VESSEL, reads, scale.id, _doubt(dose, scale)))
    return placed


def _in_portions(grams: float, times: int, scale: Scale) -> str:
    return f"over the {say.grams(scale.capacity_g)} of {scale.name}: {_in_a_jug(grams, times)}"


def _in_a_jug(grams: float, times: int) -> str:
    return f"weigh it in a tared jug, {times} times {say.grams(grams / times)}" if times > 1 else "weigh it in a tared jug"


def _doubt(dose: ToWeigh, scale: Scale) -> str:
    if _trusted(dose, scale):
        return ""
    least = say.grams(smallest_g(scale, dose.tolerance))
    tolerance = say.percent(dose.tolerance, "of the dose")
    return (
        f"under {least}, the least {scale.name} can be trusted with to {tolerance}: make more at once, or weigh a weaker solution"
    )
