"""Whether another program changed the library: a handful of stats a look, however many drinks there are.

Folders tell of files that came, went or were replaced, as nearly every program saves; items, stocks and the files named by
the caller are looked at one by one, for a program that writes in place. A drink written in place that nobody has open is
found at the next full read.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

_FOLDERS = ("", "ingredients", "stocks", "drinks")
_SINGLY = ("", "ingredients", "stocks")


class Watch:
    """Remembers how a library's folders and files stood at the last look."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._seen: dict[str, tuple[int, int, int]] | None = None

    def moved(self, also: Iterable[str] = ()) -> bool:
        """True if anything changed since the last look; never at the first."""
        now = dict(self._stamps(also))
        before, self._seen = self._seen, now
        shared = now.keys() & before.keys() if before is not None else set()
        return before is not None and any(now[path] != before[path] for path in shared)

    def _stamps(self, also: Iterable[str]) -> Iterable[tuple[str, tuple[int, int, int]]]:
        for name in _FOLDERS:
            yield from _stamp(self._folder / name, name)
        for name in _SINGLY:
            try:
                entries = [entry.name for entry in os.scandir(self._folder / name) if entry.name.endswith(".toml")]
            except OSError:
                continue
            for one in entries:
                yield from _stamp(self._folder / name / one, f"{name}/{one}")
        for file in also:
            yield from _stamp(self._folder / file, file)


def _stamp(path: Path, name: str) -> Iterable[tuple[str, tuple[int, int, int]]]:
    try:
        info = path.stat()
    except OSError:
        return
    yield name, (info.st_size, info.st_mtime_ns, info.st_ino)
