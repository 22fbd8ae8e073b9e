"""What a large order costs: 40 drinks, 30 stocks four deep, 300 items; an edit of it; and 20 drinks on the screen.

Run `python tests/bench/orders.py` with the package installed. Milliseconds of this processor, the median of many, and as a
ratio to a fixed loop of plain Python in the same run: the aim is under 50 ms for an order of a library that is open, an edit of
20 drinks under a frame (16 ms), and time in proportion to the lines. “From nothing” makes out every item and stock as well.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from big_order import big_order

from station.calc.blend import Blends
from station.calc.menu import Menu
from station.desk.ordering import ordered, with_guests

ROUNDS = 15
NOW = datetime(2027, 6, 1, 12, tzinfo=UTC)


def milliseconds(run: Callable[[], object]) -> float:
    times = []
    for _ in range(ROUNDS):
        start = time.process_time()
        run()
        times.append(time.process_time() - start)
    return 1000.0 * statistics.median(times)


def loop() -> float:
    """The fixed loop: a hundred thousand steps of floats in plain Python."""
    total = 0.0
    for step in range(100_000):
        total = total * 0.5 + step
    return total


def main() -> None:
    """Print the table."""
    plain = milliseconds(loop)
    print(f"plain loop {plain:.2f} ms; below ms and × the loop\n{'':<41}{'from nothing':>16}{'library open':>16}{'an edit':>16}")
    for drinks, stocks, items, lines in ((20, 15, 150, 8), (40, 30, 300, 8), (80, 60, 600, 8), (40, 30, 300, 16)):
        library, order = big_order(drinks, stocks, items, lines)
        blends = Blends(library)
        menu = Menu.of(blends)
        ordered(menu, order, NOW)
        more = with_guests(replace(order, overage=0.1), 310)
        costs = (
            milliseconds(lambda: ordered(Menu.of(Blends(library)), order, NOW)),  # noqa: B023  # run at once
            milliseconds(lambda: ordered(Menu.of(blends), order, NOW)),  # noqa: B023
            milliseconds(lambda: ordered(menu, more, NOW)),  # noqa: B023
        )
        name = f"{drinks} drinks, {stocks} stocks, {items} items, {lines} lines"
        print(f"{name:<41}" + "".join(f"{cost:8.1f} ×{cost / plain:6.2f}" for cost in costs))


if __name__ == "__main__":
    main()
