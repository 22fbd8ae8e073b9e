"""Rows in and out of the log. A voided row stays where it is and is not found any more."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from pathlib import Path
from typing import Any, TypeVar

from station.bar.logged import Lot, Mark, Measurement, Row, Weighing
from station.lots.sessions import Sessions
from station.lots.store import Store

R = TypeVar("R", Lot, Weighing, Measurement, Mark)

_TABLES: dict[type[Row], str] = {Lot: "lots", Weighing: "weighings", Measurement: "measurements", Mark: "marks"}
_MOMENTS = frozenset({"made", "at", "use_by"})
_LISTS = frozenset({"allergens", "may_contain", "finishing", "hazards"})
_FLAGS = frozenset({"diluted", "water"})
_HEX = frozenset("0123456789abcdef")
# As many values as one statement asks for: well under what any SQLite takes.
_AT_ONCE = 400


@dataclass(frozen=True, slots=True)
class Confirmed:
    """A weighing that is in the log: `new` is False where its line had been confirmed before, by whoever `row` says."""

    row: Weighing
    new: bool


class Log:
    """The log of one library."""

    def __init__(self, path: Path) -> None:
        self.store = Store(path)
        self.sessions = Sessions(path.parent)

    def add(self, *rows: Row) -> None:
        """All of the rows, or none; one that is there already is not added again. Raises LogBusy, LogUnusable."""

        def work(db: sqlite3.Connection) -> None:
            for row in rows:
                _insert(db, row)

        self.store.write(work)

    def confirm(self, weighing: Weighing, *first: Row) -> Confirmed:
        """The weighing, and before it the rows it rests on, unless its line has been confirmed. Raises LogBusy, LogUnusable."""

        def work(db: sqlite3.Connection) -> Confirmed:
            for row in first:
                _insert(db, row)
            there = _found(db, Weighing, "lot = ? AND line = ?", (weighing.lot, weighing.line))
            if there:
                return Confirmed(there[0], there[0].uuid == weighing.uuid)
            _insert(db, weighing)
            return Confirmed(weighing, True)

        return self.store.write(work)

    def lots(self, uuids: Iterable[str]) -> list[Lot]:
        return self._among(Lot, "uuid", uuids)

    def lots_of(self, item: str) -> list[Lot]:
        """Every lot of that item, stock or drink, the oldest first."""
        return self._where(Lot, "item = ?", item)

    def every(self, kind: type[R]) -> list[R]:
        """Every row of that kind, in the order they were written."""
        return self._where(kind, "1")

    def voided(self, kind: type[R]) -> list[R]:
        """Every row of that kind that was made void: they stay in the log and count no more."""
        return self.store.ask(lambda db: _found(db, kind, "1", (), void=True))

    def weighed_since(self, moment: datetime) -> list[Weighing]:
        """What was weighed from `moment` on."""
        return self._where(Weighing, "julianday(at) >= julianday(?)", moment.isoformat())

    def ending_after(self, moment: datetime) -> list[Lot]:
        """Lots that may be used after `moment`, or say nothing of it."""
        return self._where(Lot, "use_by IS NULL OR julianday(use_by) > julianday(?)", moment.isoformat())

    def called(self, start: str) -> list[Lot]:
        """Lots whose name begins so (dashes do not matter), or that bear this code of the supplier's."""
        digits = start.replace("-", "").lower()
        if not digits or not set(digits) <= _HEX:
            return self._where(Lot, "code = ?", start)
        return self._where(Lot, "uuid GLOB ? OR code = ?", f"{digits}*", start)

    def rows_called(self, start: str) -> list[Row]:
        """Rows of any kind whose name begins so."""
        digits = start.replace("-", "").lower()
        if not digits or not set(digits) <= _HEX:
            return []
        kinds: tuple[type[Row], ...] = (Lot, Weighing, Measurement, Mark)
        return [row for kind in kinds for row in self._where(kind, "uuid GLOB ?", f"{digits}*")]  # type: ignore[type-var]

    def of_lots(self, kind: type[R], lots: Iterable[str]) -> list[R]:
        """The weighings, measurements or marks of these lots."""
        return self._among(kind, "lot", lots)

    def from_parts(self, parts: Iterable[str]) -> list[Weighing]:
        """What was weighed out of these lots."""
        return self._among(Weighing, "part", parts)

    def news(self) -> list[str]:
        """What a person must hear, each once."""
        said = list(self.store.news)
        self.store.news.clear()
        return said

    def _where(self, kind: type[R], condition: str, *values: object) -> list[R]:
        return self.store.ask(lambda db: _found(db, kind, condition, values))

    def _among(self, kind: type[R], column: str, values: Iterable[str]) -> list[R]:
        wanted = list(dict.fromkeys(values))

        def question(db: sqlite3.Connection) -> list[R]:
            found: list[R] = []
            for start in range(0, len(wanted), _AT_ONCE):
                some = wanted[start : start + _AT_ONCE]
                found += _found(db, kind, f"{column} IN ({', '.join('?' * len(some))})", some)
            return found

        return self.store.ask(question) if wanted else []


def _insert(db: sqlite3.Connection, row: Row) -> None:
    """One row, unless a row of this name is there."""
    names = [one.name for one in fields(row)]
    values = [_stored(name, getattr(row, name)) for name in names]
    table, marks = _TABLES[type(row)], ", ".join("?" * len(names))
    db.execute(f"INSERT INTO {table} ({', '.join(names)}) VALUES ({marks}) ON CONFLICT (uuid) DO NOTHING", values)


def _found(db: sqlite3.Connection, kind: type[R], condition: str, values: Sequence[object], void: bool = False) -> list[R]:
    """The live rows of that kind, or the void ones, for which the condition holds.

    Conditions are written here, values come from anywhere.
    """
    names = [one.name for one in fields(kind)]
    voided = "EXISTS (SELECT 1 FROM marks AS void WHERE void.kind = 'voided' AND void.about = one.uuid)"
    wanted = voided if void else f"NOT {voided}"
    query = f"SELECT {', '.join(names)} FROM {_TABLES[kind]} AS one WHERE ({condition}) AND {wanted} ORDER BY seq"
    reading = [(place, _READ[name]) for place, name in enumerate(names) if name in _READ]
    return [_row(kind, reading, found) for found in db.execute(query, values)]


def _row(kind: type[R], reading: Sequence[tuple[int, Callable[[Any], Any]]], found: Sequence[Any]) -> R:
    values = list(found)
    for place, read in reading:
        if values[place] is not None:
            values[place] = read(values[place])
    return kind(*values)


def _stored(name: str, value: Any) -> Any:
    if value is None:
        return None
    if name in _MOMENTS:
        if value.tzinfo is None:
            raise ValueError(f"{name} of a row has no offset")
        return value.isoformat()
    return json.dumps(value, ensure_ascii=False) if name in _LISTS else value


def _tuple(text: str) -> tuple[str, ...]:
    return tuple(json.loads(text))


# How a stored value is read again, where it is not itself.
_READ: dict[str, Callable[[Any], Any]] = {
    **dict.fromkeys(_MOMENTS, datetime.fromisoformat),
    **dict.fromkeys(_LISTS, _tuple),
    **dict.fromkeys(_FLAGS, bool),
}
