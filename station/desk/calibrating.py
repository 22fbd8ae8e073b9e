"""Calibrating a dispenser: what the scale read, what that makes of a drop or dash, which drinks it changes; then kept."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from station.bar.amount import AmountError, parse_amount, spell_number
from station.bar.fault import CannotAnswer
from station.bar.kinds import is_id
from station.bar.nouns import Calibration, Dispenser, Library
from station.bar.units import COUNTED, g_per
from station.calc import calibrating as calc
from station.calc.blend import Blends
from station.calc.calibrating import Calibrated
from station.calc.counting import Asked, Counted, believed
from station.desk.asked import house_day
from station.desk.look import nearest
from station.desk.opening import Opened
from station.desk.writing import in_one_sentence, make, ready, source_of
from station.files.edit import edited
from station.files.save import Change

FILE = "measures.toml"
MOST_COUNT, MOST_READINGS = 1000, 100
_POWDERY = "barspoon"


@dataclass(frozen=True, slots=True)
class Given:
    """What a person gave: dispenser and liquid by id, counts in a weighing, readings as text.

    `running`: the display was not zeroed between readings. `without_first` leaves the first out. `name` and `unit` are of a
    dispenser that is new. `anyway` takes what is hardly believable.
    """

    dispenser: str
    item: str
    count: int
    reads: tuple[str, ...]
    running: bool = False
    without_first: bool = False
    by: str = ""
    day: date | None = None
    name: str = ""
    unit: str = ""
    anyway: bool = False


def considered(opened: Opened, given: Given, now: datetime) -> Calibrated:
    """The calibration as it would be. Raises AmountError for what is no weight, CannotAnswer for what cannot be or hardly is."""
    blends = opened.blends
    library = blends.library
    dispenser, one = _dispenser(given, library), _calibration(given, library, now)
    _refuse_liquid(dispenser.unit, one.item, blends)
    if not given.anyway:
        calc.refuse_unbelievable(dispenser.unit, one)
    after = Blends(calc.with_calibration(library, dispenser, one))
    found, was = calc.findings(one, library), believed_of(blends, dispenser, one.item)
    stuff = blends.stuff(one.item)
    return Calibrated(
        dispenser=dispenser.id,
        name=dispenser.name,
        unit=dispenser.unit,
        item=one.item,
        item_name=library.name_of(one.item),
        date=one.date,
        by=one.by,
        count=one.count,
        reads_g=one.reads_g,
        mean_g=found.mean_g,
        mean_ml=found.mean_g / stuff.g_per_ml if stuff.g_per_ml else None,
        scatter_g=found.scatter_g,
        mean_sd_g=found.mean_sd_g,
        spread_g=found.spread_g,
        outlier=found.outlier,
        was_g=was.g if was else None,
        was_basis=was.basis if was else "",
        remarks=(*calc.remarks(dispenser.unit, one), *_of_the_day(dispenser, one)),
        changes=calc.changes(blends, after, dispenser.unit, one.item),
        written=False,
    )


def calibrated(opened: Opened, given: Given, now: datetime) -> Calibrated:
    """The calibration, written into measures.toml and believed from now on. Raises as `considered`, and if it cannot be kept."""
    ready(opened)
    answer = considered(opened, given, now)
    make(opened, [_change(opened, answer)])
    return replace(answer, written=True)


def weights(reads: Sequence[str], running: bool = False, without_first: bool = False) -> tuple[float, ...]:
    """Readings in grams, each from zero; a bare number is grams. Raises AmountError; CannotAnswer for none, or a falling one."""
    grams = tuple(_grams(text) for text in reads)
    if len(grams) > MOST_READINGS:
        raise CannotAnswer(f"{len(grams)} readings are more than {MOST_READINGS}", "give fewer")
    steps = calc.each_from_zero(grams) if running else grams
    kept = steps[1:] if without_first else steps
    if not kept:
        raise CannotAnswer("there is no reading", "type what the scale reads, e.g. 2.61 g")
    return kept


def _grams(text: str) -> float:
    amount = parse_amount(text, "g")
    if amount.measures != "mass" or amount.role:
        raise AmountError(text, 0, f"“{text.strip()}” is no weight", "type what the scale reads, e.g. 2.61 g")
    return (amount.value or 0.0) * g_per(amount.unit)


def _calibration(given: Given, library: Library, now: datetime) -> Calibration:
    today = house_day(now, library.house)
    if given.count < 1:
        raise CannotAnswer(f"{given.count} counts weigh nothing", "say how many went into one weighing")
    if given.count > MOST_COUNT:
        raise CannotAnswer(f"{given.count} counts in one weighing are more than {MOST_COUNT}", "weigh fewer at once")
    if given.day is not None and given.day > today:
        day = given.day
        raise CannotAnswer(f"{day.day} {day:%b %Y} is yet to come", "give the day it was weighed")
    reads = weights(given.reads, given.running, given.without_first)
    return Calibration(given.item, given.day or today, given.count, reads, given.by)


def _dispenser(given: Given, library: Library) -> Dispenser:
    """The house's dispenser of that id, or a new one where a name and a unit are given."""
    known = library.dispensers.get(given.dispenser)
    if known is not None:
        if given.unit not in {"", known.unit}:
            raise CannotAnswer(f"{known.name} gives a {known.unit}, not a {given.unit}", "choose another id for a new dispenser")
        return known
    if given.name and given.unit in COUNTED:
        if not is_id(given.dispenser):
            raise CannotAnswer(f"“{given.dispenser[:80]}” is no id", "lower-case letters and digits, words joined by -")
        return Dispenser(given.dispenser, given.name, given.unit)
    remedy = nearest(given.dispenser, library.dispensers, f"a new one needs a name and a unit: {', '.join(COUNTED)}")
    raise CannotAnswer(f"there is no dispenser {given.dispenser}", remedy)


