"""A TOML text changed to hold other data: only the characters that must change do; every other byte and comment stays.

The old and the new data are compared, and each difference becomes a replacement of a span found by the scanner. Nothing is
trusted: the result is read again, and unless it is exactly what was wanted there is no result.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

from station.files import render
from station.files.inline import Edit, applied, rows_moved, value_edits
from station.files.match import matched, staying
from station.files.render import fresh
from station.files.spans import KeyPath, Section, scan
from station.files.text import newline_of
from station.files.values import is_tables, plain, same

__all__ = ["EditRefused", "edited", "fresh"]

Table = dict[str, Any]
# For the new tables of an array, which of the old ones each continues.
Continued = Sequence[int | None]

_INDENT = re.compile(r"[ \t]*")
_BLANK_LINES = re.compile(r"(?:[ \t]*\r?\n)*")


class EditRefused(ValueError):
    """The text cannot be edited into what is wanted; `reason` says why."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason

    def __str__(self) -> str:
        return f"the file is left as it is: {self.reason}"


def edited(text: str, wanted: Mapping[str, Any], continues: Mapping[str, Continued] | None = None) -> str:
    """`text` with the fewest changes that make `tomllib.loads` of it equal `wanted`; `text` itself if it does already.

    A table of an array keeps the comments and layout of the old one it continues: the one that `continues` names for it under
    the array's key, else the likest. Raises EditRefused; tomllib.TOMLDecodeError (a ValueError) if `text` is not TOML;
    ValueError if an old table is continued twice or is not there; TypeError for what TOML cannot hold.
    """
    current, target = tomllib.loads(text), plain(wanted)
    if same(current, target):
        return text
    newline = newline_of(text)
    whole = text if text.endswith("\n") or not text else text + newline
    if current:
        editor = _Editor(whole, newline, continues or {})
        editor.table((), current, target)
        result = applied(whole, editor.edits, 0, len(whole))
    else:
        result = (whole and whole + newline) + render.fresh(target).replace("\n", newline)
    if whole is not text:
        result = result.removesuffix(newline)
    prove(result, target)
    return result


def prove(result: str, target: Table) -> None:
    try:
        result.encode("utf-8")
        proved = same(tomllib.loads(result), target)
    except UnicodeEncodeError as error:
        raise EditRefused(f"{error.object[error.start]!a} cannot be written as UTF-8") from None
    except ValueError as error:
        raise EditRefused(f"the edited text would not be TOML: {error}") from None
    if not proved:
        raise EditRefused("the edited text would not say what was wanted")


