import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.outlier import grubbs_critical, grubbs_statistic, outlier

readings = st.lists(st.floats(1.0, 100.0), min_size=3, max_size=20)


@given(readings, st.floats(0.1, 10.0))
def test_the_statistic_knows_no_unit(values: list[float], times: float) -> None:
    assert grubbs_statistic([times * one for one in values])[1] == pytest.approx(grubbs_statistic(values)[1], rel=1e-6, abs=1e-6)


# (n - 1)/√n is as far as one of n can be from their mean (Thompson 1935; also Samuelson's inequality).
@given(st.integers(3, 60))
def test_the_critical_distance_is_within_what_is_possible_and_grows(n: int) -> None:
    assert grubbs_critical(n) < (n - 1) / n**0.5
    assert grubbs_critical(n) < grubbs_critical(n + 1)
    assert grubbs_critical(n, 0.10) < grubbs_critical(n, 0.05)


def test_equal_readings_hold_no_outlier() -> None:
    assert outlier([2.6, 2.6, 2.6]) is None


def test_two_readings_tell_no_outlier() -> None:
    assert outlier([2.6, 9.0]) is None
    with pytest.raises(ValueError, match="three readings"):
        grubbs_statistic([2.6, 9.0])


@pytest.mark.parametrize(("n", "level"), [(2, 0.05), (5, 0.0), (5, 1.0)])
def test_no_critical_value_for_what_is_no_test(n: int, level: float) -> None:
    with pytest.raises(ValueError, match="no critical value"):
        grubbs_critical(n, level)
