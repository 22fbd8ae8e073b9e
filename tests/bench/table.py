"""Every budget of the screens, measured and printed as one table, by one command: `python tests/bench/table.py` (Linux).

On a pseudo terminal of 120x40 in truecolor. "start" is from exec until a screenful of real names is painted and a letter sent
then has filtered them, against an empty app of the same framework until its line is painted, in turn. "key to screen" is until
the last byte of its frame. CPU is the kernel's account of all threads. `--quick` measures less often.
"""

from __future__ import annotations

import os
import select
import shutil
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path

import library as specs_of
from screens import HERE, STATION, Watched, cpu_s, keys_table

from station.desk.opening import Opened
from station.files.places import log_file, shipped

MANY = 10_000
RTT_S, BYTES_A_S = 0.060, 64_000
EDITS = ("4", "\x7f", "6", "\x7f")
RARE = "tbsp"
# Lines of a pour that are confirmed, so that a lot stands in the log.
POURED = 8

Row = tuple[str, float, str, float | None]


class SlowLink(Watched):
    """The same at the far end of a link with that round trip and that rate."""

    def cost(self, keys: str) -> tuple[float, int]:
        sent = time.perf_counter()
        time.sleep(RTT_S / 2)
        os.write(self.fd, keys.encode())
        last, count = self.settle()
        return 1000.0 * (last + RTT_S / 2 - sent), count

    def settle(self, quiet: float = 0.1) -> tuple[float, int]:
        """As the link lets it through: a chunk takes its time on the wire before the next is taken."""
        last, count = time.perf_counter(), 0
        while select.select([self.fd], [], [], quiet)[0]:
            got = len(os.read(self.fd, 1024))
            time.sleep(got / BYTES_A_S)
            count += got
            last = time.perf_counter()
        return last, count


def memory_mib(pid: int) -> float:
    """Resident memory."""
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS"))) / 1024


def started(argv: Sequence[str], words: bytes, key: str = "") -> tuple[float, float, float]:
    """Milliseconds to the first frame, until the key has done its work, and of processor time to the first frame."""
    program = Watched(argv)
    first, _ = program.until(words)
    usable, spent = first, cpu_s(program.pid)
    if key:
        os.write(program.fd, key.encode())
        usable = program.settle(0.4)[0] - program.started
    program.settle(0.3)
    program.close()
    return 1000.0 * first, 1000.0 * usable, 1000.0 * spent


def start_rows(times: int, few: Path, many: Path) -> list[Row]:
    """Both libraries and the empty app, in turn."""
    empty = [sys.executable, str(HERE / "empty_app.py")]
    asked: dict[str, Callable[[], tuple[float, float, float]]] = {
        "empty app": lambda: started(empty, b"ready"),
        "30 specs": lambda: started([STATION, "--library", str(few)], b"Wool Parliament", "u"),
        "10,000 specs": lambda: started([STATION, "--library", str(many)], b"Measured Drink 1", "7"),
    }
    runs: dict[str, list[tuple[float, float, float]]] = {name: [] for name in asked}
    for _ in range(times):
        for name, one in asked.items():
            runs[name].append(one())
    first, usable, cpu = (
        {name: statistics.median(one[part] for one in took) for name, took in runs.items()} for part in range(3)
    )
    rows: list[Row] = [("start, empty app, ms", first["empty app"], "", None)]
    for name in ("30 specs", "10,000 specs"):
        rows += [
            (f"start, {name}, first frame, ms", first[name], "", None),
            (f"start, {name}, first frame, to the empty app's", first[name] / first["empty app"], "×", 1.3),
            (f"start, {name}, its processor time, to the empty app's", cpu[name] / cpu["empty app"], "×", None),
            (f"start, {name}, a letter has filtered, to it", usable[name] / first["empty app"], "×", 1.3),
        ]
    return rows


def opened_on_a_line(argv: Sequence[str], kind: type[Watched] = Watched) -> Watched:
    """A drink open, its second line chosen, its amount begun."""
    shutil.rmtree(Path(argv[-1]) / ".station", ignore_errors=True)  # the edit the one before left
    program = kind(argv)
    program.until(b"Wool Parliament")
    program.settle(0.5)
    for keys in ("tin", "\r", "\x1b[B", "2", "2", ".", *EDITS):
        program.cost(keys)
    return program


def edit_cpu_ms(argv: Sequence[str], times: int) -> float:
    program = opened_on_a_line(argv)
    before = cpu_s(program.pid)
    for _ in range(times):
        for key in EDITS:
            program.cost(key)
    spent = 1000.0 * (cpu_s(program.pid) - before) / (times * len(EDITS))
    program.close()
    return spent


