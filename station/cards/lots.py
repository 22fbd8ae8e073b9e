"""Answers about lots as plain text: what is in date, what to discard, where a lot went, a delivery measured, the day's prep."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from station.bar import say
from station.bar.nouns import OF_EDIT, House, Library
from station.bar.shown_as import volume_in
from station.calc.answers import LotUsed
from station.calc.deviating import Deviation
from station.calc.logbook import measured
from station.calc.lot_answers import (
    Discards,
    LogEntry,
    LotLogged,
    LotRow,
    Moved,
    PieceYield,
    Prep,
    PrepList,
    Traced,
    TracedLot,
)
from station.cards.layout import table
from station.cards.text import WIDTH, moment, moved, plainly, state, until, wrapped


@plainly
def in_date(rows: Sequence[LotRow], house: House, width: int = WIDTH) -> list[str]:
    """What is there, what ends first at the head."""
    return _rows(rows, house, width) or ["Nothing is logged that is in date."]


def beside_files(lots: Mapping[str, LotUsed], items: Iterable[str]) -> str:
    """Of a drink of these items: that its figures are by the files, and which lots a card takes as measured; "" for none."""
    said = []
    for lot in (lots[item] for item in dict.fromkeys(items) if item in lots):
        found = [f"TA {lot.ta}" if lot.ta else "", f"pH {say.number(lot.ph)}" if lot.ph is not None else "", f"lot {lot.lot}"]
        said.append(f"{lot.name} as measured ({', '.join(filter(None, found))})")
    return f"By the files; a batch card takes {'; '.join(said)}." if said else ""


@plainly
def everything(rows: Iterable[LogEntry], width: int = WIDTH) -> list[str]:
    """An entry to two lines, the newest at the head."""
    lines: list[str] = []
    for one in rows:
        amount = "" if one.g is None else f"  {say.grams(one.g)}"
        head = f"{moment(one.at)}  {happened(one)}  {one.name}{amount}"
        lines += [head, *(f"  {part}" for part in wrapped(about_entry(one), width - 2))]
    return lines or ["Nothing is logged yet."]


def happened(one: LogEntry) -> str:
    """What an entry says happened; one that counts no more says so."""
    return f"{one.what}{' (taken back later)' if one.void else ''}"


def about_entry(one: LogEntry) -> str:
    """Who logged an entry, what more is said, and the lot it is about."""
    return " · ".join(part for part in (one.by, one.detail, f"lot {one.lot}") if part)


@plainly
def discards(answer: Discards, house: House, width: int = WIDTH) -> list[str]:
    over = _rows(answer.over, house, width)
    ending = _rows(answer.ends_today, house, width)
    return [
        *(["DISCARD, past its use-by:", *over, ""] if over else ["Nothing past its use-by is still there.", ""]),
        *(["Ends with this service day:", *ending] if ending else ["Nothing more ends with this service day."]),
    ]


@plainly
def traced(answer: Traced, library: Library, width: int = WIDTH) -> list[str]:
    """A lot, what it went into, what went into it, and each row that speaks of it."""
    row = answer.row
    lines = [f"{row.name}  lot {row.lot}", f"made {moment(row.made)} by {row.by}, use by {until(row.use_by, library.house)}", ""]
    lines = [*lines[:2], *wrapped(f"NOT AS PLANNED: {row.off_plan}", width), ""] if row.off_plan else lines
    lines += ["It went into:", *_met(answer.went_into, width)] if answer.went_into else ["It went into nothing that is logged."]
    lines += ["", "It was made of:", *_met(answer.made_of, width)] if answer.made_of else []
    lines += wrapped(f"From no lot anybody named: {', '.join(answer.unknown)}.") if answer.unknown else []
    weighed = [
        (one.uuid[:8], library.name_of(one.item), say.grams(one.wanted_g), say.grams(one.actual_g), one.known, one.by)
        for one in answer.weighings
    ]
    head = ("row", "item", "wanted", "actual", "known as", "by")
    lines += ["", *table([head, *weighed], right=frozenset({2, 3}))] if weighed else []
    lines += ["", *_measured(answer)] if answer.measurements or answer.marks else []
    by = (
        "Made by an edit of its spec that was not saved."
        if row.of_edit
        else f"Made by revision {answer.revision[:16]} of its spec."
    )
    return [*lines, *(["", by] if answer.text else [])]


@plainly
def deviations(rows: Iterable[Deviation], library: Library, width: int = WIDTH) -> list[str]:
    """How far readings were from what was asked; taps are no readings."""
    cells = [
        (
            *(library.name_of(one.item), one.by, f"{one.readings}"),
            *(say.signed_percent(one.mean), _plus_minus(one.spread), say.signed_percent(one.worst)),
        )
        for one in rows
    ]
    head = ("item", "who", "readings", "mean", "spread", "worst")
    if not cells:
        return ["No scale readings are logged yet."]
    return [
        *table([head, *cells], right=frozenset({2, 3, 4, 5}), width=width),
        *wrapped("% of the grams asked for; the spread is one standard deviation of the readings.", width),
    ]


@plainly
def yields(rows: Iterable[PieceYield]) -> list[str]:
    """What one fruit gave, beside what the files say."""
    cells = [
        (
            one.name,
            f"{one.lots} lots, {say.number(one.pieces, 6)} pieces",
            say.volume(one.mean_ml),
            say.volume(one.least_ml),
            _file(one),
        )
        for one in rows
    ]
    head = ("juice", "pressed", "mean a piece", "leanest lot", "by its file")
    return table([head, *cells], right=frozenset({2, 3})) if cells else ["No lot says how many fruit were pressed."]


@plainly
def delivered(answer: LotLogged, house: House, width: int = WIDTH) -> list[str]:
    """A lot that was logged: what it was measured at, what brings it to spec, how far the drinks moved."""
    row = answer.row
    lines = [f"{row.name}  lot {row.lot}", f"made {moment(row.made)} by {row.by}, use by {until(row.use_by, house)}"]
    lines += [f"there is {say.grams(row.left_g)}"] if row.left_g is not None else []
    lines += [f"one fruit gave {say.volume(answer.ml_per_piece)}"] if answer.ml_per_piece else []
    if answer.measured_g_per_100ml is not None:
        found, spec = say.number(answer.measured_g_per_100ml), say.number(answer.spec_g_per_100ml)
        lines += ["", f"TA {found} g/100 ml, as citric acid by titration to pH 8.2; by its file {spec}", *_to_spec(answer, width)]
    lines += [line for note in answer.notes for line in wrapped(note, width)]
    return [*lines, *_moves(answer.moved, width)]


@plainly
def prepared(answer: PrepList, house: House, width: int = WIDTH) -> list[str]:
    """The day's list, in making order; then what to get."""
    lines = [f"Prep for the service day of {answer.day:%d %b %Y}", ""]
    for place, one in enumerate(answer.make, 1):
        lines += _prep(f"{place}. {one.name}", one, house, width)
    lines += [] if answer.make else ["Nothing is short of its par.", ""]
    for one in answer.get:
        lines += _prep(f"Get {one.name}", one, house, width)
    return [*lines, *(line for note in answer.notes for line in wrapped(note))]


