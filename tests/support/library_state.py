"""What a library is at a moment: its bytes, and every drink's figures."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

from station.desk.look import show
from station.desk.opening import Opened
from station.desk.plainly import plainly
from station.files import disk


def bytes_in(folder: Path) -> dict[str, bytes]:
    """Every file of the library but those in its private corner."""
    files = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {str(path.relative_to(folder)): path.read_bytes() for path in files if ".station" not in path.parts}


def figures(opened: Opened) -> dict[str, Any]:
    """Every drink's answer, as JSON has it."""
    return {name: plainly(show(opened.blends, name)) for name in opened.library.drinks}


def failing_from(number: int, times: int = 1) -> Callable[..., None]:
    """`disk.put`, but the disk is full at the call of that number, and for so many calls."""
    calls = 0
    put = disk.put

    def full(*arguments: Any) -> None:
        nonlocal calls
        calls += 1
        if number <= calls < number + times:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        put(*arguments)

    return full
