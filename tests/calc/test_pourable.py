"""What a hand can pour: jigger sums, whole drops, what a scale shows; never nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.bar.amount import parse_amount
from station.bar.nouns import House, Scale
from station.calc.pourable import around

STEPS = (7.5, 15.0, 22.5, 30.0, 45.0, 60.0)
HOUSE = House(jigger_ml=STEPS, scales={"fine": Scale("fine", "Fine", 200.0, 0.01), "bench": Scale("bench", "Bench", 6000.0, 1.0)})


@pytest.mark.parametrize(
    ("amount", "value", "found"),
    [
        ("22.5 ml", 24.0, (22.5, 30.0)),
        ("22.5 ml", 22.5, (22.5,)),
        ("22.5 ml", 33.0, (30.0, 37.5)),
        ("22.5 ml", 1.0, (7.5,)),
        ("20 ml", 17.0, (15.0, 20.0)),
        ("2 cl", 2.4, (2.25, 3.0)),
        ("60 ml", 200.0, (195.0, 202.5)),
        ("3/4 oz", 0.8, (0.75, 1.0)),
        ("2 drops", 5.3, (5.0, 6.0)),
        ("2 drops", 0.2, (1.0,)),
        ("2 drops", 0.0, (1.0,)),
        ("1 each", 2.5, (2.0, 3.0)),
        ("10 g", 12.3456, (12.34, 12.35)),
        ("2 parts", 2.1, (2.0, 2.25)),
        ("1 tsp", 1.1, (1.0, 1.25)),
    ],
)
def test_the_pourable_amounts_beside_a_number(amount: str, value: float, found: tuple[float, ...]) -> None:
    assert around(parse_amount(amount), value, HOUSE) == pytest.approx(found)


def test_a_house_without_jiggers_or_scales_pours_whole_millilitres_and_tenths_of_a_gram() -> None:
    assert around(parse_amount("20 ml"), 21.4, House()) == (21.0, 22.0)
    assert around(parse_amount("10 g"), 12.34, House()) == pytest.approx((12.3, 12.4))


@given(st.floats(0.0, 500.0), st.sampled_from(["22.5 ml", "3/4 oz", "2 drops", "10 g", "2 parts", "2 cl"]))
def test_the_number_lies_between_them_and_neither_is_nothing(value: float, text: str) -> None:
    found = around(parse_amount(text), value, HOUSE)
    assert min(found) > 0.0 and max(found) >= value - 1e-6
    assert len(found) == 1 or found[0] <= value + 1e-6
