"""Every key of every file, as the tables at README's end.

`python -m station.bar.key_table` writes them there, in a checkout; a test holds the two equal.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from pathlib import Path
from typing import cast

from station.bar import say
from station.bar.editor_schema import FILES
from station.bar.kinds import Key, Kind, Rows, Shape, Table, Tables
from station.bar.patterns import SPELLED

BEGIN, END = "<!-- every key: begin -->", "<!-- every key: end -->"
LONG = 80

_README = Path(__file__).resolve().parents[2] / "README.md"
_PLAIN = {"string": "text", "boolean": "true or false"}

# A key, its kind, what it is about.
Row = tuple[str, str, str]
# What was listed once and is only referred to again: a table by its own `id`, a long list of words by its text; and where.
Seen = dict[int | str, str]


def tables() -> str:
    """How each kind of quantity is written, then one Markdown table a kind of file."""
    seen: Seen = {}
    return "\n".join([_quantities(), *(_file(files, shape, seen) for files, shape in FILES.values())])


def in_readme(text: str) -> str:
    """README's text with the tables between the two markers. ValueError if they are not there."""
    head, begin, rest = text.partition(BEGIN)
    _, end, tail = rest.partition(END)
    if not (begin and end):
        raise ValueError(f"{BEGIN} and {END} are not in the text")
    return f"{head}{BEGIN}\n\n{tables()}\n{END}{tail}"


def _quantities() -> str:
    written = {str(one["title"]): cast("list[str]", one["examples"]) for one in SPELLED.values()}
    return "".join(f"* {title}: {_words(examples)}\n" for title, examples in written.items())


def _file(files: str, shape: Shape, seen: Seen) -> str:
    """The file's table; neighbours of one kind and meaning share a row."""
    shared = groupby(_rows(shape, "", files, seen), key=lambda row: row[1:])
    rows = "".join(f"| {', '.join(row[0] for row in rows)} | {kind} | {about} |\n" for (kind, about), rows in shared)
    return f"`{files}`\n\n| key | kind | about |\n| --- | --- | --- |\n{rows}"


def _rows(shape: Shape, path: str, files: str, seen: Seen) -> Iterator[Row]:
    if isinstance(shape, Tables):
        yield from _rows(shape.each, f"{path}ID.", files, seen)
    elif isinstance(shape, Table):
        for key in shape.keys:
            yield from _of_key(key, path, files, seen)


def _of_key(key: Key, path: str, files: str, seen: Seen) -> Iterator[Row]:
    bold = "**" if key.required else ""
    name = f"{bold}`{path}{key.name}`{bold}"
    if isinstance(key.kind, Kind):
        yield name, _once(_said(key.kind.schema), f"{path}{key.name}", seen), key.about
        return
    inside = key.kind.each if isinstance(key.kind, Rows) else key.kind
    first = seen.setdefault(id(inside), files)
    if first != files:
        yield name, f"{key.kind.says}, as in `{first}`", key.about
        return
    if key.about or isinstance(key.kind, Rows):
        yield name, key.kind.says, key.about
    yield from _rows(inside, f"{path}{key.name}.", files, seen)


def _once(said: str, name: str, seen: Seen) -> str:
    """A long list of words only where it comes first."""
    first = seen.setdefault(said, name) if len(said) > LONG else name
    return said if first == name else f"as `{first}`"


def _said(schema: Mapping[str, object]) -> str:  # noqa: C901  # one case a kind
    """A kind in a few words."""
    match schema:
        case {"$ref": str(name)}:
            return str(SPELLED[name.rpartition("/")[2]]["title"])
        case {"enum": list(words)}:
            return _words(words)
        case {"items": dict(one), "minItems": 2, "maxItems": 2}:
            return f"[low, high], each a {_said(one)}"
        case {"items": dict(one)}:
            return f"array: {_said(one)}"
        case {"propertyNames": {"enum": list(names)}, "additionalProperties": dict(one)}:
            return f"table, each a {_said(one)}: {_words(names)}"
        case {"additionalProperties": dict(one)}:
            return f"table, each by its id: {_said(one)}"
        case {"minimum": float() | int() as least, "maximum": float() | int() as most, "type": kind}:
            return f"{kind} {say.number(least, 9)} to {say.number(most, 9)}"
        case {"format": str(name)}:
            return name
        case {"pattern": str()}:
            return "id"
        case {"type": str(name)}:
            return _PLAIN[name]
    raise ValueError(f"no words for {schema}")


def _words(words: list[str]) -> str:
    return ", ".join(f"`{word}`" for word in words)


if __name__ == "__main__":
    _README.write_text(in_readme(_README.read_text(encoding="utf-8")), encoding="utf-8")
