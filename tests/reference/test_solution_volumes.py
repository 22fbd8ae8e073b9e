"""Acids and salt at one apparent volume each, against measured densities."""

import pytest

from station.science.acid import ACIDS
from station.science.electrolyte import SALT_ML_PER_G, SALT_MOLAR_MASS
from station.science.ethanol import WATER_G_PER_ML


def density(mass_pct: float, ml_per_g: float) -> float:
    w = mass_pct / 100.0
    return 1.0 / ((1.0 - w) / WATER_G_PER_ML + w * ml_per_g)


# CRC Handbook of Chemistry and Physics, 102nd ed., Concentrative Properties of Aqueous Solutions: g/ml at 20 °C by % mass.
# To drink strength one volume is as good as the table, 0.05 %; phosphoric acid under 2 % takes least room.
@pytest.mark.parametrize(
    ("name", "mass_pct", "crc"),
    [
        ("citric", 1, 1.0022),
        ("citric", 5, 1.0189),
        ("lactic", 1, 1.0002),
        ("lactic", 5, 1.0086),
        ("phosphoric", 1, 1.0038),
        ("phosphoric", 5, 1.0254),
        ("acetic", 1, 0.9996),
        ("acetic", 5, 1.0052),
    ],
)
def test_an_acid_at_drink_strength(name: str, mass_pct: float, crc: float) -> None:
    assert density(mass_pct, ACIDS[name].ml_per_g) == pytest.approx(crc, rel=0.0005)


# Same table. In a stock the volume has grown or shrunk by 0.003 to 0.007 ml/g: up to 0.25 %.
@pytest.mark.parametrize(
    ("name", "mass_pct", "crc"),
    [
        ("citric", 20, 1.0858),
        ("citric", 30, 1.1346),
        ("lactic", 20, 1.0439),
        ("phosphoric", 20, 1.1135),
        ("phosphoric", 30, 1.1804),
        ("acetic", 20, 1.0250),
    ],
)
def test_an_acid_at_stock_strength(name: str, mass_pct: float, crc: float) -> None:
    assert density(mass_pct, ACIDS[name].ml_per_g) == pytest.approx(crc, rel=0.0025)


# The apparent volume worked by another program from the 10 % row of that table, ml/g.
@pytest.mark.parametrize(
    ("name", "ml_per_g"), [("citric", 0.5973), ("lactic", 0.7887), ("phosphoric", 0.4796), ("acetic", 0.8642)]
)
def test_the_volume_at_ten_per_cent(name: str, ml_per_g: float) -> None:
    assert ACIDS[name].ml_per_g == pytest.approx(ml_per_g, abs=0.0001)


# No published density at hand: the apparent molar volumes from memory, cm³/mol, over the molar masses.
@pytest.mark.parametrize(
    ("name", "ml_per_g"), [("malic", 0.6160), ("tartaric", 0.5563), ("ascorbic", 0.6018), ("succinic", 0.7020)]
)
def test_the_volumes_taken_as_remembered(name: str, ml_per_g: float) -> None:
    assert ACIDS[name].ml_per_g == pytest.approx(ml_per_g, abs=0.0001)


def test_tartaric_at_ten_per_cent() -> None:
    # An older CRC Handbook, from memory: 1.045 g/ml. Three places are ±0.0005.
    assert density(10.0, ACIDS["tartaric"].ml_per_g) == pytest.approx(1.045, abs=0.0006)


# CRC Handbook 102nd ed., same table: sodium chloride. A salt's volume grows from 0.295 ml/g at 1 % to 0.349 at 20 %.
@pytest.mark.parametrize(("mass_pct", "crc", "within"), [(1, 1.0053, 0.0005), (5, 1.0340, 0.001), (20, 1.1478, 0.006)])
def test_saline(mass_pct: float, crc: float, within: float) -> None:
    assert density(mass_pct, SALT_ML_PER_G) == pytest.approx(crc, rel=within)


def test_a_mole_of_salt() -> None:
    # IUPAC abridged atomic weights: Na 22.990, Cl 35.45.
    assert pytest.approx(22.990 + 35.45, abs=0.005) == SALT_MOLAR_MASS
