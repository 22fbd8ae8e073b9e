"""What is written of lots: a stock made, some or all of a lot gone, a row that was wrong made void."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.logged import ASKED, DISCARDED, READ, USED_UP, VOIDED, Lot, Mark, Weighing
from station.bar.nouns import WATER, Stock, is_of_edit
from station.bar.units import g_per
from station.calc import keeping
from station.calc.answers import Label, MadeStock
from station.calc.lot_answers import LotRow
from station.calc.weigh import grams_of
from station.desk.asked import some
from station.desk.log_questions import row_called
from station.desk.logging import add, find_lot, named, new_uuid
from station.desk.lot_rows import row_of
from station.desk.on_shelf import Shelf, as_they_stand
from station.desk.opening import Opened


@dataclass(frozen=True, slots=True)
class Voided:
    """A row that counts no more: what it was, in words."""

    uuid: str
    what: str


def logged(opened: Opened, answer: MadeStock, shelf: Shelf, by: str, now: datetime, reads: Sequence[str] = ()) -> MadeStock:
    """Log a stock that was made by that card; its answer with lot and maker on the label.

    `reads` are scale readings as `citric-acid=99.8 g`; what none is given of was weighed as asked.
    Raises AmountError, CannotAnswer.
    """
    person, stock = named(opened, by), opened.library.stocks[answer.id]
    read = dict(_reading(opened, text) for text in reads)
    strays = sorted(read.keys() - {line.item for line in answer.lines})
    if strays:
        raise CannotAnswer(f"{strays[0]} is in no line of {answer.name}", "name one of its lines")
    here = keeping.in_house(now, opened.library.house)
    lot = _lot(opened, answer, stock, person)
    add(opened, lot, *_weighings(answer, lot, shelf, read, here))
    return replace(answer, label=replace(answer.label, by=person, lot=lot.short))


def gone(opened: Opened, reference: str, by: str, now: datetime, amount: str = "", why: str = "", used: bool = False) -> LotRow:
    """Log that a lot, or so much of it, was discarded; or that it was `used` up. Raises AmountError, CannotAnswer."""
    person, lot = named(opened, by), find_lot(opened, reference)
    grams = _grams(opened, lot.item, amount) if amount else None
    here = keeping.in_house(now, opened.library.house)
    add(opened, Mark(new_uuid(), lot.uuid, USED_UP if used else DISCARDED, here, person, g=grams, why=why))
    return row_of(as_they_stand(opened, [lot])[0])


def voided(opened: Opened, reference: str, by: str, now: datetime, why: str = "") -> Voided:
    """Make a row of the log void: it stays where it is and counts no more. Raises AmountError, CannotAnswer."""
    person, row = named(opened, by), row_called(opened, reference)
    lot = row.uuid if isinstance(row, Lot) else row.lot
    here = keeping.in_house(now, opened.library.house)
    add(opened, Mark(new_uuid(), lot, VOIDED, here, person, about=row.uuid, why=why))
    what = f"lot of {row.name}" if isinstance(row, Lot) else f"{type(row).__name__.lower()} of {row.at:%Y-%m-%d %H:%M}"
    return Voided(row.uuid, f"{what} by {row.by}")


def label_of(opened: Opened, reference: str) -> Label:
    """A lot's label, by what was true when it was made. Raises CannotAnswer."""
    standing = as_they_stand(opened, [find_lot(opened, reference)])[0]
    lot = standing.lot
    return Label(
        name=lot.name,
        strength=lot.strength,
        made=lot.made,
        use_by=lot.use_by,
        store=lot.store,
        allergens=lot.allergens if lot.allergens is not None else ("?",),
        may_contain=lot.may_contain,
        diluted=lot.diluted,
        by=lot.by,
        lot=lot.short,
        finishing=lot.finishing,
        hazards=lot.hazards,
        off_plan=standing.off_plan,
        of_edit=is_of_edit(lot.revision),
    )


def _lot(opened: Opened, answer: MadeStock, stock: Stock, by: str) -> Lot:
    source, label = opened.reader.source(stock.file), answer.label
    return Lot(
        uuid=new_uuid(),
        kind="stock",
        item=stock.id,
        name=stock.name,
        made=label.made,
        by=by,
        use_by=label.use_by,
        g=answer.g,
        ml=answer.ml,
        diluted=label.diluted,
        strength=label.strength,
        store=label.store,
        allergens=label.allergens,
        may_contain=label.may_contain,
        finishing=label.finishing,
        hazards=label.hazards,
        revision=source.digest,
        text=source.text,
    )


def _weighings(answer: MadeStock, lot: Lot, shelf: Shelf, read: Mapping[str, float], at: datetime) -> list[Weighing]:
    """A row a line; what was read of an item of several lines is shared as they ask."""
    wanted = Counter[str]()
    for line in answer.lines:
        wanted[line.item] += line.g  # type: ignore[assignment]  # typed for whole counts, adds any number
    rows = []
    for place, line in enumerate(answer.lines):
        part = shelf.lots.get(line.item)
        actual, known = (read[line.item] * line.g / wanted[line.item], READ) if line.item in read else (line.g, ASKED)
        uuid = part.lot.uuid if part else ""
        rows.append(Weighing(new_uuid(), lot.uuid, place, line.item, line.g, actual, known, at, lot.by, uuid))
    return rows


def _reading(opened: Opened, text: str) -> tuple[str, float]:
    item, equals, amount = (part.strip() for part in text.partition("="))
    if not equals:
        raise AmountError(text, 0, f"“{text}” is no reading", "write e.g. citric-acid=99.8 g")
    return item, _grams(opened, item, amount)


def _grams(opened: Opened, item: str, amount: str) -> float:
    read = some(amount, item, "weighing")
    if read.measures == "mass":
        return (read.value or 0.0) * g_per(read.unit)
    if item not in opened.library.items and item not in opened.library.stocks and item != WATER:
        raise CannotAnswer(f"{item} has no weight by the {read.unit or 'piece'}", "say it in g")
    return grams_of(read, item, opened.blends.stuff, opened.library)
