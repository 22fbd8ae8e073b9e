"""Drinks out of a sheet: what it says as a plan, and, once that was seen, the plan as files. All of it, or nothing."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from os.path import lexists
from typing import Any

from station.bar.fault import CannotAnswer, Fault
from station.bar.kinds import LONGEST_ID, is_id
from station.bar.nouns import WATER, Library
from station.bar.say import plain
from station.bar.shelf import DRINK, ImportPlan, PlannedDrink, PlannedLine, UnknownItem
from station.desk.opening import Opened
from station.desk.shelving import path_of
from station.desk.writing import in_one_sentence, make, ready
from station.files.checker import dotted
from station.files.edit import edited
from station.files.save import Change
from station.files.sheet import NoSheet, Row, Sheet, bytes_of, read_sheet
from station.files.sound import drink_findings

NEEDED, BESIDES = ("drink", "item", "amount", "method"), ("glass",)
# Beyond these an unknown item is listed without its nearest ids: comparing words takes time.
OFFERED = 50

_FORMULA = ("=", "+", "-", "@")
_SPELLED_OUT: dict[str, str | int | None] = {"ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"}


@dataclass(frozen=True, slots=True)
class _Entry:
    """The rows of one drink, each's item ("" where none goes by that name), and its data as its file would hold it."""

    id: str
    rows: tuple[Row, ...]
    items: tuple[str, ...]
    data: dict[str, Any]


def imported(opened: Opened, file: str, write: bool = False) -> ImportPlan:
    """What the sheet `file` (`-`: standard input) would bring; with `write`, brought, if nothing stands against it.

    Raises CannotAnswer where it is no such sheet, or the library cannot be written.
    """
    if write:
        ready(opened)
    try:
        sheet = read_sheet(plain(file), bytes_of(file), NEEDED, BESIDES)
    except NoSheet as error:
        raise CannotAnswer(error.reason, error.remedy) from None
    if not sheet.rows and not sheet.faults:
        raise CannotAnswer(f"{sheet.file} has no rows under its header", "one line of a drink a row")
    entries, plan = _planned(sheet, opened)
    if not write or not plan.writable:
        return plan
    with in_one_sentence():
        changes = [Change(path_of(DRINK, entry.id), edited("", entry.data), None) for entry in entries]
    make(opened, changes)
    return replace(plan, written=tuple(change.file for change in changes))


def slug(name: str) -> str:
    """The id a name makes: its letters and digits without accents, words joined by -. "" if none are left."""
    spelled_out = name.casefold().translate(str.maketrans(_SPELLED_OUT))
    letters = unicodedata.normalize("NFKD", re.sub("['’]", "", spelled_out))
    bare = "".join(char for char in letters if not unicodedata.combining(char))
    return "-".join(re.findall(r"[a-z0-9]+", bare))


def _planned(sheet: Sheet, opened: Opened) -> tuple[list[_Entry], ImportPlan]:
    library, ids = opened.library, _ids_by_name(opened.library)
    faults = [*sheet.faults, *_nameless(sheet), *_formulas(sheet)]
    entries = [_entry(name, rows, ids) for name, rows in _by_drink(sheet).items()]
    for entry in entries:
        faults += _faults(sheet.file, entry, opened)
    unknown = _unknown(sheet.rows, ids, library)
    plan = ImportPlan(
        file=sheet.file,
        drinks=tuple(_shown(entry) for entry in entries),
        unknown=unknown,
        faults=tuple(sorted(faults)),
        ignored_columns=sheet.ignored,
        writable=bool(entries) and not unknown and not faults,
    )
    return entries, plan


def _by_drink(sheet: Sheet) -> dict[str, list[Row]]:
    """The rows of each drink under its id, wherever they stand."""
    found: dict[str, list[Row]] = {}
    for row in sheet.rows:
        if is_id(name := slug(row.cells["drink"])):
            found.setdefault(name, []).append(row)
    return found


def _nameless(sheet: Sheet) -> Iterator[Fault]:
    """Rows whose drink makes no id."""
    for row in sheet.rows:
        said, made = row.cells["drink"], slug(row.cells["drink"])
        if not said:
            yield _fault(sheet.file, row, "drink", "missing-key", "the drink's name is missing", "name it in every row")
        elif not is_id(made):
            message = f"no id can be made of “{plain(said, 60)}”"
            remedy = f"give it a name with at most {LONGEST_ID} letters" if made else "give it a name with letters from a to z"
            yield _fault(sheet.file, row, "drink", "bad-id", message, remedy)


def _formulas(sheet: Sheet) -> Iterator[Fault]:
    """Words that another program would take for a formula, were they ever exported to it."""
    for row in sheet.rows:
        for key in ("drink", "item", "glass"):
            if row.cells.get(key, "").startswith(_FORMULA):
                message = f"“{plain(row.cells[key], 60)}” begins as a formula does"
                yield _fault(sheet.file, row, key, "bad-cell", message, f"begin it with none of {' '.join(_FORMULA)}")


