"""Bytes put on the disk so that none is lost, and never out of the library's folder. Who calls these holds the library's lock."""

from __future__ import annotations

import errno
import hashlib
import os
import stat
import time
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

PRIVATE = ".station"
REPLACED = "replaced"
KEPT_PER_FILE = 50


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


def digest(raw: bytes) -> str:
    """The name of exactly these bytes: their SHA-256, in hex."""
    return hashlib.sha256(raw).hexdigest()


def target_of(root: Path, relative: str) -> Path:
    """The file to replace: a link's target rather than the link. Raises OutsideLibrary."""
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


def bytes_of(target: Path, relative: str) -> bytes | None:
    """What the file holds that is about to be replaced; None if there is none. Raises NotWritable."""
    try:
        kind = target.stat().st_mode
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(kind):
        raise NotWritable(relative, "it is not a plain file")
    if not os.access(target, os.W_OK):
        raise NotWritable(relative, "it is write-protected")
    return target.read_bytes()


def private_corner(root: Path) -> Path:
    """The library's own corner, closed to others and to git."""
    private = _own_folder(root / PRIVATE)
    ignore = private / ".gitignore"
    if not ignore.exists():
        ignore.write_text("*\n", encoding="ascii")
    return private


def replaced_folder(root: Path) -> Path:
    """Where what was replaced is kept."""
    return _own_folder(private_corner(root) / REPLACED)


def keep(root: Path, target: Path, raw: bytes) -> str:
    """Put aside what is about to be replaced. The copy's name."""
    folder = replaced_folder(root)
    name = "~".join(target.relative_to(root.resolve()).parts)
    moment = time.time_ns()
    while (copy := folder / f"{stamp(moment)}~{name}").exists():
        moment += 1
    write_whole(copy, raw, 0o600)
    return copy.name


def let_go(root: Path, copies: Iterable[str]) -> None:
    """Of the files these are copies of, keep the newest copies only."""
    folder = replaced_folder(root)
    kept: dict[str, list[Path]] = {copy.partition("~")[2]: [] for copy in copies}
    for path in folder.iterdir():
        if (name := path.name.partition("~")[2]) in kept:
            kept[name].append(path)
    for paths in kept.values():
        for path in sorted(paths)[:-KEPT_PER_FILE]:
            path.unlink()


def stamp(moment_ns: int) -> str:
    """A moment as files are named by it: names sort as their moments do."""
    seconds, ns = divmod(moment_ns, 1_000_000_000)
    return f"{time.strftime('%Y%m%dT%H%M%S', time.gmtime(seconds))}.{ns:09d}Z"


def put(target: Path, raw: bytes, mode: int | None = None) -> None:
    """The new bytes beside the old, forced to the disk, then in their place in one step. The lock makes the spare's name ours.

    The file keeps its mode bits; one that is not there yet gets `mode`.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    spare = target.with_name(f".{target.name}.new")
    write_whole(spare, raw, mode_of(target) if target.exists() else mode)
    try:
        spare.replace(target)
    except BaseException:
        spare.unlink(missing_ok=True)
        raise
    sync_folder(target.parent)


def remove(target: Path) -> None:
    """The file gone, also after a power cut."""
    target.unlink()
    sync_folder(target.parent)


def mode_of(path: Path) -> int:
    """The file's mode bits."""
    return stat.S_IMODE(path.stat().st_mode)


def write_whole(path: Path, raw: bytes, mode: int | None) -> None:
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


def sync_folder(folder: Path) -> None:
    """So that a new name outlives a power cut, too. Some network drives cannot, and say so."""
    file = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        os.fsync(file)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(file)


def _own_folder(folder: Path) -> Path:
    """Made if need be. A link in its place is not followed: who knows who made it."""
    with suppress(FileExistsError):
        folder.mkdir(mode=0o700)
    if not stat.S_ISDIR(folder.lstat().st_mode):
        raise NotADirectoryError(errno.ENOTDIR, f"{folder.name} is not a folder")
    return folder
