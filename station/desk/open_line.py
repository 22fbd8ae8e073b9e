"""One line of an open spec, as its file would say it: frozen, so that every state of an edit can be kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from station.bar.nouns import Library, Line
from station.bar.schema import LINE
from station.files.build import line_of
from station.files.checker import Finding, read_table

Value = str | bool | int | float

_OWN = ("item", "amount", "with", "when")


@dataclass(frozen=True, slots=True)
class OpenLine:
    """Item, amount ("" until one is typed), dispenser and when as written; `rest` is every other key of the line.

    A dispenser is remembered while the amount is in another unit than its own, and counts again when it is back. `key` tells
    which line this is, whatever becomes of it; it says nothing about the drink.
    """

    item: str
    amount: str = ""
    dispenser: str = ""
    when: str = ""
    rest: tuple[tuple[str, Value], ...] = ()
    key: int = field(default=-1, compare=False)


OpenLines = tuple[OpenLine, ...]


def opened_lines(rows: Iterable[Mapping[str, Any]]) -> OpenLines:
    """The lines of a drink's file, keyed in their order."""
    return tuple(opened_line(row, key) for key, row in enumerate(rows))


def opened_line(row: Mapping[str, Any], key: int) -> OpenLine:
    """A line as its table says it."""
    rest = tuple((name, value) for name, value in row.items() if name not in _OWN)
    return OpenLine(row["item"], row.get("amount", ""), row.get("with", ""), row.get("when", ""), rest, key)


def table_of(line: OpenLine) -> dict[str, Value]:
    """The line's table, as a file holds it."""
    own = zip(_OWN, (line.item, line.amount, line.dispenser, line.when), strict=True)
    return {**{name: said for name, said in own if said}, **dict(line.rest)}


def noun_of(line: OpenLine, library: Library) -> Line:
    """The line, read; its dispenser only where it counts. Raises ValueError for what a file could not say."""
    findings: list[Finding] = []
    values = read_table(table_of(line), LINE, findings)
    if findings:
        raise ValueError(f"{findings[0].message} ({findings[0].remedy})")
    noun = line_of(values)
    named = library.dispensers.get(noun.dispenser)
    return noun if named is None or named.unit == noun.amount.unit else replace(noun, dispenser="")


def packed(line: OpenLine) -> list[Any]:
    """The line as a draft keeps it."""
    return [line.key, line.item, line.amount, line.dispenser, line.when, dict(line.rest)]


def unpacked(kept: object, library: Library) -> OpenLine:
    """A line that a draft kept. Raises ValueError if it is none, or holds what no file could."""
    match kept:
        case [int(key), str(item), str(amount), str(dispenser), str(when), dict(rest)] if not rest.keys() & set(_OWN):
            line = OpenLine(item, amount, dispenser, when, tuple(rest.items()), key)
            noun_of(line if amount else replace(line, amount="1 g", dispenser=""), library)
            return line
        case _:
            raise ValueError(f"no line: {kept!r}")
