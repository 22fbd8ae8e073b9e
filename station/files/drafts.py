"""Unsaved work, kept so that a killed program loses nothing: one small JSON file a document, written before the next key.

A draft is replaced in one step but not forced to the disk: it outlives the program, not a power cut (a forced write
would cost every key milliseconds).
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from station.files.places import make_private

_FOLDER = "drafts"


@dataclass(frozen=True, slots=True)
class Drafts:
    """The drafts of one library, in its private folder."""

    private: Path

    def write(self, kind: str, name: str, content: dict[str, Any]) -> None:
        """Keep `content` as the draft of that document. Raises OSError where the folder cannot be written."""
        path = self._path(kind, name)
        if not path.parent.is_dir():
            make_private(self.private)
            path.parent.mkdir(parents=True, exist_ok=True)
        spare = path.with_suffix(".new")
        spare.write_text(json.dumps(content, ensure_ascii=False), encoding="utf-8")
        spare.replace(path)

    def read(self, kind: str, name: str) -> dict[str, Any] | None:
        """The draft of that document; None if there is none. One that cannot be read is set aside, never deleted."""
        path = self._path(kind, name)
        try:
            content = json.loads(path.read_text(encoding="utf-8"))
        except FileNotFoundError:
            return None
        except (OSError, ValueError, RecursionError):
            return self._set_aside(path)
        return content if isinstance(content, dict) else self._set_aside(path)

    def set_aside(self, kind: str, name: str) -> None:
        """Let that draft be found no more, but keep it."""
        self._set_aside(self._path(kind, name))

    def drop(self, kind: str, name: str) -> None:
        self._path(kind, name).unlink(missing_ok=True)

    def names(self, kind: str) -> Iterator[str]:
        """The documents of that kind that have a draft."""
        folder = self.private / _FOLDER / kind
        return (path.stem for path in sorted(folder.glob("*.json"))) if folder.is_dir() else iter(())

    def _path(self, kind: str, name: str) -> Path:
        return self.private / _FOLDER / kind / f"{name}.json"

    @staticmethod
    def _set_aside(path: Path) -> None:
        if path.is_file():
            path.replace(path.with_suffix(".unreadable"))


class Unwritten:
    """Drafts that are never put on the disk: where a look-up keeps how far a pour is, until it ends."""

    def __init__(self) -> None:
        self._held: dict[tuple[str, str], dict[str, Any]] = {}

    def write(self, kind: str, name: str, content: dict[str, Any]) -> None:
        self._held[kind, name] = content

    def read(self, kind: str, name: str) -> dict[str, Any] | None:
        return self._held.get((kind, name))

    def set_aside(self, kind: str, name: str) -> None:
        """What is not on the disk needs no keeping."""
        self.drop(kind, name)

    def drop(self, kind: str, name: str) -> None:
        self._held.pop((kind, name), None)

    def names(self, kind: str) -> Iterator[str]:
        return (name for of, name in sorted(self._held) if of == kind)
