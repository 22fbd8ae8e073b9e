"""A program in a real pseudo terminal: keys in, and what an emulator shows of its output, out.

The emulator (pyte) is given the two things it lacks: the alternate screen, and deafness to keyboard-protocol sequences, which
it would print. A thread reads all the time, so the program is never held up unless a test asks for it with `stall`.
"""

import copy
import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import termios
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import pyte

ENVIRONMENT = {
    "TERM": "xterm-256color",
    "COLORTERM": "truecolor",
    "LANG": "C.UTF-8",
    "TEXTUAL_ANIMATIONS": "none",
    "TEXTUAL_SMOOTH_SCROLL": "0",
    "ESCDELAY": "100",
    "STATION_BY": "AB",
}
"""What the program sees on top of PATH and HOME, unless a test says otherwise."""

ALTERNATE = 1049
_INHERITED = ("PATH", "HOME", "PYTHONPATH", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME")
_QUERY_SYNC, _HAS_SYNC = b"\x1b[?2026$p", b"\x1b[?2026;2$y"
_UNPRINTABLE = re.compile(rb"\x1b\[[<=>][\d;]*[a-zA-Z]")
_CUT_SHORT = re.compile(rb"\x1b(?:\[[<=>]?[\d;]*)?$")


def _inherited() -> dict[str, str]:
    kept = {name: os.environ[name] for name in _INHERITED if name in os.environ}
    return {**kept, **ENVIRONMENT}


class Terminal(pyte.Screen):
    """pyte's screen with an alternate buffer; `modes` are the private modes that are set, the answer to "was it put back"."""

    def __init__(self, columns: int, lines: int) -> None:
        self.modes: set[int] = set()
        self.ever: set[int] = set()
        self._main: Any = None
        super().__init__(columns, lines)

    def set_mode(self, *modes: int, **kwargs: Any) -> None:
        if kwargs.get("private"):
            if ALTERNATE in modes and ALTERNATE not in self.modes:
                self._main = copy.deepcopy((self.buffer, self.cursor))
                self.erase_in_display(2)
            self.modes |= set(modes)
            self.ever |= set(modes)
        super().set_mode(*modes, **kwargs)

    def reset_mode(self, *modes: int, **kwargs: Any) -> None:
        if kwargs.get("private"):
            if ALTERNATE in modes and ALTERNATE in self.modes:
                self.buffer, self.cursor = self._main
            self.modes -= set(modes)
        super().reset_mode(*modes, **kwargs)


class PtyApp:
    """Run `argv` in a pseudo terminal of `columns` by `lines`. Use as a context manager, or `close` it.

    `synchronized`: the terminal says that it knows synchronized output. `controlling`: it is the program's controlling
    terminal; if not, closing it sends no SIGHUP and changing its size no SIGWINCH.
    """

    def __init__(
        self,
        argv: Sequence[str],
        env: Mapping[str, str] | None = None,
        columns: int = 80,
        lines: int = 24,
        *,
        cwd: Path | None = None,
        synchronized: bool = False,
        controlling: bool = True,
    ) -> None:
        self.columns, self.lines = columns, lines
        self.terminal = Terminal(columns, lines)
        self._stream = pyte.ByteStream(self.terminal)
        self._synchronized = synchronized
        self._raw = bytearray()
        self._unfed = b""
        self._news = threading.Condition()
        self._last_news = time.monotonic()
        self._reads, self._ended = threading.Event(), threading.Event()
        self._reads.set()
        self._master, self._slave = os.openpty()
        self._set_size()
        self.modes_before = termios.tcgetattr(self._slave)
        take_terminal = partial(fcntl.ioctl, 0, termios.TIOCSCTTY, 0) if controlling else None
        self.process = subprocess.Popen(
            argv,
            stdin=self._slave,
            stdout=self._slave,
            stderr=self._slave,
            cwd=cwd,
            env={**_inherited(), **(env or {})},
            start_new_session=True,
            preexec_fn=take_terminal,  # noqa: PLW1509 - one system call
        )
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    @property
    def screen(self) -> list[str]:
        """The lines now shown."""
        with self._news:
            return list(self.terminal.display)

    @property
    def cells(self) -> list[list[pyte.screens.Char]]:
        """The cells now shown, with their attributes."""
        with self._news:
            return [[self.terminal.buffer[y][x] for x in range(self.columns)] for y in range(self.lines)]

    @property
    def cursor(self) -> tuple[int, int]:
        """Column and line of the cursor, from 0."""
        with self._news:
            return self.terminal.cursor.x, self.terminal.cursor.y

    @property
    def modes(self) -> list[Any]:
        """The termios attributes now; compare with `modes_before`."""
        return termios.tcgetattr(self._slave)

    @property
    def fileno(self) -> int:
        """The program's side of the terminal."""
        return self._slave

    def send(self, text: str | bytes) -> None:
        """Type `text`."""
        data = text.encode() if isinstance(text, str) else text
        self._last_news = time.monotonic()
        while data:
            data = data[os.write(self._master, data) :]

    def wait_for(self, wanted: str | Callable[[list[str]], object], timeout: float = 30.0) -> list[str]:
        """Wait until the text is on the screen, or the predicate holds of its lines; give the lines."""
        holds = wanted if callable(wanted) else lambda lines: any(wanted in line for line in lines)
        with self._news:
            if self._news.wait_for(lambda: holds(self.terminal.display), timeout):
                return list(self.terminal.display)
            shown = "\n".join(line.rstrip() for line in self.terminal.display)
        raise AssertionError(f"not within {timeout} s: {wanted!r}; exit status {self.process.poll()}; the screen shows\n{shown}")

    def wait_quiet(self, quiet: float = 0.25, timeout: float = 30.0) -> None:
        """Wait until nothing was written for `quiet` seconds, and all that was written is on the screen."""
        until = time.monotonic() + timeout
        while (still := self._last_news + quiet - time.monotonic()) > 0 or self._unread:
            if time.monotonic() > until:
                raise AssertionError(f"still writing after {timeout} s")
            time.sleep(max(still, 0.01))

    @property
    def _unread(self) -> bool:
        """Whether the reader has not come round yet to something written; while it is stalled it is not asked to."""
        return self._master >= 0 and self._reads.is_set() and bool(select.select([self._master], [], [], 0)[0])

    def mark(self) -> int:
        """A place in what the program has written, for `raw_bytes_sent_since`."""
        with self._news:
            return len(self._raw)

    def raw_bytes_sent_since(self, mark: int) -> bytes:
        """All the program wrote since `mark`."""
        with self._news:
            return bytes(self._raw[mark:])

    def resize(self, columns: int, lines: int) -> None:
        """Change the terminal's size; the kernel tells the program."""
        with self._news:
            self.columns, self.lines = columns, lines
            self._last_news = time.monotonic()
            self.terminal.resize(lines, columns)
            self._set_size()

    def stall(self) -> None:
        """Stop reading, as a tablet does that falls asleep."""
        self._reads.clear()

    def drain(self) -> None:
        """Read again."""
        self._last_news = time.monotonic()
        self._reads.set()

    def signal(self, number: int) -> None:
        """Send a signal to the program."""
        self._last_news = time.monotonic()
        self.process.send_signal(number)

    def hang_up(self) -> None:
        """Close the terminal under the program."""
        self._ended.set()
        self._reader.join(5)
        os.close(self._master)
        self._master = -1

    def wait(self, timeout: float = 30.0) -> int:
        """Wait for the program's end and give its exit status; what it wrote before is on the screen then."""
        status = self.process.wait(timeout)
        if self._master >= 0 and self._reads.is_set():
            self._last_news = time.monotonic()
            self.wait_quiet(0.1)
        return status

    def close(self) -> None:
        """End the program, roughly if need be, and let go of the terminal."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait(5)
        self._ended.set()
        self._reader.join(5)
        for fileno in (self._master, self._slave):
            if fileno >= 0:
                os.close(fileno)
        self._master = self._slave = -1

    def _set_size(self) -> None:
        fcntl.ioctl(self._master, termios.TIOCSWINSZ, struct.pack("HHHH", self.lines, self.columns, 0, 0))

    def _read(self) -> None:
        while not self._ended.is_set():
            if not self._reads.wait(0.05) or not select.select([self._master], [], [], 0.05)[0]:
                continue
            try:
                data = os.read(self._master, 65536)
            except OSError:
                return
            self._take(data)

    def _take(self, data: bytes) -> None:
        if self._synchronized and _QUERY_SYNC in data:
            os.write(self._master, _HAS_SYNC)
        with self._news:
            self._raw += data
            data = _UNPRINTABLE.sub(b"", self._unfed + data)
            cut = _CUT_SHORT.search(data)
            end = cut.start() if cut else len(data)
            self._unfed = data[end:]
            self._stream.feed(data[:end])
            self._last_news = time.monotonic()
            self._news.notify_all()
