"""A gauge as text: a track with the window marked on it, the figure's mark, and the mark of what it was before."""

from __future__ import annotations

from station.bar import say
from station.calc.gauges import Gauge

LEAST_CELLS = 9
# Outside and inside the window, what was, off the track at either end, and where the figure stands: every shape another.
OUTSIDE, INSIDE, WAS, OFF_LOW, OFF_HIGH = "·", "━", "○", "◀", "▶"
STANDS = {"low": "▼", "within": "●", "high": "▲"}


def said(standing: str) -> str:
    """Where a figure stands, in shape and word."""
    return f"{STANDS[standing]} {standing}" if standing else ""


def track(gauge: Gauge, cells: int) -> str:
    """The track in exactly `cells` characters (LEAST_CELLS at the least)."""
    cells = max(cells, LEAST_CELLS)
    window = gauge.window_cells(cells)
    drawn = [INSIDE if place in window else OUTSIDE for place in range(cells)]
    if gauge.was is not None and gauge.was != gauge.value:
        _mark(drawn, gauge.cell(gauge.was, cells), WAS)
    if gauge.value is not None:
        _mark(drawn, gauge.cell(gauge.value, cells), STANDS[gauge.standing])
    return "".join(drawn)


def with_ends(gauge: Gauge, width: int) -> str:
    """The track between its window's two figures, in exactly `width` characters."""
    low, high = say.number(gauge.low), say.number(gauge.high)
    return f"{low:>5} {track(gauge, width - 12)} {high:<5}"


def parted(drawn: str, gauge: Gauge) -> tuple[str, str, str]:
    """A drawn gauge before, at and after the figure's mark; the mark is "" where it is off the track, or not there."""
    return drawn.partition(STANDS[gauge.standing]) if gauge.standing else (drawn, "", "")


def _mark(drawn: list[str], place: int, mark: str) -> None:
    if place < 0:
        drawn[0] = OFF_LOW
    elif place >= len(drawn):
        drawn[-1] = OFF_HIGH
    else:
        drawn[place] = mark
