"""Sucrose in water against the sugar trade's own tables."""

import pytest

from station.science.sugar import apparent_ml_per_g, density_g_per_ml, saturation_mass_fraction

SAME_FORMULA_KG_PER_M3 = 0.005


def kg_per_m3(brix: float, t_c: float = 20.0) -> float:
    return 1000.0 * density_g_per_ml(brix / 100.0, t_c)


# ICUMSA SPS-4 (Emmerich), evaluated by another program: °Bx, kg/m³ at 20 °C, apparent ml/g at 20 °C.
@pytest.mark.parametrize(
    ("brix", "density", "apparent"),
    [
        (5, 1017.805, 0.6159),
        (10, 1038.115, 0.6166),
        (20, 1080.977, 0.6182),
        (30, 1127.032, 0.6201),
        (40, 1176.518, 0.6222),
        (50, 1229.654, 0.6247),
        (60, 1286.611, 0.6275),
        (70, 1347.478, 0.6308),
        (80, 1412.200, 0.6347),
    ],
)
def test_the_sugar_trades_density_at_20_c(brix: float, density: float, apparent: float) -> None:
    assert kg_per_m3(brix) == pytest.approx(density, abs=SAME_FORMULA_KG_PER_M3)
    assert apparent_ml_per_g(brix / 100.0) == pytest.approx(apparent, abs=0.00006)


# ICUMSA SPS-4, evaluated by another program: kg/m³ at these °C, by °Bx.
TEMPERATURES_C = (0, 4, 10, 25, 30, 50)
BY_TEMPERATURE = {
    0: (999.840, 999.972, 999.699, 997.043, 995.645, 988.030),
    10: (1040.976, 1040.812, 1040.147, 1036.735, 1035.143, 1026.962),
    50: (1237.539, 1236.156, 1233.879, 1227.372, 1224.990, 1214.507),
    65: (1326.005, 1324.240, 1321.459, 1313.997, 1311.372, 1300.205),
    80: (1422.578, 1420.579, 1417.496, 1409.488, 1406.732, 1395.227),
}


@pytest.mark.parametrize("brix", BY_TEMPERATURE)
def test_the_sugar_trades_density_by_temperature(brix: int) -> None:
    for t_c, density in zip(TEMPERATURES_C, BY_TEMPERATURE[brix], strict=True):
        assert kg_per_m3(brix, t_c) == pytest.approx(density, abs=SAME_FORMULA_KG_PER_M3), t_c


# CRC Handbook of Chemistry and Physics, 102nd ed., Concentrative Properties of Aqueous Solutions: sucrose, g/ml, 20 °C.
@pytest.mark.parametrize(("brix", "crc"), [(5, 1.0178), (10, 1.0381), (20, 1.0810), (30, 1.1270), (40, 1.1765)])
def test_the_handbook_to_40_bx(brix: float, crc: float) -> None:
    # Nothing but its fourth place: ±0.05 kg/m³.
    assert kg_per_m3(brix) == pytest.approx(1000.0 * crc, abs=0.05)


# The same table above 40 °Bx, and how far SPS-4 lies above it: the handbook keeps the older scale of Plato (NBS Circular
# 440), the standard of Emmerich replaced it. A real disagreement, under 0.04 %; each band is the difference ±0.05.
@pytest.mark.parametrize(
    ("brix", "crc", "above"), [(50, 1.2295, 0.15), (60, 1.2864, 0.21), (70, 1.3472, 0.28), (80, 1.4117, 0.50)]
)
def test_the_handbook_lies_lower_in_heavy_syrup(brix: float, crc: float, above: float) -> None:
    assert kg_per_m3(brix) - 1000.0 * crc == pytest.approx(above, abs=0.05)


# NBS Circular 440 (Bates 1942), weight of sugar solutions: pounds per US gallon in air at 20 °C.
@pytest.mark.parametrize(("brix", "pounds"), [(0.0, 8.322), (1.0, 8.354), (3.0, 8.419), (5.0, 8.486)])
def test_pounds_in_a_gallon(brix: float, pounds: float) -> None:
    # In air of 1.2 kg/m³ against weights of 8000; the third place is 0.12 kg/m³, the band is that place either way.
    reading = (kg_per_m3(brix) - 1.2) / (1.0 - 1.2 / 8000.0)
    assert reading * 3.785411784e-3 / 0.45359237 == pytest.approx(pounds, abs=0.001)


# ICUMSA SPS-4, worked by another program: sugar to water by weight, g sugar in 100 ml, ml from 100 g sugar.
@pytest.mark.parametrize(
    ("sugar", "water", "g_per_100_ml", "ml_from_100_g"), [(1.0, 1.0, 61.48, 162.65), (2.0, 1.0, 88.45, 113.06)]
)
def test_bar_syrups_by_weight(sugar: float, water: float, g_per_100_ml: float, ml_from_100_g: float) -> None:
    w = sugar / (sugar + water)
    assert 100.0 * w * density_g_per_ml(w) == pytest.approx(g_per_100_ml, abs=0.006)
    assert 100.0 / w / density_g_per_ml(w) == pytest.approx(ml_from_100_g, abs=0.006)


# CRC Handbook 102nd ed., same table: other sugars, g/ml at 20 °C by % mass, taken here at the volume of sucrose.
@pytest.mark.parametrize(
    ("sugar", "mass_pct", "crc"),
    [
        ("glucose", 10, 1.0375),
        ("glucose", 30, 1.1246),
        ("fructose", 10, 1.0385),
        ("fructose", 30, 1.1276),
        ("lactose", 10, 1.0390),
        ("maltose", 10, 1.0385),
        ("maltose", 30, 1.1269),
    ],
)
def test_other_sugars_fill_nearly_what_sucrose_fills(sugar: str, mass_pct: float, crc: float) -> None:
    # Glucose is the farthest: 0.622 against 0.617 ml/g at 10 %, 0.627 against 0.620 at 30 %, which is 0.22 % of density.
    assert density_g_per_ml(mass_pct / 100.0) == pytest.approx(crc, rel=0.0025), sugar


# Bubnik & Kadlec, in Mathlouthi & Reiser, Sucrose (1995), evaluated by another program: % mass.
@pytest.mark.parametrize(("t_c", "pct"), [(0, 64.45), (4, 64.80), (20, 66.72), (25, 67.47)])
def test_how_much_sugar_water_holds(t_c: float, pct: float) -> None:
    assert 100.0 * saturation_mass_fraction(t_c) == pytest.approx(pct, abs=0.006)


@pytest.mark.parametrize("t_c", [0.0, 10.0, 20.0, 30.0, 40.0])
def test_a_second_solubility_curve(t_c: float) -> None:
    # Charles, Int. Sugar J. 62 (1960) 126, from memory. The two fits part by up to 0.13 % to 40 °C; measurements scatter more.
    charles = 64.397 + 0.07251 * t_c + 0.0020569 * t_c**2 - 9.035e-6 * t_c**3
    assert 100.0 * saturation_mass_fraction(t_c) == pytest.approx(charles, abs=0.2)
