"""Lines in parts, turned into their share of a stated total."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from station.bar.amount import Amount
from station.bar.nouns import Line


def shared(lines: Sequence[Line], total: Amount | None) -> tuple[Line, ...]:
    """The lines, those in parts as their share of `total` in its unit, by volume or by weight as that is; their text stays."""
    parts = sum(line.amount.value or 0.0 for line in lines if line.amount.measures == "part")
    if total is None or total.value is None or not parts:
        return tuple(lines)
    each = total.value / parts
    return tuple(_share(line, each, total.unit) if line.amount.measures == "part" else line for line in lines)


def _share(line: Line, each: float, unit: str) -> Line:
    return replace(line, amount=replace(line.amount, value=(line.amount.value or 0.0) * each, unit=unit))
