"""What a trace over 10,000 lots costs, forward and backward, beside a plain read of the very rows it meets.

Run `python tests/bench/trace.py` with the package installed. The log is invented: 2,000 deliveries, 3,000 stocks of six lots
each, 5,000 batches of six; a delivery goes on through stocks into batches. Each figure is the median of many, on this machine.
"""

from __future__ import annotations

import random
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

from station.bar.logged import Lot, Weighing
from station.calc.traced import Link, backward, forward
from station.lots.log import Log

DELIVERIES, STOCKS, BATCHES, PARTS = 2000, 3000, 5000, 6
ROUNDS = 25
START = datetime(2026, 1, 1, 12, tzinfo=UTC)


def filled(path: Path) -> tuple[Log, list[Lot]]:
    """The log, and its lots in the order they were made."""
    rng, lots, rows = random.Random(1), list[Lot](), list[Weighing]()
    for place in range(DELIVERIES + STOCKS + BATCHES):
        kind = "bought" if place < DELIVERIES else "stock" if place < DELIVERIES + STOCKS else "batch"
        lot = Lot(_uuid(rng), kind, f"item-{place % 97}", f"Item {place % 97}", START + timedelta(minutes=place), "AB", g=1000.0)
        among = lots[:DELIVERIES] if kind == "stock" else lots[: DELIVERIES + STOCKS]
        for line, part in enumerate(rng.sample(among, PARTS) if kind != "bought" else []):
            rows.append(Weighing(_uuid(rng), lot.uuid, line, part.item, 10.0, 10.0, "asked", lot.made, "AB", part.uuid))
        lots.append(lot)
    log = Log(path)
    log.add(*lots, *rows)
    return log, lots


def _uuid(rng: random.Random) -> str:
    return UUID(int=rng.getrandbits(128)).hex


def in_turn(*runs: Callable[[], object]) -> list[float]:
    """The median milliseconds of each, taken in turn, so that what else the machine does falls on all alike."""
    times: list[list[float]] = [[] for _ in runs]
    for _ in range(ROUNDS):
        for run, taken in zip(runs, times, strict=True):
            start = time.perf_counter()
            run()
            taken.append(time.perf_counter() - start)
    return [1000.0 * statistics.median(taken) for taken in times]


def plain(path: Path, column: str, lots: list[str]) -> Callable[[], object]:
    """The weighings of these lots, read and nothing else: one connection, one statement for each lot, no nouns made."""

    def read() -> int:
        with closing(sqlite3.connect(path)) as db:
            statement = f"SELECT * FROM weighings WHERE {column} = ?"
            return sum(len(db.execute(statement, (lot,)).fetchall()) for lot in lots)

    return read


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.db"
        log, lots = filled(path)
        first, last = lots[0].uuid, lots[-1].uuid
        ways: dict[str, tuple[str, Callable[[], list[Link]], str]] = {
            "forward from a delivery": ("part", lambda: forward(first, log.from_parts), first),
            "backward from a batch": ("lot", lambda: backward(last, lambda some: log.of_lots(Weighing, some)), last),
        }
        print(f"{'trace over ' + format(len(lots), ',') + ' lots':<28}{'met':>8}{'ms':>9}{'plain ms':>10}{'ratio':>8}")
        for name, (column, trace, start) in ways.items():
            met = [link.lot for link in trace()]
            took, read = in_turn(trace, plain(path, column, [start, *met]))
            print(f"{name:<28}{len(met):>8}{took:>9.2f}{read:>10.2f}{took / read:>8.2f}")
        (everything,) = in_turn(lambda: log.every(Weighing))
        print(f"{'every weighing of the log':<28}{PARTS * (STOCKS + BATCHES):>8}{everything:>9.1f}")


if __name__ == "__main__":
    main()
