"""Whether one reading of several is further out than chance puts it: Grubbs' test.

Grubbs, F. E., Procedures for detecting outlying observations in samples, Technometrics 11 (1969) 1. Two-sided, at 5 %.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from typing import Final

from station.science.numeric import root

LEVEL: Final = 0.05
_LEAST_READINGS: Final = 3
_TOLERANCE: Final = 1e-12
# Readings that differ by less are equal: binary fractions do not add up exactly.
_ROUNDING: Final = 1e-12


def grubbs_statistic(readings: Sequence[float]) -> tuple[int, float]:
    """The place, from 0, of the reading furthest from the mean, and its distance in sample standard deviations.

    0 where all are equal. Raises ValueError for fewer than three readings.
    """
    n = len(readings)
    if n < _LEAST_READINGS:
        raise ValueError(f"an outlier is told from three readings on, not from {n}")
    mean = math.fsum(readings) / n
    spread = math.sqrt(math.fsum((one - mean) ** 2 for one in readings) / (n - 1))
    place = max(range(n), key=lambda at: abs(readings[at] - mean))
    return place, abs(readings[place] - mean) / spread if spread > _ROUNDING * abs(mean) else 0.0


@cache
def grubbs_critical(n: int, level: float = LEVEL) -> float:
    """The distance, in sample standard deviations, that the furthest of `n` normal readings passes with probability `level`.

    (n - 1)/√n · √(t² / (n - 2 + t²)) with t the quantile of Student's t for `level`/n, both tails, at n - 2 degrees of freedom.
    Raises ValueError for fewer than three readings or a level not between 0 and 1.
    """
    if n < _LEAST_READINGS or not 0.0 < level < 1.0:
        raise ValueError(f"no critical value for {n} readings at a level of {level:g}")
    t = student_t(level / n, n - 2)
    return (n - 1) / math.sqrt(n) * math.sqrt(t * t / (n - 2 + t * t))


def outlier(readings: Sequence[float]) -> int | None:
    """The place, from 0, of a reading that Grubbs' test finds outlying; None where it finds none or there are under three."""
    if len(readings) < _LEAST_READINGS:
        return None
    place, distance = grubbs_statistic(readings)
    return place if distance > grubbs_critical(len(readings)) else None


def student_t(both_tails: float, freedom: int) -> float:
    """The t that Student's distribution passes, either way, with this probability, 0..1; `freedom` whole, from 1."""
    angle = root(lambda angle: _within(angle, freedom) - (1.0 - both_tails), 0.0, math.pi / 2.0, _TOLERANCE)
    return math.sqrt(freedom) * math.tan(angle)


def _within(angle: float, freedom: int) -> float:
    """P(|T| ≤ √freedom · tan(angle)): Abramowitz & Stegun 26.7.3 and 26.7.4."""
    cosine, sine = math.cos(angle), math.sin(angle)
    odd = freedom % 2
    term = total = 0.0 if freedom == 1 else cosine if odd else 1.0
    for k in range(2 + odd, freedom, 2):
        term *= (k - 1) / k * cosine * cosine
        total += term
    return 2.0 / math.pi * (angle + sine * total) if odd else sine * total
