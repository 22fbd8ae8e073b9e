"""A real SSH session on loopback, in the test's own process: a server that runs one forced command, and a client with a screen.

The server hands the command a pseudo terminal of the kind and size the client asks for, as an SSH daemon does, and stops reading
from it while the client takes nothing.
"""

from __future__ import annotations

import asyncio
import fcntl
import os
import signal
import struct
import subprocess
import termios
from collections.abc import AsyncIterator, Callable, Mapping, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import asyncssh
import pyte
from pty_app import _CUT_SHORT, _UNPRINTABLE, Terminal, _inherited

_WINDOW = 4096
_OVER_SSH = {"COLORTERM": "", "SSH_CONNECTION": "127.0.0.1 1 127.0.0.1 22"}


class Session:
    """The client's end: what its emulator shows."""

    def __init__(self, process: asyncssh.SSHClientProcess[bytes], columns: int, lines: int) -> None:
        self._process = process
        self.terminal = Terminal(columns, lines)
        self._stream = pyte.ByteStream(self.terminal)
        self._unfed = b""
        self._reads = asyncio.Event()
        self._reads.set()
        self._news = asyncio.Event()
        self.received = 0
        self._reader = asyncio.create_task(self._read())

    @property
    def screen(self) -> list[str]:
        return [line.replace("\u00a0", " ") for line in self.terminal.display]

    def send(self, keys: str) -> None:
        self._process.stdin.write(keys.encode())

    def resize(self, columns: int, lines: int) -> None:
        self.terminal.resize(lines, columns)
        self._process.change_terminal_size(columns, lines)

    def stall(self) -> None:
        """Take nothing from now on, as a tablet that fell asleep."""
        self._reads.clear()

    def wake(self) -> None:
        self._reads.set()

    async def shows(self, wanted: str | Callable[[list[str]], object], timeout: float = 30.0) -> list[str]:
        """Wait until the text is on the screen, or the predicate holds."""
        holds = wanted if callable(wanted) else lambda screen: any(wanted in line for line in screen)
        try:
            async with asyncio.timeout(timeout):
                while not holds(self.screen):
                    self._news.clear()
                    await self._news.wait()
        except TimeoutError:
            raise AssertionError(f"not within {timeout} s: {wanted!r}; the screen shows\n" + "\n".join(self.screen)) from None
        return self.screen

    async def ended(self, timeout: float = 30.0) -> int | None:
        """The exit status, when all that was sent has been shown."""
        async with asyncio.timeout(timeout):
            await self._process.wait_closed()
            await self._reader
        return self._process.exit_status

    async def _read(self) -> None:
        while True:
            await self._reads.wait()
            data = await self._process.stdout.read(_WINDOW)
            if not data:
                return
            self.received += len(data)
            data = _UNPRINTABLE.sub(b"", self._unfed + data)
            cut = _CUT_SHORT.search(data)
            end = cut.start() if cut else len(data)
            self._unfed = data[end:]
            self._stream.feed(data[:end])
            self._news.set()


@dataclass(slots=True)
class Server:
    """A server of one forced command. `programs` are those it started, in order."""

    port: int
    key: asyncssh.SSHKey
    programs: list[subprocess.Popen[bytes]]

    @asynccontextmanager
    async def session(self, term: str, columns: int = 80, lines: int = 24) -> AsyncIterator[Session]:
        """Log in and ask for a shell, on a terminal of that kind and size."""
        async with asyncssh.connect(
            "127.0.0.1", self.port, username="tablet", client_keys=[self.key], known_hosts=None, config=None
        ) as connection:
            process = await connection.create_process(
                "sh -i", term_type=term, term_size=(columns, lines), encoding=None, window=_WINDOW, max_pktsize=1024
            )
            yield Session(process, columns, lines)


@asynccontextmanager
async def forced_command(argv: Sequence[str], env: Mapping[str, str] | None = None) -> AsyncIterator[Server]:
    """Start a server on a free port of loopback whose every session runs `argv`; it ends with all it started."""
    host_key, key = (asyncssh.generate_private_key("ssh-ed25519") for _ in range(2))
    programs: list[subprocess.Popen[bytes]] = []
    server = await asyncssh.listen(
        "127.0.0.1",
        0,
        server_host_keys=[host_key],
        authorized_client_keys=asyncssh.import_authorized_keys(key.export_public_key().decode()),
        process_factory=partial(_serve, list(argv), dict(env or {}), programs),
        encoding=None,
        line_editor=False,
    )
    try:
        yield Server(server.get_port(), key, programs)
    finally:
        server.close()
        await server.wait_closed()
        for program in programs:
            if program.poll() is None:
                program.kill()
            program.wait()


async def _serve(
    argv: list[str], env: dict[str, str], programs: list[subprocess.Popen[bytes]], session: asyncssh.SSHServerProcess[bytes]
) -> None:
    """Run the forced command, whatever was asked for, on a terminal as the client's."""
    session.channel.set_write_buffer_limits(_WINDOW)
    master, slave = os.openpty()
    _set_size(master, *session.get_terminal_size()[:2])
    program = subprocess.Popen(
        argv,
        stdin=slave,
        stdout=slave,
        stderr=slave,
        env={**_inherited(), **_OVER_SSH, **env, "TERM": session.term_type or ""},
        start_new_session=True,
        preexec_fn=partial(fcntl.ioctl, 0, termios.TIOCSCTTY, 0),  # noqa: PLW1509 - one system call
    )
    programs.append(program)
    os.close(slave)
    keys = asyncio.create_task(_carry_keys(session, master, program))
    await _carry_screen(master, session)
    keys.cancel()
    os.close(master)
    session.exit(await asyncio.to_thread(program.wait))


async def _carry_screen(master: int, session: asyncssh.SSHServerProcess[bytes]) -> None:
    while data := await asyncio.to_thread(_read, master):
        session.stdout.write(data)
        await session.stdout.drain()


async def _carry_keys(session: asyncssh.SSHServerProcess[bytes], master: int, program: subprocess.Popen[bytes]) -> None:
    """What is typed, to the program; when the link ends, what the kernel says of a terminal that is gone."""
    while True:
        try:
            data = await session.stdin.read(1024)
        except asyncssh.TerminalSizeChanged as change:
            _set_size(master, change.width, change.height)
            continue
        if not data:
            program.send_signal(signal.SIGHUP)
            return
        os.write(master, data)


def _read(master: int) -> bytes:
    try:
        return os.read(master, 4096)
    except OSError:  # the program has let go of its terminal
        return b""


def _set_size(master: int, columns: int, lines: int) -> None:
    fcntl.ioctl(master, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))


def draft_of(library: Path, spec: str) -> str:
    """What is kept of that spec's edit; "" if nothing is."""
    path = library / ".station" / "drafts" / "drinks" / f"{spec}.json"
    return path.read_text(encoding="utf-8") if path.exists() else ""
