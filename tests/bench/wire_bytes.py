"""Bytes and processor time a key costs on the wire: the stock driver and ours, side by side.

Run `python tests/bench/wire_bytes.py` from the checkout. The app is tests/terminal/demo_app.py: stock widgets, truecolor. The
figures are the bytes the program wrote to a pseudo terminal, and the processor time (Linux only) it took per key of a burst.
"""

import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "support"))

from pty_app import PtyApp  # noqa: E402

TARGETS = {"first frame": 15_000, "key in the input": 500, "list one down": 300, "focus change": 800, "idle 3 s": 0}
_KEYS = 100


def measure(driver: str, columns: int, lines: int, calm: bool) -> dict[str, float]:
    """What each action costs with this driver at this size; `calm` without the tint stock widgets take with the focus."""
    with tempfile.TemporaryDirectory() as folder:
        argv = [sys.executable, str(ROOT / "tests/terminal/demo_app.py"), str(Path(folder) / "saved")]
        env = {"STATION_DRIVER": driver, "DEMO_CALM": "1" if calm else ""}
        with PtyApp(argv, env, columns, lines) as app:
            app.wait_for("Drink number 05")
            app.wait_quiet()
            bytes_sent: dict[str, float] = {"first frame": app.mark()}
            _cost(app, "1")
            bytes_sent["key in the input"] = _cost(app, "2")
            bytes_sent["focus change"] = max(_cost(app, "\t"), _cost(app, "\t"))
            _cost(app, "\x1b[B")
            bytes_sent["list one down"] = _cost(app, "\x1b[B")
            mark = app.mark()
            app.wait_quiet(3.0)
            bytes_sent["idle 3 s"] = len(app.raw_bytes_sent_since(mark))
            bytes_sent["CPU ms, list key"] = _cpu_ms(app, "\x1b[B\x1b[A")
            app.send("\t")
            app.wait_quiet()
            bytes_sent["CPU ms, input key"] = _cpu_ms(app, "3\x7f")
            app.send("\x11")
            app.wait()
            return bytes_sent


def _cost(app: PtyApp, key: str) -> int:
    mark = app.mark()
    app.send(key)
    app.wait_quiet(0.4)
    return len(app.raw_bytes_sent_since(mark))


def _cpu_ms(app: PtyApp, pair: str) -> float:
    """Processor time per key, each key painted before the next is typed."""
    before = _processor_seconds(app.process.pid)
    for _ in range(_KEYS // 2):
        for key in (pair[: len(pair) // 2], pair[len(pair) // 2 :]):
            app.send(key)
            app.wait_quiet(0.06)
    return 1000 * (_processor_seconds(app.process.pid) - before) / _KEYS


def _processor_seconds(pid: int) -> float:
    """Time on the processor of all threads, where the kernel says it; else 0."""
    return sum(int(stat.read_text().split()[0]) for stat in Path(f"/proc/{pid}/task").glob("*/schedstat")) / 1e9


def main() -> None:
    """Print the table."""
    for columns, lines, calm in ((80, 24, False), (80, 24, True), (120, 40, False), (120, 40, True)):
        stock, ours = (measure(driver, columns, lines, calm) for driver in ("stock", "changed-cells"))
        print(f"\n{columns}x{lines}, {'no tint on focus' if calm else 'stock widgets as they are'}")
        print(f"{'':<20}{'stock':>10}{'ours':>10}{'target':>10}")
        for action, spent in ours.items():
            target = format(TARGETS[action], ",") if action in TARGETS else ""
            digits = 2 if action.startswith("CPU") else 0
            print(f"{action:<20}{stock[action]:>10,.{digits}f}{spent:>10,.{digits}f}{target:>10}")


if __name__ == "__main__":
    main()
