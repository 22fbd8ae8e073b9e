"""Every file of a library at once, for what goes through all of them: read now, their shapes, a copy of them all."""

from __future__ import annotations

import time
from pathlib import Path, PurePosixPath

from station.bar.editor_schema import FILES
from station.bar.kinds import Shape
from station.files import disk
from station.files.source import Source, read_source


def files_of(root: Path) -> tuple[str, ...]:
    """The library's files, whether they can be read or not."""
    found = {path for pattern, _ in FILES.values() for path in root.glob(pattern) if not path.name.startswith(".")}
    return tuple(sorted(path.relative_to(root).as_posix() for path in found))


def sources(root: Path) -> dict[str, Source]:
    """Every file, as it stands on the disk now."""
    return {file: read_source(root, file) for file in files_of(root)}


def shape_of(file: str) -> Shape:
    """What the schema says of that file. KeyError if it is none of a library's."""
    for pattern, shape in FILES.values():
        if PurePosixPath(file).match(pattern):
            return shape
    raise KeyError(file)


def copied(root: Path, name: str) -> str:
    """Copy every file beside what was replaced, into a folder named `name` and the moment; that folder, within the library.

    Raises OSError.
    """
    folder = disk.replaced_folder(root) / f"{name}-{disk.stamp(time.time_ns())}"
    copies = {file: folder / file for file in files_of(root)}
    for file, copy in copies.items():
        copy.parent.mkdir(parents=True, exist_ok=True)
        disk.write_whole(copy, (root / file).read_bytes(), 0o600)
    for parent in {folder, folder.parent, *(copy.parent for copy in copies.values())}:
        disk.sync_folder(parent)
    return folder.relative_to(root).as_posix()