def engine_rows(times: int, few: Path) -> list[Row]:
    """What the engine adds to a key; and the slowest key of any kind, a unit nobody has used before among them."""
    ours = edit_cpu_ms([STATION, "--library", str(few)], times)
    constant = edit_cpu_ms([sys.executable, str(HERE / "constant_app.py"), str(few)], times)
    program = opened_on_a_line([STATION, "--library", str(few)])
    slowest = max(program.cost(key)[0] for key in (*"\x15", *"3/4", " ", *RARE, "\x7f", *"\x15", *"2 dashes", *"\x1b"))
    program.close()
    return [
        ("edited key, processor time, ms", ours, "", None),
        ("the same to the engine replaced by constants", ours / constant, "×", 1.5),
        ("slowest key, a rare unit the first time, ms", slowest, "", 50.0),
    ]


def key_rows(few: Path) -> list[Row]:
    shutil.rmtree(few / ".station", ignore_errors=True)
    table = keys_table([STATION, "--library", str(few)])
    edit, move, focus = (table[name] for name in ("edited key", "list move", "focus change"))
    return [
        ("key to screen, edited amount, p50, ms", edit.middle, "", 15.0),
        ("key to screen, edited amount, p95, ms", edit.tail, "", 25.0),
        ("key to screen, list move, p95, ms", move.tail, "", 8.0),
        ("bytes, edited key", edit.count, "", 500),
        ("bytes, list move", move.count, "", 300),
        ("bytes, focus change", focus.count, "", 800),
        ("bytes, first frame", table["first frame"].count, "", 15_000),
        ("bytes, idle 3 s", table["idle 3 s"].count, "", 0),
    ]


def link_rows(times: int, few: Path) -> list[Row]:
    program = opened_on_a_line([STATION, "--library", str(few)], SlowLink)
    edits = [program.cost(key)[0] for _ in range(times) for key in EDITS]
    program.cost("\x1b")
    program.cost("\x1b")
    program.cost("\x15")
    moves = [program.cost(key)[0] for _ in range(times) for key in ("\x1b[B", "\x1b[A")]
    program.close()
    return [
        ("60 ms round trip, 64 kB/s: edited key, to it", statistics.median(edits) / (1000 * RTT_S), "×", 1.3),
        ("60 ms round trip, 64 kB/s: list move, to it", statistics.median(moves) / (1000 * RTT_S), "×", 1.3),
    ]


def rest_rows(seconds: float, few: Path, many: Path) -> list[Row]:
    """What it takes to do nothing, and the memory after a day's tasks in a large library."""
    program = opened_on_a_line([STATION, "--library", str(few)])
    program.settle(1.0)
    before = cpu_s(program.pid)
    time.sleep(seconds)
    idle = 100.0 * (cpu_s(program.pid) - before) / seconds
    program.close()
    empty = Watched([sys.executable, str(HERE / "empty_app.py")])
    empty.until(b"ready")
    empty.settle(1.0)
    bare = memory_mib(empty.pid)
    empty.close()
    program = Watched([STATION, "--library", str(many)])
    program.until(b"Measured Drink 1")
    program.settle(3.0)
    for keys in ("\r", "2", "2", "\x1b", "b", *"1 l", "\r", "p", *[" "] * POURED, "\x1b", "\x1b", "\x1b"):
        program.cost(keys)
        program.settle(0.5 if keys == " " else 0.1)  # two taps sooner than this are one wet finger's
    used = memory_mib(program.pid)
    program.close()
    with closing(sqlite3.connect(log_file(many))) as log:
        assert (logged := log.execute("SELECT COUNT(*) FROM weighings").fetchone()[0]) >= POURED, logged
    return [
        ("idle, processor, %", idle, "", 0.3),
        ("memory, empty app, MiB", bare, "", None),
        ("memory, a card, an edit, a lot, 10,000 specs, MiB", used, "", None),
        ("the same to the empty app's", used / bare, "×", 2.0),
    ]


def main(quick: bool) -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = f"{folder}/cache"
        few = Path(shutil.copytree(shipped("specs"), Path(folder) / "few", ignore=shutil.ignore_patterns(".station")))
        many = specs_of.written(Path(folder) / "many", MANY)
        for one in (few, many):
            assert Opened(one).library.drinks
        rows = start_rows(3 if quick else 21, few, many)
        rows += engine_rows(10 if quick else 50, few)
        rows += key_rows(few)
        rows += link_rows(5 if quick else 20, few)
        rows += rest_rows(5.0 if quick else 30.0, few, many)
    print(f"{'':<56}{'measured':>10}{'budget':>10}")
    for name, value, unit, budget in rows:
        digits = 0 if name.startswith("bytes") else 2
        missed = "  missed" if budget is not None and value > budget else ""
        wanted = "" if budget is None else f"{budget:,g} {unit}".strip()
        print(f"{name:<56}{value:>10,.{digits}f}{wanted:>10}{missed}")


if __name__ == "__main__":
    main("--quick" in sys.argv)
