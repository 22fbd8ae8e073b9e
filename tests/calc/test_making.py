"""Stocks to a size: lines, order, strength with its basis."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import NOON, demo, open_small, stock

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.making import Yield
from station.desk.making import made, yield_of

STOCKS = sorted(demo().library.stocks)
quick = settings(max_examples=60, deadline=None)


@given(st.sampled_from(STOCKS), st.floats(1.0, 50_000.0))
@quick
def test_a_stock_made_to_a_mass_is_that_mass(name: str, grams: float) -> None:
    one = made(demo(), name, Yield(g=grams), NOON, acknowledged=True)
    assert one.g == pytest.approx(grams, rel=1e-9)
    stock = demo().library.stocks[name]
    if not stock.evaporated and not stock.held_back and not any(line.strained for line in stock.lines):
        assert sum(line.g for line in one.lines) == pytest.approx(grams, rel=1e-9)
    assert one.density_g_per_ml == pytest.approx(one.g / one.ml)


@given(st.sampled_from(STOCKS), st.floats(1.0, 50_000.0))
@quick
def test_a_stock_made_to_a_volume_is_that_volume(name: str, ml: float) -> None:
    assert made(demo(), name, Yield(ml=ml), NOON, acknowledged=True).ml == pytest.approx(ml, rel=1e-9)


@given(st.sampled_from(STOCKS), st.floats(1.0, 5_000.0), st.data())
@quick
def test_what_is_left_of_a_line_is_all_used(name: str, grams: float, data: st.DataObject) -> None:
    item = data.draw(st.sampled_from([line.item for line in demo().library.stocks[name].lines]))
    one = made(demo(), name, Yield(item=item, item_g=grams), NOON, acknowledged=True)
    assert sum(line.g for line in one.lines if line.item == item) == pytest.approx(grams, rel=1e-9)


@pytest.mark.parametrize("name", STOCKS)
def test_water_comes_first_and_acid_last(name: str) -> None:
    one = made(demo(), name, Yield(), NOON, acknowledged=True)
    ranks = [0 if line.item == "water" else 2 if line.acid_g else 1 for line in one.lines]
    assert ranks == sorted(ranks)


# CRC Handbook 102nd ed.: citric acid at 20 % m/m is 1.0858 g/ml at 20 °C, so 21.72 g in 100 ml.
def test_strength_has_both_its_bases(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"stocks/c20.toml": stock("water: 80 g", "citric-acid: 20 g")})
    one = made(opened.blends, "c20", Yield(g=500.0), NOON)
    assert one.strength == pytest.approx({"citric": 20.0})
    # One apparent volume for every strength is up to 0.25 % off a stock's density.
    assert one.strength_wv == pytest.approx({"citric": 21.716}, rel=0.0025)
    assert one.label.strength == "citric 20 % w/w"
    assert [(line.item, line.g, dict(line.acid_g)) for line in one.lines] == [
        ("water", pytest.approx(400.0), {}),
        ("citric-acid", pytest.approx(100.0), {"citric": pytest.approx(100.0)}),
    ]


# "Add to" and "make up to": 20 g of salt with 80, to 100, or in 100 ml of water are 20, 16.7 and 17.7 % (by arithmetic and
# the density of brine). Grams settle it: 20 + 100 is 16.7 % w/w.
def test_a_stock_is_as_strong_as_its_grams_whatever_it_is_called(tmp_path: Path) -> None:
    salt = '[salt]\nname = "Salt"\nkind = "salt"\nform = "solid"\nper_100_g = { salt = 100 }\nallergens = []\n'
    opened = open_small(tmp_path, {"ingredients/salt.toml": salt, "stocks/brine.toml": stock("water: 100 g", "salt: 20 g")})
    assert made(opened.blends, "brine", Yield(), NOON).salt_pct_ww == pytest.approx(100 / 6)


def test_grams_as_bought_and_grams_of_acid_are_both_there() -> None:
    line = next(line for line in made(demo(), "lactic-10", Yield(g=880.0), NOON, True).lines if line.item == "lactic-acid-88")
    assert line.g == pytest.approx(100.0)
    assert line.acid_g == {"lactic": pytest.approx(88.0)}


def test_the_label_says_what_when_until_and_where() -> None:
    label = made(demo(), "citric-25", Yield(), NOON).label
    assert (label.name, label.strength, label.store) == ("Citric solution, 25 % w/w", "citric 25 % w/w", "fridge")
    assert label.made == NOON and label.use_by is not None
    assert f"{label.use_by:%Y-%m-%d %H:%M}" == "2027-02-23 05:00"


@pytest.mark.parametrize(
    ("asked", "wanted"),
    [
        ({}, Yield()),
        ({"amount": "500 g"}, Yield(g=500.0)),
        ({"amount": "1.2 kg"}, Yield(g=1200.0)),
        ({"amount": "1 l"}, Yield(ml=1000.0)),
        ({"vessel": "bottle"}, Yield(ml=720.0)),
        ({"on_hand": "citric-acid=80 g"}, Yield(item="citric-acid", item_g=80.0)),
        ({"on_hand": " citric-acid = 80 g"}, Yield(item="citric-acid", item_g=80.0)),
    ],
)
def test_a_size_is_read_as_it_is_said(asked: dict[str, str], wanted: Yield) -> None:
    assert yield_of(demo(), **asked) == wanted


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"amount": "5 drops"}, "“5 drops” is no mass or volume (write e.g. 500 g)"),
        ({"amount": "1,500 g"}, "1,500 can be read two ways: 1.5 g or 1500 g? (write it without the comma)"),
        ({"on_hand": "citric-acid"}, "“citric-acid” names no amount (write e.g. citric-acid=80 g)"),
    ],
)
def test_a_size_that_is_none_is_refused(asked: dict[str, str], said: str) -> None:
    with pytest.raises(AmountError) as refused:
        yield_of(demo(), **asked)
    assert str(refused.value) == said


def test_a_vessel_that_is_not_there_is_said() -> None:
    with pytest.raises(CannotAnswer, match=r"^there is no vessel bucket \(one of pitcher, bottle, single, box, tub, keg\)$"):
        yield_of(demo(), vessel="bucket")


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        (Yield(g=0.0), "that makes 0 g of Citric solution, 25 % w/w (ask for 1 g to 1000 kg)"),
        (Yield(g=2e6), "that makes 2e+06 g of Citric solution, 25 % w/w (ask for 1 g to 1000 kg)"),
        (Yield(item="sugar", item_g=10.0), "sugar is in no line of Citric solution, 25 % w/w (name one of its lines)"),
    ],
)
def test_a_stock_that_cannot_be_made_to_size_is_refused(wanted: Yield, said: str) -> None:
    with pytest.raises(CannotAnswer) as refused:
        made(demo(), "citric-25", wanted, NOON)
    assert str(refused.value) == said


def test_an_unknown_stock_offers_the_nearest() -> None:
    with pytest.raises(CannotAnswer, match=r"^there is no stock citric-52 \(did you mean citric-25\?\)$"):
        made(demo(), "citric-52", Yield(), NOON)


# Nothing on hand is nothing to make, in the words of the batch: the data says no, the question was well put.
def test_nothing_on_hand_makes_no_stock() -> None:
    with pytest.raises(CannotAnswer):
        yield_of(demo(), on_hand="citric-acid=0 g")
