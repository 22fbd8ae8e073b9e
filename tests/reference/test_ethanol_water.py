"""Ethanol and water against the published tables and a second, independent formula."""

import pytest
from CoolProp.CoolProp import PropsSI

from station.science.ethanol import (
    ETHANOL_G_PER_ML,
    WATER_G_PER_ML,
    abv_pct,
    density_g_per_ml,
    ethanol_g_per_100_ml,
    mass_fraction,
    volume_ml,
)

# OIML R 22 is a formula: whoever evaluates it gets the same figure. 0.005 kg/m³ is half the last place of its printed
# tables; a wrong digit in a coefficient shows far above it.
SAME_FORMULA_KG_PER_M3 = 0.005


def kg_per_m3(p: float, t_c: float = 20.0) -> float:
    return 1000.0 * density_g_per_ml(p, t_c)


# OIML R 22 (1973/75), printed tables: kg/m³ at 20 °C by % vol, with the printed % mass.
@pytest.mark.parametrize(
    ("abv", "mass_pct", "printed"),
    [(40.0, 33.30, 948.05), (50.0, 42.43, 930.14), (96.0, 93.84, 807.42), (100.0, 100.00, 789.24)],
)
def test_the_printed_international_tables(abv: float, mass_pct: float, printed: float) -> None:
    assert 100.0 * mass_fraction(abv) == pytest.approx(mass_pct, abs=0.005)
    assert kg_per_m3(mass_fraction(abv)) == pytest.approx(printed, abs=SAME_FORMULA_KG_PER_M3)


def test_the_printed_density_of_ethanol_at_40_c() -> None:
    # OIML R 22 (1973/75), printed table: 771.93 kg/m³.
    assert kg_per_m3(1.0, 40.0) == pytest.approx(771.93, abs=SAME_FORMULA_KG_PER_M3)


# OIML R 22 (1973/75), its formula evaluated by another program: % vol, % mass, kg/m³, g ethanol per 100 ml, at 20 °C.
AT_20_C = [
    (0, 0.0000, 998.201, 0.000),
    (5, 3.9818, 991.055, 3.946),
    (10, 8.0149, 984.710, 7.892),
    (15, 12.0929, 978.971, 11.839),
    (20, 16.2135, 973.557, 15.785),
    (25, 20.3812, 968.098, 19.731),
    (30, 24.6071, 962.211, 23.677),
    (35, 28.9072, 955.586, 27.623),
    (40, 33.2996, 948.045, 31.570),
    (45, 37.8011, 939.542, 35.516),
    (50, 42.4257, 930.142, 39.462),
    (55, 47.1847, 919.963, 43.408),
    (60, 52.0884, 909.115, 47.354),
    (65, 57.1498, 897.651, 51.301),
    (70, 62.3861, 885.562, 55.247),
    (75, 67.8202, 872.793, 59.193),
    (80, 73.4800, 859.270, 63.139),
    (85, 79.4047, 844.853, 67.085),
    (90, 85.6646, 829.182, 71.032),
    (95, 92.4076, 811.380, 74.978),
    (96, 93.8384, 807.420, 75.767),
    (100, 100.0000, 789.239, 78.924),
]


@pytest.mark.parametrize(("abv", "mass_pct", "density", "ethanol_g"), AT_20_C)
def test_the_scale_of_strengths_at_20_c(abv: float, mass_pct: float, density: float, ethanol_g: float) -> None:
    assert 100.0 * mass_fraction(abv) == pytest.approx(mass_pct, abs=0.00006)
    assert kg_per_m3(mass_fraction(abv)) == pytest.approx(density, abs=SAME_FORMULA_KG_PER_M3)
    assert ethanol_g_per_100_ml(abv) == pytest.approx(ethanol_g, abs=0.0006)


