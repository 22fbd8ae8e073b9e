import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from station.science.acid import ACIDS
from station.science.electrolyte import OutOfRange, ph
from station.science.titration import (
    ImpossiblePair,
    base_per_g,
    buffered,
    equivalents,
    least_base,
    moles,
    stated_as_g,
    titratable,
    unbuffered,
)

names = st.sampled_from(list(ACIDS))
mixtures = st.dictionaries(names, st.floats(1e-3, 1.0), min_size=1, max_size=5)
weak = st.dictionaries(names, st.floats(1e-4, 0.01), min_size=1, max_size=5)
splits = st.dictionaries(names, st.floats(0.1, 1.0), min_size=1, max_size=4)
ends = st.sampled_from([7.0, 8.1, 8.2])
cations = st.floats(0.0, 0.2)
salts = st.sampled_from([0.0, 0.05, 4.0])


@given(weak, st.floats(0.0, 0.02), st.floats(0.0, 0.17), ends)
def test_so_much_base_brings_it_to_the_end_point(acids: dict[str, float], cation: float, salt: float, end: float) -> None:
    base = titratable(acids, cation, salt, end)
    assert ph(acids, cation + base, salt).ph == pytest.approx(end, abs=1e-6)


@given(mixtures, cations, salts, names, st.floats(1e-3, 0.5))
def test_more_acid_takes_more_base(acids: dict[str, float], cation: float, salt: float, name: str, more: float) -> None:
    assert titratable({**acids, name: acids.get(name, 0.0) + more}, cation, salt) > titratable(acids, cation, salt)


@given(mixtures, cations, salts, st.floats(1e-3, 0.5))
def test_a_mole_of_cation_is_a_mole_less_of_base(acids: dict[str, float], cation: float, salt: float, more: float) -> None:
    assert titratable(acids, cation + more, salt) == pytest.approx(titratable(acids, cation, salt) - more)


@given(mixtures, salts, st.floats(1.0, 50.0), ends)
def test_any_strength_is_titrated(acids: dict[str, float], salt: float, times: float, end: float) -> None:
    strong = {name: times * mol for name, mol in acids.items()}
    base = titratable(strong, 0.0, salt, end)
    # At the end point the water itself has taken 1.6e-6 mol/kg, more by the dilution of a strong saline.
    assert 0.0 < base <= sum(mol * len(ACIDS[name].pka) for name, mol in strong.items()) + 1e-4


def test_a_strong_solution_is_diluted_and_scaled_back() -> None:
    at_10_g, at_600_g = titratable(moles({"citric": 10.0})), titratable(moles({"citric": 600.0}))
    assert at_600_g == pytest.approx(60.0 * at_10_g, rel=1e-12)


def test_the_dilution_sets_in_without_a_step() -> None:
    below, above = titratable(moles({"citric": 9.9999})), titratable(moles({"citric": 10.0001}))
    assert above / below == pytest.approx(1.00002, abs=1e-6)
    less, more = titratable({"citric": 0.02}, 0.0, 0.17999), titratable({"citric": 0.02}, 0.0, 0.18001)
    assert more == pytest.approx(less, rel=1e-6)


@pytest.mark.parametrize(("grams", "rel"), [(1.0, 1e-12), (5.0, 1e-12), (0.1, 0.0012)])
def test_a_gram_of_citric_in_100_ml_titrates_as_a_gram(grams: float, rel: float) -> None:
    # Weaker solutions have less ionic strength, and a little more of the third proton is left at pH 8.2.
    assert stated_as_g(titratable(moles({"citric": 10.0 * grams}))) == pytest.approx(10.0 * grams, rel=rel)


liquids = st.tuples(mixtures, st.floats(0.0, 0.5), salts)


@given(liquids, liquids, st.floats(0.05, 0.95))
def test_titratable_acidity_adds_when_liquids_are_mixed(
    one: tuple[dict[str, float], float, float], other: tuple[dict[str, float], float, float], share: float
) -> None:
    (acids, cation, salt), (more_acids, more_cation, more_salt) = one, other
    cation *= sum(acids.values())
    more_cation *= sum(more_acids.values())
    mixed = {name: share * acids.get(name, 0.0) + (1.0 - share) * more_acids.get(name, 0.0) for name in acids | more_acids}
    together = titratable(mixed, share * cation + (1.0 - share) * more_cation, share * salt + (1.0 - share) * more_salt)
    apart = share * titratable(acids, cation, salt) + (1.0 - share) * titratable(more_acids, more_cation, more_salt)
    # Phosphoric acid's second proton is not all gone at pH 8.2, and how much is goes with the ionic strength.
    assert together == pytest.approx(apart, rel=0.03 if "phosphoric" in mixed else 0.01)


