"""Two drinks, or two versions of one, side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from station.calc.answers import Shown, ShownLine
from station.calc.balance import Balance

SAVED, EDITED = "saved", "edited"
# The figures that are set side by side, as Balance names them.
FIGURES = ("ml", "abv_pct", "ethanol_g", "sugar_g_per_100ml", "acid_g_per_100ml", "sugar_acid_ratio", "ph")


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two: `version` is saved, edited, or the moment until which it was saved so (ISO 8601, UTC)."""

    id: str
    name: str
    version: str
    method: str
    served_in: str


@dataclass(frozen=True, slots=True)
class ComparedLine:
    """One item on both sides, None where a side has none of it. `difference_g`: right less left, None where one has no weight."""

    item: str
    name: str
    left: ShownLine | None
    right: ShownLine | None
    difference_g: float | None


@dataclass(frozen=True, slots=True)
class ComparedFigure:
    """One figure of the glass, in the unit its name says; `difference` is right less left, None where either is undefined."""

    figure: str
    left: float | None
    right: float | None
    difference: float | None


@dataclass(frozen=True, slots=True)
class Compared:
    """The answer to `compare`: lines aligned by item, in the left side's order, then what only the right has."""

    left: Side
    right: Side
    lines: tuple[ComparedLine, ...]
    figures: tuple[ComparedFigure, ...]
    left_window: dict[str, tuple[float, float]]
    right_window: dict[str, tuple[float, float]]


def compared(left: Shown, left_version: str, right: Shown, right_version: str) -> Compared:
    """Both drinks, line by line and figure by figure."""
    return Compared(
        left=_side(left, left_version),
        right=_side(right, right_version),
        lines=tuple(_aligned(left.lines, right.lines)),
        figures=tuple(_figures(left.glass, right.glass)),
        left_window=dict(left.window),
        right_window=dict(right.window),
    )


def _side(shown: Shown, version: str) -> Side:
    return Side(shown.id, shown.name, version, shown.method, shown.served_in)


def _aligned(left: Sequence[ShownLine], right: Sequence[ShownLine]) -> Iterator[ComparedLine]:
    """An item that stands twice on a side meets the other's first, then its second."""
    others = list(right)
    for line in left:
        match = next((one for one in others if one.item == line.item), None)
        if match is not None:
            others.remove(match)
        yield _pair(line, match)
    yield from (_pair(None, line) for line in others)


def _pair(left: ShownLine | None, right: ShownLine | None) -> ComparedLine:
    line = left or right
    assert line is not None
    grams = [one.g for one in (left, right) if one is not None]
    both = None if any(g is None for g in grams) else ((right.g or 0.0) if right else 0.0) - ((left.g or 0.0) if left else 0.0)
    return ComparedLine(line.item, line.name, left, right, both)


def _figures(left: Balance, right: Balance) -> Iterator[ComparedFigure]:
    for figure in FIGURES:
        one: float | None = getattr(left, figure)
        other: float | None = getattr(right, figure)
        yield ComparedFigure(figure, one, other, None if one is None or other is None else other - one)