def _entry(name: str, rows: list[Row], ids: Mapping[str, list[str]]) -> _Entry:
    """A drink's data. A cell left blank is a key left out; what no item goes by is water for as long as it takes to check."""
    items = tuple(_item(row, ids) for row in rows)
    head = {key: next((row.cells[key] for row in rows if row.cells.get(key)), "") for key in ("drink", "method", "glass")}
    named = {"name": head["drink"], "method": head["method"].casefold(), "glass": head["glass"]}
    lines = [
        _without_blanks({"item": item or WATER, "amount": row.cells["amount"]}) for row, item in zip(rows, items, strict=True)
    ]
    return _Entry(name, tuple(rows), items, {**_without_blanks(named), "lines": lines})


def _without_blanks(cells: Mapping[str, str]) -> dict[str, Any]:
    return {key: cell for key, cell in cells.items() if cell}


def _faults(file: str, entry: _Entry, opened: Opened) -> Iterator[Fault]:
    """What stands against one drink, at the row that says it."""
    first = entry.rows[0]
    if lexists(opened.folder / path_of(DRINK, entry.id)):
        yield _fault(file, first, "drink", "duplicate-id", f"there is a drink {entry.id} already", "give it another name")
    for key in ("drink", "method", "glass"):
        yield from _contradictions(file, entry, key)
    for row in entry.rows:
        if not row.cells["item"]:
            yield _fault(file, row, "item", "missing-key", "the item is missing", "say what goes in")
    for one in drink_findings(path_of(DRINK, entry.id), entry.data, opened.library):
        match one.path:
            case ("lines", int(place), column):
                yield _fault(file, entry.rows[place], str(column), one.code, one.message, one.remedy)
            case path:
                yield _fault(file, first, dotted(path), one.code, one.message, one.remedy)


def _contradictions(file: str, entry: _Entry, key: str) -> Iterator[Fault]:
    """Rows that say another name, method or glass of the same drink than one above them."""
    said = ""
    for row in entry.rows:
        cell = row.cells.get(key, "")
        if said and cell and _folded(cell) != _folded(said):
            message = f"“{plain(cell, 60)}”, but “{plain(said, 60)}” above, for the drink {entry.id}"
            yield _fault(file, row, key, "contradiction", message, "make them one, or give the drink another name")
        said = said or cell


def _unknown(rows: Iterable[Row], ids: Mapping[str, list[str]], library: Library) -> tuple[UnknownItem, ...]:
    """What no item or stock goes by, or more than one does, each once."""
    found: dict[str, list[int]] = {}
    for row in rows:
        if row.cells["item"] and not _item(row, ids):
            found.setdefault(row.cells["item"], []).append(row.line)
    return tuple(
        UnknownItem(name, tuple(lines), _nearest(name, ids, library) if place < OFFERED else ())
        for place, (name, lines) in enumerate(found.items())
    )


def _item(row: Row, ids: Mapping[str, list[str]]) -> str:
    """The id of the one item or stock of that id, else of that name; "" if there is none, or more."""
    found = ids.get(_folded(row.cells["item"]), [])
    return found[0] if len(found) == 1 else ""


def _ids_by_name(library: Library) -> dict[str, list[str]]:
    """Ids by what they may be called: an id is only itself, a name is whatever bears it."""
    found: dict[str, list[str]] = {}
    for name in (*library.items, *library.stocks):
        found.setdefault(_folded(library.name_of(name)), []).append(name)
    return {**found, **{name: [name] for name in (WATER, *library.items, *library.stocks)}}


def _nearest(name: str, ids: Mapping[str, list[str]], library: Library) -> tuple[str, ...]:
    """The ids whose id or name is nearest, at most three; all that bear the name, where several do."""
    bearers = ids.get(_folded(name), [])
    near = get_close_matches(_folded(name), ids, n=6, cutoff=0.5) + get_close_matches(slug(name), ids, n=3, cutoff=0.5)
    return tuple(dict.fromkeys([*bearers, *(one for word in near for one in ids[word])]))[:3]


def _shown(entry: _Entry) -> PlannedDrink:
    lines = (
        PlannedLine(item or row.cells["item"], row.cells["amount"], row.line)
        for row, item in zip(entry.rows, entry.items, strict=True)
    )
    data = entry.data
    return PlannedDrink(entry.id, data["name"], data.get("method", ""), data.get("glass", ""), tuple(lines))


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())


def _fault(file: str, row: Row, column: str, code: str, message: str, remedy: str) -> Fault:
    return Fault(file, row.line, 1, column, code, "error", message, remedy)