def _refuse_liquid(unit: str, item: str, blends: Blends) -> None:
    """Raises CannotAnswer for an item that is not there, or no liquid where only a liquid can be counted."""
    library = blends.library
    known = {*library.items, *library.stocks, "water"}
    if item not in known:
        remedy = nearest(item, known, "put it on the shelf first; station check says what has a fault")
        raise CannotAnswer(f"there is no item or stock {item}", remedy)
    if blends.stuff(item).g_per_ml is None and unit != _POWDERY:
        raise CannotAnswer(f"{library.name_of(item)} is no liquid: a {unit} of it is nothing", "calibrate with a liquid")


def believed_of(blends: Blends, dispenser: Dispenser, item: str) -> Counted | None:
    """What is believed of this count as the library stands; None where nothing is."""
    known = dispenser.id if dispenser.id in blends.library.dispensers else ""
    try:
        return believed(Asked(item, dispenser.unit, known, blends.today), blends.stuff, blends.library)
    except CannotAnswer:
        return None


def _of_the_day(dispenser: Dispenser, one: Calibration) -> tuple[str, ...]:
    """What this calibration is to those that are there."""
    mine = [old for old in dispenser.calibrations if old.item == one.item]
    if any(old.date == one.date for old in mine):
        return ("there is one of this day already: both are kept, the later counts",)
    if any(old.date > one.date for old in mine):
        return ("there is a newer one: this is kept, the newer counts",)
    return ()


def _change(opened: Opened, answer: Calibrated) -> Change:
    """measures.toml with the calibration after those of its dispenser; every other byte as it was."""
    there = (opened.folder / FILE).exists()
    source = source_of(opened, FILE) if there else None
    data = tomllib.loads(source.text) if source else {}
    text = source.text if source else ""
    with in_one_sentence():
        return Change(FILE, edited(text, _with(data, answer)), source.digest if source else None)


def _with(data: Mapping[str, Any], answer: Calibrated) -> dict[str, Any]:
    by = {"by": answer.by} if answer.by else {}
    reads = [f"{spell_number(grams)} g" for grams in answer.reads_g]
    row = {"item": answer.item, "date": answer.date, **by, "count": answer.count, "reads": reads}
    dispensers = data.get("dispensers", {})
    one = dispensers.get(answer.dispenser, {"name": answer.name, "unit": answer.unit})
    rows = [*one.get("calibrations", ()), row]
    return {**data, "dispensers": {**dispensers, answer.dispenser: {**one, "calibrations": rows}}}
