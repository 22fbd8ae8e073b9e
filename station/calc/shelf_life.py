"""Until when something made of parts may be used: the house's word, and no longer than what goes in unchanged."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, time

from station.bar.nouns import Library
from station.bar.quantity import Keeps
from station.calc.explode import making_order
from station.calc.keeping import keeps_of, use_by


def made_of(
    made: datetime, keeps: Keeps | None, parts: Iterable[datetime | None], day_ends: time, reason: str = ""
) -> datetime | None:
    """The earliest of made + `keeps` and every part's use-by; the parts' are outlived only where the house gives a `reason`."""
    own = use_by(made, keeps, day_ends) if keeps else None
    if own is not None and reason:
        return own
    ends = [end for end in (own, *parts) if end is not None]
    return min(ends) if ends else None


def fresh_until(library: Library, name: str, made: datetime, day_ends: time) -> datetime | None:
    """The use-by of an item opened, or a stock made, at `made` from parts as fresh."""
    ends: dict[str, datetime | None] = {}

    def end(item: str) -> datetime | None:
        if item in library.stocks:
            return ends[item]
        keeps = keeps_of(library.items.get(item), opened=True)
        return use_by(made, keeps, day_ends) if keeps else None

    for one in making_order([name], library):
        stock = library.stocks[one]
        parts = (end(line.item) for line in stock.lines)
        ends[one] = made_of(made, keeps_of(stock), parts, day_ends, stock.keeps_reason)
    return end(name)
