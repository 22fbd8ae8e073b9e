"""What saves replaced: the copies of one file, newest first, and what they said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from station.bar.fault import Fault
from station.files.disk import PRIVATE, REPLACED
from station.files.parts import parsed, stem
from station.files.source import read_source

_STAMP = "%Y%m%dT%H%M%S"


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy: its name in the private folder, and when it was replaced."""

    name: str
    replaced_at: datetime


def copies(root: Path, file: str) -> tuple[Copy, ...]:
    """The copies of `file` (relative to `root`), the newest first."""
    folder, own = root / PRIVATE / REPLACED, file.replace("/", "~")
    names = [path.name for path in folder.iterdir()] if folder.is_dir() and not folder.is_symlink() else []
    found = [(name, _moment(name)) for name in sorted(names, reverse=True) if name.partition("~")[2] == own]
    return tuple(Copy(name, moment) for name, moment in found if moment is not None)


def noun_in(root: Path, file: str, copy: Copy) -> tuple[Any, tuple[Fault, ...]]:
    """The spec or stock a copy holds, None with its faults where it cannot be read."""
    source = replace(read_source(root, f"{PRIVATE}/{REPLACED}/{copy.name}"), file=file)
    part = parsed(source)
    return part.nouns.get(stem(file)), part.faults


def _moment(name: str) -> datetime | None:
    try:
        return datetime.strptime(name.partition(".")[0], _STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None
