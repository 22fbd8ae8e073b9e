"""Water that ice or a hand adds to a drink, always with its basis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.calc.balance import abv_pct
from station.science import ice
from station.science.ethanol import WATER_G_PER_ML

_ARNOLD: Final = "Arnold, Liquid Intelligence, 2014, from memory, not checked in the book"


@dataclass(frozen=True, slots=True)
class Dilution:
    """Water added, as a fraction of the volume before and after; `in_range` False where the rule is stretched past its data."""

    fraction_of_initial: float
    fraction_of_final: float
    water_g: float
    source: str
    in_range: bool = True


def dilution(spec: Spec, undiluted: Composition) -> Dilution:
    """The dilution of one serve of `spec`, from its batch and service lines. Raises CannotAnswer for a blend that states none."""
    ml = undiluted.volume_ml
    if spec.dilution is not None:
        return _stated(spec, ml)
    if spec.method == "blend":
        raise CannotAnswer(f"{spec.name} is blended and states no dilution", f"add one in {spec.file}")
    if spec.method in {"carbonate", "none"} or ml == 0.0:
        return Dilution(0.0, 0.0, 0.0, "none: it meets no ice")
    if spec.method == "build":
        return _of_initial(ice.BUILT_DILUTION, ml, f"built on ice: 24 % of the volume before ice ({_ARNOLD})")
    return _by_ice(spec.method, undiluted, ml)


def _by_ice(method: str, undiluted: Composition, ml: float) -> Dilution:
    start = abv_pct(undiluted) / 100.0
    fraction = ice.shaken_dilution(start) if method == "shake" else ice.stirred_dilution(start)
    low, high = ice.DILUTION_VALID
    rule = f"{'shaken' if method == 'shake' else 'stirred'} on ice, by starting ABV ({_ARNOLD})"
    if start > high:
        rule += f"; starts over {100 * high:g} % ABV, the value there is used"
    elif start < low:
        rule += f"; starts under {100 * low:g} % ABV, extrapolated"
    return _of_initial(fraction, ml, rule, in_range=low <= start <= high)


def _stated(spec: Spec, ml: float) -> Dilution:
    assert spec.dilution is not None
    value, basis = spec.dilution.value, spec.dilution.basis
    if basis == "initial":
        return _of_initial(value, ml, "the spec's own, as a share of the volume before ice")
    if basis == "final":
        return _of_initial(value / (1.0 - value), ml, "the spec's own, as a share of the volume after it")
    fraction = value / WATER_G_PER_ML / ml if ml else 0.0
    return _of_initial(fraction, ml, "the spec's own, by weight")


def _of_initial(fraction: float, ml: float, source: str, in_range: bool = True) -> Dilution:
    return Dilution(fraction, fraction / (1.0 + fraction), fraction * ml * WATER_G_PER_ML, source, in_range)
