import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from station.science.acid import ACIDS
from station.science.electrolyte import (
    SALT_ML_PER_G,
    SALT_MOLAR_MASS,
    STRONGEST,
    TOO_STRONG,
    OutOfRange,
    cation_at,
    davies,
    ph,
    protons_lost,
    species,
)

names = st.sampled_from(list(ACIDS))
mixtures = st.dictionaries(names, st.floats(1e-4, 0.3), min_size=1, max_size=5)
bound_shares = st.floats(0.0, 0.9)
salts = st.sampled_from([0.0, 0.01, 0.1])


def binding(acids: dict[str, float], share: float) -> float:
    """Strong cation for a share of the protons that base takes by pH 8.2."""
    return share * sum(mol * ACIDS[name].protons for name, mol in acids.items())


@given(mixtures, bound_shares, salts)
def test_charges_balance_at_the_ph_found(acids: dict[str, float], share: float, salt: float) -> None:
    cation = binding(acids, share)
    assume(cation + salt + sum(acids.values()) < 0.2)
    found = ph(acids, cation, salt)
    gamma = davies(found.ionic_strength)
    hydrogen, hydroxide = 10.0**-found.ph / gamma, 10.0 ** (found.ph - 13.995) / gamma
    charged = {name: [mol * part for part in species(name, found.ph, found.ionic_strength)[1:]] for name, mol in acids.items()}
    anions = sum(z * mol for parts in charged.values() for z, mol in enumerate(parts, start=1))
    assert hydrogen + cation == pytest.approx(hydroxide + anions, rel=1e-9)
    squares = sum(z * z * mol for parts in charged.values() for z, mol in enumerate(parts, start=1))
    assert found.ionic_strength == pytest.approx(0.5 * (hydrogen + hydroxide + cation + 2.0 * salt + squares), abs=2e-12)


@given(mixtures, bound_shares, salts, st.booleans())
def test_the_cation_that_holds_a_ph_is_the_one_that_makes_it(
    acids: dict[str, float], share: float, salt: float, activity: bool
) -> None:
    cation = binding(acids, share)
    assume(cation + salt + sum(acids.values()) < 0.2)
    made = ph(acids, cation, salt, activity=activity)
    held = cation_at(made.ph, acids, salt, activity=activity)
    assert held.cation_mol == pytest.approx(cation, abs=1e-11)
    assert held.ionic_strength == pytest.approx(made.ionic_strength, abs=1e-10)


@given(mixtures, bound_shares, salts, names, st.floats(1e-4, 0.1))
def test_more_acid_lowers_the_ph(acids: dict[str, float], share: float, salt: float, name: str, more: float) -> None:
    cation = binding(acids, share)
    assume(cation + salt + sum(acids.values()) + more < 0.2)
    sharper = {**acids, name: acids.get(name, 0.0) + more}
    assert ph(sharper, cation, salt).ph < ph(acids, cation, salt).ph


@given(mixtures, bound_shares, salts, st.floats(1e-4, 0.1))
def test_more_strong_cation_raises_the_ph(acids: dict[str, float], share: float, salt: float, more: float) -> None:
    cation = binding(acids, share)
    assume(cation + salt + sum(acids.values()) + more < 0.2)
    assert ph(acids, cation + more, salt).ph > ph(acids, cation, salt).ph


def test_salt_makes_a_buffer_read_sourer() -> None:
    assert ph({"citric": 0.05}, 0.05, 0.1).ph < ph({"citric": 0.05}, 0.05).ph - 0.05


def test_salt_alone_and_water_alone_are_neutral() -> None:
    assert ph({}).ph == pytest.approx(13.995 / 2.0)
    assert ph({}, salt_mol=0.2).ph == pytest.approx(13.995 / 2.0)
    assert ph({}, salt_mol=0.2).ionic_strength == pytest.approx(0.2, abs=1e-6)


def test_strong_cation_without_acid_is_alkali() -> None:
    assert ph({}, 0.01, activity=False).ph == pytest.approx(13.995 - 2.0, abs=1e-6)


def test_a_trace_of_acid_is_found_as_well_as_a_lot() -> None:
    # 2.8 protons of each of 1e-9 mol on top of water's 1.006e-7: h² - 2.8e-9 h - 1.012e-14 = 0.
    assert ph({"citric": 1e-9}).ph == pytest.approx(6.9915, abs=0.0002)
    assert ph({"citric": 5.0}).ph == pytest.approx(1.2176, abs=0.0001)


@pytest.mark.parametrize(("cation", "salt"), [(0.0, 0.51), (0.6, 0.0), (0.3, 0.35)])
def test_above_its_limit_the_model_gives_a_reason_and_no_ph(cation: float, salt: float) -> None:
    with pytest.raises(OutOfRange) as refused:
        ph({"citric": 0.2}, cation, salt)
    assert refused.value.reason == TOO_STRONG
    with pytest.raises(OutOfRange):
        cation_at(5.5, {"citric": 0.3})


def test_just_under_its_limit_the_model_answers() -> None:
    assert STRONGEST - 0.01 < ph({}, salt_mol=0.495).ionic_strength < STRONGEST


def test_without_activities_there_is_no_limit() -> None:
    assert ph({"citric": 1.0}, 1.0, activity=False).ph == pytest.approx(3.945, abs=0.01)


def test_an_acid_that_is_not_there_changes_nothing() -> None:
    assert ph({"citric": 0.05, "malic": 0.0}, 0.03) == ph({"citric": 0.05}, 0.03)


def test_an_unknown_acid_is_refused() -> None:
    for ask in (lambda: ph({"oxalic": 0.1}), lambda: cation_at(3.0, {"oxalic": 0.1}), lambda: species("oxalic", 3.0, 0.0)):
        with pytest.raises(KeyError, match="oxalic"):
            ask()


@given(names, st.floats(0.0, 14.0), st.floats(0.0, STRONGEST))
def test_the_species_of_an_acid_are_all_of_it_and_carry_its_charge(name: str, at_ph: float, strength: float) -> None:
    parts = species(name, at_ph, strength)
    assert len(parts) == len(ACIDS[name].pka) + 1
    assert sum(parts) == pytest.approx(1.0)
    lost = sum(z * part for z, part in enumerate(parts))
    assert protons_lost(name, at_ph, strength) == pytest.approx(lost)


@given(names)
def test_at_its_first_constant_an_acid_is_half_gone(name: str) -> None:
    whole, once, *_ = species(name, ACIDS[name].pka[0], 0.0)
    assert whole == pytest.approx(once)


def test_activity_by_davies() -> None:
    # log γ = -0.509 (√I/(1+√I) - 0.3 I), by hand at 0.1: -0.509 (0.24025 - 0.03) = -0.10702.
    assert davies(0.0) == 1.0
    assert math.log10(davies(0.1)) == pytest.approx(-0.10702, abs=0.00001)
    assert davies(0.7) == davies(STRONGEST)


def test_salt_weighs_what_its_atoms_do_and_fills_a_third_of_it() -> None:
    assert pytest.approx(22.990 + 35.453, abs=0.002) == SALT_MOLAR_MASS
    assert 0.32 < SALT_ML_PER_G < 0.33
