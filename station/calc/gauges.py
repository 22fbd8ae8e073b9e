"""Where a balance figure stands in its window, and on a track that shows the window with as much room on either side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from station.bar import say
from station.calc.balance import Balance


@dataclass(frozen=True, slots=True)
class Gauge:
    """One figure of the glass and its window, both in the figure's own unit (Balance.figures).

    The track runs from `start` to `end`, which rest on the window alone: a figure that moves never moves the track. `was` is
    the figure before an edit. `standing` is low, within or high, "" where there is no figure.
    """

    figure: str
    low: float
    high: float
    start: float
    end: float
    value: float | None
    was: float | None
    standing: str

    def cell(self, value: float, cells: int) -> int:
        """Which of the track's `cells` holds that value, 0 the first; -1 where it is off at the low end, `cells` at the high."""
        place = (value - self.start) / (self.end - self.start) * cells
        if place < 0.0:
            return -1
        # The track's own end belongs to its last cell.
        return min(int(place), cells - 1) if value <= self.end else cells

    def window_cells(self, cells: int) -> range:
        """The cells that hold the window, at least one."""
        first, last = (min(max(self.cell(edge, cells), 0), cells - 1) for edge in (self.low, self.high))
        return range(first, last + 1)


def gauges(window: Mapping[str, tuple[float, float]], glass: Balance, was: Balance | None = None) -> tuple[Gauge, ...]:
    """A gauge for each figure the window speaks of, in the window's order."""
    now, before = glass.figures, was.figures if was else {}
    return tuple(gauge(figure, edges, now[figure], before.get(figure)) for figure, edges in window.items())


def gauge(figure: str, window: tuple[float, float], value: float | None, was: float | None = None) -> Gauge:
    """One figure's gauge. No figure goes below 0, so no track does."""
    low, high = window
    room = high - low or max(abs(high), 1.0)
    standing = "" if value is None else say.standing(value, window)
    return Gauge(figure, low, high, max(0.0, low - room), high + room, value, was, standing)
