"""The smallest weighing against the pharmacopoeia's own arithmetic."""

import pytest

from station.science.weighing import repeatability_sd_g, smallest_net_g


def test_the_pharmacopoeias_820_readabilities() -> None:
    # USP <41>: repeatability at its least 0.41 d, twice that at most 0.10 % of the weight: 820 d, so 8.2 g at 0.01 g.
    assert smallest_net_g(0.01, 0.0010) == pytest.approx(820 * 0.01)


@pytest.mark.parametrize(
    ("readability_g", "tolerance", "smallest_g"),
    # USP <41> at a bar's tolerances: 82 d for 1 %, 41 d for 2 %.
    [(0.1, 0.01, 8.2), (1.0, 0.01, 82.0), (0.01, 0.01, 0.82), (0.1, 0.02, 4.1)],
)
def test_the_same_rule_at_a_bars_tolerance(readability_g: float, tolerance: float, smallest_g: float) -> None:
    assert smallest_net_g(readability_g, tolerance) == pytest.approx(smallest_g)


def test_a_standard_deviation_found_counts_where_it_is_worse() -> None:
    # USP <41>: the standard deviation found, where it is over 0.41 d: 0.1 mg on a balance of 0.1 mg needs 2 · 0.1 / 0.0010 mg.
    assert smallest_net_g(0.0001, 0.0010, 0.0001) == pytest.approx(0.2)
    assert smallest_net_g(0.0001, 0.0010, 0.00004) == smallest_net_g(0.0001, 0.0010)


@pytest.mark.parametrize(("readability_g", "found_g"), [(0.0, 0.1), (-1.0, 0.1), (0.1, -0.1)])
def test_what_is_no_scale_is_refused(readability_g: float, found_g: float) -> None:
    with pytest.raises(ValueError, match="readability"):
        repeatability_sd_g(readability_g, found_g)
