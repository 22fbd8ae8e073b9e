"""The wire between the screens and the terminal: only the cells that changed are sent, at the pace of the link.

The stock driver stays in charge of modes, signals and keys; this one takes over what is written, and mends what a poor
link does to what is read. The screens need not know: whatever they write is read back into a shadow of the screen.
"""

import os
import select
import signal
import termios
from codecs import getincrementaldecoder
from collections.abc import Callable, Iterable
from contextlib import suppress
from queue import SimpleQueue
from threading import RLock, Thread
from time import monotonic
from typing import Any

from textual import constants, events
from textual._xterm_parser import XTermParser
from textual.app import App
from textual.drivers.linux_driver import LinuxDriver
from textual.message import Message

from station.tui.escapes import ESC, Escapes
from station.tui.shadow import Shadow

_PATIENCE_S = 1.0  # how long a stop waits for a link that takes nothing
_GLANCE_S = 0.1  # how long a wait for the terminal goes on without a look at whether to end
_CHUNK_BYTES = 1024
_CANCEL = "\x18"  # ECMA-48 CAN: ends a sequence that was cut short, does nothing otherwise
_MOUSE_MODES = (1000, 1002, 1006)  # clicks, drags, in SGR form. Not 1003, every move: some mobile terminals do not bear it


class ChangedCellsDriver(LinuxDriver):
    """Textual's driver for Unix terminals, sending differences.

    It never blocks the event loop: while the link is stalled only the newest state of the screen is kept. Stopping waits at
    most a second and a half, whatever the link does. A terminal that is gone is a hang-up.
    """

    def __init__(self, app: App[Any], *, debug: bool = False, mouse: bool = True, size: tuple[int, int] | None = None) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self._outlet: _Outlet | None = None
        self._shadow = Shadow(*self._measure())

    def write(self, data: str) -> None:
        """Paint, or control the terminal; nothing is sent outside application mode."""
        if self._outlet is not None:
            self._outlet.write(data)

    def repaint(self) -> None:
        """Paint every cell again: the remedy when something else has written over the screen."""
        if self._outlet is not None:
            self._outlet.repaint()

    @property
    def unknown_sequences(self) -> int:
        """How many sequences were passed on without being understood; 0 in normal use."""
        return self._shadow.unknown

    def start_application_mode(self) -> None:
        """Take the terminal."""
        if self._outlet is not None:  # a start that was put back to sleep: a background job may not have the terminal
            self._outlet.stop()
        self._outlet = _Outlet(self._output, self._shadow, self._measure)
        self._outlet.start()
        super().start_application_mode()  # type: ignore[no-untyped-call]

    def close(self) -> None:
        """Let go of the terminal after the last of what was written has gone out, if it goes out at all."""
        super().close()
        self._writer_thread = None  # stock's own, which has had nothing to do
        if self._outlet is not None:
            self._outlet.stop()
            self._outlet = None

    def run_input_thread(self) -> None:
        """Read keys until told to stop or the terminal is gone."""
        decode = getincrementaldecoder("utf-8")(errors="replace").decode
        parser = XTermParser(self._debug)
        escapes = Escapes(constants.ESCAPE_DELAY)
        while not self.exit_event.is_set():
            data = self._read() if select.select([self.fileno], [], [], _GLANCE_S)[0] else None
            if data == b"":
                self._loop.call_soon_threadsafe(self._hang_up)
                return
            try:
                for piece in escapes.pieces(decode(data or b""), monotonic()):
                    self._dispatch(parser.feed(piece) if piece != ESC else (events.Key("escape", ESC),))
                self._dispatch(parser.tick())
            except (ValueError, OverflowError):  # a garbled sequence with a number out of range: it was no key
                parser = XTermParser(self._debug)

    def _read(self) -> bytes:
        try:
            return os.read(self.fileno, 4096)
        except OSError:  # a terminal that is gone says EIO on Linux, nothing elsewhere
            return b""

    def _dispatch(self, messages: Iterable[Message]) -> None:
        for message in messages:
            self.process_message(message)

    def _hang_up(self) -> None:
        """Leave as on SIGHUP: the way of the app if it has one, else at once."""
        if callable(signal.getsignal(signal.SIGHUP)):
            os.kill(os.getpid(), signal.SIGHUP)
        else:
            self._app.exit(return_code=128 + signal.SIGHUP)

    @property
    def _output(self) -> int:
        """Standard error, as stock has it; standard output if that is redirected."""
        return next((fileno for fileno in (2, 1) if os.isatty(fileno)), 2)

    def _measure(self) -> tuple[int, int]:
        try:
            columns, lines = os.get_terminal_size(self._output)
        except OSError:
            columns = lines = 0
        return (columns, lines) if columns and lines else super()._get_terminal_size()

    def _get_terminal_size(self) -> tuple[int, int]:
        """Asked by stock whenever the terminal says that its size changed.

        A size that changed and changed back is no change to the screens, but may have cost the terminal its content.
        """
        size = self._measure()
        if size == (self._shadow.columns, self._shadow.lines):
            self.repaint()
        return size

    def _enable_mouse_support(self) -> None:
        if self._mouse:
            self.write("".join(f"\x1b[?{mode}h" for mode in _MOUSE_MODES))

    def _disable_mouse_support(self) -> None:
        if self._mouse:
            self.write("".join(f"\x1b[?{mode}l" for mode in reversed(_MOUSE_MODES)))

    def _query_in_band_window_resize(self) -> None:
        """Not asked for: the kernel tells the size, and one teller is enough."""

    def _sigtstp_application(self, *_: Any) -> None:
        """Ctrl+z: between two events, as a signal may come amid a write; at once while another program has the terminal."""
        if self._auto_restart:
            self._loop.call_soon_threadsafe(super()._sigtstp_application)
        else:
            super()._sigtstp_application()

    def _sigcont_application(self, *_: Any) -> None:
        """Woken: after ctrl+z start, as stock does; after another stop start again only if the terminal was taken from us."""
        if self._writer_thread is None:
            super()._sigcont_application()
        elif self._is_raw():
            self.repaint()
        elif self._auto_restart:
            self._loop.call_soon_threadsafe(self._start_again)

    def _start_again(self) -> None:
        self.suspend_application_mode()
        self.resume_application_mode()

    def _is_raw(self) -> bool:
        try:
            return not termios.tcgetattr(self.fileno)[3] & termios.ICANON
        except termios.error:
            return True


