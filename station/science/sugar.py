"""Sucrose in water: density, apparent volume, solubility.

Source of the density: ICUMSA SPS-4, the polynomial of Emmerich, as printed in Bubnik, Kadlec, Urban & Bruhns, Sugar
Technologists Manual (Bartens 1995), p. 164. Its water is 0.002 kg/m³ denser than that of OIML R 22. The other sugars
take the volume of sucrose: at 10 % their apparent volumes differ from it by under 2 % (CRC Handbook 102nd ed.).
"""

from typing import Final

from station.science.numeric import polynomial

SUGARS: Final[tuple[str, ...]] = ("sucrose", "glucose", "fructose", "lactose", "maltose")

MAX_MASS_FRACTION: Final = 0.85

# Density above that of water per unit of sucrose mass fraction, kg/m³: for T^0 … T^4, T = (t - 20)/100, falling powers
# of the mass fraction.
_ABOVE_WATER: Final = (
    (-17.2890, 13.4853, -3.9643, 40.9299, 135.3705, 385.1761),
    (17.5254, 5.1126, 1.1597, -7.1720, -46.2720),
    (-35.4791, 12.3630, 7.2491, 59.7712),
    (27.6301, -21.6977, -47.2207),
    (12.3081, 18.3184),
)
# Water in the same standard, kg/m³: falling powers of t; over 1 + 16.887236e-3 t.
_WATER: Final = (-281.03006e-12, 105.84601e-9, -46.241757e-6, -7.9905127e-3, 16.952577, 999.83952)
# Bubnik & Kadlec, in Mathlouthi & Reiser (eds), Sucrose (1995): mass %, falling powers of t.
_SATURATION_PCT: Final = (-4.63e-8, -1.558e-6, 1.6169e-3, 0.08222, 64.447)


def _water_kg_per_m3(t_c: float) -> float:
    return polynomial(_WATER, t_c) / (1.0 + 16.887236e-3 * t_c)


_WATER_AT_20_C: Final = _water_kg_per_m3(20.0)


def density_g_per_ml(mass_fraction: float, t_c: float = 20.0) -> float:
    """Density of sucrose in water, g/ml, for a mass fraction 0..0.85 at 0..100 °C.

    rho = rho_w(t) + Σ_j T^j Σ_i a_ij w^i, T = (t-20)/100. Raises ValueError outside either range. Source: ICUMSA SPS-4.
    """
    if not 0.0 <= mass_fraction <= MAX_MASS_FRACTION:
        raise ValueError(f"a sucrose mass fraction is 0 to {MAX_MASS_FRACTION} here, not {mass_fraction:g}")
    if not 0.0 <= t_c <= 100.0:
        raise ValueError(f"sucrose-water density holds from 0 to 100 °C, not at {t_c:g}")
    warmer = (t_c - 20.0) / 100.0
    above = sum(polynomial(row, mass_fraction) * warmer**j for j, row in enumerate(_ABOVE_WATER))
    return (_water_kg_per_m3(t_c) + mass_fraction * above) / 1000.0


def apparent_ml_per_g(mass_fraction: float) -> float:
    """Volume at 20 °C that a gram of sucrose adds to its water, ml/g; mass fraction sucrose/(sucrose + water), 0..1.

    v = (rho - P) / (rho rho_w), where rho = rho_w + w P(w): the usual (1/rho - (1-w)/rho_w)/w with w divided out, so that
    it has a value at infinite dilution too. Above 0.85, where the density formula ends, the value there is used.
    Raises ValueError outside 0..1. Source: ICUMSA SPS-4.
    """
    if not 0.0 <= mass_fraction <= 1.0:
        raise ValueError(f"a sugar mass fraction is 0 to 1, not {mass_fraction:g}")
    w = min(mass_fraction, MAX_MASS_FRACTION)
    above = polynomial(_ABOVE_WATER[0], w)
    density = _WATER_AT_20_C + w * above
    return 1000.0 * (density - above) / (density * _WATER_AT_20_C)


def saturation_mass_fraction(t_c: float) -> float:
    """Mass fraction of sucrose in its saturated solution at 0..100 °C, else ValueError.

    Source: Bubnik & Kadlec, in Mathlouthi & Reiser (eds), Sucrose: Properties and Applications (1995).
    """
    if not 0.0 <= t_c <= 100.0:
        raise ValueError(f"sucrose solubility holds from 0 to 100 °C, not at {t_c:g}")
    return polynomial(_SATURATION_PCT, t_c) / 100.0
