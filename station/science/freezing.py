"""Where ice first forms in a drink, and how much of its water is ice below that.

Sources: CRC Handbook of Chemistry and Physics, 102nd ed. (2021), "Concentrative Properties of Aqueous Solutions" (freezing point
depressions of ethanol, sucrose, glucose, citric acid and salt in water), every few per cent of it; between, a monotone curve
(within 0.12 K of the table's other rows for ethanol, 0.03 K for the others). The depressions are added, each solute's taken
in all the water there is: Ross's rule for water activity (Food Technol. 29(3) 1975, 26; from memory). No published table of
ethanol with sugar was found to hold that sum against, so it is an estimate: to some 0.5 K for ethanol and water (Melinder 2010
differs from CRC by up to 0.4 K), to 1 K with sugar.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from station.science.acid import ACIDS
from station.science.numeric import MonotoneCubic

DISACCHARIDES: Final = ("sucrose", "lactose", "maltose")
HEXOSES: Final = ("glucose", "fructose")

# Mass fraction of the solute in it and water, and the depression in K. Ethanol ends where the second source does.
_ETHANOL: Final = MonotoneCubic.through(
    (
        *((0.0, 0.0), (0.05, 2.09), (0.10, 4.47), (0.14, 6.73), (0.18, 9.4), (0.22, 12.6), (0.26, 16.41), (0.30, 20.47)),
        *((0.34, 24.27), (0.40, 29.26), (0.46, 34.36), (0.54, 40.65), (0.60, 44.93)),
    )
)
_SUCROSE: Final = MonotoneCubic.through(((0.0, 0.0), (0.10, 0.63), (0.20, 1.47), (0.30, 2.64), (0.42, 4.93)))
_GLUCOSE: Final = MonotoneCubic.through(((0.0, 0.0), (0.10, 1.17), (0.20, 2.70), (0.30, 4.79)))
_CITRIC: Final = MonotoneCubic.through(((0.0, 0.0), (0.10, 1.12), (0.20, 2.57), (0.30, 4.25)))
_SALT: Final = MonotoneCubic.through(((0.0, 0.0), (0.05, 3.05), (0.10, 6.56), (0.15, 10.89), (0.20, 16.46), (0.23, 20.67)))

_CITRIC_MOLAR_MASS: Final = ACIDS["citric"].molar_mass
# Ice at 0 °C, IAPWS-06.
ICE_G_PER_ML: Final = 0.91672

# Halvings of the water that is left: to a millionth of it.
_ROUNDS: Final = 20


def freezing_c(grams: Mapping[str, float]) -> float:
    """Temperature at which ice first forms, °C, in a liquid of these grams of water, ethanol, sugars, acids and salt.

    t = -Σ d_i(s_i / (s_i + water)), d_i the published depression of each solute alone in water. Fructose counts as glucose,
    lactose and maltose as sucrose (within 0.06 K of fructose's own up to 26 %), an acid by its moles as citric. What else is
    dissolved, and the salts that bind acid in juice, count as nothing: some 0.1 K. Valid to 0.60 mass fraction of ethanol in
    ethanol and water, 0.42 of sucrose, 0.30 of glucose and of citric, 0.23 of salt, each with the water. Raises ValueError
    outside, or without water.
    """
    water = grams.get("water", 0.0)
    if water <= 0.0:
        raise ValueError("without water there is no ice")
    acid_mol = sum(grams.get(name, 0.0) / one.molar_mass for name, one in ACIDS.items())
    return 0.0 - (
        _depression(_ETHANOL, grams.get("ethanol", 0.0), water)
        + _depression(_SUCROSE, sum(grams.get(name, 0.0) for name in DISACCHARIDES), water)
        + _depression(_GLUCOSE, sum(grams.get(name, 0.0) for name in HEXOSES), water)
        + _depression(_CITRIC, acid_mol * _CITRIC_MOLAR_MASS, water)
        + _depression(_SALT, grams.get("salt", 0.0), water)
    )


def ice_share(grams: Mapping[str, float], t_c: float) -> float:
    """The part of the water that is ice at `t_c` °C, 0 to 1: ice is taken out until what is left would freeze at `t_c`.

    Equilibrium: a freezer gets there in a night or two. Raises ValueError as `freezing_c`, also where the liquid that is
    left grows stronger than the tables reach.
    """
    if freezing_c(grams) <= t_c:
        return 0.0
    low, high = 0.0, 1.0
    for _ in range(_ROUNDS):
        share = 0.5 * (low + high)
        low, high = (share, high) if _freezes_above(grams, share, t_c) else (low, share)
    freezing_c({**grams, "water": grams["water"] * (1.0 - high)})
    return high


def _freezes_above(grams: Mapping[str, float], share: float, t_c: float) -> bool:
    """Whether with that part of the water gone there is still ice to form at `t_c`; what is out of range is taken as not."""
    try:
        return freezing_c({**grams, "water": grams["water"] * (1.0 - share)}) > t_c
    except ValueError:
        return False


def _depression(curve: MonotoneCubic, solute_g: float, water_g: float) -> float:
    return curve(solute_g / (solute_g + water_g)) if solute_g > 0.0 else 0.0
