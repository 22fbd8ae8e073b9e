"""The numerical tools the physics needs: a polynomial, a bracketed root, Newton in a bracket, a shape-preserving curve."""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Self

_MAX_ROUNDS = 100


def polynomial(highest_first: Sequence[float], x: float) -> float:
    """Horner's rule; the coefficient of the highest power comes first."""
    total = 0.0
    for coefficient in highest_first:
        total = total * x + coefficient
    return total


def root(residual: Callable[[float], float], low: float, high: float, tolerance: float) -> float:
    """The x between `low` and `high` where |residual(x)| <= `tolerance`, for a residual that rises through zero.

    Illinois regula falsi (Dowell & Jarratt 1971): the bracket is never lost, and an end that stands still counts half.
    Raises ValueError if the residual does not rise through zero between the two, ArithmeticError if 100 rounds do not do.
    """
    at_low, at_high = residual(low), residual(high)
    if not at_low <= 0.0 <= at_high or at_low == at_high:
        raise ValueError(f"no root between {low:g} and {high:g}: the residuals there are {at_low:g} and {at_high:g}")
    last_moved = ""
    for _ in range(_MAX_ROUNDS):
        x = high - at_high * (high - low) / (at_high - at_low)
        at_x = residual(x)
        if abs(at_x) <= tolerance:
            return x
        if at_x > 0.0:
            high, at_high = x, at_x
            at_low *= 0.5 if last_moved == "high" else 1.0
            last_moved = "high"
        else:
            low, at_low = x, at_x
            at_high *= 0.5 if last_moved == "low" else 1.0
            last_moved = "low"
    raise ArithmeticError(f"no root to {tolerance:g} within {_MAX_ROUNDS} rounds")


def newton(
    residual_and_slope: Callable[[float], tuple[float, float]], start: float, low: float, high: float, tolerance: float
) -> float:
    """The x between `low` and `high` where |residual(x)| <= `tolerance`, for a rising residual whose slope is known.

    Newton's step; one that leaves what is left of the bracket halves it instead. Raises ArithmeticError if 100 rounds do
    not do, as where there is no root.
    """
    x = start
    for _ in range(_MAX_ROUNDS):
        residual, slope = residual_and_slope(x)
        if abs(residual) <= tolerance:
            return x
        if residual > 0.0:
            high = x
        else:
            low = x
        x -= residual / slope
        if not low < x < high:
            x = 0.5 * (low + high)
    raise ArithmeticError(f"no root to {tolerance:g} within {_MAX_ROUNDS} rounds")


@dataclass(frozen=True, slots=True)
class MonotoneCubic:
    """A smooth curve through tabulated points that rises and falls only where the points do.

    Piecewise cubic Hermite (Fritsch & Carlson 1980) with the slopes of Fritsch & Butland 1984.
    """

    xs: tuple[float, ...]
    ys: tuple[float, ...]
    slopes: tuple[float, ...]

    @classmethod
    def through(cls, points: Iterable[tuple[float, float]]) -> Self:
        """At least three points, x ascending."""
        xs, ys = zip(*points, strict=True)
        widths = [right - left for left, right in pairwise(xs)]
        chords = [(right - left) / width for (left, right), width in zip(pairwise(ys), widths, strict=True)]
        inner = (_inner_slope(*around) for around in zip(widths[:-1], widths[1:], chords[:-1], chords[1:], strict=True))
        first = _end_slope(widths[0], widths[1], chords[0], chords[1])
        last = _end_slope(widths[-1], widths[-2], chords[-1], chords[-2])
        return cls(xs, ys, (first, *inner, last))

    def __call__(self, x: float) -> float:
        """The curve at x; ValueError outside the table."""
        if not self.xs[0] <= x <= self.xs[-1]:
            raise ValueError(f"{x:g} is outside the table, {self.xs[0]:g} to {self.xs[-1]:g}")
        i = min(bisect_right(self.xs, x), len(self.xs) - 1) - 1
        width = self.xs[i + 1] - self.xs[i]
        s = (x - self.xs[i]) / width
        r = 1.0 - s
        from_left = r * r * ((1.0 + 2.0 * s) * self.ys[i] + s * width * self.slopes[i])
        from_right = s * s * ((1.0 + 2.0 * r) * self.ys[i + 1] - r * width * self.slopes[i + 1])
        return from_left + from_right


def _inner_slope(left_width: float, right_width: float, left: float, right: float) -> float:
    """The harmonic mean of the two chords, the narrower weighing more; level where they turn."""
    if left * right <= 0.0:
        return 0.0
    left_weight, right_weight = left_width + 2.0 * right_width, 2.0 * left_width + right_width
    return (left_weight + right_weight) / (left_weight / left + right_weight / right)


def _end_slope(width: float, next_width: float, chord: float, next_chord: float) -> float:
    """The three-point slope at an end, held to what keeps the end interval monotone."""
    slope = ((2.0 * width + next_width) * chord - width * next_chord) / (width + next_width)
    if slope * chord <= 0.0:
        return 0.0
    if chord * next_chord < 0.0 and abs(slope) > 3.0 * abs(chord):
        return 3.0 * chord
    return slope
