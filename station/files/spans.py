"""Where every key and value of a TOML text stands.

tomllib reads a library's files and is the only judge of what is TOML, but it gives no positions. This scanner gives them, for
text that tomllib has accepted: to the reader a fault's line and column, to the editor the exact characters to replace. It
interprets no value. (A style-preserving library would be a second parser on the way to the disk and give a fault no place.)
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import accumulate
from types import MappingProxyType

from station.bar.place import Place

KeyPath = tuple[str | int, ...]
Span = tuple[int, int]

_NAME = r"""(?:[A-Za-z0-9_-]++|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+')"""
_KEY = re.compile(rf"({_NAME})[ \t]*+(\.)?[ \t]*+")
_EQUALS = re.compile(r"=[ \t]*+")
_OPEN = re.compile(r"\[(\[)?[ \t]*+")
_CLOSE = re.compile(r"\]\]?")
_COMMA = re.compile(r",?")
_BLANKS = re.compile(r"(?:[ \t\r\n]++|#[^\n]*+)*+")
_LINE_END = re.compile(r"[ \t]*+(?:#[^\n]*+)?\r?\n?")
_SCALAR = re.compile(
    r'''"""(?:[^"\\]++|\\.|"{1,2}(?!"))*+"{3,5}'''
    r"""|'''(?:[^']++|'{1,2}(?!'))*+'{3,5}"""
    r'''|"(?:[^"\\\n]++|\\.)*+"'''
    r"""|'[^'\n]*+'"""
    r"""|[0-9]{4}-[0-9]{2}-[0-9]{2}[ ][0-9]{2}:[0-9:.+Zz-]++"""
    r"""|[^\s,\[\]{}#]++""",
    re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Entry:
    """A key with its value, outside any inline table: whole lines from `start` to `end`."""

    path: KeyPath
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Section:
    """What one `[table]` or `[[array]]` header opens; the first section, with an empty path, has no header.

    `blank <= head <= body <= end`: the blank lines above; the comment lines directly above; after the header's line; after the
    last line, with the comments directly below it. Comments with blank lines on both sides belong to no section.
    """

    path: KeyPath
    blank: int
    head: int
    body: int
    end: int
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Spans:
    """The places and spans of one text. A path is keys and, in arrays, indexes: `("lines", 2, "amount")`."""

    text: str
    keys: Mapping[KeyPath, int]
    values: Mapping[KeyPath, Span]
    sections: tuple[Section, ...]

    def key_place(self, path: KeyPath) -> Place | None:
        """Where the key's name stands (of an array's element: the element, or its `[[name]]`); None if it is not written."""
        offset = self.keys.get(path)
        return None if offset is None else Place.at(self.text, offset)

    def place(self, path: KeyPath) -> Place:
        """The place of `path`, or of the nearest thing around it: a missing key's table, else the text's first character."""
        while path and path not in self.keys:
            path = path[:-1]
        return self.key_place(path) or Place(1, 1)

    def value_span(self, path: KeyPath) -> Span | None:
        """From where to where the value's own text stands; None for a table or an array that headers or dotted keys make."""
        return self.values.get(path)

    def section(self, path: KeyPath) -> Section | None:
        """The section whose header names exactly `path`."""
        return next((section for section in self.sections if section.path == path), None)

    def within(self, path: KeyPath) -> tuple[Section, ...]:
        """The sections of `path` and of everything under it, in the text's order."""
        return tuple(section for section in self.sections if section.path[: len(path)] == path)

    def block(self, path: KeyPath) -> Section | None:
        """`path`'s section drawn out to hold its sub-tables; None without a header, or if another table stands between."""
        inside = self.within(path)
        if not inside or inside[0].path != path:
            return None
        first, last = self.sections.index(inside[0]), self.sections.index(inside[-1])
        if last - first + 1 != len(inside):
            return None
        return Section(path, inside[0].blank, inside[0].head, inside[0].body, inside[-1].end, inside[0].entries)

    def table_block(self, path: KeyPath) -> Span | None:
        """The lines of one table, from the comments directly above its header to its last line, sub-tables included."""
        block = self.block(path)
        return None if block is None else (block.head, block.end)


def scan(text: str) -> Spans:
    """Find every key and value of `text`, which tomllib accepts. ValueError if the scanner cannot follow it."""
    scanner = _Scanner(text)
    scanner.document()
    return Spans(text, MappingProxyType(scanner.keys), MappingProxyType(scanner.values), tuple(scanner.sections))


class _Scanner:
    """One pass over one text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.keys: dict[KeyPath, int] = {}
        self.values: dict[KeyPath, Span] = {}
        self.sections: list[Section] = []
        self.lengths: dict[KeyPath, int] = {}
        self.entries: list[Entry] = []
        self.table: KeyPath = ()
        self.blank = self.head = self.body = self.last = 0

    def document(self) -> None:
        """Every statement in turn. A section is known once the next one's header is met, or the end."""
        pos = self.past(_BLANKS, 0)
        while pos < len(self.text):
            start = self.text.rfind("\n", 0, pos) + 1
            if self.text[pos] == "[":
                self.header(start, pos)
            else:
                path, pos = self.pair(self.table, pos)
                self.last = self.past(_LINE_END, pos)
                self.entries.append(Entry(path, start, self.last))
            pos = self.past(_BLANKS, self.last)
        self.close(*_comments_below(self.text, self.last))

    def header(self, start: int, pos: int) -> None:
        end, blank, head = _comments_between(self.text, self.last, start)
        self.close(end, blank)
        opened = self.match(_OPEN, pos)
        names, pos = self.names(opened.end())
        *parents, (name, at) = names
        self.table = (*self.walk((), parents), name)
        if opened[1]:
            self.keys.setdefault(self.table, at)
            index = self.lengths[self.table] = self.lengths.get(self.table, -1) + 1
            self.table = (*self.table, index)
        self.keys[self.table] = at
        self.blank, self.head = blank, head
        self.body = self.last = self.past(_LINE_END, self.past(_CLOSE, pos))

    def close(self, end: int, blank: int) -> None:
        """Keep the open section. Without a header or a key there is nothing to end after but the comments at the text's top."""
        if not self.body and not self.entries:
            end = blank
        self.sections.append(Section(self.table, self.blank, self.head, self.body or end, end, tuple(self.entries)))
        self.entries = []

    def pair(self, table: KeyPath, pos: int) -> tuple[KeyPath, int]:
        """A key and its value; the value's path and where it ends."""
        names, pos = self.names(pos)
        *parents, (name, at) = names
        path = (*self.walk(table, parents), name)
        self.keys[path] = at
        return path, self.value(path, self.past(_EQUALS, pos))

    def walk(self, path: KeyPath, names: list[tuple[str, int]]) -> KeyPath:
        """Down from `path` by `names`; an array of tables is entered at its last element."""
        for name, at in names:
            path = (*path, name)
            self.keys.setdefault(path, at)
            if path in self.lengths:
                path = (*path, self.lengths[path])
        return path

    def names(self, pos: int) -> tuple[list[tuple[str, int]], int]:
        """The parts of a dotted key, each with its offset, and where the key ends."""
        names = []
        dot: str | None = "."
        while dot:
            found = self.match(_KEY, pos)
            names.append((_plain(found[1]), pos))
            dot, pos = found[2], found.end()
        return names, pos

    def value(self, path: KeyPath, pos: int) -> int:
        """Record the value at `pos`; where it ends."""
        opener = self.text[pos : pos + 1]
        if opener == "[":
            end = self.array(path, pos + 1)
        elif opener == "{":
            end = self.inline_table(path, pos + 1)
        else:
            end = self.past(_SCALAR, pos)
        self.values[path] = (pos, end)
        return end

    def array(self, path: KeyPath, pos: int) -> int:
        index = 0
        pos = self.past(_BLANKS, pos)
        while self.text[pos : pos + 1] != "]":
            element = (*path, index)
            self.keys[element] = pos
            pos = self.past(_BLANKS, self.value(element, pos))
            pos = self.past(_BLANKS, self.past(_COMMA, pos))
            index += 1
        return pos + 1

    def inline_table(self, path: KeyPath, pos: int) -> int:
        pos = self.past(_BLANKS, pos)
        while self.text[pos : pos + 1] != "}":
            _, pos = self.pair(path, pos)
            pos = self.past(_BLANKS, pos)
            pos = self.past(_BLANKS, self.past(_COMMA, pos))
        return pos + 1

    def past(self, pattern: re.Pattern[str], pos: int) -> int:
        return self.match(pattern, pos).end()

    def match(self, pattern: re.Pattern[str], pos: int) -> re.Match[str]:
        found = pattern.match(self.text, pos)
        if found is None:
            raise ValueError(f"{Place.at(self.text, pos)}: the scanner cannot follow this text")
        return found


def _plain(name: str) -> str:
    """A key's part as tomllib reads it."""
    if name[0] not in "\"'":
        return name
    if "\\" not in name or name[0] == "'":
        return name[1:-1]
    return str(tomllib.loads(f"name = {name}")["name"])


def _comments_between(text: str, low: int, high: int) -> tuple[int, int, int]:
    """Of the blank and comment lines between a statement and a header: where the statement's own end, where the blank lines above
    the header's own begin, and where those begin."""
    if low == high:
        return low, low, low
    lines = text[low:high].split("\n")[:-1]
    head = len(lines)
    while head and lines[head - 1].strip():
        head -= 1
    blank = head
    while blank and not lines[blank - 1].strip():
        blank -= 1
    end = 0
    while end < blank and lines[end].strip():
        end += 1
    starts = list(accumulate((len(line) + 1 for line in lines), initial=low))
    return starts[end], starts[blank], starts[head]


def _comments_below(text: str, low: int) -> tuple[int, int]:
    """Where the comment lines directly below the last statement end, and where the text does."""
    end = low
    while end < len(text) and (line := text[end:].partition("\n")[0]).strip():
        end = min(end + len(line) + 1, len(text))
    return end, len(text)