def _prep(head: str, one: Prep, house: House, width: int) -> list[str]:
    size = f"{say.grams(one.g)}{f' = {volume_in(house, one.ml)}' if one.ml else ''}"
    there = f"there is {say.grams(one.on_hand_g)} of {say.grams(one.needed_g)}"
    there += f", and lots nobody weighed: {', '.join(one.unmeasured)}" if one.unmeasured else ""
    pieces = (
        f"about {say.number(one.pieces[0], 6)} fruit as a rule, {say.number(one.pieces[1], 6)} lean ones" if one.pieces else ""
    )
    ends = f"made now, use by {until(one.use_by, house)}, {one.store}" if one.use_by else one.store
    return [f"{head}: {size}", *(f"   {text}" for text in (there, pieces, ends, one.cap) if text), ""]


def _rows(rows: Sequence[LotRow], house: House, width: int) -> list[str]:
    """A lot to two lines: its name and size, then its number, state and end."""
    lines = []
    for row in rows:
        size = size_of(row)
        lines += [f"{row.name}{f'  {size}' if size else ''}", f"  {' · '.join([row.lot, *about(row, house)])}"]
    return lines


def size_of(row: LotRow) -> str:
    """What is left of a lot; of one half made what it shall be: how much of that is in, its weighings say."""
    if row.half_made:
        return "" if row.g is None else f"to be {say.grams(row.g)}"
    return "" if row.left_g is None else f"{say.grams(row.left_g)} left"


