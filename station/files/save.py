"""A library file written so that nothing is lost: under a lock, against what was read, whole or not at all, the old text kept."""

from __future__ import annotations

import errno
import fcntl
import hashlib
import os
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from station.files.text import encode

PRIVATE = ".station"
KEPT_PER_FILE = 50
LOCK_SECONDS = 5.0

_RETRY_SECONDS = 0.02
_REPLACED = "replaced"


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


class OutsideLibrary(ValueError):
    """The path names no file of the library, or a link that leads out of it."""

    def __init__(self, relative: str) -> None:
        super().__init__(relative)
        self.relative = relative

    def __str__(self) -> str:
        return f"{self.relative}: is no place inside the library (nothing was written)"


class NotWritable(OSError):
    """The file cannot be written, for the reason given; what is on disk is whole."""

    def __init__(self, relative: str, reason: str) -> None:
        super().__init__(relative, reason)
        self.relative, self.reason = relative, reason

    def __str__(self) -> str:
        return f"{self.relative}: cannot be written: {self.reason} (mend that, then save again)"


class Busy(TimeoutError):
    """Another program has held the library's lock for `seconds`."""

    def __init__(self, relative: str, seconds: float) -> None:
        super().__init__(relative, seconds)
        self.relative, self.seconds = relative, seconds

    def __str__(self) -> str:
        return f"{self.relative}: another program has been writing to the library for {self.seconds:g} s (try again)"


def digest(raw: bytes) -> str:
    """The name of exactly these bytes: their SHA-256, in hex."""
    return hashlib.sha256(raw).hexdigest()


def save(root: Path, relative: str, text: str, expected: str | None) -> str:
    """Make `text` the content of the file `relative` to `root`; the digest of what is then on disk.

    `expected` is the digest of the bytes that were read, None for a file that must not exist. A file that says exactly `text`
    already is not touched, whatever was expected. Raises ChangedOnDisk, OutsideLibrary, NotWritable, Busy.
    """
    try:
        with _locked(root, relative):
            target = _target(root, relative)
            current = _read(target, relative)
            wanted = encode(text, replaces=current or b"")
            if current == wanted:
                return digest(wanted)
            found = None if current is None else digest(current)
            if found != expected:
                raise ChangedOnDisk(relative, expected, found)
            if current is not None:
                _keep(root, target, current)
            _replace(target, wanted)
            return digest(wanted)
    except UnicodeEncodeError as error:
        raise NotWritable(relative, f"{error.object[error.start]!a} is no character of UTF-8") from None
    except (ChangedOnDisk, NotWritable, Busy):
        raise
    except OSError as error:
        raise NotWritable(relative, error.strerror or str(error)) from error


def _target(root: Path, relative: str) -> Path:
    """The file to replace: a link's target rather than the link."""
    parts = Path(relative).parts
    if not parts or Path(relative).is_absolute() or ".." in parts or "\0" in relative:
        raise OutsideLibrary(relative)
    home = root.resolve()
    try:
        target = (home / relative).resolve()
    except RuntimeError:  # links in a circle (before Python 3.13)
        raise OutsideLibrary(relative) from None
    if not target.is_relative_to(home) or target == home or target.relative_to(home).parts[0] == PRIVATE:
        raise OutsideLibrary(relative)
    return target


def _read(target: Path, relative: str) -> bytes | None:
    try:
        kind = target.stat().st_mode
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(kind):
        raise NotWritable(relative, "it is not a plain file")
    if not os.access(target, os.W_OK):
        raise NotWritable(relative, "it is write-protected")
    return target.read_bytes()


@contextmanager
def _locked(root: Path, relative: str) -> Iterator[None]:
    """Hold the library's lock. It goes with the open file, so a program that dies leaves none behind."""
    if not root.is_dir():
        raise NotWritable(relative, "there is no library folder")
    private = _private(root)
    lock = os.open(private / "lock", os.O_RDWR | os.O_CREAT | os.O_CLOEXEC | os.O_NOFOLLOW, 0o600)
    try:
        until = time.monotonic() + LOCK_SECONDS
        while not _taken(lock):
            if time.monotonic() >= until:
                raise Busy(relative, LOCK_SECONDS)
            time.sleep(_RETRY_SECONDS)
        yield
    finally:
        os.close(lock)


def _taken(lock: int) -> bool:
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _private(root: Path) -> Path:
    """The library's own corner, closed to others and to git."""
    private = _own_folder(root / PRIVATE)
    ignore = private / ".gitignore"
    if not ignore.exists():
        ignore.write_text("*\n", encoding="ascii")
    return private


def _own_folder(folder: Path) -> Path:
    """Made if need be. A link in its place is not followed: who knows who made it."""
    with suppress(FileExistsError):
        folder.mkdir(mode=0o700)
    if not stat.S_ISDIR(folder.lstat().st_mode):
        raise NotADirectoryError(errno.ENOTDIR, f"{folder.name} is not a folder")
    return folder


def _keep(root: Path, target: Path, raw: bytes) -> None:
    """Put aside what is about to be replaced, and let go of all but the newest of this file."""
    folder = _own_folder(root / PRIVATE / _REPLACED)
    name = "~".join(target.relative_to(root.resolve()).parts)
    moment = time.time_ns()
    while (copy := folder / f"{_stamp(moment)}~{name}").exists():
        moment += 1
    _write(copy, raw, 0o600)
    earlier = sorted(path for path in folder.iterdir() if path.name.partition("~")[2] == name)
    for path in earlier[:-KEPT_PER_FILE]:
        path.unlink()


def _stamp(moment_ns: int) -> str:
    seconds, ns = divmod(moment_ns, 1_000_000_000)
    return f"{time.strftime('%Y%m%dT%H%M%S', time.gmtime(seconds))}.{ns:09d}Z"


def _replace(target: Path, raw: bytes) -> None:
    """The new bytes beside the old, safe on the disk, then in their place in one step. The lock makes the spare's name ours."""
    target.parent.mkdir(parents=True, exist_ok=True)
    spare = target.with_name(f".{target.name}.new")
    mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else None
    _write(spare, raw, mode)
    try:
        spare.replace(target)
    except BaseException:
        spare.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _write(path: Path, raw: bytes, mode: int | None) -> None:
    """A new file, whole and on the disk when this returns, or none. Without a `mode` it gets the usual one."""
    path.unlink(missing_ok=True)
    file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o666)
    try:
        if mode is not None:
            os.fchmod(file, mode)
        left = memoryview(raw)
        while left:
            left = left[os.write(file, left) :]
        os.fsync(file)
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    finally:
        os.close(file)


def _sync_folder(folder: Path) -> None:
    """So that the new name outlives a power cut, too. Some network drives cannot, and say so."""
    file = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        os.fsync(file)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(file)
