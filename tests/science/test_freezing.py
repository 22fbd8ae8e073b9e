"""Properties of the freezing model: order, sum, range, and the ice that is there below it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.freezing import freezing_c, ice_share

DRINK = {"water": 62.0, "ethanol": 24.0, "sucrose": 3.0, "glucose": 1.0, "citric": 0.5, "salt": 0.1}


def test_water_freezes_at_nought() -> None:
    assert freezing_c({"water": 5.0}) == 0.0
    assert str(freezing_c({"water": 5.0})) == "0.0"


@given(st.floats(1.0, 500.0))
def test_how_much_there_is_does_not_matter(factor: float) -> None:
    more = {name: grams * factor for name, grams in DRINK.items()}
    assert freezing_c(more) == pytest.approx(freezing_c(DRINK), abs=1e-9)


@given(st.sampled_from(sorted(set(DRINK) - {"water"})), st.floats(0.01, 3.0))
def test_more_of_any_solute_freezes_colder(solute: str, more: float) -> None:
    assert freezing_c({**DRINK, solute: DRINK[solute] + more}) < freezing_c(DRINK)


def test_depressions_add_each_in_all_the_water() -> None:
    water = DRINK["water"]
    alone = [freezing_c({"water": water, name: grams}) for name, grams in DRINK.items() if name != "water"]
    assert freezing_c(DRINK) == pytest.approx(sum(alone), abs=1e-12)


def test_a_sugar_of_the_same_size_counts_the_same() -> None:
    for one, like in (("lactose", "sucrose"), ("maltose", "sucrose"), ("fructose", "glucose")):
        assert freezing_c({"water": 90.0, one: 10.0}) == freezing_c({"water": 90.0, like: 10.0})


def test_acids_count_by_their_molecules() -> None:
    # 192.124 g of citric and 90.078 g of lactic acid are a mole each.
    citric, lactic = freezing_c({"water": 1000.0, "citric": 96.062}), freezing_c({"water": 1000.0, "lactic": 45.039})
    assert lactic == pytest.approx(citric, abs=1e-12)


@pytest.mark.parametrize(
    "grams",
    [
        {"water": 39.0, "ethanol": 61.0},
        {"water": 57.0, "sucrose": 43.0},
        {"water": 69.0, "glucose": 31.0},
        {"water": 69.0, "citric": 31.0},
        {"water": 76.0, "salt": 24.0},
        {"ethanol": 50.0},
        {},
    ],
)
def test_outside_the_tables_there_is_no_figure(grams: dict[str, float]) -> None:
    with pytest.raises(ValueError):
        freezing_c(grams)


def test_above_its_freezing_point_nothing_is_ice() -> None:
    assert ice_share(DRINK, freezing_c(DRINK)) == 0.0
    assert ice_share(DRINK, freezing_c(DRINK) + 1.0) == 0.0


@given(st.floats(0.2, 12.0))
def test_ice_is_taken_out_until_what_is_left_would_freeze_there(below: float) -> None:
    t_c = freezing_c(DRINK) - below
    share = ice_share(DRINK, t_c)
    assert 0.0 < share < 1.0
    assert freezing_c({**DRINK, "water": DRINK["water"] * (1.0 - share)}) == pytest.approx(t_c, abs=1e-3)


def test_ice_by_the_lever_rule() -> None:
    # 20 g of ethanol in 80 g of water; at the temperature where 30 % by mass freezes, 20/0.30 g are left liquid.
    t_c = freezing_c({"water": 70.0, "ethanol": 30.0})
    assert ice_share({"water": 80.0, "ethanol": 20.0}, t_c) == pytest.approx((100.0 - 20.0 / 0.30) / 80.0, abs=1e-5)


def test_ice_is_not_told_where_what_is_left_would_be_out_of_range() -> None:
    with pytest.raises(ValueError):
        ice_share({"water": 60.0, "sucrose": 40.0}, -18.0)
