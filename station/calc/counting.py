"""What one drop, dash, spoon or spray of a liquid weighs, why that is believed, and how well it is known."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from station.bar.fault import CannotAnswer
from station.bar.nouns import Calibration, Dispenser, Library
from station.calc.stuff import WATER_STUFF, Lookup, Stuff
from station.calc.unsure import Unsure, finest_sd_g
from station.science import drop, weighing

DASH_ML: Final = 0.8
# ± 40 % are limits: a rectangular distribution, whose sd is the half-width over √3 (JCGM 100:2008, 4.3.7).
DASH_SD: Final = 0.40 / 3**0.5
# USP <1101>: the volume a dropper delivers in normal use may be off by 15 %; Tate's law fits published drops no better. Taken
# whole as a standard uncertainty wherever no weighing of this dispenser with this liquid says more; for dashes and spoons
# common practice, no source.
UNTOLD_SD: Final = 0.15
OLD_DAYS: Final = 31
# A basis stands on batch cards too, so it names the dispenser and never a count.
_BUILT_IN_DROPPER = "built-in dropper figure (Ph. Eur. 2.1.1, 0.05 g of water), uncalibrated"
_BUILT_IN_DASHER = "built-in dasher figure (0.8 ml ± 40 %, common practice, no source), uncalibrated"
_DEFAULT = "the house's default, uncalibrated"


@dataclass(frozen=True, slots=True)
class Counted:
    """One count: grams, the basis in words, the scatter of one count and, by source, the error all counts share, g."""

    g: float
    basis: str
    scatter_g: float
    shared_g: tuple[tuple[str, float], ...]

    @property
    def all_share_g(self) -> float:
        """What every count may be off by in the same direction, g: one standard uncertainty."""
        return math.sqrt(sum(grams**2 for _, grams in self.shared_g))

    def unsure(self, n: float) -> Unsure:
        """Of `n` of them, counted."""
        own = weighing.counted_u_g(n, self.scatter_g, 0.0, self.g)
        return Unsure(own, tuple((source, n * grams) for source, grams in self.shared_g))


@dataclass(frozen=True, slots=True)
class Asked:
    """Which count is asked for: of what, in which unit, by which dispenser ("": any of that unit), on which day."""

    item: str
    unit: str
    dispenser: str = ""
    today: date | None = None


def believed(asked: Asked, stuff: Lookup, library: Library) -> Counted:
    """Calibrated with this liquid, carried over from another, the house's default, the built-in figure. Raises CannotAnswer."""
    one, among = stuff(asked.item), _candidates(asked, library)
    for dispenser in among:
        calibration = newest(dispenser.calibrations, asked.item)
        if calibration:
            return _calibrated(dispenser, calibration, library, asked.today)
    for dispenser in among:
        calibration = newest(one_of for one_of in dispenser.calibrations if _has(stuff, one_of.item))
        if calibration:
            return _carried_over(_calibrated(dispenser, calibration, library, asked.today), calibration, asked, stuff, library)
    return _uncalibrated(asked, one, library)


def newest(calibrations: Iterable[Calibration], item: str = "") -> Calibration | None:
    """The newest, of `item` if one is named; of two on one day the one that was written down later."""
    mine = [one for one in calibrations if not item or one.item == item]
    return max(reversed(mine), key=lambda one: one.date) if mine else None


def statistics(calibration: Calibration, library: Library) -> tuple[float, float, float]:
    """Mean of a count, its scatter, and the standard uncertainty of the mean, g; one weighing's spread is taken as untold."""
    least = finest_sd_g(library.house.scales)
    mean, scatter, u_mean = weighing.drop_statistics(calibration.reads_g, calibration.count, least)
    if scatter is None or u_mean is None:
        return mean, UNTOLD_SD * mean, UNTOLD_SD * mean / calibration.count**0.5
    return mean, scatter, u_mean


def said(calibration: Calibration, today: date | None = None) -> str:
    """How a calibration is named as a basis: `3 weighings, 4 Nov 2026`; called old after a month."""
    times, day = len(calibration.reads_g), calibration.date
    text = f"{times} weighing{'s' if times > 1 else ''}, {day.day} {day:%b %Y}"
    age = 0 if today is None else (today - day).days
    return f"{text}, old (over {OLD_DAYS} days)" if age > OLD_DAYS else f"{text}, a day yet to come" if age < 0 else text


