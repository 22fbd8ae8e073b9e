"""The figures of a liquid and where they stand."""

from __future__ import annotations

import pytest
from compositions import compositions
from hypothesis import given, settings
from hypothesis import strategies as st

from station.bar import say
from station.bar.composition import Composition
from station.calc.acidity import ta_g
from station.calc.balance import balance

quick = settings(max_examples=80, deadline=None)


def test_nothing_has_no_figures() -> None:
    empty = balance(Composition())
    assert (empty.ml, empty.g, empty.ethanol_g) == (0.0, 0.0, 0.0)
    assert set(empty.figures.values()) == {None}


@given(compositions(), st.floats(0.1, 100.0))
@quick
def test_more_of_the_same_has_the_same_balance(one: Composition, factor: float) -> None:
    if one.volume_ml == 0.0:
        return
    few, many = balance(one).figures, balance(one * factor).figures
    for figure, value in few.items():
        assert many[figure] == (None if value is None else pytest.approx(value, rel=1e-9, abs=1e-12)), figure


@given(compositions())
@quick
def test_every_figure_is_its_amount_over_the_volume(one: Composition) -> None:
    found = balance(one)
    if one.volume_ml == 0.0:
        return
    assert found.sugar_g_per_100ml == pytest.approx(100.0 * one.sugar_g / one.volume_ml)
    assert found.acid_g_per_100ml == pytest.approx(100.0 * ta_g(one) / one.volume_ml)
    assert found.density_g_per_ml == pytest.approx(one.mass_g / one.volume_ml)
    assert found.brix == pytest.approx(100.0 * one.sugar_g / one.mass_g)


@pytest.mark.parametrize(("acid", "shown"), [(0.0499, False), (0.0501, True), (0.0, False)])
def test_no_ratio_is_shown_where_acid_is_near_nil(acid: float, shown: bool) -> None:
    bare = Composition.of(water=95.0, sucrose=5.0)
    found = balance(bare + Composition.of(citric=acid * bare.volume_ml / 100.0 * (1.0 + 1e-6)))
    assert (found.sugar_acid_ratio is not None) is shown


def test_where_ice_first_forms_stands_beside_the_other_figures_where_it_is_known() -> None:
    assert balance(Composition.of(water=90.0, ethanol=10.0)).freezing_c == pytest.approx(-4.47)
    assert balance(Composition.of(water=10.0, ethanol=90.0)).freezing_c is None
    assert balance(Composition.of(sucrose=1.0)).freezing_c is None


@pytest.mark.parametrize(("value", "word"), [(14.99, "low"), (15.0, "within"), (20.0, "within"), (20.01, "high")])
def test_a_figure_is_low_within_or_high_and_never_good_or_bad(value: float, word: str) -> None:
    assert say.standing(value, (15.0, 20.0)) == word
