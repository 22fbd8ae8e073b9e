"""A library's files written so that nothing is lost: under a lock, against what was read, whole or not at all, the old kept."""

from __future__ import annotations

import fcntl
import os
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from station.files import disk, journal
from station.files.disk import KEPT_PER_FILE, PRIVATE, NotWritable, OutsideLibrary, digest
from station.files.text import encode

__all__ = [
    "KEPT_PER_FILE",
    "Busy",
    "Change",
    "ChangedOnDisk",
    "NotWritable",
    "OutsideLibrary",
    "digest",
    "mend",
    "save",
    "save_all",
]

LOCK_SECONDS = 5.0

_RETRY_SECONDS = 0.02


class ChangedOnDisk(OSError):
    """The file is not what was read: `found` is the digest of what is there, None if nothing is. `expected` likewise."""

    def __init__(self, relative: str, expected: str | None, found: str | None) -> None:
        super().__init__(relative, expected, found)
        self.relative, self.expected, self.found = relative, expected, found

    def __str__(self) -> str:
        if self.expected is None:
            return f"{self.relative}: a file of this name is there already (choose another name)"
        if self.found is None:
            return f"{self.relative}: was removed since it was read (save it under a name, or let it go)"
        return f"{self.relative}: was changed since it was read (look at both, then decide)"


class Busy(TimeoutError):
    """Another program has held the library's lock for `seconds`."""

    def __init__(self, relative: str, seconds: float) -> None:
        super().__init__(relative, seconds)
        self.relative, self.seconds = relative, seconds

    def __str__(self) -> str:
        return f"{self.relative}: another program has been writing to the library for {self.seconds:g} s (try again)"


@dataclass(frozen=True, slots=True)
class Change:
    """One file of several that change together: its new text (None: it goes), and the digest of what was read, None for a new
    file. `like` is the file whose byte order mark and mode bits a new one takes."""

    file: str
    text: str | None
    expected: str | None
    like: str = ""


def save(root: Path, relative: str, text: str, expected: str | None) -> str:
    """Make `text` the content of the file `relative` to `root`; the digest of what is then on disk.

    `expected` is the digest of the bytes that were read, None for a file that must not exist. A file that says exactly `text`
    already is not touched, whatever was expected. Raises ChangedOnDisk, OutsideLibrary, NotWritable, Busy.
    """
    with _told(relative), _locked(root, relative):
        target = disk.target_of(root, relative)
        current = disk.bytes_of(target, relative)
        wanted = encode(text, replaces=current or b"")
        if current == wanted:
            return digest(wanted)
        _compare(relative, expected, current)
        if current is not None:
            disk.let_go(root, [disk.keep(root, target, current)])
        disk.put(target, wanted)
        return digest(wanted)


def save_all(root: Path, changes: Sequence[Change]) -> None:
    """Make all the changes, or none: they are compared with what is on disk first, and put back if one fails midway.

    Raises as `save` does, with the file that failed.
    """
    if not changes:
        return
    first = changes[0].file
    with _told(first), _locked(root, first):
        for change in changes:
            _check(root, change)
        steps = [_step(root, change) for change in changes]
        journal.begin(root, steps)
        try:
            for step in steps:
                with _told(step.file):
                    journal.do(root, step)
        except BaseException:
            _take_back(root, first)
            raise
        journal.end(root)
        disk.let_go(root, [step.copy for step in steps if step.copy])


def mend(root: Path) -> None:
    """Take back the half of a change that a program left when it was killed; if none did, nothing. Raises NotWritable, Busy."""
    if journal.pending(root):
        with _told(PRIVATE), _locked(root, PRIVATE):
            pass


def _check(root: Path, change: Change) -> None:
    with _told(change.file):
        target = disk.target_of(root, change.file)
        if change.text is None and (root / change.file).is_symlink():
            raise NotWritable(change.file, "it is a link to another file")
        _compare(change.file, change.expected, disk.bytes_of(target, change.file))


def _step(root: Path, change: Change) -> journal.Step:
    """What a change does to the disk; what it replaces is put aside."""
    with _told(change.file):
        target = disk.target_of(root, change.file)
        current = disk.bytes_of(target, change.file)
        model = disk.target_of(root, change.like) if change.like else target
        mode = disk.mode_of(model) if model.exists() else None
        old = model.read_bytes() if model.exists() else b""
        raw = None if change.text is None else encode(change.text, replaces=old)
        return journal.Step(change.file, raw, "" if current is None else disk.keep(root, target, current), mode)


def _take_back(root: Path, relative: str) -> None:
    try:
        journal.put_back(root)
    except OSError as error:
        reason = f"{error.strerror or error}; half of a change is in place and is taken back at the next save or start"
        raise NotWritable(relative, reason) from error


def _compare(relative: str, expected: str | None, current: bytes | None) -> None:
    found = None if current is None else digest(current)
    if found != expected:
        raise ChangedOnDisk(relative, expected, found)


@contextmanager
def _told(relative: str) -> Iterator[None]:
    """Whatever the disk refuses is said of that file."""
    try:
        yield
    except UnicodeEncodeError as error:
        raise NotWritable(relative, f"{error.object[error.start]!a} is no character of UTF-8") from None
    except (ChangedOnDisk, NotWritable, Busy):
        raise
    except OSError as error:
        raise NotWritable(relative, error.strerror or str(error)) from error


@contextmanager
def _locked(root: Path, relative: str) -> Iterator[None]:
    """Hold the library's lock. It goes with the open file, so a program that dies leaves none behind, but perhaps half a
    change: that is taken back first."""
    if not root.is_dir():
        raise NotWritable(relative, "there is no library folder")
    private = disk.private_corner(root)
    lock = os.open(private / "lock", os.O_RDWR | os.O_CREAT | os.O_CLOEXEC | os.O_NOFOLLOW, 0o600)
    try:
        until = time.monotonic() + LOCK_SECONDS
        while not _taken(lock):
            if time.monotonic() >= until:
                raise Busy(relative, LOCK_SECONDS)
            time.sleep(_RETRY_SECONDS)
        if journal.pending(root):
            journal.put_back(root)
        yield
    finally:
        os.close(lock)


def _taken(lock: int) -> bool:
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True
