"""Titration to the end points of the official methods."""

import pytest

from station.science.acid import ACIDS, CITRIC_MONOHYDRATE_FACTOR, CITRIC_PER_G
from station.science.electrolyte import protons_lost
from station.science.titration import base_per_g, equivalents, moles, stated_as_g, titratable

# Protons gone at an end point, by another program: charge balance, Davies at I = 0.05 mol/kg, the same constants.
GONE = {
    7.0: {
        "citric": 2.914,
        "malic": 1.993,
        "tartaric": 1.999,
        "lactic": 0.9994,
        "acetic": 0.9953,
        "succinic": 1.977,
        "phosphoric": 1.533,
    },
    8.1: {"citric": 2.993, "malic": 1.9994, "phosphoric": 1.935},
    8.2: {"citric": 2.994, "phosphoric": 1.948},
}


@pytest.mark.parametrize(("end", "name", "gone"), [(end, *row) for end, rows in GONE.items() for row in rows.items()])
def test_protons_gone_at_the_end_point(end: float, name: str, gone: float) -> None:
    assert protons_lost(name, end, 0.05) == pytest.approx(gone, abs=0.0006)


# AOAC 942.15, g of acid per ml of 1 M base, to three places, by titration of the model to pH 8.1 instead of by counting protons.
@pytest.mark.parametrize(("name", "factor"), [("malic", 0.067), ("tartaric", 0.075), ("acetic", 0.060), ("lactic", 0.090)])
def test_the_official_factors_by_titration(name: str, factor: float) -> None:
    assert round(1.0 / base_per_g(name, 8.1) / 1000.0, 3) == factor


def test_the_official_citric_factor_by_titration_is_for_the_monohydrate() -> None:
    anhydrous = 1.0 / base_per_g("citric", 8.1) / 1000.0
    assert round(anhydrous * CITRIC_MONOHYDRATE_FACTOR, 3) == 0.070
    assert round(anhydrous, 3) == 0.064


def test_citric_by_a_method_that_stops_at_ph_7_reads_low() -> None:
    # IFU 3 stops at 7.0 for malic and tartaric and at 8.1 for citric; 2.914 of 3 protons, 3 % low, at I = 0.05. At 10 g/l the
    # ionic strength is 0.3 and the miss 1.5 %.
    assert base_per_g("citric", 7.0) / base_per_g("citric", 8.2) == pytest.approx(0.985, abs=0.002)


@pytest.mark.parametrize("name", [name for name in ACIDS if name != "phosphoric"])
def test_titration_agrees_with_counting_protons(name: str) -> None:
    # The counted factor takes all three of citric's protons; at pH 8.2 some 0.1 % of the third is left.
    assert base_per_g(name) / base_per_g("citric") == pytest.approx(CITRIC_PER_G[name], rel=0.002)


def test_phosphoric_acid_has_no_end_point_of_its_own() -> None:
    # Its second proton is half gone at pH 7.2: counted as two it is put 1.8 % too high at pH 8.2, and by a pH 7 method far lower.
    assert base_per_g("phosphoric") / base_per_g("citric") == pytest.approx(0.982 * CITRIC_PER_G["phosphoric"], rel=0.001)
    assert base_per_g("phosphoric", 7.0) / base_per_g("phosphoric", 8.2) == pytest.approx(0.82, abs=0.005)


def test_a_gram_of_citric_in_100_ml() -> None:
    # 1 g makes 100.4 ml of 99.8 g of water: 10.02 g/kg, as good as 10.
    assert stated_as_g(titratable(moles({"citric": 10.02}))) == pytest.approx(10.02, rel=0.001)


def test_wine_as_tartaric_to_ph_7_restated_as_citric() -> None:
    # 6.5 g/l as tartaric to pH 7.0 (OIV-MA-AS313-01, from memory) is 86.6 meq; as citric by equivalents 5.55 g/l.
    base = equivalents(6.5, "tartaric", 7.0)
    assert base == pytest.approx(0.0866, abs=0.0001)
    assert stated_as_g(base) == pytest.approx(6.5 * 64.041 / 75.043, rel=0.002)


# Common practice, no source: a teaspoon (4.93 ml) of 25 g of citric in 100 g of water is about the acid of 22 ml (3/4 fl oz) of
# lemon or lime juice. At 20 % it weighs 1.0858 g/ml (CRC Handbook 102nd ed.), so it holds 1.07 g. Juice, g/100 ml as citric:
# 4.5 (21 CFR 101.30, from memory), 4.8 (Penniston 2008, fresh), 6.0 (bar books, from memory), 6.5 (AIJN-type, from memory).
@pytest.mark.parametrize(("acidity", "juice_ml"), [(4.5, 23.8), (4.8, 22.3), (6.0, 17.8), (6.5, 16.5)])
def test_how_much_juice_a_teaspoon_of_citric_stands_for(acidity: float, juice_ml: float) -> None:
    citric_g = 4.929 * 1.0858 * 25.0 / 125.0
    found_ml = 100.0 * citric_g / acidity
    assert found_ml == pytest.approx(juice_ml, abs=0.05)
    # The rule holds for mild juice; for a sharp one the teaspoon is worth a quarter less juice than it says.
    assert 0.74 < found_ml / 22.2 < 1.08
