"""Where things are: the shipped demo library and themes, the user's library, and where drafts go."""

from __future__ import annotations

import os
import zlib
from pathlib import Path

from station.bar.fault import CannotAnswer

APP = "bar-station"
PRIVATE = ".station"

_PACKAGE = Path(__file__).resolve().parent.parent


def shipped(name: str) -> Path:
    """The shipped folder of that name (`specs`, `themes`): inside the installed package, or beside a checkout's pyproject."""
    inside = _PACKAGE / name
    if inside.is_dir():
        return inside
    root = _PACKAGE.parent
    if (root / "pyproject.toml").is_file() and (root / name).is_dir():
        return root / name
    raise FileNotFoundError(f"the shipped folder {name} is missing: install the program again")


def named_path(text: str) -> Path:
    """A path as a person names it, `~` and all. Raises CannotAnswer for one that can be none."""
    try:
        path = Path(text).expanduser()
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return path
    except (OSError, RuntimeError, ValueError):  # too long a name, no such person's home, a null byte
        raise CannotAnswer(f"{text[:80]} is no place on this machine that can be reached", "check the name") from None
    return path


def user_library() -> Path:
    """The user's own library, there or not: in the platform's data folder."""
    from platformdirs import user_data_path

    return user_data_path(APP, appauthor=False) / "library"


def private_folder(library: Path) -> Path:
    """The folder for drafts and the log: `.station/` in the library, or, where that cannot be written, in the state folder."""
    if os.access(library, os.W_OK):
        return library / PRIVATE
    import hashlib

    from platformdirs import user_state_path

    key = hashlib.sha256(str(library.resolve()).encode()).hexdigest()[:16]
    return user_state_path(APP, appauthor=False) / key


def log_file(library: Path) -> Path:
    """Where the log of that library lies."""
    return private_folder(library) / "log.db"


def make_private(private: Path) -> None:
    """Make that folder if need be, closed to others and to git. Raises OSError."""
    private.mkdir(mode=0o700, parents=True, exist_ok=True)
    ignore = private / ".gitignore"
    if not ignore.exists():
        ignore.write_text("*\n", encoding="ascii")


def index_file(library: Path) -> Path:
    """Where the index of that library lies: in the platform's cache folder.

    Two libraries whose paths share a sum would take turns: each finds the other's index not true of its files.
    """
    from platformdirs import user_cache_path

    path = str(library.resolve()).encode()
    return user_cache_path(APP, appauthor=False) / f"{zlib.crc32(path):08x}-{len(path)}.json"


def copied_demo(target: Path) -> None:
    """Make `target` a copy of the demo library, whole or not at all. Raises OSError; one that is there already is left alone."""
    import shutil
    import tempfile

    target.parent.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(prefix=".library-", dir=target.parent))
    try:
        copy = beside / "library"
        shutil.copytree(shipped("specs"), copy, ignore=shutil.ignore_patterns(PRIVATE, "__pycache__"))
        if not target.exists():
            copy.rename(target)
    finally:
        shutil.rmtree(beside, ignore_errors=True)
