"""What base the acids take, against the factors of the official methods."""

import math

import pytest

from station.science.acid import ACIDS, CITRIC_MONOHYDRATE_FACTOR, CITRIC_PER_G, as_citric_g, equivalent_weight

# IUPAC/CIAAW abridged atomic weights.
CARBON, HYDROGEN, OXYGEN, PHOSPHORUS = 12.011, 1.008, 15.999, 30.974


@pytest.mark.parametrize(
    ("name", "carbon", "hydrogen", "oxygen", "phosphorus"),
    [
        ("citric", 6, 8, 7, 0),
        ("malic", 4, 6, 5, 0),
        ("tartaric", 4, 6, 6, 0),
        ("lactic", 3, 6, 3, 0),
        ("phosphoric", 0, 3, 4, 1),
        ("ascorbic", 6, 8, 6, 0),
        ("acetic", 2, 4, 2, 0),
        ("succinic", 4, 6, 4, 0),
    ],
)
def test_a_mole_of_acid(name: str, carbon: int, hydrogen: int, oxygen: int, phosphorus: int) -> None:
    from_its_atoms = carbon * CARBON + hydrogen * HYDROGEN + oxygen * OXYGEN + phosphorus * PHOSPHORUS
    assert ACIDS[name].molar_mass == pytest.approx(from_its_atoms, abs=0.0015)


# AOAC Official Method 942.15, acidity of fruit products: grams of acid per ml of 1 M base, printed to three places.
@pytest.mark.parametrize(("name", "factor"), [("malic", 0.067), ("tartaric", 0.075), ("acetic", 0.060), ("lactic", 0.090)])
def test_the_official_factors(name: str, factor: float) -> None:
    assert round(equivalent_weight(name) / 1000.0, 3) == factor


def test_the_official_citric_factor_is_for_the_monohydrate() -> None:
    # AOAC 942.15 prints 0.070 for citric acid: the monohydrate. The juice trade's 0.064 is the anhydrous acid.
    anhydrous = equivalent_weight("citric") / 1000.0
    assert round(anhydrous * CITRIC_MONOHYDRATE_FACTOR, 3) == 0.070
    assert round(anhydrous, 3) == 0.064


# IFU 3 (rev. 2017), titratable acidity: grams of the acid that equal one gram of anhydrous citric, to three places.
@pytest.mark.parametrize(("name", "factor"), [("malic", 1.047), ("tartaric", 1.172)])
def test_the_juice_trades_conversions(name: str, factor: float) -> None:
    assert 1.0 / CITRIC_PER_G[name] == pytest.approx(factor, rel=0.001)
    assert as_citric_g(name, factor) == pytest.approx(1.0, rel=0.001)


def test_the_juice_trades_conversion_of_the_monohydrate() -> None:
    # IFU 3 (rev. 2017): 1.094; from the molar masses 210.139 / 192.124 = 1.09377.
    assert pytest.approx(1.094, rel=0.001) == CITRIC_MONOHYDRATE_FACTOR
    assert pytest.approx(210.139 / 192.124, abs=1e-6) == CITRIC_MONOHYDRATE_FACTOR


# By molar mass and protons, worked by another program: grams as citric per gram, to five places.
@pytest.mark.parametrize(
    ("name", "citric"),
    [
        ("malic", 0.95522),
        ("tartaric", 0.85340),
        ("lactic", 0.71095),
        ("phosphoric", 1.30705),
        ("acetic", 1.06643),
        ("succinic", 1.08464),
    ],
)
def test_the_matrix_of_equivalents(name: str, citric: float) -> None:
    assert CITRIC_PER_G[name] == pytest.approx(citric, rel=1e-4)


def test_the_first_constant_of_citric_acid() -> None:
    # Bates & Pinching, J. Am. Chem. Soc. 71 (1949) 1274: ln K1 = -646.52280 + 14264.1855/T + 115.34510 ln T - 0.2204 T.
    t = 298.15
    ln_k1 = -646.52280 + 14264.1855 / t + 115.34510 * math.log(t) - 0.2204 * t
    assert ACIDS["citric"].pka[0] == pytest.approx(-ln_k1 / math.log(10.0), abs=0.001)


# Other published constants (CRC Handbook; IUPAC, Serjeant & Dempsey 1979; J. Chem. Soc. Dalton Trans. 1994, 2729). For one
# acid, authors part by up to 0.06.
@pytest.mark.parametrize(
    ("name", "published"),
    [
        ("citric", (3.13, 4.76, 6.40)),
        ("malic", (3.40, 5.11)),
        ("tartaric", (3.00, 4.36)),
        ("lactic", (3.86,)),
        ("phosphoric", (2.16, 7.21, 12.32)),
        ("acetic", (4.757,)),
        ("succinic", (4.206, 5.639)),
    ],
)
def test_other_published_constants(name: str, published: tuple[float, ...]) -> None:
    assert ACIDS[name].pka == pytest.approx(published, abs=0.06)


def test_the_constants_of_ascorbic_acid_are_the_disputed_ones() -> None:
    # Other handbooks print 4.10 and 4.17 for the first and 11.57 (from memory) for the second.
    first, second = ACIDS["ascorbic"].pka
    assert first == pytest.approx(4.10, abs=0.07)
    assert second == pytest.approx(11.57, abs=0.15)


# pH of 0.1 mol/l without activities by pHcalc 0.2.0, a general charge-balance program. For these the first constant decides.
@pytest.mark.parametrize(("name", "ph"), [("lactic", 2.4381), ("phosphoric", 1.6317), ("ascorbic", 2.5266), ("acetic", 2.8809)])
def test_the_first_constant_by_the_ph_it_makes(name: str, ph: float) -> None:
    k = 10.0 ** -ACIDS[name].pka[0]
    h = (-k + math.sqrt(k * k + 0.4 * k)) / 2.0
    assert -math.log10(h) == pytest.approx(ph, abs=0.0002)
