"""A gauge as text: a track with the window marked on it, the figure's mark, and the mark of what it was before."""

from __future__ import annotations

from dataclasses import dataclass

from station.bar import say
from station.calc.gauges import Gauge

LEAST_CELLS = 9


@dataclass(frozen=True, slots=True)
class Marks:
    """The characters of a gauge: outside and inside the window, what was, off the track at either end, and where it stands."""

    outside: str
    inside: str
    was: str
    off_low: str
    off_high: str
    standing: dict[str, str]


MARKS = Marks("·", "━", "○", "◀", "▶", {"low": "▼", "within": "●", "high": "▲"})
PLAIN_MARKS = Marks(".", "=", "o", "<", ">", {"low": "v", "within": "#", "high": "^"})


def marks(plain: bool) -> Marks:
    """The marks of a terminal; `plain`: in ASCII."""
    return PLAIN_MARKS if plain else MARKS


def said(standing: str, plain: bool = False) -> str:
    """Where a figure stands, in shape and word."""
    return f"{marks(plain).standing[standing]} {standing}" if standing else ""


def track(gauge: Gauge, cells: int, plain: bool = False) -> str:
    """The track in exactly `cells` characters (LEAST_CELLS at the least)."""
    cells = max(cells, LEAST_CELLS)
    use, window = marks(plain), gauge.window_cells(cells)
    drawn = [use.inside if place in window else use.outside for place in range(cells)]
    if gauge.was is not None and gauge.was != gauge.value:
        _mark(drawn, gauge.cell(gauge.was, cells), use.was, use)
    if gauge.value is not None:
        _mark(drawn, gauge.cell(gauge.value, cells), use.standing[gauge.standing], use)
    return "".join(drawn)


def with_ends(gauge: Gauge, width: int, plain: bool = False) -> str:
    """The track between its window's two figures, in exactly `width` characters."""
    low, high = say.number(gauge.low), say.number(gauge.high)
    return f"{low:>5} {track(gauge, width - 12, plain)} {high:<5}"


def _mark(drawn: list[str], place: int, mark: str, use: Marks) -> None:
    if place < 0:
        drawn[0] = use.off_low
    elif place >= len(drawn):
        drawn[-1] = use.off_high
    else:
        drawn[place] = mark
