"""A bare ratio is no amount and no strength: it has two readings, and people have been hurt between them."""

from __future__ import annotations

import re

from station.bar import say

_RATIO = re.compile(r"(?P<first>\d+(?:[.,]\d+)?)\s*:\s*(?P<second>\d+(?:[.,]\d+)?)")


def readings(text: str) -> str:
    """What a bare ratio at the head of `text` could mean, with the strength of each, by weight; "" if there is none."""
    found = _RATIO.match(text.strip())
    if not found:
        return ""
    first, second = (float(found[name].replace(",", ".")) for name in ("first", "second"))
    if not first or not second:
        return ""
    sum_of_both = f"{_parts(first)} + {_parts(second)} = {say.percent(first / (first + second), 'w/w')}"
    if first < second:
        other = f"{_parts(first)} in {say.number(second)} = {say.percent(first / second, 'w/w')}"
    else:
        other = f"the other way round = {say.percent(second / (first + second), 'w/w')}"
    return f"{found[0]} could be {sum_of_both}, or {other}"


def _parts(count: float) -> str:
    return f"{say.number(count)} part{'' if count == 1.0 else 's'}"
