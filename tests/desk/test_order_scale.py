"""A large order takes work in proportion to its lines, and an edit a part of it: counted in calls."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import UTC, datetime

from big_order import big_order

from station.bar.nouns import Order
from station.calc.blend import Blends
from station.calc.menu import Menu
from station.desk.ordering import ordered

# Measured: an edit takes 0.42 of the calls of the first answer; with nothing remembered it takes all of them.
MOST = 0.5
NOW = datetime(2027, 6, 1, 12, tzinfo=UTC)


def calls(menu: Menu, order: Order) -> int:
    """How many functions are called for the answer."""
    counted = 0

    def count(frame: object, event: str, argument: object) -> None:
        nonlocal counted
        counted += event == "call"

    sys.setprofile(count)
    try:
        ordered(menu, order, NOW)
    finally:
        sys.setprofile(None)
    return counted


def from_nothing(drinks: int, stocks: int, items: int, lines: int = 8) -> int:
    library, order = big_order(drinks, stocks, items, lines)
    return calls(Menu.of(Blends(library)), order)


def test_twice_the_order_is_twice_the_work() -> None:
    small, large, longer = from_nothing(20, 15, 150), from_nothing(40, 30, 300), from_nothing(20, 15, 150, lines=16)
    assert large / small < 2.3
    assert longer / small < 2.3


def test_the_stocks_are_four_deep() -> None:
    library, _ = big_order()
    depth: dict[str, int] = {}
    for name, one in library.stocks.items():
        depth[name] = 1 + max((depth.get(line.item, 0) for line in one.lines), default=0)
    assert max(depth.values()) == 4 and len(library.stocks) == 30 and len(library.items) == 300


# How long that takes stands in tests/bench/orders.py; here what it takes is counted, whatever else the machine does.
def test_an_edit_reckons_no_drink_anew() -> None:
    library, order = big_order(40, 30, 300)
    menu = Menu.of(Blends(library))
    first = calls(menu, order)
    edits = [calls(menu, replace(order, guests=guests)) for guests in (200, 201, 350)]
    assert max(edits) / first < MOST, [edit / first for edit in edits]
