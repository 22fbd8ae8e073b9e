"""pH of standard buffers and plain solutions, against published values and other programs' arithmetic."""

import pytest

from station.science.electrolyte import ph
from station.science.titration import moles

# Primary pH standards at 25 °C: mol/kg of acid and of strong cation, the value, and how far the model lies from it. Potassium
# dihydrogen citrate: Staples & Bates, J. Res. NBS 73A (1969) 37. Saturated potassium hydrogen tartrate and the phosphates:
# IUPAC Recommendations 2002 (Buck et al., Pure Appl. Chem. 74, 2169), from memory.
STANDARDS = [
    ("potassium dihydrogen citrate 0.05", {"citric": 0.05}, 0.05, 3.776, -0.007),
    ("potassium hydrogen tartrate, saturated", {"tartaric": 0.0341}, 0.0341, 3.557, -0.002),
    ("phosphate 0.025 + 0.025", {"phosphoric": 0.05}, 0.075, 6.865, 0.012),
    ("phosphate 0.008695 + 0.03043", {"phosphoric": 0.039125}, 0.069555, 7.413, 0.008),
]


@pytest.mark.parametrize(
    ("acids", "cation", "published", "miss"), [row[1:] for row in STANDARDS], ids=[row[0] for row in STANDARDS]
)
def test_the_standard_buffers(acids: dict[str, float], cation: float, published: float, miss: float) -> None:
    found = ph(acids, cation).ph
    assert found == pytest.approx(published, abs=0.02)
    assert found - published == pytest.approx(miss, abs=0.001)


@pytest.mark.parametrize(("acids", "cation", "published"), [row[1:4] for row in STANDARDS], ids=[row[0] for row in STANDARDS])
def test_without_activity_no_buffer_comes_out(acids: dict[str, float], cation: float, published: float) -> None:
    assert 0.15 < ph(acids, cation, activity=False).ph - published < 0.35


# Arithmetic: the same constants by two other programs, one ideal (pHcalc 0.2.0), one with Davies activities: mol/l, pH.
PLAIN = [
    ("citric", 0.001, 3.2336, 3.2373),
    ("citric", 0.01, 2.6200, 2.6227),
    ("citric", 0.1, 2.0818, 2.0835),
    ("citric", 0.25, 1.8763, 1.8776),
    ("malic", 0.01, 2.7679, 2.7695),
    ("malic", 0.1, 2.2417, 2.2426),
    ("tartaric", 0.01, 2.5767, 2.5793),
    ("tartaric", 0.1, 2.0368, 2.0383),
    ("lactic", 0.01, 2.9555, 2.9565),
    ("lactic", 0.1, 2.4381, 2.4386),
    ("acetic", 0.01, 3.3871, 3.3873),
    ("acetic", 0.1, 2.8809, 2.8810),
    ("phosphoric", 0.01, 2.2521, 2.2663),
    ("phosphoric", 0.1, 1.6317, 1.6414),
    ("succinic", 0.01, 3.1193, 3.1197),
    ("succinic", 0.1, 2.6085, 2.6087),
    ("ascorbic", 0.01, 3.0407, 3.0415),
    ("ascorbic", 0.1, 2.5266, 2.5270),
]


@pytest.mark.parametrize(("name", "mol", "ideal", "real"), PLAIN)
def test_plain_acids_in_water(name: str, mol: float, ideal: float, real: float) -> None:
    assert ph({name: mol}, activity=False).ph == pytest.approx(ideal, abs=0.001)
    assert ph({name: mol}).ph == pytest.approx(real, abs=0.001)


@pytest.mark.parametrize(
    ("cation", "ideal", "real", "strength"),
    [(0.05, 3.1127, 3.0195, 0.05276), (0.1, 3.9451, 3.7224, 0.11471), (0.2, 5.5801, 5.0430, 0.31494)],
)
def test_citric_acid_part_neutralised(cation: float, ideal: float, real: float, strength: float) -> None:
    assert ph({"citric": 0.1}, cation, activity=False).ph == pytest.approx(ideal, abs=0.001)
    found = ph({"citric": 0.1}, cation)
    assert found.ph == pytest.approx(real, abs=0.001)
    assert found.ionic_strength == pytest.approx(strength, abs=0.00001)


@pytest.mark.parametrize(
    ("grams", "cation", "real"),
    [
        ({"citric": 10.0}, 0.0, 2.2324),
        ({"malic": 10.0}, 0.0, 2.3083),
        ({"tartaric": 10.0}, 0.0, 2.1309),
        ({"lactic": 10.0}, 0.0, 2.4155),
        ({"citric": 60.0}, 0.0, 1.8280),
        ({"citric": 40.0, "malic": 20.0}, 0.0, 1.8525),
        ({"citric": 48.0}, 0.0359, 2.3398),
    ],
)
def test_solutions_as_a_bar_makes_them(grams: dict[str, float], cation: float, real: float) -> None:
    assert ph(moles(grams), cation).ph == pytest.approx(real, abs=0.001)


# A supplier's data sheet for tartaric acid: mol/l, pH to two places. Its own constants (2.98 and 4.34) differ from ours.
@pytest.mark.parametrize(("mol", "published"), [(0.1, 2.01), (0.01, 2.55), (0.001, 3.18)])
def test_tartaric_acid_as_its_supplier_measures_it(mol: float, published: float) -> None:
    assert ph({"tartaric": mol}).ph == pytest.approx(published, abs=0.035)
