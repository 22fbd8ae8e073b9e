"""The cheapest packs, against a witness that tries them all."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.calc.shop import Size, cheapest

PRICES = st.integers(0, 60).map(float)
HOLDS = st.sampled_from([50.0, 200.0, 333.3333, 500.0, 700.0, 701.0, 750.0, 1000.0, 1500.0])


def cost_of(counts: tuple[int, ...], sizes: list[Size]) -> float:
    return sum(count * (one.price or 0.0) for count, one in zip(counts, sizes, strict=True))


def held(counts: tuple[int, ...], sizes: list[Size]) -> float:
    return sum(count * one.holds for count, one in zip(counts, sizes, strict=True))


def by_trying_all(need: float, sizes: list[Size]) -> float:
    """The least cost of all choices that hold enough: no more of a size than would do alone."""
    spans = [range(int(need // one.holds) + 2) for one in sizes]
    return min(cost_of(counts, sizes) for counts in product(*spans) if held(counts, sizes) >= need * (1 - 1e-9))


@given(st.floats(1.0, 5000.0), st.lists(st.builds(Size, HOLDS, PRICES), min_size=1, max_size=3, unique_by=lambda one: one.holds))
def test_no_choice_of_packs_is_cheaper(need: float, sizes: list[Size]) -> None:
    counts = cheapest(need, sizes)
    assert held(counts, sizes) >= need * (1.0 - 1e-8) - 1e-3
    assert cost_of(counts, sizes) == pytest.approx(by_trying_all(need, sizes), rel=1e-9)


def test_the_cheapest_by_the_litre_is_not_always_the_cheapest() -> None:
    sizes = [Size(700.0, 17.5), Size(1000.0, 23.0)]
    assert cheapest(650.0, sizes) == (1, 0)  # 17.50, not 23
    assert cheapest(1400.0, sizes) == (2, 0)  # 35, not 46 or 40.50
    assert cheapest(1700.0, sizes) == (1, 1)
    assert cheapest(29700.0, sizes) == (1, 29)  # 684.50; thirty of the larger cost 690


def test_of_equal_cost_the_one_with_the_least_over() -> None:
    assert cheapest(650.0, [Size(1000.0, 10.0), Size(700.0, 10.0)]) == (0, 1)


def test_an_exact_fit_is_not_rounded_up() -> None:
    # 0.1 three times is over 0.3 in the last bit.
    assert cheapest(0.1 + 0.1 + 0.1, [Size(0.3, 1.0)]) == (1,)
    assert cheapest(3.0, [Size(1.0, 2.0)]) == (3,)
    assert cheapest(3.001, [Size(1.0, 2.0)]) == (4,)


def test_nothing_wanted_is_nothing_bought() -> None:
    assert cheapest(0.0, [Size(1.0, 2.0), Size(5.0, 2.0)]) == (0, 0)


def test_a_size_without_a_price_is_left_where_another_has_one() -> None:
    assert cheapest(900.0, [Size(1000.0, None), Size(700.0, 17.5)]) == (0, 2)


def test_where_no_size_has_a_price_as_few_packs_as_will_do() -> None:
    assert cheapest(1500.0, [Size(700.0, None), Size(1000.0, None)]) in {(2, 0), (0, 2), (1, 1)}
    assert cheapest(1900.0, [Size(700.0, None), Size(1000.0, None)]) == (0, 2)
    assert cheapest(650.0, [Size(700.0, None), Size(1000.0, None)]) == (1, 0)


def test_what_costs_nothing_is_bought() -> None:
    assert cheapest(900.0, [Size(500.0, 0.0), Size(1000.0, 5.0)]) == (2, 0)


def test_no_pack_is_an_error_of_the_caller() -> None:
    with pytest.raises(ValueError):
        cheapest(1.0, [])


def test_a_hundred_thousand_guests_are_no_wait() -> None:
    sizes = [Size(200.0, 5.0), Size(700.0, 17.5), Size(750.0, 18.75), Size(1000.0, 25.0), Size(1750.0, 43.75)]
    counts = cheapest(29_999_990.0, sizes)
    assert cost_of(counts, sizes) == pytest.approx(750_000.0)
    assert held(counts, sizes) == pytest.approx(30_000_000.0)
