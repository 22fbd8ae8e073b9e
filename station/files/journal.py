"""Several files changed as one: noted before the first is replaced, so that half a change can always be taken back.

A program that is killed in between leaves its journal behind; whoever takes the library's lock next puts back what it had
replaced. What anybody else has changed since is left alone.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from station.files import disk

_NAME = "unfinished.json"


@dataclass(frozen=True, slots=True)
class Step:
    """One file about to get the bytes `raw`, or (None) to go. `copy` names what it held among what is put aside, "" if it was
    not there; `mode` is for a file that is made."""

    file: str
    raw: bytes | None
    copy: str
    mode: int | None


def begin(root: Path, steps: Sequence[Step]) -> None:
    """Note what is about to be done; on the disk when this returns."""
    noted = [{"file": step.file, "becomes": _named(step.raw), "copy": step.copy, "mode": step.mode} for step in steps]
    private = disk.private_corner(root)
    disk.sync_folder(disk.replaced_folder(root))
    disk.write_whole(private / _NAME, json.dumps(noted).encode(), 0o600)
    disk.sync_folder(private)


def do(root: Path, step: Step) -> None:
    """Make one change."""
    target = disk.target_of(root, step.file)
    if step.raw is None:
        disk.remove(target)
    else:
        disk.put(target, step.raw, step.mode)


def end(root: Path) -> None:
    """Every change is made."""
    disk.remove(root / disk.PRIVATE / _NAME)


def pending(root: Path) -> bool:
    """Whether somebody began and has not ended: it is going on, or was cut off."""
    return (root / disk.PRIVATE / _NAME).is_file()


def put_back(root: Path) -> None:
    """Undo what was done of a change that was cut off. Raises OSError; the journal stays then, for the next to try."""
    for file, becomes, copy, mode in reversed(_read(root)):
        target = disk.target_of(root, file)
        if _named(disk.bytes_of(target, file)) != becomes:
            continue
        if copy:
            disk.put(target, (disk.replaced_folder(root) / copy).read_bytes(), mode)
        elif target.exists():
            disk.remove(target)
    end(root)


def _read(root: Path) -> list[tuple[str, str, str, int | None]]:
    """What was noted: file, digest it was to have, copy, mode. A journal that is not whole was cut off before any change."""
    try:
        noted = json.loads((root / disk.PRIVATE / _NAME).read_bytes())
        return [(str(one["file"]), str(one["becomes"]), Path(str(one["copy"])).name, one["mode"]) for one in noted]
    except (ValueError, KeyError, TypeError, RecursionError):
        return []


def _named(raw: bytes | None) -> str:
    return "" if raw is None else disk.digest(raw)
