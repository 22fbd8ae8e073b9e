"""A liquid titrated, its pH with the reason where there is none, its acids by kind."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from small_library import demo

from station.bar.composition import ACIDS, Composition
from station.calc.acidity import ESTIMATE, NO_ACID, TOO_LITTLE_WATER, acidity, ph_of, sour_as_citric_g, ta_g
from station.calc.balance import LEAST_ACID, balance
from station.science.acid import CITRIC_PER_G
from station.science.electrolyte import TOO_STRONG, ph
from station.science.titration import moles

quick = settings(max_examples=80, deadline=None)
liquids = st.builds(
    lambda water, sugar, acids, share, salt, ethanol: Composition.of(
        acids,
        water=water,
        sucrose=sugar,
        salt=salt,
        ethanol=ethanol,
        cation_mol=share * sum(mol for mol in moles(acids).values()),
    ),
    st.floats(20.0, 1000.0),
    st.floats(0.0, 500.0),
    st.dictionaries(st.sampled_from(ACIDS), st.floats(0.01, 30.0), min_size=1, max_size=5),
    st.floats(0.0, 0.8),
    st.one_of(st.just(0.0), st.floats(0.01, 40.0)),
    st.one_of(st.just(0.0), st.floats(0.1, 400.0)),
)


def of(name: str, grams: float) -> Composition:
    """So many grams of a demo item or stock."""
    return demo().stuff(name).per_g * grams


def a_gram_in_100_ml(acid: str) -> Composition:
    one = Composition.of({acid: 1.0})
    return one + Composition.of(water=(100.0 - one.volume_ml) * 0.998203)


def test_a_gram_of_citric_in_100_ml_titrates_as_a_gram() -> None:
    liquid = a_gram_in_100_ml("citric")
    assert liquid.volume_ml == pytest.approx(100.0, rel=1e-5)
    assert ta_g(liquid) == pytest.approx(1.0, rel=0.001)
    assert balance(liquid).acid_g_per_100ml == pytest.approx(1.0, rel=0.001)


@pytest.mark.parametrize("acid", [name for name in ACIDS if name != "phosphoric"])
def test_a_gram_of_any_acid_titrates_as_its_equivalents(acid: str) -> None:
    # M / protons, citric 64.041 g/eq; by pH 8.2 all but phosphoric have let go of every proton counted, within 0.2 %.
    assert ta_g(a_gram_in_100_ml(acid)) == pytest.approx(CITRIC_PER_G[acid], rel=0.002)
    assert ta_g(a_gram_in_100_ml(acid), acid) == pytest.approx(1.0, rel=0.001)


def test_phosphoric_by_itself_counts_less_than_its_two_protons() -> None:
    # pK2 is 7.198: by pH 8.2 base has taken 1.95 protons, not 2, and by pH 7.0 some 1.6: it has no one titratable acidity.
    liquid = a_gram_in_100_ml("phosphoric")
    assert ta_g(liquid) / CITRIC_PER_G["phosphoric"] == pytest.approx(0.982, abs=0.002)
    assert ta_g(liquid, "phosphoric") == pytest.approx(1.0, rel=0.001)
    assert ta_g(liquid, end_ph=7.0) / ta_g(liquid) == pytest.approx(0.82 / 0.985, abs=0.01)


DEMO_LIQUIDS = [
    *("lime-juice", "lemon-juice", "orange-juice", "apple-juice", "verjus", "dry-vermouth", "orange-sharp"),
    *("grapefruit-cordial", "pomegranate-syrup", "citric-25", "malic-20", "tartaric-20", "lactic-10", "lactic-acid-88"),
    *("saline-20", "syrup-2-1", "rum-light", "cider-vinegar", "citric-acid"),
]


@given(st.lists(st.tuples(st.sampled_from(DEMO_LIQUIDS), st.floats(0.1, 500.0)), min_size=2, max_size=6))
@quick
def test_the_acidity_of_a_blend_is_that_of_what_went_in(blend: list[tuple[str, float]]) -> None:
    parts = [of(name, grams) for name, grams in blend]
    whole = Composition.total(parts)
    # In less acid than a ratio is shown for, the base the water itself takes to pH 8.2 (2 µmol/kg, more in saline) tells.
    assume(sum(map(ta_g, parts)) >= LEAST_ACID * whole.volume_ml / 100.0)
    assert ta_g(whole) == pytest.approx(sum(map(ta_g, parts)), rel=0.01)


def test_phosphoric_adds_only_within_a_few_percent() -> None:
    # Part of its second proton is left at pH 8.2, the less of it the more salt is about: by 1.9 % from water to 0.18 mol/kg.
    acid = Composition.of(phosphoric=0.2, water=999.8)
    alone, salted = ta_g(acid), ta_g(acid + Composition.of(water=1000.0, salt=21.0))
    assert 0.012 < salted / alone - 1.0 < 0.03
    citric = Composition.of(citric=0.2, water=999.8)
    # Of citric's third proton a hair is left as well, in so thin a solution.
    assert abs(ta_g(citric + Composition.of(water=1000.0, salt=21.0)) / ta_g(citric) - 1.0) < 0.005


@given(liquids, st.floats(0.01, 100.0))
@quick
def test_twice_as_much_takes_twice_the_base_and_has_the_same_ph(liquid: Composition, factor: float) -> None:
    one, more = acidity(liquid), acidity(liquid * factor)
    assert more.ta_g == pytest.approx(factor * one.ta_g, rel=1e-6, abs=1e-9)
    assert more.ph == (None if one.ph is None else pytest.approx(one.ph, abs=1e-7))
    assert more.ph_note == one.ph_note


@given(liquids)
@quick
def test_every_figure_is_a_number_or_none_with_its_reason(liquid: Composition) -> None:
    found = balance(liquid)
    assert all(value is None or math.isfinite(value) for value in found.figures.values())
    assert found.acid_g_per_100ml is not None and found.acid_g_per_100ml >= 0.0
    if found.ph is None:
        assert found.ph_note in {NO_ACID, TOO_LITTLE_WATER, TOO_STRONG}
    else:
        assert 0.5 < found.ph < 9.0
        assert found.ph_note in {"", ESTIMATE}


def test_water_syrup_saline_and_spirit_take_no_base() -> None:
    for name in ("water", "syrup-2-1", "saline-20", "rum-light", "honey"):
        assert ta_g(of(name, 100.0)) == 0.0


# What is too strong or too dry for the model is titrated diluted, as in the laboratory, and scaled back.
@pytest.mark.parametrize("grams", [0.001, 1.0, 1000.0])
def test_dry_citric_titrates_as_itself(grams: float) -> None:
    assert ta_g(Composition.of(citric=grams)) == pytest.approx(grams, rel=1e-9)


def test_concentrates_and_salted_acid_titrate_as_their_acid() -> None:
    assert ta_g(of("lactic-acid-88", 100.0)) == pytest.approx(88.0 * CITRIC_PER_G["lactic"], rel=0.002)
    assert ta_g(of("lactic-acid-88", 100.0)) == pytest.approx(8.8 * ta_g(of("lactic-10", 100.0)), rel=0.002)
    assert ta_g(Composition.of(citric=1.0, water=80.0, salt=20.0)) == pytest.approx(1.0, rel=0.01)
    assert ta_g(of("pomegranate-syrup", 100.0)) == pytest.approx(ta_g(of("pomegranate-juice", 50.0)), rel=0.002)


def test_acid_bound_by_cation_takes_no_base() -> None:
    bound = Composition.of(citric=1.92124, water=1000.0, cation_mol=0.03)
    assert ta_g(bound) == pytest.approx(0.0, abs=0.005)
    assert ta_g(Composition.of(citric=1.92124, water=1000.0, cation_mol=0.2)) == 0.0


@pytest.mark.parametrize(
    ("liquid", "reason"),
    [
        (of("saline-20", 100.0), NO_ACID),
        (of("syrup-1-1", 100.0), NO_ACID),
        (of("rum-light", 100.0), NO_ACID),
        (of("water", 100.0), NO_ACID),
        (of("citric-acid", 100.0), TOO_LITTLE_WATER),
        (of("lactic-acid-88", 100.0), TOO_LITTLE_WATER),
        (of("pomegranate-syrup", 100.0), TOO_LITTLE_WATER),
        (Composition.of(ethanol=60.0, water=40.0, citric=0.2), TOO_LITTLE_WATER),
        (of("saline-20", 100.0) + of("citric-25", 5.0), TOO_STRONG),
    ],
    ids=["saline", "syrup", "spirit", "water", "dry acid", "concentrate", "sour syrup", "sour spirit", "sour saline"],
)
def test_where_there_is_no_ph_the_reason_is_said(liquid: Composition, reason: str) -> None:
    found = balance(liquid)
    assert (found.ph, found.ph_note) == (None, reason)
    assert sour_as_citric_g(liquid) is None


# At 10 % ABV a pH is one; above, an estimate to 0.1, since no constant here is for alcohol.
@pytest.mark.parametrize(("abv_pct", "note"), [(None, ""), (0.0, ""), (10.0, ""), (10.01, ESTIMATE), (40.0, ESTIMATE)])
def test_above_ten_percent_alcohol_it_is_an_estimate(abv_pct: float | None, note: str) -> None:
    value, said = ph_of(of("lime-juice", 100.0), abv_pct)
    assert value == pytest.approx(2.35, abs=1e-6)
    assert said == note


def test_a_drink_of_12_percent_says_its_ph_is_an_estimate() -> None:
    weak, strong = (of("lime-juice", 30.0) + of("rum-light", grams) + of("water", 100.0) for grams in (20.0, 60.0))
    assert balance(weak).ph_note == ""
    assert balance(strong).ph_note == ESTIMATE


def test_the_ph_of_a_liquid_is_that_of_its_water() -> None:
    # Sugar and pulp take no part: 100 g of water with 1 g of citric among 40 g of sugar is 10 g/kg.
    alone = ph(moles({"citric": 10.0})).ph
    assert balance(Composition.of(citric=1.0, water=100.0)).ph == pytest.approx(alone, abs=1e-9)
    assert balance(Composition.of(citric=1.0, water=100.0, sucrose=40.0, other=3.0)).ph == pytest.approx(alone, abs=1e-9)


def test_kinds_are_the_acids_it_holds() -> None:
    assert acidity(Composition.of(citric=2.0, malic=1.0, water=97.0)).kinds_g == {"citric": 2.0, "malic": 1.0}
    assert acidity(Composition.of(water=97.0)).kinds_g == {}


@given(st.floats(0.05, 20.0))
@quick
def test_citric_alone_counts_as_sour_as_itself(grams: float) -> None:
    assert sour_as_citric_g(Composition.of(citric=grams, water=100.0)) == pytest.approx(grams, rel=1e-5)
