import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.numeric import MonotoneCubic, newton, polynomial, root


def test_a_polynomial_takes_the_highest_power_first() -> None:
    assert polynomial((2.0, -3.0, 5.0), 10.0) == 175.0
    assert polynomial((), 10.0) == 0.0


@given(st.floats(-50.0, 50.0))
def test_a_root_is_found_wherever_it_lies_in_its_bracket(where: float) -> None:
    found = root(lambda x: (x - where) ** 3 + (x - where), -60.0, 60.0, 1e-9)
    assert found == pytest.approx(where, abs=1e-9)


def test_a_root_at_either_end_of_its_bracket_is_found() -> None:
    assert root(lambda x: x - 2.0, 2.0, 5.0, 1e-12) == 2.0
    assert root(lambda x: x - 5.0, 2.0, 5.0, 1e-12) == 5.0


@pytest.mark.parametrize("never_through_zero", [lambda x: x + 1.0, lambda x: -x - 1.0, lambda _: 0.0])
def test_a_residual_that_does_not_rise_through_zero_is_refused(never_through_zero: Callable[[float], float]) -> None:
    with pytest.raises(ValueError, match="no root between 0 and 1"):
        root(never_through_zero, 0.0, 1.0, 1e-9)


def test_a_jump_over_zero_is_reported_and_not_returned() -> None:
    with pytest.raises(ArithmeticError, match="100 rounds"):
        root(lambda x: 1.0 if x > 0.5 else -1.0, 0.0, 1.0, 1e-9)


heights = st.lists(st.floats(-100.0, 100.0), min_size=3, max_size=12)


@given(heights)
def test_a_monotone_cubic_goes_through_its_points(ys: list[float]) -> None:
    curve = MonotoneCubic.through(enumerate(ys))
    assert [curve(float(x)) for x in range(len(ys))] == pytest.approx(ys)


@given(heights, st.data())
def test_a_monotone_cubic_stays_between_its_neighbouring_points(ys: list[float], data: st.DataObject) -> None:
    curve = MonotoneCubic.through(enumerate(ys))
    i = data.draw(st.integers(0, len(ys) - 2))
    x = data.draw(st.floats(i, i + 1))
    assert min(ys[i : i + 2]) - 1e-9 <= curve(x) <= max(ys[i : i + 2]) + 1e-9


@given(st.floats(-5.0, 5.0), st.floats(-5.0, 5.0), st.floats(0.0, 7.0))
def test_a_monotone_cubic_through_a_straight_line_is_the_line(slope: float, intercept: float, x: float) -> None:
    curve = MonotoneCubic.through([(at, intercept + slope * at) for at in (0.0, 1.0, 2.5, 7.0)])
    assert curve(x) == pytest.approx(intercept + slope * x, abs=1e-9)


# Fritsch & Butland 1984, worked by hand from chords and widths.
@pytest.mark.parametrize(
    ("points", "slopes"),
    [
        # Chords 1 and 1/2 over 1 and 2: 7/6 at the start, 9/(5/1 + 4/(1/2)) between, 1/6 at the end.
        ([(0.0, 0.0), (1.0, 1.0), (3.0, 2.0)], (7 / 6, 9 / 13, 1 / 6)),
        # Chords 1 and 5: the three-point slope -1 would leave downwards.
        ([(0.0, 0.0), (1.0, 1.0), (2.0, 6.0)], (0.0, 5 / 3, 7.0)),
        # Chords 1 and -5: level at the turn; the three-point slope 4 would overshoot three times the chord.
        ([(0.0, 0.0), (1.0, 1.0), (2.0, -4.0)], (3.0, 0.0, -8.0)),
    ],
)
def test_a_monotone_cubic_takes_its_slopes_from_its_chords(points: list[tuple[float, float]], slopes: tuple[float, ...]) -> None:
    assert MonotoneCubic.through(points).slopes == pytest.approx(slopes)


def test_a_monotone_cubic_ends_where_its_table_ends() -> None:
    curve = MonotoneCubic.through([(0.0, 1.0), (1.0, 2.0), (2.0, 4.0)])
    for outside in (-0.1, 2.1, float("nan")):
        with pytest.raises(ValueError, match="outside the table, 0 to 2"):
            curve(outside)


@given(st.floats(-50.0, 50.0), st.floats(-60.0, 60.0))
def test_newton_finds_the_root_from_any_start(where: float, start: float) -> None:
    found = newton(lambda x: ((x - where) ** 3 + (x - where), 3.0 * (x - where) ** 2 + 1.0), start, -61.0, 61.0, 1e-9)
    assert found == pytest.approx(where, abs=1e-9)


def test_newton_stays_in_its_bracket_where_the_slope_misleads() -> None:
    seen: list[float] = []

    def flat_at_the_start(x: float) -> tuple[float, float]:
        seen.append(x)
        return math.atan(x), 1.0 / (1.0 + x * x)

    assert newton(flat_at_the_start, 3.0, -4.0, 4.0, 1e-12) == pytest.approx(0.0, abs=1e-12)
    assert all(-4.0 < x < 4.0 for x in seen)


def test_newton_reports_that_there_is_no_root() -> None:
    with pytest.raises(ArithmeticError, match="100 rounds"):
        newton(lambda x: (x + 5.0, 1.0), 0.5, 0.0, 1.0, 1e-9)
