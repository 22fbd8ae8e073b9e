"""What a scale can be trusted with, and how well a counted drop is known."""

import math
from collections.abc import Sequence
from typing import Final

# USP <41>: a balance's repeatability is never taken as better than 0.41 of its readability.
_LEAST_SD_IN_READABILITIES: Final = 0.41
_COVERAGE: Final = 2.0
# Up to here a count is taken as right; beyond it as right to one. Common practice, no source.
COUNTED_SURELY: Final = 10


def repeatability_sd_g(readability_g: float, found_g: float = 0.0) -> float:
    """Standard deviation of a net weight on a scale, g: what was found by repeated weighing, never less than 0.41 d.

    0.41 d is what rounding to the readability d brings to a difference of two displays, √2 · d/√12. Raises ValueError for a
    readability not above 0 or a repeatability below. Source: USP <41>, <1251>.
    """
    if not (readability_g > 0.0 and found_g >= 0.0):
        raise ValueError(f"a readability is above 0 and a repeatability not below, not {readability_g:g} g and {found_g:g} g")
    return max(_LEAST_SD_IN_READABILITIES * readability_g, found_g)


def smallest_net_g(readability_g: float, tolerance: float, repeatability_g: float = 0.0) -> float:
    """Smallest net weight a scale can be trusted with to a relative tolerance (0.01 is 1 %): 2 · sd / t, g.

    The sd is `repeatability_sd_g`; without a repeatability it is at its least, 0.41 d, so a draught needs more.
    Raises ValueError for a readability or tolerance not above 0. Source: USP <41>, <1251>.
    """
    if not tolerance > 0.0:
        raise ValueError(f"a tolerance is above 0, not {tolerance:g}")
    return _COVERAGE * repeatability_sd_g(readability_g, repeatability_g) / tolerance


def tolerated_sd_g(net_g: float, tolerance: float) -> float:
    """Standard deviation, g, of a weighing that just meets a relative tolerance by the same rule: t · m / 2."""
    return tolerance * net_g / _COVERAGE


def drop_statistics(readings_g: Sequence[float], count: int, least_sd_g: float = 0.0) -> tuple[float, float | None, float | None]:
    """Mean per drop, scatter of one drop, standard uncertainty of the mean: g, from m readings of `count` drops each.

    With s the sample standard deviation between the readings, never less than the scale's own `least_sd_g`: s/√c and
    s/(c √m). One reading tells neither: None. Raises ValueError without readings or drops, or for a reading not above 0.
    """
    if not readings_g or count < 1 or not all(reading > 0.0 for reading in readings_g):
        raise ValueError(f"a calibration needs drops and weights above 0, not {count} drops and {list(readings_g)} g")
    m = len(readings_g)
    mean = math.fsum(readings_g) / m
    if m == 1:
        return mean / count, None, None
    spread = max(least_sd_g, math.sqrt(math.fsum((reading - mean) ** 2 for reading in readings_g) / (m - 1)))
    return mean / count, spread / math.sqrt(count), spread / (count * math.sqrt(m))


def counted_u_g(n: float, scatter: float, u_mean: float, mean_per_drop_g: float) -> float:
    """Standard uncertainty of n counted drops, g: √(n scatter² + (n u_mean)² + miscount²).

    The scatter of drops averages out, the error of their mean does not. The miscount is none up to 10 drops, then one
    drop. Raises ValueError for a negative count.
    """
    if not n >= 0.0:
        raise ValueError(f"a count of drops is not negative: {n:g}")
    miscount = mean_per_drop_g if n > COUNTED_SURELY else 0.0
    return math.hypot(math.sqrt(n) * scatter, n * u_mean, miscount)
