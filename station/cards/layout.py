"""Columns of plain text."""

from __future__ import annotations

from collections.abc import Sequence

from station.bar.say import plain


def table(rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset(), gap: str = "  ") -> list[str]:
    """Rows in columns as wide as they need, those in `right` to the right; no trailing blanks. Text is made plain."""
    clean = [[plain(cell) for cell in row] for row in rows]
    if not clean:
        return []
    widths = [max(len(row[place]) for row in clean) for place in range(len(clean[0]))]
    lines = []
    for row in clean:
        cells = [
            cell.rjust(width) if place in right else cell.ljust(width)
            for place, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append(gap.join(cells).rstrip())
    return lines
