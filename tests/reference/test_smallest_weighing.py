"""The smallest weighing against the pharmacopoeia's own arithmetic."""

import pytest

from station.science.weighing import smallest_net_g


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
