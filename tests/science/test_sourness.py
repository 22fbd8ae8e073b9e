import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.acid import ACIDS
from station.science.electrolyte import ph
from station.science.sourness import CITRIC_PER_G_BY_MOLES, as_sour_as_citric_mol, sour_mol
from station.science.titration import moles

names = st.sampled_from(list(ACIDS))


@given(st.floats(1e-4, 2.0))
def test_citric_is_as_sour_as_itself(mol: float) -> None:
    acids = {"citric": mol}
    assert as_sour_as_citric_mol(acids, ph(acids)) == pytest.approx(mol, rel=1e-5)


@given(names, st.floats(1e-3, 0.5), st.floats(1e-3, 0.5))
def test_more_of_an_acid_is_sourer(name: str, mol: float, more: float) -> None:
    less_acid, more_acid = {name: mol}, {name: mol + more}
    assert sour_mol(more_acid, ph(more_acid)) > sour_mol(less_acid, ph(less_acid))


def test_cation_takes_the_sourness_away() -> None:
    acids = moles({"citric": 10.0})
    sourness = [as_sour_as_citric_mol(acids, ph(acids, cation)) for cation in (0.0, 0.05, 0.10, 0.14)]
    assert sourness == sorted(sourness, reverse=True)
    assert sourness[-1] < 0.5 * sourness[0]


def test_what_is_no_sourer_than_water_counts_for_nothing() -> None:
    assert as_sour_as_citric_mol({}, ph({})) == 0.0
    assert as_sour_as_citric_mol({}, ph({}, 0.01)) == 0.0


@pytest.mark.parametrize(("name", "last"), [("citric", 3), ("phosphoric", 2), ("ascorbic", 1), ("acetic", 1)])
def test_a_species_counts_while_it_has_a_proton_that_base_would_take(name: str, last: int) -> None:
    # Whole, all of it counts; at pH 8.2 next to nothing is left that does.
    acids = {name: 0.01}
    whole = sour_mol(acids, ph(acids))
    bound = sour_mol(acids, ph(acids, 0.01 * last))
    assert whole >= 0.01 * (1.0 - 1e-9) and bound < 0.002


@pytest.mark.parametrize("name", ACIDS)
def test_a_weak_acid_counts_by_its_molecules_and_its_hydrogen(name: str) -> None:
    acids = moles({name: 50.0})
    by_sourness = as_sour_as_citric_mol(acids, ph(acids)) * ACIDS["citric"].molar_mass / 50.0
    # Phosphoric acid is strong enough to count by its hydrogen too: 14 % more than by molecules alone.
    assert by_sourness == pytest.approx(CITRIC_PER_G_BY_MOLES[name], rel=0.15)
