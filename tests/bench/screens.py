"""What the station's screens cost: bytes and milliseconds per key, per list move, per focus change; start against an empty app.

Run `python tests/bench/screens.py` with the package installed. Everything is measured on a pseudo terminal of 120x40 in
truecolor: bytes are what the program wrote, times run from the key sent to the last byte of its frame received, the processor's
time is what the program's threads were given from the key until it was quiet again (Linux only).
"""

from __future__ import annotations

import compileall
import fcntl
import os
import pty
import select
import shutil
import statistics
import struct
import sys
import tempfile
import termios
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import station
from station.files.places import shipped

# As an installation leaves it: with its bytecode, which an environment may forbid a checkout to keep.
assert compileall.compile_dir(Path(station.__file__).parent, quiet=1)
STATION = shutil.which("station", path=str(Path(sys.executable).parent)) or ""
HERE = Path(__file__).resolve().parent
COLUMNS, LINES = 120, 40
QUIET_S, ROUNDS, STARTS = 0.06, 40, 9
ENVIRONMENT = {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8", "STATION_BY": "AB"}
TARGETS = {"first frame": 15_000, "edited key": 500, "list move": 300, "focus change": 800, "idle 3 s": 0}
LATENCY_TARGETS = {"edited key": (15.0, 25.0), "list move": (None, 8.0)}


@dataclass(frozen=True, slots=True)
class Cost:
    """One action: its bytes (median), milliseconds at p50 and p95, and the processor's (mean)."""

    count: float
    middle: float = 0.0
    tail: float = 0.0
    cpu: float = 0.0


class Watched:
    """A program on a pseudo terminal; every byte it writes is stamped with the time it came."""

    def __init__(self, argv: Sequence[str]) -> None:
        self.started = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.environ.update(ENVIRONMENT)
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", LINES, COLUMNS, 0, 0))
            os.execv(argv[0], list(argv))

    def until(self, words: bytes, timeout: float = 20.0) -> tuple[float, int]:
        """Seconds from the start until `words` were written, and bytes until then."""
        seen = b""
        while words not in seen:
            if not select.select([self.fd], [], [], timeout)[0]:
                raise TimeoutError(f"{words!r} never came; last: {seen[-300:]!r}")
            seen += os.read(self.fd, 65536)
        return time.perf_counter() - self.started, len(seen)

    def settle(self, quiet: float = QUIET_S) -> tuple[float, int]:
        """Wait until nothing comes for `quiet` seconds: when the last byte came, and how many there were."""
        last, count = time.perf_counter(), 0
        while select.select([self.fd], [], [], quiet)[0]:
            count += len(os.read(self.fd, 65536))
            last = time.perf_counter()
        return last, count

    def cost(self, keys: str) -> tuple[float, int]:
        """Milliseconds to the last byte of what the keys changed, and its bytes."""
        sent = time.perf_counter()
        os.write(self.fd, keys.encode())
        last, count = self.settle()
        return 1000.0 * (last - sent), count

    def close(self) -> None:
        os.write(self.fd, b"\x11")
        with suppress(OSError):  # the terminal's other end is closed when the program has gone
            self.settle(2.0)
        os.close(self.fd)
        os.waitpid(self.pid, 0)


def cpu_s(pid: int) -> float:
    """Processor time of all threads so far."""
    return sum(int(stat.read_text().split()[0]) for stat in Path(f"/proc/{pid}/task").glob("*/schedstat")) / 1e9


def starts(argv: Sequence[str], words: bytes) -> float:
    """Milliseconds from exec to the screen that holds `words`."""
    program = Watched(argv)
    seconds, _ = program.until(words)
    program.settle(0.3)
    program.close()
    return 1000.0 * seconds


def keys_table(station: Sequence[str]) -> dict[str, Cost]:
    """For each action its cost."""
    program = Watched(station)
    _, first = program.until(b"Wool Parliament")
    first += program.settle(0.5)[1]
    table = {"first frame": Cost(float(first))}
    table["list move"] = _rounds(program, ["\x1b[B", "\x1b[A"])
    program.cost("tin")
    program.cost("\r")
    table["focus change"] = _rounds(program, ["\t", "\t"])
    program.cost("\x1b[B")
    table["edited key"] = _rounds(program, ["4", "\x7f", "6", "\x7f"], warm=["2", "2", "."])
    program.cost("\x1b")
    table["lines move"] = _rounds(program, ["\x1b[B", "\x1b[A"])
    for page in ("sources", "acids"):
        program.cost("a")
        table[f"move, {page}"] = _rounds(program, ["\x1b[B", "\x1b[A"])
    program.cost("a")
    program.settle(1.0)
    table["idle 3 s"] = Cost(float(program.settle(3.0)[1]))
    program.cost("t")
    table["tuned key"] = _rounds(program, ["7", "\x7f"])
    program.cost("\x1b")
    program.cost("\x1b")
    table["open a drink"] = _rounds(program, ["\x15wool\r", "\x1b\x15tin\r", "\x1b"])
    program.close()
    return table | _order_keys(station)


def _order_keys(station: Sequence[str]) -> dict[str, Cost]:
    """A figure of an order typed, and the cursor moved over its fields."""
    program = Watched(station)
    program.until(b"Wool Parliament")
    program.settle(0.5)
    for keys in ("?", "events", "\r", "\r", "\x1b[B"):
        program.cost(keys)
    table = {"order, move": _rounds(program, ["\x1b[B", "\x1b[A"])}
    table["order, typed"] = _rounds(program, ["9", "\x7f"], warm=["8", "0"])
    program.close()
    return table


def _rounds(program: Watched, keys: Sequence[str], warm: Sequence[str] = ()) -> Cost:
    for key in (*warm, *keys):
        program.cost(key)
    before = cpu_s(program.pid)
    costs = [program.cost(key) for _ in range(ROUNDS // len(keys)) for key in keys]
    cpu = 1000.0 * (cpu_s(program.pid) - before) / len(costs)
    times = sorted(one[0] for one in costs)
    return Cost(statistics.median(one[1] for one in costs), statistics.median(times), times[int(0.95 * len(times))], cpu)


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        library = shutil.copytree(shipped("specs"), Path(folder) / "library", ignore=shutil.ignore_patterns(".station"))
        station = [STATION, "--library", str(library)]
        empty = [sys.executable, str(HERE / "empty_app.py")]
        pairs = [(starts(empty, b"ready"), starts(station, b"Wool Parliament")) for _ in range(STARTS)]
        table = keys_table(station)
    bare, ours = (statistics.median(column) for column in zip(*pairs, strict=True))
    ratio = f"ratio {ours / bare:.2f} (target 1.3)"
    print(f"start, median of {STARTS}, interleaved: empty app {bare:.0f} ms, station {ours:.0f} ms, {ratio}")
    print(f"{'':<14}{'bytes':>8}{'target':>8}{'p50 ms':>8}{'target':>8}{'p95 ms':>8}{'target':>8}{'CPU ms':>8}")
    for action, cost in table.items():
        wanted = LATENCY_TARGETS.get(action, (None, None))
        times = "".join(f"{_said(one):>8}" for one in (cost.middle, wanted[0], cost.tail, wanted[1], cost.cpu))
        most = f"{TARGETS[action]:,}" if action in TARGETS else "–"
        print(f"{action:<14}{cost.count:>8,.0f}{most:>8}{times}")


def _said(value: float | None) -> str:
    return f"{value:.1f}" if value else "–"


if __name__ == "__main__":
    main()
