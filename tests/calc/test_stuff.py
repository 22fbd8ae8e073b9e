"""What a bought item is made of, from the figures its file states."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from station.bar.fault import CannotAnswer
from station.bar.nouns import Item
from station.bar.quantity import Acidity
from station.calc.balance import balance
from station.calc.stuff import bought, density_miss
from station.science.ethanol import WATER_G_PER_ML

quick = settings(max_examples=60, deadline=None)


# Under 0.1 mg in 100 ml no burette tells an acid from water: that counts as none.
acidities = st.just(0.0) | st.floats(1e-4, 8)


@given(abv=st.floats(0, 60), sugar=st.floats(0, 40), ta=acidities, split=st.floats(0, 1))
@quick
def test_what_is_stated_by_volume_is_what_100_ml_hold(abv: float, sugar: float, ta: float, split: float) -> None:
    item = Item(
        "x",
        "x",
        "juice",
        abv_pct=abv,
        per_100_ml={"fructose": sugar},
        ta=Acidity(ta),
        acid_split={"citric": split, "malic": 1 - split},
    )
    figures = balance(bought(item).per_g * 500.0)
    assert figures.abv_pct == pytest.approx(abv, abs=1e-6)
    assert figures.sugar_g_per_100ml == pytest.approx(sugar, rel=1e-6, abs=1e-9)
    assert figures.acid_g_per_100ml == pytest.approx(ta, rel=1e-6, abs=1e-9)


@given(brix=st.floats(0, 70), abv=st.floats(0, 20), ta=acidities.filter(lambda ta: ta <= 3))
@quick
def test_brix_beside_abv_and_acidity_are_all_true_at_once(brix: float, abv: float, ta: float) -> None:
    item = Item("x", "x", "liqueur", abv_pct=abv, brix=brix, ta=Acidity(ta), acid_split={"citric": 1.0})
    figures = balance(bought(item).per_g * 100.0)
    assert figures.brix == pytest.approx(brix, abs=1e-6)
    assert figures.abv_pct == pytest.approx(abv, abs=1e-5)
    assert figures.acid_g_per_100ml == pytest.approx(ta, abs=1e-6)


def test_one_gram_is_one_gram() -> None:
    for item in (
        Item("x", "x", "water"),
        Item("x", "x", "sugar", form="solid", per_100_g={"sucrose": 99.0}),
        Item("x", "x", "spirit", abv_pct=40.0),
        Item("x", "x", "juice", per_100_g={"citric": 5.0, "water": 80.0}),
    ):
        assert bought(item).per_g.mass_g == pytest.approx(1.0, rel=1e-12)


def test_what_a_solid_does_not_state_is_other() -> None:
    assert bought(Item("x", "x", "sugar", form="solid", per_100_g={"sucrose": 99.0})).per_g["other"] == pytest.approx(0.01)


# Grams by a stated density and millilitres by the model would not add up in one blend.
def test_a_stated_density_only_checks_the_model() -> None:
    plain = Item("x", "x", "juice", per_100_ml={"fructose": 10.0})
    assert bought(replace(plain, density_g_per_ml=1.04)) == bought(plain)


def test_acidity_as_another_acid_is_turned_into_base() -> None:
    # By equivalents 0.75043 g of tartaric acid take the base 0.64041 g of citric take: half the molar mass of one, a third of
    # the other's. Titrated to pH 8.2 tartaric has given up all of its protons and citric 99.8 % of its (charge balance), so
    # what is found as citric is 0.11 % more than by equivalents.
    stuff = bought(Item("x", "x", "wine", ta=Acidity(0.75043, "tartaric"), acid_split={"tartaric": 1.0}))
    assert balance(stuff.per_g).acid_g_per_100ml == pytest.approx(0.64041 * 1.0011, rel=2e-4)
    assert 100.0 * stuff.per_g["tartaric"] * (stuff.g_per_ml or 0.0) == pytest.approx(0.75043, rel=1e-5)


def test_a_liquid_that_states_nothing_is_water() -> None:
    stuff = bought(Item("x", "x", "soda"))
    assert (stuff.per_g["water"], stuff.g_per_ml) == (1.0, pytest.approx(WATER_G_PER_ML, rel=1e-9))


def test_the_miss_of_a_stated_density_is_measured() -> None:
    item = Item("x", "x", "syrup", brix=50.0, density_g_per_ml=1.2296 * 1.02)
    # ICUMSA SPS-4: 50 °Bx is 1.2296 g/ml at 20 °C.
    assert density_miss(item) == pytest.approx(0.02, abs=1e-4)
    assert density_miss(Item("x", "x", "syrup", brix=50.0)) is None
    assert density_miss(Item("x", "x", "sugar", form="solid", per_100_g={"sucrose": 100.0}, density_g_per_ml=1.5)) is None


@pytest.mark.parametrize(
    "item",
    [
        Item("x", "Thing", "liqueur", file="f.toml", abv_pct=100.0, per_100_ml={"sucrose": 100.0}),
        Item("x", "Thing", "liqueur", file="f.toml", abv_pct=90.0, brix=90.0),
        Item("x", "Thing", "juice", file="f.toml", per_100_ml={"sucrose": 190.0}),
    ],
)
def test_figures_that_cannot_all_be_true_are_refused(item: Item) -> None:
    with pytest.raises(CannotAnswer, match=r"^Thing cannot be made out: what is .+ \(check its figures in f\.toml\)$"):
        bought(item)


# 24.6 + 39.7 + 35.7 is 100 on paper and a hair more in floats: a syrup of nothing but sugars must not end the program.
@pytest.mark.parametrize("shares", [(24.6, 39.7, 35.7), (50.0, 50.0000000005, 0.0)])
def test_shares_that_fill_a_liquid_to_the_last_digit(shares: tuple[float, float, float]) -> None:
    item = Item("x", "x", "syrup", per_100_g=dict(zip(("sucrose", "glucose", "fructose"), shares, strict=True)))
    try:
        assert bought(item).per_g.sugar_g == pytest.approx(1.0)
    except CannotAnswer as refused:
        assert "cannot be made out" in str(refused)
