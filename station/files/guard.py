"""A process that can write nothing and start nothing, whatever its code asks for: the floor under a read-only look-up.

An audit hook (PEP 578) cannot be taken off again. It is the second lock, for what the screens do not offer anyway; the first
against strangers is an account that may not write.
"""

from __future__ import annotations

import errno
import os
import stat
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import Any

_WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
# Audit events of the standard library, by what they would do.
_CHANGES = {"chflags", "chmod", "chown", "link", "lockf", "mkdir", "remove", "removexattr", "rename", "rmdir", "setxattr"}
_CHANGES |= {"symlink", "truncate", "utime"}
_STARTS = {"exec", "fork", "forkpty", "posix_spawn", "spawn", "startfile", "system"}
_REACHES = {"socket.bind", "socket.connect", "socket.sendto"}
_REFUSED = frozenset({f"os.{name}" for name in _CHANGES | _STARTS} | {"pty.spawn", "subprocess.Popen"} | _REACHES)


class LookOnly(PermissionError):
    """Something was to be written or started in a look-up."""

    def __init__(self, asked: str) -> None:
        super().__init__(errno.EACCES, "this is a look-up: nothing is written")
        self.asked = asked


def install() -> None:
    """From now on this process writes to its terminal only."""
    sys.dont_write_bytecode = True
    sys.addaudithook(hook(terminals()))


def hook(allowed: frozenset[str]) -> Callable[[str, tuple[Any, ...]], None]:
    """Refuses by raising LookOnly. `allowed` may be opened for writing."""

    def look(event: str, arguments: tuple[Any, ...]) -> None:
        if event == "open":
            path, mode, flags = arguments
            if _writes(mode, flags) and not isinstance(path, int) and os.fspath(path) not in allowed:
                raise LookOnly(f"open {path!r}")
        elif event == "sqlite3.connect":
            if "mode=ro" not in str(arguments[0]):
                raise LookOnly(event)
        elif event in _REFUSED:
            raise LookOnly(event)

    return look


def terminals() -> frozenset[str]:
    """The names of the terminal this process is on, and of the device that takes all and keeps nothing."""
    found = {os.devnull, "/dev/tty"}
    for fileno in (0, 1, 2):
        with suppress(OSError):
            if stat.S_ISCHR(os.fstat(fileno).st_mode):
                found.add(os.ttyname(fileno))
    return frozenset(found)


def _writes(mode: str | None, flags: int | None) -> bool:
    return any(letter in (mode or "") for letter in "wax+") or bool((flags or 0) & _WRITES)