# OIML R 22 (1973/75), its formula evaluated by another program: kg/m³ at these °C, by mass fraction.
GRID_C = (-20, -10, 0, 10, 20, 30, 40)
GRID = {
    0.0: (993.567, 998.107, 999.837, 999.695, 998.201, 995.645, 992.213),
    0.1: (980.951, 983.965, 984.750, 983.930, 981.848, 978.731, 974.778),
    0.2: (978.430, 977.638, 975.569, 972.519, 968.607, 963.908, 958.515),
    0.3: (974.909, 970.325, 965.239, 959.734, 953.784, 947.367, 940.498),
    0.4: (962.520, 956.064, 949.340, 942.377, 935.145, 927.638, 919.892),
    0.5: (943.762, 936.560, 929.172, 921.589, 913.771, 905.712, 897.440),
    0.6: (922.557, 914.916, 907.156, 899.235, 891.098, 882.723, 874.106),
    0.8: (876.637, 868.523, 860.299, 851.933, 843.386, 834.646, 825.683),
    1.0: (823.120, 814.657, 806.215, 797.755, 789.239, 780.648, 771.932),
}


@pytest.mark.parametrize("p", GRID)
def test_the_grid_of_mass_fraction_and_temperature(p: float) -> None:
    for t_c, density in zip(GRID_C, GRID[p], strict=True):
        assert kg_per_m3(p, t_c) == pytest.approx(density, abs=SAME_FORMULA_KG_PER_M3), t_c


# Measured: Bulletin of the Bureau of Standards 9 (1913), Osborne, McKelvy & Bearce (authors from memory): g/ml at 10, 20, 30
# and 40 °C by % mass.
MEASURED_1913 = {
    0.45: (0.93226, 0.92472, 0.91692, 0.90884),
    0.50: (0.92162, 0.91384, 0.90580, 0.89750),
    0.60: (0.89927, 0.89113, 0.88278, 0.87417),
    0.80: (0.85197, 0.84344, 0.83473, 0.82578),
}


@pytest.mark.parametrize("p", MEASURED_1913)
def test_the_measurements_of_1913(p: float) -> None:
    # Two laboratories sixty years apart, on older temperature scales: they part by up to 0.09 kg/m³, one part in 10 000.
    for t_c, density in zip((10.0, 20.0, 30.0, 40.0), MEASURED_1913[p], strict=True):
        assert kg_per_m3(p, t_c) == pytest.approx(1000.0 * density, abs=0.1), t_c


# The same Bulletin 9 in the USP's Alcoholometric Table: % vol at 15.56 °C (60 °F) by % mass. It prints % mass to 0.01,
# which is up to 0.006 % vol.
@pytest.mark.parametrize(("mass_pct", "abv_at_60_f"), [(4.00, 5), (8.05, 10), (12.14, 15), (16.27, 20), (20.44, 25), (24.67, 30)])
def test_the_pharmacopoeia_table_at_60_f(mass_pct: float, abv_at_60_f: float) -> None:
    p, t_c = mass_pct / 100.0, (60.0 - 32.0) / 1.8
    at_60_f = 100.0 * p * density_g_per_ml(p, t_c) / density_g_per_ml(1.0, t_c)
    assert at_60_f == pytest.approx(abv_at_60_f, abs=0.006)


# CRC Handbook of Chemistry and Physics, 102nd ed., Concentrative Properties of Aqueous Solutions: ethanol, g/ml, 20 °C.
@pytest.mark.parametrize(("mass_pct", "crc"), [(5, 0.9893), (10, 0.9819), (20, 0.9687), (30, 0.9539), (40, 0.9352), (50, 0.9139)])
def test_the_handbook(mass_pct: float, crc: float) -> None:
    # Four printed places are ±0.05 kg/m³; the handbook lies up to 0.08 above the tables besides.
    assert kg_per_m3(mass_pct / 100.0) == pytest.approx(1000.0 * crc, abs=0.15)


@pytest.mark.parametrize("mass_pct", range(0, 61, 5))
def test_a_second_witness_for_the_mixture(mass_pct: int) -> None:
    # CoolProp's INCOMP::MEA is Melinder's brine fit (Properties of Secondary Working Fluids, IIR 2010), to 60 % mass. It
    # is a low-order surface over -100..40 °C and waves about the tables by up to ±0.31 kg/m³ at 20 °C, 0.03 %.
    witness = PropsSI("D", "T", 293.15, "P", 101325.0, f"INCOMP::MEA[{mass_pct / 100.0}]")
    assert kg_per_m3(mass_pct / 100.0) == pytest.approx(witness, abs=0.31)


