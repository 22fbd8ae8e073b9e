"""Freezing points against published tables.

Sources: CRC Handbook of Chemistry and Physics, 102nd ed. (2021), "Concentrative Properties of Aqueous Solutions", rows that the
curves are not laid through; Melinder, Properties of Secondary Working Fluids (2010), as evaluated by CoolProp 8 (INCOMP::MEA).
"""

from __future__ import annotations

import pytest

from station.science import ethanol
from station.science.freezing import freezing_c


def of(solute: str, percent: float) -> float:
    return freezing_c({"water": 100.0 - percent, solute: percent})


# 0.12 K: what a monotone curve through every fourth to eighth per cent leaves of the table (largest at 50 % by mass).
@pytest.mark.parametrize(
    ("percent", "known"),
    [(1, -0.4), (2, -0.81), (8, -3.47), (16, -8.01), (20, -10.92), (24, -14.47), (28, -18.43), (38, -27.62), (50, -37.67)],
)
def test_ethanol_by_the_crc_handbook(percent: float, known: float) -> None:
    assert of("ethanol", percent) == pytest.approx(known, abs=0.12)


# By the second source, at % vol. The two sources differ from one another by up to 0.4 K.
@pytest.mark.parametrize(
    ("abv", "known"), [(10, -3.38), (15, -5.55), (20, -8.23), (25, -11.43), (30, -15.09), (35, -19.1), (40, -23.3), (50, -31.65)]
)
def test_ethanol_by_melinder(abv: float, known: float) -> None:
    assert of("ethanol", 100.0 * ethanol.mass_fraction(abv)) == pytest.approx(known, abs=0.45)


def test_a_rounded_table_is_no_better_than_its_rounding() -> None:
    # A table for engineers, converted from whole degrees Fahrenheit, has -9 °C at 20 % vol: both sources here say -8.2.
    assert of("ethanol", 100.0 * ethanol.mass_fraction(20.0)) == pytest.approx(-8.2, abs=0.1)


# 0.035 K: the table's own rounding is 0.005, the rest is the curve between rows ten per cent apart.
@pytest.mark.parametrize(
    ("solute", "percent", "known"),
    [
        *(("sucrose", 5, -0.29), ("sucrose", 15, -1.01), ("sucrose", 26, -2.12), ("sucrose", 40, -4.45)),
        *(("glucose", 5, -0.55), ("glucose", 15, -1.88), ("glucose", 26, -3.90)),
        *(("citric", 5, -0.54), ("citric", 16, -1.95), ("citric", 26, -3.55)),
        *(("salt", 2, -1.19), ("salt", 8, -5.08), ("salt", 18, -14.04)),
    ],
)
def test_other_solutes_by_the_crc_handbook(solute: str, percent: float, known: float) -> None:
    assert of(solute, percent) == pytest.approx(known, abs=0.035)


# Fructose has a table of its own there; taking it as glucose misses that by what the docstring says.
@pytest.mark.parametrize(("percent", "known"), [(5, -0.54), (10, -1.16), (20, -2.64), (26, -3.82)])
def test_fructose_counts_as_glucose(percent: float, known: float) -> None:
    assert of("fructose", percent) == pytest.approx(known, abs=0.09)


# The cryoscopic constant of water is 1.86 K kg/mol (CRC Handbook); at 1 % a curve laid through 0 and 10 % is 3 % under it.
@pytest.mark.parametrize(("solute", "molar_mass"), [("ethanol", 46.07), ("sucrose", 342.3), ("glucose", 180.16)])
def test_dilute_solutions_obey_the_cryoscopic_constant(solute: str, molar_mass: float) -> None:
    assert of(solute, 1.0) == pytest.approx(-1.86 * 1000.0 * 1.0 / 99.0 / molar_mass, rel=0.04)
