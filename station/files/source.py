"""One file of a library, read from disk: its bytes' digest, its text, its data, or the one fault that forbids reading it."""

from __future__ import annotations

import os
import re
import stat
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from station.bar.fault import Fault
from station.files.save import digest
from station.files.text import NotUtf8, decode

LARGEST_BYTES = 1_000_000

# Nothing a library says goes deeper than six tables.
DEEPEST = 64

# A key of that many parts: tomllib's time goes with their square.
_DEEP_KEY = re.compile(rf"""(?:(?:[\w-]{{1,80}}+|"(?:[^"\\\n]|\\.){{0,80}}+"|'[^'\n]{{0,80}}+')[ \t]*+\.[ \t]*+){{{DEEPEST}}}""")
_AT = re.compile(r" \(at line (\d+), column (\d+)\)$")


@dataclass(frozen=True, slots=True)
class Source:
    """A file as it stood: `stamp` tells whether it still does, `digest` names its bytes."""

    file: str
    stamp: tuple[int, int, int]
    digest: str = ""
    text: str = ""
    data: dict[str, Any] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()


def stamp_of(path: Path) -> tuple[int, int, int]:
    """Size, modification time (ns) and inode: another program's change moves at least one of them."""
    info = path.stat()
    return info.st_size, info.st_mtime_ns, info.st_ino


def read_source(root: Path, file: str) -> Source:
    """Read `file` (relative to `root`). Whatever it holds, the answer is a Source; what is wrong stands in its faults."""
    path = root / file
    try:
        info = path.stat()
        stamp = (info.st_size, info.st_mtime_ns, info.st_ino)
        refusal = _refusal(root, path, info)
        if refusal:
            return Source(file, stamp, faults=(_fault(file, *refusal),))
        raw = path.read_bytes()
    except OSError as error:
        reason = error.strerror or type(error).__name__
        return Source(file, (0, 0, 0), faults=(_fault(file, "unreadable", f"cannot be read: {reason}", "check its permissions"),))
    return _parsed(file, stamp, raw)


def _refusal(root: Path, path: Path, info: os.stat_result) -> tuple[str, str, str] | None:
    if not stat.S_ISREG(info.st_mode):
        return "not-a-file", "is not a plain file", "move it out of the library"
    if not path.resolve().is_relative_to(root.resolve()):
        return "outside-library", "links to a place outside the library", "copy the file in"
    if info.st_size > LARGEST_BYTES:
        return "too-large", f"has {info.st_size} bytes, over {LARGEST_BYTES}", "a library file is a page or two of text"
    return None


def _parsed(file: str, stamp: tuple[int, int, int], raw: bytes) -> Source:
    name = digest(raw)
    try:
        text = decode(raw)
    except NotUtf8 as error:
        fault = _fault(file, "not-utf8", "is not UTF-8 text", "save it as UTF-8", error.place.line, error.place.column)
        return Source(file, stamp, name, faults=(fault,))
    try:
        return Source(file, stamp, name, text, _shallow(text))
    except RecursionError:
        return Source(file, stamp, name, text, faults=(_fault(file, "toml-syntax", "is nested too deeply", "flatten it"),))
    except ValueError as error:
        return Source(file, stamp, name, text, faults=(_syntax(file, text, str(error)),))


def _shallow(text: str) -> dict[str, Any]:
    """The text's data. Raises ValueError if it is not TOML, RecursionError if it is nested deeper than DEEPEST."""
    if text.count(".") >= DEEPEST and _DEEP_KEY.search(text):
        raise RecursionError
    data = tomllib.loads(text)
    level: list[Any] = [data]
    for _ in range(DEEPEST):
        level = [one for value in level for one in _inside(value) if isinstance(one, dict | list)]
        if not level:
            return data
    raise RecursionError


def _inside(value: dict[str, Any] | list[Any]) -> Iterable[Any]:
    return value.values() if isinstance(value, dict) else value


def _syntax(file: str, text: str, message: str) -> Fault:
    at = _AT.search(message)
    last_line = text.rstrip("\n").count("\n") + 1
    line, column = (int(at[1]), int(at[2])) if at else (last_line, 1)
    reason = _AT.sub("", message).removesuffix(" (at end of document)")
    reason = reason[:1].lower() + reason[1:]
    return _fault(file, "toml-syntax", f"is not TOML: {reason}", "mend this line; the rest is read after it", line, column)


def _fault(file: str, code: str, message: str, remedy: str, line: int = 0, column: int = 0) -> Fault:
    return Fault(file, line, column, "", code, "error", message, remedy)