def test_a_second_witness_for_water() -> None:
    # IAPWS-95 through CoolProp: 998.2071 kg/m³ at 20 °C. R 22 stands on older water, 0.006 lower.
    witness = PropsSI("D", "T", 293.15, "P", 101325.0, "Water")
    assert kg_per_m3(0.0) == pytest.approx(witness, abs=0.0065)


def mixed_ml(ml: float, abv: float, other_ml: float, other_abv: float = 0.0) -> tuple[float, float]:
    """Volume and strength of two liquids poured together at 20 °C."""
    p, q = mass_fraction(abv), mass_fraction(other_abv)
    g, other_g = ml * density_g_per_ml(p), other_ml * density_g_per_ml(q)
    ethanol_g = g * p + other_g * q
    return volume_ml(g + other_g - ethanol_g, ethanol_g), abv_pct(ethanol_g / (g + other_g))


def test_half_a_litre_and_half_a_litre_are_not_a_litre() -> None:
    # OIML R 22: 500 ml water + 500 ml ethanol = 964.6 ml.
    ml, abv = mixed_ml(500.0, 100.0, 500.0)
    assert ml == pytest.approx(964.6, abs=0.05)
    assert abv == pytest.approx(51.83, abs=0.005)


# OIML R 22, worked by another program: ml and % vol poured together, ml and % vol there are then.
@pytest.mark.parametrize(
    ("poured", "ml", "abv"),
    [
        ((50.0, 100.0, 50.0, 0.0), 96.463, 51.83),
        ((60.0, 40.0, 30.0, 0.0), 89.870, 26.705),
        ((60.0, 40.0, 30.0, 16.5), 89.853, 32.219),
        ((60.0, 50.0, 30.0, 16.5), 89.642, 38.989),
    ],
)
def test_what_a_mixture_fills(poured: tuple[float, float, float, float], ml: float, abv: float) -> None:
    assert mixed_ml(*poured) == pytest.approx((ml, abv), abs=0.006)


def water_to_add_ml(ml: float, abv: float, wanted_abv: float) -> float:
    g = ml * density_g_per_ml(mass_fraction(abv))
    wanted_g = ml * ethanol_g_per_100_ml(abv) / 100.0 / mass_fraction(wanted_abv)
    return (wanted_g - g) / WATER_G_PER_ML


# OIML R 22, worked by another program: ml of water at 20 °C.
@pytest.mark.parametrize(
    ("ml", "abv", "wanted_abv", "water_ml"),
    [(1000, 96, 40, 1470.53), (1000, 50, 40, 255.37), (700, 57, 40, 305.24), (750, 40, 30, 251.63)],
)
def test_proofing_down(ml: float, abv: float, wanted_abv: float, water_ml: float) -> None:
    assert water_to_add_ml(ml, abv, wanted_abv) == pytest.approx(water_ml, abs=0.01)


# Gay-Lussac's dilution table as pharmacists reprint it (from memory): ml of water for 100 ml of 90 % vol spirit.
@pytest.mark.parametrize(
    ("wanted_abv", "water_ml"),
    [(85, 6.56), (80, 13.79), (75, 21.89), (70, 31.05), (60, 53.65), (50, 84.71), (40, 130.80), (30, 206.22)],
)
def test_the_dilution_table_of_pharmacists(wanted_abv: float, water_ml: float) -> None:
    # Their % vol is at 15 °C, where the same liquid counts up to 0.1 % vol otherwise: 0.3 % of the water.
    assert water_to_add_ml(100.0, 90.0, wanted_abv) == pytest.approx(water_ml, rel=0.003)


def test_where_mixing_contracts_most() -> None:
    # OIML R 22, worked by another program: 3.546 % at a mass fraction of 0.466 (54.4 % vol).
    def contraction(p: float) -> float:
        return 1.0 - volume_ml(1.0 - p, p) / ((1.0 - p) / WATER_G_PER_ML + p / ETHANOL_G_PER_ML)

    most = max((i / 1000.0 for i in range(1, 1000)), key=contraction)
    assert most == pytest.approx(0.466, abs=0.0011)
    assert contraction(most) == pytest.approx(0.03546, abs=0.00001)
