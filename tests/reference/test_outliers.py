"""Grubbs' test against its published tables and a published example."""

import pytest

from station.science.outlier import grubbs_critical, grubbs_statistic, outlier, student_t

# Student's t, both tails: any handbook's table (Abramowitz & Stegun, table 26.10, from memory).
T = {(0.05, 1): 12.706, (0.05, 2): 4.303, (0.05, 3): 3.182, (0.05, 10): 2.228, (0.01, 5): 4.032, (0.10, 30): 1.697}
# ISO 5725-2:1994, table 5, one outlying observation, 5 % critical values by number of laboratories (from memory): Grubbs'
# two-sided ones, printed to three places and some of them rounded up, so good to one unit of the last place.
CRITICAL = {3: 1.155, 4: 1.481, 5: 1.715, 6: 1.887, 7: 2.020, 8: 2.126, 9: 2.215, 10: 2.290, 15: 2.549, 20: 2.709}


@pytest.mark.parametrize(("tails", "freedom"), T)
def test_student_t(tails: float, freedom: int) -> None:
    assert student_t(tails, freedom) == pytest.approx(T[tails, freedom], abs=5e-4)


@pytest.mark.parametrize("n", CRITICAL)
def test_critical_values(n: int) -> None:
    assert grubbs_critical(n) == pytest.approx(CRITICAL[n], abs=1.01e-3)


# Eight mass spectrometer readings of a uranium isotope, in which 245.57 is the outlier: G = 2.4687 against 2.032 one-sided,
# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1 (from memory; Tietjen & Moore, Technometrics 14 (1972) 583).
def test_a_published_example() -> None:
    readings = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]
    place, distance = grubbs_statistic(readings)
    assert (place, distance) == (7, pytest.approx(2.4687, abs=1e-4))
    assert outlier(readings) == 7
    assert outlier(readings[:-1]) is None
