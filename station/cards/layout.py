"""Columns of plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from station.bar.cautions import Caution
from station.bar.say import plain

GAP = "  "


def table(rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset(), width: int = 0) -> list[str]:
    """Rows in columns as wide as they need, those in `right` to the right; no trailing blanks. Text is made plain.

    Where a `width` is given and the columns need more, the first is cut with … to fit.
    """
    clean = [[plain(cell) for cell in row] for row in rows]
    if not clean:
        return []
    widths = [max(len(row[place]) for row in clean) for place in range(len(clean[0]))]
    over = sum(widths) + len(GAP) * (len(widths) - 1) - width
    if width and over > 0:
        widths[0] = max(widths[0] - over, 8)
    return [GAP.join(_cell(cell, widths[place], place in right) for place, cell in enumerate(row)).rstrip() for row in clean]


def wrap(text: str, width: int, hang: str = GAP) -> list[str]:
    """A sentence in lines of at most `width`, those after the first behind `hang`. Text is made plain."""
    return textwrap.wrap(plain(text, 2000), max(width, 8), subsequent_indent=hang, break_on_hyphens=False)


def rows_or_pairs(rows: Sequence[Sequence[str]], right: frozenset[int], width: int) -> list[str]:
    """Columns where they fit; else each row's name on a line and the rest under it."""
    lines = table(rows, right)
    if max(map(len, lines), default=0) <= width:
        return lines
    found: list[str] = []
    for name, *rest in rows:
        said = " · ".join(cell for cell in rest if cell)
        found += [*wrap(name, width), *(GAP + line for line in wrap(said, width - 2))]
    return found


def caution_rows(told: Iterable[Caution], width: int) -> list[str]:
    """Each caution under its word, with its source."""
    return [line for one in told for line in wrap(f"{one.word}: {one.text} [{one.source}]", width)]


def cut(text: str, width: int) -> str:
    """Text made plain, cut with … where it is longer than `width`."""
    clean = plain(text)
    return clean if len(clean) <= width else clean[: max(width - 1, 0)] + "…"


def _cell(text: str, width: int, to_the_right: bool) -> str:
    return cut(text, width).rjust(width) if to_the_right else cut(text, width).ljust(width)
