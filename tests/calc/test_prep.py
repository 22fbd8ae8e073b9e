"""Steps in the order they are done: until when each must be begun, and not before when by what it keeps."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from orders import NOW, SUPPER, answered, of
from small_library import demo, drink, open_small, stock

from station.bar.quantity import keeps
from station.calc.menu import Menu
from station.calc.ordered import Ordered
from station.calc.prep import Step
from station.desk.ordering import ordered

LISBON = datetime.fromisoformat

FRUIT = """
[fruit]
name = "Fruit"
kind = "other"
form = "solid"
allergens = []
packs = [{ size = "1 each", price = 1 }]

[juice]
name = "Juice"
kind = "juice"
per_100_ml = { fructose = 2 }
allergens = []
keeps = "1 day"
from = { item = "fruit", low = "20 ml", usual = "30 ml" }
"""
ORDER = """
name = "O"
date = 2027-05-01
starts = "20:00"
ready = "3 hours"
hours = 4
guests = 10
lead = { spirit = "5 days", steeped = "1 day" }
[[pours]]
spec = "d"
serves = 20
[[pours]]
spec = "keeper"
serves = 20
"""


def small(folder: Path, order: str = ORDER, cordial: str = 'keeps = "4 days"', fruit: str = FRUIT) -> Ordered:
    files = {
        "ingredients/more.toml": fruit,
        "stocks/steeped.toml": stock("spirit: 1 kg", more='keeps = "30 days"\ntakes = "2 days"'),
        "stocks/cordial.toml": stock("juice: 100 g", "sugar: 100 g", more=cordial),
        "stocks/lasting.toml": stock("sugar: 100 g", "water: 100 g", more='keeps = "60 days"'),
        "drinks/d.toml": drink("shake", "steeped: 50 ml", "cordial: 20 ml", "juice: 10 ml", "lasting: 5 ml"),
        "drinks/keeper.toml": drink("stir", "spirit: 60 ml", "lasting: 5 ml"),
        "orders/o.toml": order,
    }
    opened = open_small(folder, files)
    return ordered(Menu.of(opened.blends), opened.library.orders["o"], NOW)


def by_name(answer: Ordered) -> dict[str, Step]:
    return {f"{one.do} {one.id}": one for one in answer.prep}


def test_longest_lead_first_then_longest_keeping_juice_late_batches_with_juice_last(tmp_path: Path) -> None:
    assert list(by_name(small(tmp_path))) == [
        *("order spirit", "make steeped", "make lasting", "press juice", "make cordial"),
        *("mix keeper", "mix d"),
    ]


def test_each_begins_in_time_for_what_waits_for_it(tmp_path: Path) -> None:
    steps = by_name(small(tmp_path))
    ready = LISBON("2027-05-01T17:00:00+01:00")
    assert steps["mix d"].start_by == steps["make cordial"].start_by == steps["press juice"].start_by == ready
    # The order says steeped takes a day, its file two; then the spirit must be there, five days after it is ordered.
    assert steps["make steeped"].start_by == LISBON("2027-04-30T17:00:00+01:00")
    assert steps["order spirit"].start_by == LISBON("2027-04-25T17:00:00+01:00")


def test_nothing_is_made_so_early_that_it_is_out_of_date_at_the_last_drink(tmp_path: Path) -> None:
    steps = by_name(small(tmp_path))
    # The day made is day 1 and ends at 05:00: four days that end with the 1st begin on 28 April at 05:00.
    assert steps["make cordial"].not_before == LISBON("2027-04-28T05:00:00+01:00")
    assert steps["press juice"].not_before == LISBON("2027-05-01T05:00:00+01:00")
    assert steps["mix d"].not_before == LISBON("2027-05-01T05:00:00+01:00")
    assert steps["mix keeper"].not_before == LISBON("2027-03-03T05:00:00+00:00")
    # It must be finished by then; making it takes a day before that.
    assert steps["make steeped"].not_before == LISBON("2027-04-01T05:00:00+01:00") and not steps["make steeped"].note


def test_it_keeps_as_long_as_it_does_where_it_is_stored_and_once_opened(tmp_path: Path) -> None:
    stored = 'keeps = "9 days"\nstore = "fridge"\nkeeps_in = { fridge = "4 days" }'
    opened = FRUIT.replace('keeps = "1 day"', 'keeps = "9 days"\nkeeps_in = { opened = "1 day" }')
    one, other = by_name(small(tmp_path / "a")), by_name(small(tmp_path / "b", cordial=stored, fruit=opened))
    assert {step: found.not_before for step, found in other.items()} == {step: found.not_before for step, found in one.items()}


def test_an_event_past_midnight_belongs_to_the_day_it_began(tmp_path: Path) -> None:
    late = by_name(small(tmp_path, ORDER.replace("hours = 4", "hours = 8").replace('ready = "3 hours"', "")))
    assert late["press juice"].not_before == LISBON("2027-05-01T05:00:00+01:00")
    too_late = by_name(small(tmp_path / "later", ORDER.replace("hours = 4", "hours = 12")))
    assert too_late["press juice"].not_before == LISBON("2027-05-02T05:00:00+01:00")
    assert "keeps 12 hours too short" in too_late["press juice"].note


def test_what_keeps_by_the_hour_and_not_long_enough_is_said() -> None:
    answer = answered(replace(of("wool-parliament"), hours=60.0, drinks_per_guest=5.0))
    assert {one.about for one in answer.cautions if one.code == "order-keeps"} >= {"lemon-juice"}
    assert not any(one.code == "order-keeps" for one in answered(SUPPER).cautions)


def test_a_part_only_used_in_a_stock_need_only_last_till_that_is_made() -> None:
    # Grapefruit juice keeps two days, the cordial made of it a week: pressed or bought for the day the cordial is made.
    answer = answered(replace(of("kettle-regatta"), lead={"grapefruit-cordial": keeps("3 days")}))
    steps = by_name(answer)
    assert steps["make grapefruit-cordial"].start_by == LISBON("2027-09-15T16:00:00+01:00")
    assert not steps["make grapefruit-cordial"].note


@pytest.mark.parametrize("name", sorted(demo().library.drinks))
def test_every_drink_of_the_demo_can_be_prepared_in_order(name: str) -> None:
    seen: set[str] = set()
    for one in answered(of(name)).prep:
        if one.id in demo().library.stocks:
            parts = {line.item for line in demo().library.stocks[one.id].lines}
            assert not (parts & set(demo().library.stocks)) - seen
        seen.add(one.id)
