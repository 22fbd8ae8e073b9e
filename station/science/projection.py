"""The point nearest the origin that meets linear inequalities, or comes as near to them as can be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul

_LEAST_GAIN = 1e-12
_MAX_ROUNDS = 400


@dataclass(frozen=True, slots=True)
class HalfSpace:
    """slope · y >= least. A finite `weight` makes it a wish: falling short by s costs (weight · s)²; infinite, it holds."""

    slope: tuple[float, ...]
    least: float
    weight: float = math.inf


def nearest_point(size: int, walls: Sequence[HalfSpace]) -> tuple[float, ...]:
    """The y of `size` numbers with the least |y|² + Σ (weight · shortfall)² over the walls.

    Solved in its dual, u >= 0, by the active-set method of Lawson & Hanson, Solving Least Squares Problems (1974), ch. 23;
    y is Σ u · slope. Raises ArithmeticError where walls that must hold leave no point.
    """
    gram = _products([wall.slope for wall in walls])
    for place, wall in enumerate(walls):
        gram[place][place] += 0.0 if math.isinf(wall.weight) else wall.weight**-2
    pushes = _pushes(gram, [wall.least for wall in walls])
    return tuple(sum(push * wall.slope[i] for push, wall in zip(pushes, walls, strict=True)) for i in range(size))


def _products(slopes: Sequence[Sequence[float]]) -> list[list[float]]:
    """Each slope's product with each; that of two is reckoned once."""
    gram: list[list[float]] = [[] for _ in slopes]
    for place, slope in enumerate(slopes):
        gram[place] = [gram[before][place] for before in range(place)]
        gram[place] += [_dot(slope, other) for other in slopes[place:]]
    return gram


def solved(matrix: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """x of matrix · x = right, by elimination with row pivots. Raises ArithmeticError for a singular matrix."""
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for column in range(len(rows)):
        pivot = max(range(column, len(rows)), key=lambda place: abs(rows[place][column]))
        if rows[pivot][column] == 0.0:
            raise ArithmeticError("the walls leave no point, or are there twice")
        rows[column], rows[pivot] = rows[pivot], rows[column]
        head = rows[column]
        for row in rows[column + 1 :]:
            factor = row[column] / head[column]
            row[column:] = [value - factor * above for value, above in zip(row[column:], head[column:], strict=True)]
    found: list[float] = []
    for place in reversed(range(len(rows))):
        known = _dot(rows[place][place + 1 : -1], found)
        found.insert(0, (rows[place][-1] - known) / rows[place][place])
    return found


def _pushes(gram: list[list[float]], least: list[float]) -> list[float]:
    """How hard each wall pushes: u >= 0 with the greatest least · u - ½ u · gram · u."""
    pushes = [0.0] * len(least)
    pushing: list[int] = []
    for _ in range(_MAX_ROUNDS):
        idle = [place for place in range(len(least)) if place not in pushing]
        lacks = {place: _lack(gram[place], least[place], pushes, pushing) for place in idle}
        worst = max(lacks, key=lambda place: lacks[place], default=None)
        if worst is None or lacks[worst] <= _LEAST_GAIN:
            return pushes
        pushing.append(worst)
        _settle(gram, least, pushes, pushing)
        if worst not in pushing:
            return pushes
    raise ArithmeticError(f"no nearest point within {_MAX_ROUNDS} rounds")


def _lack(row: Sequence[float], least: float, pushes: Sequence[float], pushing: Sequence[int]) -> float:
    """How far a wall is from being met, relative to the terms it is made of: rounding is no lack."""
    terms = [row[place] * pushes[place] for place in pushing]
    return (least - sum(terms)) / (abs(least) + sum(map(abs, terms)) or 1.0)


def _settle(gram: list[list[float]], least: list[float], pushes: list[float], pushing: list[int]) -> None:
    """Bring the pushing walls to what they ask, dropping those that would have to pull."""
    while pushing:
        goal = solved([[gram[i][j] for j in pushing] for i in pushing], [least[i] for i in pushing])
        pulling = [(place, want) for place, want in zip(pushing, goal, strict=True) if want <= 0.0]
        part = min((pushes[place] / (pushes[place] - want) for place, want in pulling if pushes[place] > want), default=0.0)
        share = part if pulling else 1.0
        for place, want in zip(pushing, goal, strict=True):
            pushes[place] += share * (want - pushes[place])
        if not pulling:
            return
        gone = [place for place, _ in pulling if pushes[place] <= _LEAST_GAIN]
        for place in gone:
            pushes[place] = 0.0
            pushing.remove(place)


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    total: float = sum(map(mul, one, other))
    return total