class _Outlet:
    """Writes to the terminal from a thread of its own: the one that may wait for the link.

    Locked with what may be entered again, as a signal handler may write in the middle of a write.
    """

    def __init__(self, terminal: int, shadow: Shadow, get_size: Callable[[], tuple[int, int]]) -> None:
        self._terminal = terminal
        self._fileno = _open_unblocking(terminal)
        self._shadow = shadow
        self._get_size = get_size
        self._lock = RLock()
        self._wake: SimpleQueue[None] = SimpleQueue()
        self._stopping = False
        self._urgency = 0  # raised when patience ends: what is being sent then is dropped
        self._thread = Thread(target=self._run, name="wire-output", daemon=True)

    def start(self) -> None:
        """Begin to send."""
        self._thread.start()

    def write(self, data: str) -> None:
        """Take a piece of the stream; never waits for the link."""
        with self._lock:
            self._shadow.resize(*self._get_size())
            self._shadow.feed(data)
            holding = self._shadow.holding
        if not holding:
            self._wake.put(None)

    def repaint(self) -> None:
        """Send every cell again."""
        with self._lock:
            self._shadow.forget()
        self._wake.put(None)

    def stop(self) -> None:
        """Send the rest and end. On a link that takes nothing: drop what waits in the kernel, so that the last has room."""
        self._stopping = True
        self._wake.put(None)
        self._thread.join(_PATIENCE_S)
        if self._thread.is_alive():
            self._urgency += 1
            with suppress(termios.error):
                termios.tcflush(self._terminal, termios.TCOFLUSH)
            self._thread.join(_PATIENCE_S / 2)
            self._urgency += 1

    def _run(self) -> None:
        try:
            while self._send():
                pass
        except OSError:
            pass  # the terminal is gone: the input thread tells the app
        finally:
            os.close(self._fileno)

    def _send(self) -> bool:
        """Send what there is to say by the time the link is free; False when that was the last."""
        self._wake.get()
        self._wait_for_room()
        while not self._wake.empty():
            self._wake.get()
        last, urgency = self._stopping, self._urgency
        with self._lock:
            self._shadow.resize(*self._get_size())
            data = ((_CANCEL if urgency else "") + self._shadow.take()).encode(errors="replace")
        while data and self._urgency == urgency:
            data = data[self._write_some(data) :]
        return not last

    def _write_some(self, data: bytes) -> int:
        self._wait_for_room()
        try:
            return os.write(self._fileno, data[:_CHUNK_BYTES])
        except BlockingIOError:
            return 0

    def _wait_for_room(self) -> None:
        urgency = self._urgency
        while self._urgency == urgency and not select.select([], [self._fileno], [], _GLANCE_S)[1]:
            pass


def _open_unblocking(terminal: int) -> int:
    """The terminal opened once more, so that not to wait is a matter of ours alone: the flag is shared with the shell otherwise.

    Where it has no name or may not be opened (after `su`) the shared one must do, and a write to a stalled link waits.
    """
    try:
        return os.open(os.ttyname(terminal), os.O_WRONLY | os.O_NOCTTY | os.O_NONBLOCK)
    except OSError:
        return os.dup(terminal)
