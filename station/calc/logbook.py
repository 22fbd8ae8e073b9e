"""Everything that was logged, one entry a thing that happened, the newest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from station.bar import say
from station.bar.logged import CORRECTED, DISCARDED, FINISHED, HELD, RELEASED, USED_UP, VOIDED, Lot, Mark, Measurement, Row
from station.bar.nouns import OF_EDIT, is_of_edit
from station.calc.lot_answers import LogEntry

_LOTS: Final = {"bought": "came in", "stock": "made", "batch": "pour begun"}
_MARKS: Final = {
    FINISHED: "pour finished",
    USED_UP: "used up",
    DISCARDED: "discarded",
    CORRECTED: "corrected",
    VOIDED: "taken back",
}
# Who has a pour open is no event of a lot.
_UNSAID: Final = frozenset({HELD, RELEASED})


@dataclass(frozen=True, slots=True)
class Logged:
    """Rows of the log, and those among them that were made void, by uuid; `voided` are all void rows of any kind."""

    lots: Sequence[Lot]
    measurements: Sequence[Measurement]
    marks: Sequence[Mark]
    voided: Sequence[Row]


def entries(logged: Logged) -> list[LogEntry]:
    """What was made, came in, was measured, used up, discarded, corrected and taken back; of weighings a trace says more."""
    lots = {lot.uuid: lot for lot in logged.lots}
    void = {row.uuid: row for row in logged.voided}
    found = [_of_lot(lot, lot.uuid in void) for lot in logged.lots]
    found += [_of_measurement(one, lots, one.uuid in void) for one in logged.measurements]
    found += [_of_mark(one, lots, void) for one in logged.marks if one.kind not in _UNSAID]
    # Of one moment what was written later stands first.
    found.reverse()
    return sorted(found, key=lambda one: one.at, reverse=True)


def measured(one: Measurement) -> str:
    """What was measured, in words."""
    said = [f"TA {one.ta}" if one.ta else "", f"pH {say.number(one.ph)}" if one.ph is not None else ""]
    said += [f"{say.number(one.brix)}{say.GAP}°Bx" if one.brix is not None else ""]
    said += [f"{say.number(one.temp_c)}{say.GAP}°C" if one.temp_c is not None else ""]
    return _joined(*said)


def _of_lot(lot: Lot, void: bool) -> LogEntry:
    pieces = f"from {say.number(lot.pieces, 6)} pieces" if lot.pieces else ""
    edit = OF_EDIT if is_of_edit(lot.revision) else ""
    detail = _joined(pieces, f"supplier’s lot {lot.code}" if lot.code else "", edit)
    return LogEntry(lot.made, _LOTS.get(lot.kind, lot.kind), lot.name, lot.short, lot.uuid, lot.g, lot.by, detail, void)


def _of_measurement(one: Measurement, lots: dict[str, Lot], void: bool) -> LogEntry:
    return LogEntry(one.at, "measured", *_named(one.lot, lots), None, one.by, measured(one), void)


def _of_mark(one: Mark, lots: dict[str, Lot], void: dict[str, Row]) -> LogEntry:
    of = _what(void[one.about]) if one.kind == VOIDED and one.about in void else ""
    all_of_it = "all of it" if one.kind == DISCARDED and one.g is None else ""
    detail = _joined(of, all_of_it, one.why)
    return LogEntry(one.at, _MARKS.get(one.kind, one.kind), *_named(one.lot, lots), one.g, one.by, detail, one.uuid in void)


def _what(row: Row) -> str:
    """A row that was taken back, in words."""
    if isinstance(row, Lot):
        return f"the lot itself, {_LOTS.get(row.kind, row.kind)}"
    if isinstance(row, Mark):
        return f"that it was {_MARKS.get(row.kind, row.kind)}"
    if isinstance(row, Measurement):
        return "a measurement"
    return f"a weighing of {row.item}, {say.grams(row.actual_g)}"


def _named(uuid: str, lots: dict[str, Lot]) -> tuple[str, str, str]:
    lot = lots.get(uuid)
    return (lot.name, lot.short, uuid) if lot else (uuid[:8], uuid[:8], uuid)


def _joined(*parts: str) -> str:
    return ", ".join(part for part in parts if part)