def about(row: LotRow, house: House) -> list[str]:
    """A lot's state, its end and its maker. Two pours of one drink that were left are told apart by when they were begun."""
    word = state(bool(row.diluted)) if row.kind == "batch" and row.diluted is not None else ""
    begun = f"HALF MADE, begun {moment(row.made)}" if row.half_made else ""
    ends = f"use by {until(row.use_by, house)}" if row.use_by else "no use-by stated"
    off, edit = "NOT AS PLANNED" if row.off_plan else "", OF_EDIT if row.of_edit else ""
    return [part for part in (begun, off, word, edit, ends, row.by) if part]


def _met(rows: Iterable[TracedLot], width: int) -> list[str]:
    cells = [
        ("  " * one.steps + one.row.name, f"lot {one.row.lot}", say.grams(one.g), f"{moment(one.row.made)}", one.row.by)
        for one in rows
    ]
    return table(cells, right=frozenset({2}), width=width)


def _measured(answer: Traced) -> list[str]:
    lines = []
    for one in answer.measurements:
        lines.append(f"{one.uuid[:8]}  {moment(one.at)} measured by {one.by}: {measured(one)}")
    for mark in answer.marks:
        of = f" {say.grams(mark.g)}" if mark.g is not None else ""
        lines.append(f"{mark.uuid[:8]}  {moment(mark.at)} {mark.kind}{of} by {mark.by}{f': {mark.why}' if mark.why else ''}")
    return lines


def _to_spec(answer: LotLogged, width: int) -> list[str]:
    """What a litre takes to be as its file says."""
    spec = answer.to_spec
    if spec is None:
        return []
    if spec.water_g:
        text = f"Its acid is over its file's: {say.grams(spec.water_g)} water to each litre brings it there, and thins its sugar."
        return wrapped(text, width)
    if not spec.acids:
        return ["That is as its file says."]
    acids = ", ".join(
        f"{say.grams(one.g)} {one.item or one.acid} as bought" if one.item else _bare(one.acid) for one in spec.acids
    )
    return wrapped(
        f"To each litre add {acids}: {say.grams(spec.acid_g)} of it acid. Then {_figures(spec.result.acid_g_per_100ml)}."
    )


def _bare(acid: str) -> str:
    return f"{acid} acid (the house buys none)"


def _figures(acid: float | None) -> str:
    return f"it has TA {say.number(acid)} g/100 ml as citric"


def _moves(rows: Sequence[Moved], width: int) -> list[str]:
    if not rows:
        return []
    return [
        "",
        "With it, each glass has:",
        *(line for one in rows for line in wrapped(f"{one.name}: {moved(one.before, one.after)}", width)),
    ]


def _file(one: PieceYield) -> str:
    if one.usual_ml is None:
        return "says nothing"
    return f"{say.volume(one.usual_ml)}, {say.volume(one.low_ml)} at the least"


def _plus_minus(value: float | None) -> str:
    return say.NOTHING if value is None else f"±{say.GAP}{say.number(100.0 * value, 2)}{say.GAP}%"