class _Editor:
    """The edits from one state of the data to another, over one text. Paths are those of the text as it was."""

    def __init__(self, text: str, newline: str, continues: Mapping[str, Continued]) -> None:
        self.text, self.newline, self.continues = text, newline, continues
        self.spans = scan(text)
        self.edits: list[Edit] = []

    def table(self, path: KeyPath, old: Table, new: Table) -> None:
        """A table made by headers, by dotted keys, or by the file itself."""
        for key in old:
            if key not in new:
                self.remove((*path, key))
        added = {}
        for key, value in new.items():
            if key not in old:
                added[key] = value
            elif not same(old[key], value) and not self.changed((*path, key), old[key], value):
                self.remove((*path, key))
                added[key] = value
        if added:
            self.add(path, added)

    def changed(self, path: KeyPath, old: Any, new: Any) -> bool:
        """Change a key's value in the form it has. False if it needs another: from a value to a table, or back."""
        written = path in self.spans.values
        if written and (not _wants_headers(new) or (old and isinstance(old, dict | list))):
            moved = self.rows(path, old, new) if is_tables(old) and is_tables(new) else None
            self.edits += [moved] if moved else value_edits(self.spans, path, old, new)
        elif not written and isinstance(old, dict) and isinstance(new, dict) and (new or self.spans.section(path)):
            self.table(path, old, new)
        elif not written and isinstance(old, list) and is_tables(new):
            self.array(path, old, new)
        else:
            return False
        return True

    def remove(self, path: KeyPath) -> None:
        """The lines of a key, or the blocks of every header at or under it."""
        for section in self.spans.sections:
            if _under(section.path, path):
                self.drop(section)
            else:
                self.edits += [Edit(entry.start, entry.end, "") for entry in section.entries if _under(entry.path, path)]

    def drop(self, block: Section) -> None:
        """A block goes with the blank lines above it; the text's first one with those below."""
        end = block.end if block.blank else self.past(_BLANK_LINES, block.end)
        self.edits.append(Edit(block.blank, end, ""))

    def add(self, path: KeyPath, added: Table) -> None:
        """New keys below the table's last, new tables below its last sub-table. What dotted keys make, dotted keys extend."""
        own = self.spans.section(path)
        if own is None and (home := self.home_of_dotted(path)):
            self.add_keys(home, path, added)
            return
        within = self.spans.within(path)
        tables = {key: value for key, value in added.items() if self.gets_header(path, value)}
        keys = {key: value for key, value in added.items() if key not in tables}
        if keys and own:
            self.add_keys(own, path, keys)
        elif keys:
            self.open_table(path, keys, within[0])
        for key, value in tables.items():
            for text in _rendered((*path, key), value):
                self.insert(within[-1].end, "\n" + text, late=True)

    def add_keys(self, home: Section, path: KeyPath, added: Table) -> None:
        """Lines in the section `home` for new keys of `path`, below the last one it has, indented alike."""
        above = [entry for entry in home.entries if _under(entry.path, path)]
        at, indent = home.body, ""
        if above:
            at = above[-1].end
            indent = self.text[above[-1].start : self.past(_INDENT, above[-1].start)]
        names = _names(path[len(home.path) :])
        lines = "".join(indent + render.line((*names, key), value) for key, value in added.items())
        touches_header = not home.path and not above and self.past(_BLANK_LINES, at) == at
        self.insert(at, lines + "\n" if touches_header else lines)

    def open_table(self, path: KeyPath, keys: Table, first: Section) -> None:
        """A header of its own for a table that so far only the headers of its sub-tables name, the first of which is `first`."""
        above = "\n" if first.blank else ""
        below = "\n" if first.blank == first.head else ""
        self.insert(first.blank, above + render.section(_names(path), keys, array=False) + below, late=True)

    def array(self, path: KeyPath, old: list[Table], new: list[Table]) -> None:
        """Elements take their blocks along; what moves or is new goes below the element before it."""
        sources = self.sources(path, old, new)
        blocks = [block for index in range(len(old)) if (block := self.spans.block((*path, index)))]
        if len(blocks) < len(old):
            self.scattered_array(path, old, new, sources)
            return
        kept = staying(sources)
        for index in set(range(len(old))) - kept:
            self.drop(blocks[index])
        gap = self.text[blocks[-1].blank : blocks[-1].head] if blocks[-1].head else self.newline
        here, below = blocks[min(kept)].head, False
        for source, table in zip(sources, new, strict=True):
            if source is not None and source in kept:
                self.table((*path, source), old[source], table)
                here, below = blocks[source].end, True
            else:
                if source is None:
                    text = render.section(_names(path), table, array=True).replace("\n", self.newline)
                else:
                    text = self.moved((*path, source), blocks[source], old[source], table)
                self.edits.append(Edit(here, here, gap + text if below else text + gap, late=True))

    def rows(self, path: KeyPath, old: list[Table], new: list[Table]) -> Edit | None:
        """Inline tables on lines of their own put in another order; None where the order stays, or they have no such lines."""
        sources = self.sources(path, old, new)
        return None if sources == list(range(len(old))) else rows_moved(self.spans, path, old, new, sources)

    def sources(self, path: KeyPath, old: list[Table], new: list[Table]) -> list[int | None]:
        """Which old element each new one continues. If all are said to be new, the likest are looked for: one block must stay."""
        said = list(self.continues.get(str(path[0]), ())) if len(path) == 1 else []
        named = [one for one in said if one is not None]
        if not named:
            return matched(old, new)
        if len(said) != len(new) or len(set(named)) != len(named) or not set(named) <= set(range(len(old))):
            raise ValueError(f"{path[0]} cannot continue as said: {said}")
        return said

    def scattered_array(self, path: KeyPath, old: list[Table], new: list[Table], sources: list[int | None]) -> None:
        """Other tables stand inside an element's block: it can change, but not move."""
        if sources != list(range(len(old))):
            raise EditRefused(f"other tables stand between those of {render.dotted(_names(path))}; move them out first")
        for index, table in enumerate(new):
            self.table((*path, index), old[index], table)

    def moved(self, path: KeyPath, block: Section, old: Table, new: Table) -> str:
        """A block's text with its own edits made, to be put elsewhere."""
        outer, self.edits = self.edits, []
        self.table(path, old, new)
        inner, self.edits = self.edits, outer
        return applied(self.text, inner, block.head, block.end)

    def home_of_dotted(self, path: KeyPath) -> Section | None:
        """The section whose dotted keys make the table at `path`."""
        homes = (section for section in self.spans.sections if not _under(section.path, path))
        return next((section for section in homes if any(_under(entry.path, path) for entry in section.entries)), None)

    def gets_header(self, parent: KeyPath, value: Any) -> bool:
        """Lists of tables and tables with tables always do; a small table does where its siblings do."""
        if not isinstance(value, dict):
            return is_tables(value)
        depth = len(parent)
        below = [section.path[depth : depth + 2] for section in self.spans.within(parent)]
        siblings = any(path and not isinstance(path[-1], int) for path in below)
        return siblings or not value or _wants_headers(value) or len(render.inline(value)) > render.WIDTH

    def insert(self, at: int, text: str, late: bool = False) -> None:
        self.edits.append(Edit(at, at, text.replace("\n", self.newline), late))

    def past(self, pattern: re.Pattern[str], offset: int) -> int:
        found = pattern.match(self.text, offset)
        return found.end() if found else offset


def _under(path: KeyPath, top: KeyPath) -> bool:
    return path[: len(top)] == top


def _names(path: KeyPath) -> tuple[str, ...]:
    """A path as headers write it: without the indexes."""
    return tuple(name for name in path if isinstance(name, str))


def _wants_headers(value: Any) -> bool:
    return is_tables(value) or (
        isinstance(value, dict) and any(isinstance(one, dict) or is_tables(one) for one in value.values())
    )


def _rendered(path: KeyPath, value: Table | list[Table]) -> list[str]:
    if isinstance(value, dict):
        return [render.section(_names(path), value, array=False)]
    return [render.section(_names(path), one, array=True) for one in value]
