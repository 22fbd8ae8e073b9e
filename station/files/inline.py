"""Edits of one value where it stands: a scalar, or the elements of an array or inline table, whose comments and layout stay."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from station.files.render import inline
from station.files.spans import KeyPath, Span, Spans
from station.files.values import same

_AFTER = re.compile(r"[ \t]*(?P<comma>,)?(?P<blank>[ \t]*)(?:#[^\r\n]*)?(?P<newline>\r?\n)?")


@dataclass(frozen=True, slots=True)
class Edit:
    """`text` in place of the characters `start` to `end`. Of insertions at one place `late` ones, tables, come after keys."""

    start: int
    end: int
    text: str
    late: bool = False


def applied(text: str, edits: Iterable[Edit], low: int, high: int) -> str:
    """`text` from `low` to `high` with its edits made; those at one place in the order given, but late ones last."""
    parts, done = [], low
    for edit in sorted(edits, key=lambda edit: (edit.start, edit.late)):
        parts += [text[done : edit.start], edit.text]
        done = max(done, edit.end)
    return "".join([*parts, text[done:high]])


def value_edits(spans: Spans, path: KeyPath, old: Any, new: Any) -> Iterator[Edit]:
    """The edits that turn the value at `path` into `new`; as deep inside it as its shape allows, else the whole value."""
    if same(old, new):
        return
    if (
        isinstance(old, dict)
        and isinstance(new, dict)
        and old.keys() == new.keys()
        and all((*path, key) in spans.values for key in old)
    ):
        for key, value in old.items():
            yield from value_edits(spans, (*path, key), value, new[key])
    elif isinstance(old, list) and isinstance(new, list) and old and new:
        yield from _Elements(spans, path, old, new).edits()
    else:
        yield Edit(*spans.values[path], inline(new))


def rows_moved(spans: Spans, path: KeyPath, old: list[Any], new: list[Any], sources: Sequence[int | None]) -> Edit | None:
    """The array's elements in another order, each with the comments above and behind it; `sources` says which old one each new
    one continues. None unless every element has its lines to itself."""
    elements = _Elements(spans, path, old, new)
    rows = elements.rows()
    if not rows:
        return None
    (first, _), (_, last) = elements.places[0], elements.places[-1]
    before, ending = spans.text[elements.line_start(first) : first], elements.after(last)
    parts = []
    for source, value in zip(sources, new, strict=True):
        if source is None:
            parts.append(f"{before}{inline(value)},{ending['newline']}")
            continue
        edits = list(value_edits(spans, (*path, source), old[source], value))
        if source == len(old) - 1 and not ending["comma"]:
            edits.append(Edit(last, last, ","))
        parts.append(applied(spans.text, edits, *rows[source]))
    return Edit(rows[0][0], rows[-1][1], "".join(parts))


class _Elements:
    """An array's elements: those equal from the front and the back stay; between, they change in place, then some go or come."""

    def __init__(self, spans: Spans, path: KeyPath, old: list[Any], new: list[Any]) -> None:
        self.spans, self.path, self.old, self.new = spans, path, old, new
        self.text = spans.text
        self.places = [spans.values[(*path, index)] for index in range(len(old))]

    def edits(self) -> list[Edit]:
        shorter = min(len(self.old), len(self.new))
        front = next((at for at in range(shorter) if not same(self.old[at], self.new[at])), shorter)
        rest = shorter - front
        back = next((at for at in range(rest) if not same(self.old[~at], self.new[~at])), rest)
        middle = shorter - back
        edits: list[Edit] = []
        for index in range(front, middle):
            edits += value_edits(self.spans, (*self.path, index), self.old[index], self.new[index])
        if len(self.old) > shorter:
            cut = self.cut(middle, len(self.old) - back)
            return [Edit(*self.spans.values[self.path], inline(self.new))] if cut is None else [*edits, cut]
        return edits + self.insert(middle, [inline(value) for value in self.new[middle : len(self.new) - back]])

    def cut(self, first: int, stop: int) -> Edit | None:
        """Elements out, with whole lines where they have them to themselves. None if a comma stands where nobody looks for it."""
        start, end = self.places[first][0], self.places[stop - 1][1]
        after = self.after(end)
        if after["comma"]:
            own_line = self.line_start(start)
            return (
                Edit(start, after.end("blank"), "")
                if own_line is None or not after["newline"]
                else Edit(own_line, after.end(), "")
            )
        if stop < len(self.old):
            return None
        before = self.places[first - 1][1]
        return Edit(start if "#" in self.text[before:start] else before, end, "")

    def insert(self, at: int, values: list[str]) -> list[Edit]:
        """Elements in: on lines of their own where the one before them (the first: the one after) has one."""
        if not values:
            return []
        start, end = self.places[max(at - 1, 0)]
        after, own_line = self.after(end), self.line_start(start)
        if own_line is None or not after["newline"]:
            return (
                [Edit(end, end, "".join(f", {value}" for value in values))]
                if at
                else [Edit(start, start, ", ".join([*values, ""]))]
            )
        gap = after["newline"] + self.text[own_line:start]
        if not at:
            return [Edit(start, start, "".join(f"{value},{gap}" for value in values))]
        here = after.start("newline")
        if after["comma"]:
            return [Edit(here, here, "".join(f"{gap}{value}," for value in values))]
        return [Edit(end, end, ","), Edit(here, here, gap + f",{gap}".join(values))]

    def rows(self) -> list[Span]:
        """Each element's lines with the comment lines above them; none unless all have lines of their own, with the comma."""
        afters = [self.after(end) for _, end in self.places]
        alone = all(self.line_start(start) is not None for start, _ in self.places) and all(one["newline"] for one in afters)
        if not alone or not all(one["comma"] for one in afters[:-1]):
            return []
        low = self.text.index("\n", self.spans.values[self.path][0]) + 1
        return list(pairwise((low, *(one.end() for one in afters))))

    def after(self, offset: int) -> re.Match[str]:
        found = _AFTER.match(self.text, offset)
        assert found is not None  # it matches nothing, too
        return found

    def line_start(self, offset: int) -> int | None:
        """Where the line starts, if nothing but blanks stands on it before `offset`."""
        start = self.text.rfind("\n", 0, offset) + 1
        return None if self.text[start:offset].strip() else start
