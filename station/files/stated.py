"""Every amount a file states, wherever the schema has room for one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from station.bar.amount import Amount
from station.bar.kinds import Kind, Rows, Shape, Table
from station.files.spans import KeyPath


def amounts(raw: Any, shape: Shape, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Amount]]:
    """The amounts in data that the schema has accepted, each with its path. Raises BadValue for data it has not."""
    if isinstance(shape, Kind):
        yield from _read(shape.read(raw), path)
    elif isinstance(shape, Rows):
        for place, row in enumerate(raw):
            yield from amounts(row, shape.each, (*path, place))
    elif isinstance(shape, Table):
        for key in shape.keys:
            if key.name in raw:
                yield from amounts(raw[key.name], key.kind, (*path, key.name))
    else:
        for name, one in raw.items():
            yield from amounts(one, shape.each, (*path, name))


def _read(value: Any, path: KeyPath) -> Iterator[tuple[KeyPath, Amount]]:
    if isinstance(value, Amount):
        yield path, value
    elif isinstance(value, tuple):
        for place, one in enumerate(value):
            yield from _read(one, (*path, place))