def _calibrated(dispenser: Dispenser, calibration: Calibration, library: Library, today: date | None) -> Counted:
    mean, scatter, u_mean = statistics(calibration, library)
    source = f"{dispenser.id} with {calibration.item}"
    return Counted(mean, f"{dispenser.name}, {said(calibration, today)}", scatter, ((source, u_mean),))


def _carried_over(known: Counted, calibration: Calibration, asked: Asked, stuff: Lookup, library: Library) -> Counted:
    """The error of the known liquid's count comes along, and carrying over brings its own."""
    grams, how = _carried(known.g, stuff(calibration.item), stuff(asked.item), asked.unit)
    times = grams / known.g
    dispenser, _, weighings = known.basis.partition(", ")
    basis = f"{dispenser}, never weighed with this; with {library.name_of(calibration.item)} ({weighings}), {how}"
    shared = tuple((source, times * one) for source, one in known.shared_g)
    return Counted(grams, basis, times * known.scatter_g, (*shared, (_carrying(asked), UNTOLD_SD * grams)))


def _uncalibrated(asked: Asked, one: Stuff, library: Library) -> Counted:
    unit, density = asked.unit, one.g_per_ml or one.bulk_g_per_ml
    if unit in library.counted_ml and density:
        return _rough(library.counted_ml[unit] * density, _DEFAULT, ((f"default {unit}", UNTOLD_SD),))
    if unit == "drop" and one.g_per_ml:
        of_water = drop.PHARMACOPOEIA_DROP_SD_G / drop.PHARMACOPOEIA_DROP_G
        grams = _carried(drop.PHARMACOPOEIA_DROP_G, WATER_STUFF, one, unit)[0]
        carrying = () if one is WATER_STUFF else ((_carrying(asked), UNTOLD_SD),)
        return _rough(grams, _BUILT_IN_DROPPER, (("built-in drop", of_water), *carrying))
    if unit == "dash" and density:
        return _rough(DASH_ML * density, _BUILT_IN_DASHER, (("built-in dash", DASH_SD),))
    raise CannotAnswer(f"what one {unit} of {asked.item} weighs is not known", f"calibrate a {unit}, or give [defaults] {unit}")


def _rough(grams: float, basis: str, relative: Sequence[tuple[str, float]]) -> Counted:
    """A count nobody weighed, its shared errors given as shares of it."""
    return Counted(grams, basis, UNTOLD_SD * grams, tuple((source, share * grams) for source, share in relative))


def _carrying(asked: Asked) -> str:
    return f"a {asked.unit} of {asked.item} carried over"


def _candidates(asked: Asked, library: Library) -> list[Dispenser]:
    """The dispenser asked for; where none is named, the house's dispensers of that unit."""
    if asked.dispenser:
        return [library.dispensers[asked.dispenser]] if asked.dispenser in library.dispensers else []
    return [one for one in library.dispensers.values() if one.unit == asked.unit]


def _has(stuff: Lookup, item: str) -> bool:
    try:
        stuff(item)
    except CannotAnswer:
        return False
    return True


def _carried(known_g: float, known: Stuff, one: Stuff, unit: str) -> tuple[float, str]:
    """One count of this liquid from one of another, and how.

    A drop's mass goes with surface tension; a spoon keeps its volume, as does a drop outside what is known of drops.
    """
    if known.g_per_ml is None or one.g_per_ml is None:
        raise CannotAnswer(f"a {unit} of powder cannot be reckoned from a {unit} of liquid", "calibrate it, or write g")
    by_volume = known_g / known.g_per_ml * one.g_per_ml
    if unit != "drop":
        return by_volume, "same volume taken"
    shares = _ethanol_share(known), _ethanol_share(one)
    try:
        return drop.transferred_drop_g(known_g, shares[0], known.g_per_ml, shares[1], one.g_per_ml), "by surface tension"
    except ValueError:
        return by_volume, "same volume taken (outside what is known of how liquids fall)"


def _ethanol_share(one: Stuff) -> float:
    """Ethanol in water and ethanol, by mass: what the surface of the liquid is taken to be made of."""
    solvent = one.per_g["water"] + one.per_g["ethanol"]
    return one.per_g["ethanol"] / solvent if solvent else 0.0
