"""Single words of a TOML text spelled anew where they stand: nothing moves, every other byte stays.

For a change that goes through many files (an id, the unit of every amount) matching old tables with new ones, as `edited`
does, would be guessing; here each path is said.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from station.files.edit import prove
from station.files.inline import Edit, applied
from station.files.render import dotted, inline
from station.files.spans import KeyPath, Spans, scan

_HEADER = re.compile(r"[ \t]*\[\[?[ \t]*")
_INDENT = re.compile(r"[ \t]*")
_NAME = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")


def respelled(text: str, values: Mapping[KeyPath, str], tables: Mapping[str, str] | None = None) -> str:
    """`text` with the strings at these paths, and the names of these top-level tables, replaced.

    Raises EditRefused if the result would not say exactly that; ValueError if `text` is not TOML.
    """
    spans, names = scan(text), tables or {}
    edits = [Edit(*spans.values[path], inline(value)) for path, value in values.items()]
    for old, new in names.items():
        edits += [Edit(start, end, dotted((new,))) for start, end in _written(spans, old)]
    result = applied(text, edits, 0, len(text))
    prove(result, _wanted(tomllib.loads(text), values, names))
    return result


def leaves(value: Any, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """Every value that holds no others, with its path."""
    if isinstance(value, dict):
        for key, one in value.items():
            yield from leaves(one, (*path, key))
    elif isinstance(value, list):
        for index, one in enumerate(value):
            yield from leaves(one, (*path, index))
    else:
        yield path, value


def _written(spans: Spans, table: str) -> Iterator[tuple[int, int]]:
    """Wherever a top-level table's name is written: in its header, in those of its sub-tables, in dotted keys above them all."""
    for section in spans.sections:
        if section.path[:1] == (table,):
            line = spans.text.rfind("\n", 0, spans.keys[section.path]) + 1
            yield _token(spans.text, line, _HEADER)
    for entry in spans.sections[0].entries:
        if entry.path[:1] == (table,):
            yield _token(spans.text, entry.start, _INDENT)


def _token(text: str, line: int, lead: re.Pattern[str]) -> tuple[int, int]:
    before = lead.match(text, line)
    found = _NAME.match(text, before.end() if before else line)
    assert found is not None  # the scanner found a key here
    return found.span()


def _wanted(data: dict[str, Any], values: Mapping[KeyPath, str], names: Mapping[str, str]) -> dict[str, Any]:
    for (*parents, last), value in values.items():
        holder: Any = data
        for part in parents:
            holder = holder[part]
        holder[last] = value
    return {names.get(key, key): value for key, value in data.items()}
