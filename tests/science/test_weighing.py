import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.weighing import counted_u_g, drop_statistics, smallest_net_g

positive = st.floats(1e-4, 1e3)
readings = st.lists(st.floats(0.01, 100.0), min_size=2, max_size=10)


@given(positive, positive, st.floats(0.1, 10.0))
def test_the_smallest_weighing_goes_with_readability_over_tolerance(d: float, tolerance: float, times: float) -> None:
    assert smallest_net_g(times * d, tolerance) == pytest.approx(times * smallest_net_g(d, tolerance))
    assert smallest_net_g(d, times * tolerance) == pytest.approx(smallest_net_g(d, tolerance) / times)


@pytest.mark.parametrize(("d", "tolerance"), [(0.0, 0.01), (-0.1, 0.01), (0.1, 0.0), (0.1, -0.01), (math.nan, 0.01)])
def test_a_scale_or_tolerance_of_nothing_is_refused(d: float, tolerance: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        smallest_net_g(d, tolerance)


def test_three_readings_of_fifty_drops() -> None:
    # By hand: mean 2.6167 g, deviations -0.0067, -0.0367, 0.0433, s = 0.04041 g.
    mean, scatter, u_mean = drop_statistics([2.61, 2.58, 2.66], 50)
    assert mean == pytest.approx(0.052333, abs=1e-6)
    assert scatter == pytest.approx(0.04041 / math.sqrt(50), abs=1e-6)
    assert u_mean == pytest.approx(0.04041 / (50 * math.sqrt(3)), abs=1e-7)


@given(readings, st.integers(1, 100))
def test_the_statistics_are_those_of_the_standard_library(reads: list[float], count: int) -> None:
    spread = statistics.stdev(reads)
    mean, scatter, u_mean = drop_statistics(reads, count)
    assert mean == pytest.approx(statistics.mean(reads) / count)
    assert scatter == pytest.approx(spread / math.sqrt(count), abs=1e-9)
    assert u_mean == pytest.approx(spread / (count * math.sqrt(len(reads))), abs=1e-9)


def test_one_reading_tells_the_mean_and_no_spread() -> None:
    assert drop_statistics([2.5], 50) == (0.05, None, None)


@pytest.mark.parametrize(("reads", "count"), [([], 20), ([1.0, 0.0], 20), ([1.0, -1.0], 20), ([1.0], 0), ([1.0], -5)])
def test_a_calibration_of_nothing_is_refused(reads: list[float], count: int) -> None:
    with pytest.raises(ValueError, match="calibration needs"):
        drop_statistics(reads, count)


def test_two_drops_scatter_and_share_the_error_of_the_mean() -> None:
    # By hand: √(2 · 0.004² + (2 · 0.001)²) = 0.006 g.
    assert counted_u_g(2, 0.004, 0.001, 0.05) == pytest.approx(0.006)


def test_one_drop_may_be_miscounted_beyond_ten() -> None:
    assert counted_u_g(10, 0.0, 0.0, 0.05) == 0.0
    assert counted_u_g(11, 0.0, 0.0, 0.05) == 0.05
    assert counted_u_g(400, 0.0, 0.0, 0.05) == 0.05


@given(st.floats(0.0, 1e4), st.floats(0.0, 0.1), st.floats(0.0, 0.1))
def test_an_uncertainty_is_no_less_than_any_of_its_parts(n: float, scatter: float, u_mean: float) -> None:
    u = counted_u_g(n, scatter, u_mean, 0.05)
    assert u >= max(math.sqrt(n) * scatter, n * u_mean) * (1.0 - 1e-12)


@given(st.integers(1, 10), st.integers(1, 100), st.floats(1e-4, 0.01))
def test_scatter_averages_out_and_the_error_of_the_mean_does_not(n: int, times: int, u: float) -> None:
    assert counted_u_g(n * times, u, 0.0, 0.0) == pytest.approx(math.sqrt(times) * counted_u_g(n, u, 0.0, 0.0))
    assert counted_u_g(n * times, 0.0, u, 0.0) == pytest.approx(times * counted_u_g(n, 0.0, u, 0.0))


@pytest.mark.parametrize("n", [-1, -0.5, math.nan])
def test_a_negative_count_is_refused(n: float) -> None:
    with pytest.raises(ValueError, match="not negative"):
        counted_u_g(n, 0.001, 0.001, 0.05)
