"""Ethanol and water: density, volume and strength.

Source: OIML R 22 (1973/75), International alcoholometric tables = Council Directive 76/766/EEC, Annex. Its temperatures
are IPTS-68; against ITS-90 that is 0.005 degrees at 20 °C, some 0.001 kg/m³.
"""

from typing import Final

from station.science.numeric import polynomial, root

# Density at 20 °C, kg/m³: powers 11 to 0 of the mass fraction (A12 … A1).
_AT_20_C: Final = (
    -39032.85426,
    223446.0334,
    -547846.1354,
    747017.2998,
    -613838.1234,
    306287.4042,
    -88292.78388,
    13522.15441,
    -1668.103923,
    389.1238958,
    -192.9769495,
    998.20123,
)
# What warming does to water: powers 6 to 1 of (t - 20), then none (B6 … B1, 0).
_WATER_WARMING: Final = (
    -9.9739231e-11,
    7.169354e-09,
    -3.8957702e-07,
    3.6130013e-05,
    -0.0052682542,
    -0.20618513,
    0.0,
)
# What warming does to the mixture besides: for (t - 20)^1 … (t - 20)^5, falling powers of the mass fraction, then none.
_MIXTURE_WARMING: Final = (
    (
        1285.617841998974,
        -7420.201433430137,
        18523.73922069467,
        -26055.62982188164,
        22486.46550400788,
        -12101.64659068747,
        3924.090430035045,
        -704.7478054272792,
        71.96353469546523,
        -10.46914743455169,
        0.1693443461530087,
        0.0,
    ),
    (
        7.442971530188783,
        -44.14153236817392,
        108.043594285623,
        -142.2753946421155,
        109.635566657757,
        -50.29988758547014,
        13.53034988843029,
        -2.170575700536993,
        0.2517399633803461,
        -0.0119301300505701,
        0.0,
    ),
    (
        -0.5411227621436812,
        2.458043105903461,
        -4.672147440794683,
        4.810060584300675,
        -2.895696483903638,
        1.02299296671922,
        -0.2002561813734156,
        0.01876837790289664,
        -0.0006802995733503803,
        0.0,
    ),
    (-1.51578483698721e-06, 6.515031360099368e-06, -8.76305857347111e-06, 4.075376675622027e-06, 0.0),
    (1.345612883493354e-08, -2.788074354782409e-08, 0.0),
)
# In the ratio of volumes: 1e-10 % vol, ten times above what double precision leaves of the polynomial.
_STRENGTH_TOLERANCE: Final = 1e-12


def density_g_per_ml(mass_fraction: float, t_c: float = 20.0) -> float:
    """Density of ethanol-water, g/ml, for a mass fraction 0..1 of ethanol at -20..40 °C.

    rho = A1 + Σ A_k p^(k-1) + Σ B_k (t-20)^k + ΣΣ C_i,k p^k (t-20)^i, kg/m³. The formula describes the liquid: below its
    freezing line it returns the supercooled liquid's figure. Raises ValueError outside either range.
    Source: OIML R 22 (1973/75); Directive 76/766/EEC.
    """
    if not 0.0 <= mass_fraction <= 1.0:
        raise ValueError(f"an ethanol mass fraction is 0 to 1, not {mass_fraction:g}")
    kg_per_m3 = polynomial(_AT_20_C, mass_fraction)
    if t_c != 20.0:
        kg_per_m3 += _warming_kg_per_m3(mass_fraction, t_c)
    return kg_per_m3 / 1000.0


def _warming_kg_per_m3(mass_fraction: float, t_c: float) -> float:
    if not -20.0 <= t_c <= 40.0:
        raise ValueError(f"ethanol-water density holds from -20 to 40 °C, not at {t_c:g}")
    warmer = t_c - 20.0
    mixture = (polynomial(row, mass_fraction) * warmer**i for i, row in enumerate(_MIXTURE_WARMING, start=1))
    return polynomial(_WATER_WARMING, warmer) + sum(mixture)


WATER_G_PER_ML: Final = density_g_per_ml(0.0)
ETHANOL_G_PER_ML: Final = density_g_per_ml(1.0)


def volume_ml(water_g: float, ethanol_g: float) -> float:
    """Volume at 20 °C of water and ethanol once mixed, contraction included; 0 for nothing.

    V = (m_w + m_e) / rho(p, 20), p = m_e / (m_w + m_e). Raises ValueError for a negative mass. Source: OIML R 22.
    """
    if water_g < 0.0 or ethanol_g < 0.0:
        raise ValueError(f"a mass is not negative: {water_g:g} g water, {ethanol_g:g} g ethanol")
    total_g = water_g + ethanol_g
    return total_g / density_g_per_ml(ethanol_g / total_g) if total_g else 0.0


def abv_pct(mass_fraction: float) -> float:
    """Strength in % vol at 20 °C: 100 p rho(p,20) / rho(1,20), p 0..1, else ValueError. Source: OIML R 22."""
    return 100.0 * mass_fraction * density_g_per_ml(mass_fraction) / ETHANOL_G_PER_ML


def mass_fraction(abv_pct: float) -> float:
    """Mass fraction of ethanol in a liquid of 0..100 % vol at 20 °C, else ValueError; the inverse of `abv_pct`."""
    volume_fraction = _volume_fraction(abv_pct)

    def too_strong(p: float) -> float:
        return p * density_g_per_ml(p) / ETHANOL_G_PER_ML - volume_fraction

    return root(too_strong, 0.0, 1.0, _STRENGTH_TOLERANCE)


def ethanol_g_per_100_ml(abv_pct: float) -> float:
    """Grams of ethanol in 100 ml of a liquid of 0..100 % vol at 20 °C, else ValueError: abv rho(1,20)."""
    return 100.0 * _volume_fraction(abv_pct) * ETHANOL_G_PER_ML


def _volume_fraction(abv_pct: float) -> float:
    if not 0.0 <= abv_pct <= 100.0:
        raise ValueError(f"a strength is 0 to 100 % vol, not {abv_pct:g}")
    return abv_pct / 100.0
