"""From guests to serves: the hours, the mixed drinks, counts that come off first, shares that do not sum to 1."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.bar.fault import CannotAnswer
from station.bar.nouns import Order, OrderPour
from station.calc.estimates import drinks_per_guest, estimates
from station.calc.plan import Served, served, serves_by_spec

DAY = date(2027, 5, 1)
BASE = Order(
    "o", "Supper", DAY, 100, (OrderPour("a", share=0.6), OrderPour("b", share=0.4)), drinks_per_guest=4.0, mixed_share=0.5
)


def plan(order: Order) -> Served:
    return served(order, estimates(order))


def serves(order: Order) -> list[int]:
    return [one.serves for one in plan(order).pours]


def test_shares_are_of_the_mixed_drinks() -> None:
    found = plan(BASE)
    assert (found.drinks, found.mixed, found.other) == (400.0, 200.0, 200.0)
    assert serves(BASE) == [120, 80]


def test_a_number_of_serves_comes_off_first_and_gets_no_overage() -> None:
    order = replace(BASE, pours=(*BASE.pours, OrderPour("c", serves=50)), overage=0.1)
    # 200 less 50 are 150: 90 and 60, and a tenth more; the 50 were counted.
    assert serves(order) == [99, 66, 50]
    found = plan(order)
    assert (found.mixed, found.shared) == pytest.approx((200.0, 150.0))
    assert [one.share for one in found.pours] == [0.6, 0.4, None]


def test_a_tenth_more_of_450_is_495() -> None:
    order = replace(BASE, guests=450, pours=(OrderPour("a", share=1.0),), drinks_per_guest=1.0, mixed_share=1.0, overage=0.1)
    assert 450 * 1.1 > 495.0  # in the last bit
    assert serves(order) == [495]


def test_a_part_of_a_drink_is_a_drink() -> None:
    assert serves(replace(BASE, guests=1)) == [2, 1]


@pytest.mark.parametrize(
    ("said", "drinks"),
    [
        ({"hours": 5.0, "first_hour": 2.0, "per_hour": 1.0}, 6.0),
        ({"hours": 5.0}, 6.0),
        ({"hours": 5.0, "per_hour": 1.5}, 7.5),
        ({"hours": 5.0, "first_hour": 3.0}, 7.0),
        ({"hours": 0.5, "first_hour": 2.0, "per_hour": 1.0}, 1.0),
        ({"hours": 1.5, "first_hour": 2.0, "per_hour": 1.0}, 2.5),
        ({"hours": 5.0, "drinks_per_guest": 3.0}, 3.0),
        ({}, None),
    ],
)
def test_drinks_of_a_guest(said: dict[str, float], drinks: float | None) -> None:
    order = replace(BASE, drinks_per_guest=None)
    assert drinks_per_guest(replace(order, **said)) == drinks  # type: ignore[arg-type]


@pytest.mark.parametrize("shares", [(0.5, 0.4), (0.7, 0.5)])
def test_shares_that_do_not_sum_to_1_are_said_with_both_readings(shares: tuple[float, float]) -> None:
    order = replace(BASE, pours=tuple(OrderPour(name, share=share) for name, share in zip("ab", shares, strict=True)))
    with pytest.raises(CannotAnswer) as refused:
        plan(order)
    total = sum(shares)
    assert f"sum to {total:g}" in str(refused.value)
    assert f"they are {total * 200:g}" in str(refused.value) and "as proportions they are all 200" in str(refused.value)
    assert "of mixed" in refused.value.remedy and "proportional" in refused.value.remedy
    as_written = replace(order, shares="of mixed")
    assert serves(as_written) == [pytest.approx(200 * share) for share in shares]
    proportional = replace(order, shares="proportional")
    assert sum(serves(proportional)) in {200, 201}
    assert sum(one.share or 0.0 for one in plan(proportional).pours) == pytest.approx(1.0)


def test_thirds_to_three_decimals_sum_to_1() -> None:
    thirds = tuple(OrderPour(name, share=0.333) for name in "abc")
    assert serves(replace(BASE, pours=thirds)) == [67, 67, 67]


def test_what_cannot_be_shared_out_is_refused_in_one_sentence() -> None:
    cases = [
        (replace(BASE, drinks_per_guest=None), "does not say how many"),
        (replace(BASE, pours=(*BASE.pours, OrderPour("c", serves=300))), "leave nothing of its 200 mixed drinks"),
        (replace(BASE, pours=(OrderPour("a", share=0.0),)), "are all 0"),
        (replace(BASE, guests=0), "for no guests"),
    ]
    for order, said in cases:
        with pytest.raises(CannotAnswer, match=said):
            plan(order)


def test_counts_alone_need_no_drinks_per_guest() -> None:
    order = replace(BASE, drinks_per_guest=None, pours=(OrderPour("a", serves=30), OrderPour("b", serves=12)))
    found = plan(order)
    assert (found.drinks, found.mixed, found.other, found.shared) == (None, 42.0, None, None)
    assert serves_by_spec(found) == {"a": 30, "b": 12}


def test_a_drink_named_twice_is_added_up() -> None:
    order = replace(BASE, pours=(OrderPour("a", share=1.0), OrderPour("a", serves=10)))
    assert serves_by_spec(plan(order)) == {"a": 200}


@given(st.integers(1, 100_000), st.floats(0.1, 8.0), st.floats(0.05, 1.0), st.floats(0.0, 0.3))
def test_no_fewer_are_made_than_are_expected(guests: int, each: float, mixed: float, overage: float) -> None:
    order = replace(BASE, guests=guests, drinks_per_guest=each, mixed_share=mixed, overage=overage)
    found = plan(order)
    for one in found.pours:
        assert one.serves >= one.expected * (1.0 + overage) * (1.0 - 1e-8)
        assert one.serves < one.expected * (1.0 + overage) + 1.0
    assert found.mixed == pytest.approx(guests * each * mixed)
