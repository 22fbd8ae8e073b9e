"""How much acid dissolves, and the solubility of cream of tartar, against published figures."""

import math

import pytest

from station.science.electrolyte import davies, ph, species
from station.science.solubility import BITARTRATE_MOLAR_MASS, bitartrate_g_per_l, bitartrate_saturation, solubility_g_per_100_g


# % by mass of anhydrous citric acid in its saturated solution, as printed in handbooks; 162 g/100 g at 25 °C from memory.
@pytest.mark.parametrize(("t_c", "pct"), [(10.0, 54.0), (20.0, 59.2), (30.0, 64.3), (40.0, 68.6)])
def test_citric_acid(t_c: float, pct: float) -> None:
    grams = solubility_g_per_100_g("citric", t_c)
    assert 100.0 * grams / (100.0 + grams) == pytest.approx(pct, abs=0.01)


def test_citric_acid_between_the_printed_temperatures() -> None:
    assert solubility_g_per_100_g("citric", 25.0) == pytest.approx(162.0, rel=0.01)


def test_citric_acid_in_the_cold_follows_the_trend() -> None:
    # 96 g at 0 °C is from memory: the logarithm of the printed 10 and 20 °C figures, carried on, gives 95.
    at_10, at_20 = (math.log(solubility_g_per_100_g("citric", t_c)) for t_c in (10.0, 20.0))
    assert solubility_g_per_100_g("citric", 0.0) == pytest.approx(math.exp(2.0 * at_10 - at_20), rel=0.02)


# Apelblat et al., J. Chem. Thermodynamics 27 (1995) 35: DL-malic acid, ln m = -113.096 + 3707.6/T + 18.075 ln T, m in mol/kg.
@pytest.mark.parametrize("t_c", [0.0, 4.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0])
def test_malic_acid(t_c: float) -> None:
    t = t_c + 273.15
    molality = math.exp(-113.096 + 3707.6 / t + 18.075 * math.log(t))
    # The table's mass % have one decimal: 0.2 % of the mass dissolved.
    assert solubility_g_per_100_g("malic", t_c) == pytest.approx(0.1 * 134.087 * molality, rel=0.004)


def test_malic_acid_by_other_tables() -> None:
    # 126 g at 20 °C and 144 at 26, of DL-malic, from memory; they lie 1 and 4 % higher.
    assert solubility_g_per_100_g("malic", 20.0) == pytest.approx(126.0, rel=0.02)
    assert solubility_g_per_100_g("malic", 26.0) == pytest.approx(144.0, rel=0.05)


def test_tartaric_acid_is_disputed() -> None:
    # 139 g is printed for 20 °C in one table and for 25 °C in another (a data book of food additives): 6 % between them.
    assert solubility_g_per_100_g("tartaric", 20.0) == pytest.approx(139.0)
    assert solubility_g_per_100_g("tartaric", 25.0) == pytest.approx(139.0, rel=0.07)


def test_succinic_acid_at_the_freezing_point() -> None:
    # 2.8 g per 100 g of water at 0 °C, encyclopaedias; 5.8 to 8 g for room temperature.
    assert solubility_g_per_100_g("succinic", 0.0) == pytest.approx(2.8, abs=0.06)
    assert 5.8 < solubility_g_per_100_g("succinic", 20.0) < 8.0


def test_succinic_acid_by_its_heat_of_solution() -> None:
    # 28.7 kJ/mol at 25 °C (Apelblat, J. Chem. Thermodynamics 18 (1986) 351), van 't Hoff over 0 to 25 °C.
    grown = math.log(solubility_g_per_100_g("succinic", 25.0) / solubility_g_per_100_g("succinic", 0.0))
    assert 8.314 * grown / (1.0 / 273.15 - 1.0 / 298.15) == pytest.approx(28700.0, rel=0.06)


def test_the_handbooks_dissolve_more_cream_of_tartar() -> None:
    # 0.57 g/100 ml at 20 °C is printed everywhere; Berg & Keefer's 4.92 g/l is 14 % lower. The warning comes the sooner for it.
    assert bitartrate_g_per_l(20.0) / 5.7 == pytest.approx(0.863, abs=0.001)


def test_the_ph_standard_dissolves_more_too() -> None:
    # 0.0341 mol/kg at 25 °C (IUPAC 2002, from memory), 6.42 g. Five degrees above the table its last step carries on to 5.7.
    carried_on = bitartrate_g_per_l(20.0) + (bitartrate_g_per_l(20.0) - bitartrate_g_per_l(15.0))
    assert carried_on / (0.0341 * BITARTRATE_MOLAR_MASS) == pytest.approx(0.88, abs=0.02)


def test_the_standard_chilled_throws_crystals() -> None:
    at = ph({"tartaric": 0.0341}, 0.0341)
    assert bitartrate_saturation(0.0341, 0.0341, at, 20.0) == pytest.approx(1.63, abs=0.02)
    assert bitartrate_saturation(0.0341, 0.0341, at, 0.0) == pytest.approx(7.05, abs=0.05)


def test_the_activity_product_of_cream_of_tartar() -> None:
    # Textbooks print solubility products of 3e-4 to 6e-4 at 20 to 25 °C (3.8e-4, from memory); the standard gives 5.3e-4.
    at = ph({"tartaric": 0.0341}, 0.0341)
    product = 0.0341**2 * species("tartaric", at.ph, at.ionic_strength)[1] * davies(at.ionic_strength) ** 2
    assert product == pytest.approx(5.32e-4, rel=0.005)


# A middling white wine, from memory: 12 % ABV, pH 3.1 to 3.5, tartaric acid 3 g/l, potassium 0.9 g/l. Most young wine is
# supersaturated and throws crystals in the cold unless it has been stabilised (Berg & Keefer 1958).
def test_wine_in_the_cold_can_throw_crystals() -> None:
    tartaric, potassium = 3.0 / 150.087, 0.9 / 39.098
    at = ph({"tartaric": tartaric, "malic": 0.02, "lactic": 0.005}, potassium)
    assert at.ph == pytest.approx(3.3, abs=0.2)
    assert bitartrate_saturation(tartaric, potassium, at, 4.0, 12.0) > 2.0
    assert bitartrate_saturation(tartaric, potassium, at, 20.0, 0.0) < 1.0
