"""The least change of some amounts after which figures of the finished drink stand where they are wished."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import compress, pairwise
from typing import TypeAlias

from station.science.projection import HalfSpace, nearest_point

Vector: TypeAlias = tuple[float, ...]
# The figures of a drink whose amounts were changed by these fractions of themselves.
Figures: TypeAlias = Callable[[Vector], Vector]

# What a wish weighs against a change: so much that one that can be met is met to eight digits; but where wishes pull
# against one another rounding is multiplied by it, so they are first sought, and then nearest, by less.
_FIRM, _SOUGHT = 1e5, 1e3
# Found by the lesser weight, a wish that is missed by more than that cannot be met.
_HOPELESS = 0.05
# A line that takes no more from what the nearest drink misses, relative, is left as it is (our own weighing, no source).
_HAIR = 0.002
_NUDGE = 1e-6
_SETTLED = 1e-10
# Once it goes in circles, a point that moves by no more stands.
_NOISE = 1e-5
_MAX_ROUNDS = 60
# A wish that is missed by less, relative, is met.
MET = 1e-5


@dataclass(frozen=True, slots=True)
class Span:
    """Where a figure is wished: from `low` to `high`, the same for an exact one. `scale` is what a miss is measured by."""

    low: float
    high: float
    scale: float

    def miss(self, value: float) -> float:
        """How far a value lies outside, over the scale: below as a negative, above as a positive number, else 0."""
        return (min(value - self.low, 0.0) + max(value - self.high, 0.0)) / self.scale


@dataclass(frozen=True, slots=True)
class Change:
    """Each amount's change, a fraction of itself; the figures then; and whether every wish is met."""

    by: Vector
    figures: Vector
    met: bool


def least_change(figures: Figures, spans: Sequence[Span], lows: Vector, highs: Vector) -> Change:
    """The changes, within their bounds, with the least sum of squares that meet the spans.

    Where they cannot all be met, the sum of squared misses is least first, by the lines that bring it down by more than a hair.
    """
    start = tuple(min(max(0.0, low), high) for low, high in zip(lows, highs, strict=True))
    sought = set_off(figures, spans, lows, highs, _SOUGHT, start)
    if max(abs(span.miss(value)) for span, value in zip(spans, sought.figures, strict=True)) > _HOPELESS:
        return _by_those_that_help(figures, spans, lows, highs, sought)
    firm = set_off(figures, spans, lows, highs, _FIRM, sought.by)
    return firm if firm.met else _by_those_that_help(figures, spans, lows, highs, sought)


def _by_those_that_help(figures: Figures, spans: Sequence[Span], lows: Vector, highs: Vector, nearest: Change) -> Change:
    """The nearest drink with the lines as they are that do not bring it nearer."""

    def short(found: Vector) -> float:
        return math.hypot(*(span.miss(value) for span, value in zip(spans, found, strict=True)))

    def held(by: Vector, place: int) -> Vector:
        return tuple(min(max(0.0, lows[i]), highs[i]) if i == place else one for i, one in enumerate(by))

    allowed, by, idle = short(nearest.figures) + _HAIR, nearest.by, set[int]()
    for place in sorted(range(len(by)), key=lambda one: short(figures(held(nearest.by, one)))):
        if short(figures(held(by, place))) <= allowed:
            by, idle = held(by, place), idle | {place}
    if not idle:
        return nearest
    lows, highs = (tuple(by[i] if i in idle else one for i, one in enumerate(bounds)) for bounds in (lows, highs))
    found = set_off(figures, spans, lows, highs, _SOUGHT, by)
    return found if short(found.figures) <= allowed else nearest


def set_off(
    figures: Figures, spans: Sequence[Span], lows: Vector, highs: Vector, weight: float, start: Vector | None = None
) -> Change:
    """The changes with the least sum of squares, a miss counting `weight` times as much as a change.

    The figures are made linear where one stands and the nearest point is found, again and again; a step that does not come
    nearer than the last is taken by half. An amount whose bounds leave it no way to move is held, not sought.
    """
    if not all(low < high for low, high in zip(lows, highs, strict=True)):
        return _of_those_that_move(figures, spans, lows, highs, weight, start)
    here = start or tuple(min(max(0.0, low), high) for low, high in zip(lows, highs, strict=True))
    bounds = [*_floors(lows), *(_ceilings(highs))]
    steps = [math.inf]
    share = 1.0
    for _ in range(_MAX_ROUNDS if here else 0):
        goal = nearest_point(len(here), [*bounds, *_walls(figures, spans, here, weight)])
        steps.append(math.dist(goal, here))
        circling = _goes_in_circles(steps)
        if steps[-1] <= (_NOISE if circling else _SETTLED) * (1.0 + math.hypot(*here)):
            break
        share = 0.5 * share if circling else min(1.0, 1.2 * share)
        moved = (was + share * (want - was) for was, want in zip(here, goal, strict=True))
        here = tuple(min(max(one, low), high) for one, low, high in zip(moved, lows, highs, strict=True))
    found = figures(here)
    return Change(here, found, all(abs(span.miss(value)) <= MET for span, value in zip(spans, found, strict=True)))


def _of_those_that_move(
    figures: Figures, spans: Sequence[Span], lows: Vector, highs: Vector, weight: float, start: Vector | None
) -> Change:
    free = [low < high for low, high in zip(lows, highs, strict=True)]

    def whole(moved: Vector) -> Vector:
        left = iter(moved)
        return tuple(next(left) if moves else low for moves, low in zip(free, lows, strict=True))

    def of_free(vector: Vector) -> Vector:
        return tuple(compress(vector, free))

    begin = None if start is None else of_free(start)
    found = set_off(lambda moved: figures(whole(moved)), spans, of_free(lows), of_free(highs), weight, begin)
    return Change(whole(found.by), found.figures, found.met)


def _goes_in_circles(steps: Sequence[float]) -> bool:
    last = steps[-3:]
    return len(last) == 3 and all(later > 0.9 * earlier for earlier, later in pairwise(last))


def _floors(lows: Vector) -> list[HalfSpace]:
    return [HalfSpace(_axis(place, 1.0, len(lows)), low) for place, low in enumerate(lows)]


def _ceilings(highs: Vector) -> list[HalfSpace]:
    return [HalfSpace(_axis(place, -1.0, len(highs)), -high) for place, high in enumerate(highs) if math.isfinite(high)]


def _axis(place: int, length: float, size: int) -> Vector:
    return tuple(length if one == place else 0.0 for one in range(size))


def _walls(figures: Figures, spans: Sequence[Span], here: Vector, weight: float) -> list[HalfSpace]:
    """Each wish as one or two inequalities, straight where one stands."""
    now = figures(here)
    nudged = [figures(tuple(one + _NUDGE * (place == i) for i, one in enumerate(here))) for place in range(len(here))]
    walls: list[HalfSpace] = []
    for place, span in enumerate(spans):
        slope = tuple((moved[place] - now[place]) / _NUDGE / span.scale for moved in nudged)
        level = now[place] / span.scale - sum(a * b for a, b in zip(slope, here, strict=True))
        if math.isfinite(span.low):
            walls.append(HalfSpace(slope, span.low / span.scale - level, weight))
        if math.isfinite(span.high):
            walls.append(HalfSpace(tuple(-one for one in slope), level - span.high / span.scale, weight))
    return walls
