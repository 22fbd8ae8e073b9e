"""From what is needed to what is bought: fruit by count, pieces whole, spoilage, rates."""

from __future__ import annotations

from dataclasses import replace

import pytest
from orders import SUPPER, menu, of
from small_library import demo

from station.bar.nouns import Order
from station.bar.quantity import given
from station.calc.buying import Basket, basket
from station.calc.estimates import estimates


def bought(g: dict[str, float], pieces: dict[str, float] | None = None, order: Order = SUPPER) -> Basket:
    return basket(g, pieces or {}, order, estimates(order), menu().stores)


def ml(item: str, volume_ml: float) -> float:
    return volume_ml * (demo().stuff(item).g_per_ml or 0.0)


def test_juice_is_bought_as_fruit_at_the_low_yield_unless_the_order_says_the_usual() -> None:
    need = {"lime-juice": ml("lime-juice", 2199.0)}
    low, usual = bought(need), bought(need, order=replace(SUPPER, fruit="usual"))
    assert [one.item for one in low.lines] == ["lime"]
    press = low.pressed["lime-juice"]
    assert (press.at_low, press.at_usual) == (100, 74)  # 2199 / 22 = 99.95, / 30 = 73.3
    assert low.lines[0].need == pytest.approx(2199.0 / 22.0)
    assert usual.lines[0].need == pytest.approx(2199.0 / 30.0)
    assert [(one.count, one.size) for one in low.lines[0].packs] == [(1, "100 each")]


def test_two_uses_of_a_fruit_are_bought_together() -> None:
    both = bought({"lime-juice": ml("lime-juice", 220.0)}, {"lime": 5.0})
    assert [one.item for one in both.lines] == ["lime"]
    assert both.lines[0].need == pytest.approx(10.0 + 5.0)
    assert both.lines[0].lost == pytest.approx(5.0 * 0.15)  # spoilage is of garnishes, the yield has its own


def test_pieces_are_bought_whole_with_what_spoils() -> None:
    order = replace(SUPPER, garnish_spoilage=0.1)
    one = bought({}, {"lime-coin": 99.0}, order).lines[0]
    assert (one.unit, one.need, one.lost) == ("each", 99.0, pytest.approx(9.9))
    assert [(pack.count, pack.size) for pack in one.packs] == [(14, "8 each")]
    loose = bought({}, {"unheard-of": 2.2}, order).lines[0]
    assert loose.bought == 3.0 and loose.note == "no pack stated"


def test_juice_on_hand_is_pressed_less() -> None:
    order = replace(SUPPER, on_hand={"lime-juice": given("1 l"), "lime": given("20 each")})
    found = bought({"lime-juice": ml("lime-juice", 2200.0)}, order=order)
    assert found.pressed["lime-juice"].ml == pytest.approx(1200.0)
    assert found.lines[0].need == pytest.approx(1200.0 / 22.0)
    assert found.lines[0].on_hand == 20.0


def test_a_rate_is_what_was_paid_for_what_is_used() -> None:
    # 700 ml at 17.50 and no more: 17.50 over its grams; a twentieth of what is bought wasted makes the rest dearer.
    grams = ml("rum-light", 300.0)
    plain = bought({"rum-light": grams}).gram["rum-light"]
    wasted = bought({"rum-light": grams}, order=replace(SUPPER, waste=0.05)).gram["rum-light"]
    assert plain.amount == pytest.approx(17.5 / ml("rum-light", 700.0))
    assert wasted.amount == pytest.approx(plain.amount / 0.95)
    there = bought({"rum-light": grams}, order=replace(SUPPER, on_hand={"rum-light": given("5 l")})).gram["rum-light"]
    assert there.amount == pytest.approx(23.0 / ml("rum-light", 1000.0))  # by its cheapest pack


def test_a_juice_costs_its_fruit() -> None:
    found = bought({"lime-juice": ml("lime-juice", 2200.0)})
    assert found.gram["lime-juice"].amount * ml("lime-juice", 2200.0) == pytest.approx(21.0)


def test_water_is_not_bought() -> None:
    found = bought({"water": 5000.0, "sugar": 10.0})
    assert [one.item for one in found.lines] == ["sugar"] and found.water_g == 5000.0


def test_no_drink_of_the_demo_lacks_a_price_but_by_its_file() -> None:
    for name in demo().library.drinks:
        order = of(name)
        serve = menu().serve(demo().library.drinks[name], order.pours[0])
        assert serve.takes.in_glass_g > 0.0