def test_phosphoric_acid_is_the_one_that_does_not_quite_add() -> None:
    in_water = titratable({"phosphoric": 0.001})
    in_salt = titratable({"phosphoric": 0.001}, salt_mol=0.18)
    assert 0.018 < in_salt / in_water - 1.0 < 0.02
    assert titratable({"malic": 0.001}, salt_mol=0.18) == pytest.approx(titratable({"malic": 0.001}), rel=0.001)


@given(names, ends, st.floats(0.01, 100.0))
def test_a_stated_acidity_goes_to_base_and_back(name: str, end: float, grams: float) -> None:
    assert stated_as_g(equivalents(grams, name, end), name, end) == pytest.approx(grams)


def test_an_acidity_in_tartaric_to_ph_7_stands_for_its_equivalents() -> None:
    # 6.5 g/l as tartaric, 150.087 g/mol, 1.999 protons by pH 7.0.
    assert equivalents(6.5, "tartaric", 7.0) == pytest.approx(6.5 / 150.087 * 1.999, rel=0.001)


@given(splits, st.floats(0.005, 2.0), ends)
def test_free_acid_takes_the_base_it_was_reckoned_from(split: dict[str, float], base: float, end: float) -> None:
    grams = unbuffered(base, split, end)
    whole = sum(split.values())
    acids = moles({name: grams * part / whole for name, part in split.items()})
    assert titratable(acids, end_ph=end) == pytest.approx(base, rel=1e-6)


@given(splits, st.floats(1.0, 60.0), st.floats(0.0, 0.7), st.sampled_from([0.0, 0.05]), ends)
def test_acid_and_cation_come_back_from_acidity_and_ph(
    split: dict[str, float], grams: float, share: float, salt: float, end: float
) -> None:
    whole = sum(split.values())
    acids = moles({name: grams * part / whole for name, part in split.items()})
    cation = share * sum(mol * ACIDS[name].protons for name, mol in acids.items())
    assume(cation + salt + sum(acids.values()) < 0.25)
    at = ph(acids, cation, salt)
    assume(at.ph < end - 0.5)
    found = buffered(titratable(acids, cation, salt, end), at.ph, split, salt, end)
    assert found.acid_g == pytest.approx(grams, rel=1e-6)
    assert found.cation_mol == pytest.approx(cation, rel=1e-6, abs=1e-8)


@given(splits, st.floats(0.02, 1.0))
def test_a_ph_under_that_of_the_acid_alone_is_impossible(split: dict[str, float], base: float) -> None:
    lowest = 0.0
    with pytest.raises(ImpossiblePair) as refused:
        buffered(base, lowest, split)
    lowest = refused.value.lowest_ph
    assert buffered(base, lowest + 1e-6, split).cation_mol == pytest.approx(0.0, abs=1e-5)
    with pytest.raises(ImpossiblePair, match=f"from {lowest:.2f}"):
        buffered(base, lowest - 0.01, split)


@given(splits, st.floats(1.8, 4.0))
def test_the_least_acidity_at_a_ph_is_that_of_the_acid_alone(split: dict[str, float], at_ph: float) -> None:
    least = least_base(at_ph, split)
    assert buffered(least * 1.001, at_ph, split).cation_mol == pytest.approx(0.0, abs=0.01 * least)
    with pytest.raises(ImpossiblePair):
        buffered(least * 0.99, at_ph, split)


@pytest.mark.parametrize("at_ph", [8.2, 9.0])
def test_at_the_end_point_there_is_no_acidity_left(at_ph: float) -> None:
    with pytest.raises(ImpossiblePair) as refused:
        buffered(0.1, at_ph, {"citric": 1.0})
    assert refused.value.end_ph == 8.2


def test_more_buffer_than_the_model_holds_is_out_of_range() -> None:
    with pytest.raises(OutOfRange):
        buffered(1.0, 5.0, {"citric": 1.0})


def test_an_unknown_acid_is_refused() -> None:
    with pytest.raises(KeyError, match="oxalic"):
        moles({"oxalic": 1.0})
    with pytest.raises(KeyError, match="oxalic"):
        base_per_g("oxalic")
