"""A sheet of comma, semicolon or tab separated text, read as rows of cells. Cells are data: nothing in them is carried out."""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from station.bar.fault import Fault
from station.bar.say import plain
from station.files.text import NotUtf8, decode

LARGEST_BYTES = 5_000_000
LONGEST_CELL = 200

_DELIMITERS = ",;\t"


class NoSheet(ValueError):
    """It cannot be read as a sheet: why, and what to do."""

    def __init__(self, reason: str, remedy: str) -> None:
        super().__init__(f"{reason} ({remedy})")
        self.reason, self.remedy = reason, remedy


class _Torn(ValueError):
    """From this line on the text is not CSV."""

    def __init__(self, line: int, reason: str) -> None:
        super().__init__(line, reason)
        self.line, self.reason = line, reason


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the line of the file it begins on, and its cells by column."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a file holds: its rows, the columns nobody asked for, and what is wrong with cells and rows."""

    file: str
    rows: tuple[Row, ...]
    ignored: tuple[str, ...]
    faults: tuple[Fault, ...]


def bytes_of(name: str) -> bytes:
    """The file's bytes; `-` is standard input. Raises NoSheet."""
    try:
        if name == "-":
            raw = sys.stdin.buffer.read(LARGEST_BYTES + 1)
        else:
            with Path(name).open("rb") as file:
                raw = file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise NoSheet(f"{name} cannot be read: {getattr(error, 'strerror', None) or error}", "check its name") from None
    if len(raw) > LARGEST_BYTES:
        raise NoSheet(f"{name} has over {LARGEST_BYTES} bytes", "cut it into several")
    return raw


def read_sheet(file: str, raw: bytes, needed: tuple[str, ...], besides: tuple[str, ...]) -> Sheet:
    """The rows of a sheet whose first line names the columns. Raises NoSheet where a needed one is missing."""
    try:
        text = decode(raw)
    except NotUtf8 as error:
        raise NoSheet(f"{file} is not UTF-8 text: {error}", "save it as CSV in UTF-8") from None
    rows = _rows(text, _delimiter(file, text))
    kept: list[Row] = []
    faults: list[Fault] = []
    columns: list[str] = []
    try:
        columns = _columns(file, next(rows)[1], needed, besides)
        for line, cells in rows:
            if any(cells):
                _take(file, line, cells, columns, {*needed, *besides}, kept, faults)
    except _Torn as torn:
        faults.append(_fault(file, torn.line, "", "not-csv", f"is not CSV from here on: {torn.reason}", "check its quotes"))
    ignored = tuple(plain(name, 40) for name in columns if name and name not in {*needed, *besides})
    return Sheet(file, tuple(kept), ignored, tuple(faults))


def _take(
    file: str, line: int, cells: list[str], columns: list[str], wanted: set[str], kept: list[Row], faults: list[Fault]
) -> None:
    """One row: kept if every cell of it that is wanted can be."""
    padded = [*cells, *[""] * (len(columns) - len(cells))]
    row = Row(line, {name: cell for name, cell in zip(columns, padded, strict=False) if name in wanted})
    wrong = [_fault(file, line, name, "bad-cell", *why) for name, cell in row.cells.items() if (why := _hostile(cell))]
    if any(cells[len(columns) :]):
        message = f"the row has {len(cells)} cells, the header {len(columns)}"
        wrong.append(_fault(file, line, "", "bad-row", message, "put a cell that holds the delimiter in quotes"))
    faults += wrong
    if not wrong:
        kept.append(row)


def _rows(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Each row's first line and its cells, without blanks around them."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    begins = 1
    try:
        for cells in reader:
            yield begins, [cell.strip() for cell in cells]
            begins = reader.line_num + 1
    except csv.Error as error:
        raise _Torn(begins, str(error)) from None


def _delimiter(file: str, text: str) -> str:
    """What stands between the columns' names in the first line."""
    header = text.partition("\n")[0][:2000]
    try:
        return csv.Sniffer().sniff(header, _DELIMITERS).delimiter
    except csv.Error:
        raise NoSheet(f"{file} has no header row", "name the columns in its first line: drink,item,amount,method,glass") from None


def _columns(file: str, header: list[str], needed: tuple[str, ...], besides: tuple[str, ...]) -> list[str]:
    columns = [name.casefold() for name in header]
    for name in (*needed, *besides):
        if columns.count(name) > 1:
            raise NoSheet(f"{file} has {columns.count(name)} columns {name}", "keep one")
    missing = [name for name in needed if name not in columns]
    if missing:
        listed = ",".join((*needed, *besides))
        raise NoSheet(f"{file} has no column {missing[0]}", f"name the columns in its first line: {listed}")
    return columns


def _hostile(cell: str) -> tuple[str, str] | None:
    """Why a cell cannot be anybody's honest word, and what to do."""
    if len(cell) > LONGEST_CELL:
        return f"the cell has {len(cell)} characters", f"at most {LONGEST_CELL}"
    if "\n" in cell or "\r" in cell:
        return "the cell holds a line break", "write it on one line"
    if plain(cell) != cell:
        return f"“{plain(cell, 60)}” holds a character that cannot be shown", "type it anew"
    return None


def _fault(file: str, line: int, column: str, code: str, message: str, remedy: str) -> Fault:
    return Fault(file, line, 1, plain(column, 40), code, "error", message, remedy)
