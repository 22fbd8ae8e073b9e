"""Water that ice adds, as a fraction of the volume before.

Source: D. Arnold, Liquid Intelligence (2014), two quadratics in the starting strength, from memory: they may be a fit to
the book's table rather than printed in it. Ice at 0 °C, one way of shaking and one of stirring.
"""

from typing import Final

from station.science.numeric import polynomial

# Starting strengths the quadratics were fitted over, as fractions.
DILUTION_VALID: Final = (0.15, 0.45)
# Built over ice in the glass: same book, from memory.
BUILT_DILUTION: Final = 0.24

_STIRRED: Final = (-1.21, 1.246, 0.145)
_SHAKEN: Final = (-1.567, 1.742, 0.203)


def stirred_dilution(abv_fraction: float) -> float:
    """Water added by stirring, fraction of initial volume: -1.21 a² + 1.246 a + 0.145, a = starting ABV 0..1.

    Above 0.45 the value at 0.45 is used: the parabola turns at 0.51. Under 0.15 it is evaluated, an extrapolation. The
    caller flags both by `DILUTION_VALID`. Raises ValueError outside 0..1.
    """
    return _dilution(_STIRRED, abv_fraction)


def shaken_dilution(abv_fraction: float) -> float:
    """Water added by shaking, fraction of initial volume: -1.567 a² + 1.742 a + 0.203, a = starting ABV 0..1.

    Above 0.45 the value at 0.45 is used: the parabola turns at 0.56. Under 0.15 it is evaluated, an extrapolation. The
    caller flags both by `DILUTION_VALID`. Raises ValueError outside 0..1.
    """
    return _dilution(_SHAKEN, abv_fraction)


def _dilution(quadratic: tuple[float, float, float], abv_fraction: float) -> float:
    if not 0.0 <= abv_fraction <= 1.0:
        raise ValueError(f"a strength here is a fraction, 0 to 1, not {abv_fraction:g}")
    return polynomial(quadratic, min(abv_fraction, DILUTION_VALID[1]))
