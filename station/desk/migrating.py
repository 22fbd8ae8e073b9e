"""What the stored text means, changed: another ounce or other spoons, and every amount rewritten so that it stays what it was."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from station.bar import schema
from station.bar.amount import Amount, AmountError, parse_amount, rewritten
from station.bar.fault import CannotAnswer
from station.bar.kinds import BadValue
from station.bar.shelf import Migration, Reading, Respelled
from station.bar.units import ml_per
from station.desk.checking import check
from station.desk.kept import drafted
from station.desk.opening import Opened
from station.desk.writing import in_one_sentence, make, ready
from station.files.checker import dotted
from station.files.edit import edited
from station.files.parts import HOUSE_FILE
from station.files.respell import respelled
from station.files.save import Change, NotWritable
from station.files.source import Source
from station.files.spans import KeyPath, scan
from station.files.stated import amounts
from station.files.whole import copied, shape_of, sources

_SAME = 1e-12
_BY_OUNCE = frozenset({"oz", "cup", "pint", "gal"})


@dataclass(frozen=True, slots=True)
class _Rewritten:
    """One amount and what it becomes."""

    path: KeyPath
    was: Amount
    becomes: Amount
    ml_was: float
    ml_becomes: float


def migrated(opened: Opened, ounce: str = "", spoons: str = "", write: bool = False) -> Migration:
    """What the library would be if its ounce and spoons were read so; with `write`, made so, after a copy of it all.

    Every amount in ounces, cups, pints, gallons and spoons gets the number that keeps its millilitres, to four decimals; those
    of a spec that says its own ounce keep it. Raises CannotAnswer: a library with faults or unsaved edits could not follow, nor
    an amount so small that its rounding could be tasted.
    """
    if write:
        ready(opened)
    was = _reading(opened)
    becomes = replace(was, ounce=ounce or was.ounce, spoons=spoons or was.spoons)
    if becomes == was:
        return Migration(was, becomes, (), (), 0.0, 0.0)
    _must_be_whole(opened)
    files = sources(opened.folder)
    taste = opened.library.house.taste
    found = {file: [_within(taste, one, file) for one in _rewritten(source, was, becomes)] for file, source in files.items()}
    changes = [change for file, source in files.items() if (change := _change(source, found[file], becomes)).text != source.text]
    told = _told(was, becomes, files, found, changes)
    if not write:
        return told
    copy = _copied(opened)
    make(opened, changes)
    return replace(told, written=True, copy=copy)


def _reading(opened: Opened) -> Reading:
    library = opened.library
    newer = tuple(fault for fault in library.faults if fault.code == "newer-format")
    if newer:
        raise CannotAnswer("this library is of a newer format", "update the program", newer)
    return Reading(schema.FORMAT, library.house.ounce, library.house.spoons)


def _must_be_whole(opened: Opened) -> None:
    """What cannot be read or reckoned, or is not saved, would be left behind with another meaning."""
    faults = tuple(fault for fault in check(opened.blends) if fault.severity == "error")
    if faults:
        raise CannotAnswer("the library has faults", "mend them first", faults)
    unsaved = drafted(opened)
    if unsaved:
        raise CannotAnswer(f"there are unsaved edits: {', '.join(unsaved)}", "save them or let them go first")


def _rewritten(source: Source, was: Reading, becomes: Reading) -> Iterator[_Rewritten]:
    """The amounts of one file that the other reading would change."""
    own_ounce = "ounce" in source.data
    for path, amount in _amounts(source):
        if amount.value is None or amount.measures != "volume" or (own_ounce and amount.unit in _BY_OUNCE):
            continue
        old, new = (ml_per(amount.unit, reading.ounce, reading.spoons) for reading in (was, becomes))
        if abs(old / new - 1.0) > _SAME:
            _must_be_a_volume(amount, source, path)
            other = _readable(rewritten(amount, amount.value * old / new), source.file, path)
            yield _Rewritten(path, amount, other, amount.value * old, (other.value or 0.0) * new)


def _amounts(source: Source) -> list[tuple[KeyPath, Amount]]:
    try:
        return list(amounts(source.data, shape_of(source.file)))
    except BadValue as error:
        raise CannotAnswer(f"{source.file} has a fault: {error.reason}", "mend it first") from None


def _must_be_a_volume(amount: Amount, source: Source, path: KeyPath) -> None:
    """An ounce of a solid could be meant by weight: then it must stay as it is."""
    item = source.data.get(str(path[0]), {})
    if amount.unit == "oz" and isinstance(item, dict) and item.get("form") == "solid":
        message = f"{source.file}: {dotted(path)}: an ounce of a solid could be by volume or by weight"
        raise CannotAnswer(message, "write g or oz wt first")


def _readable(amount: Amount, file: str, path: KeyPath) -> Amount:
    """The amount, if four decimals can hold it."""
    try:
        return parse_amount(amount.text)
    except AmountError as error:
        raise CannotAnswer(f"{file}: {dotted(path)}: {amount.text}: {error.reason}", "write it in ml first") from None


def _within(taste: float, one: _Rewritten, file: str) -> _Rewritten:
    """The amount, if rounding it cannot be tasted."""
    if abs(one.ml_becomes / one.ml_was - 1.0) > taste:
        message = f"{one.was.text} would become {one.becomes.text}, off by more than the taste tolerance"
        raise CannotAnswer(f"{file}: {dotted(one.path)}: {message}", "write it in ml first")
    return one


def _change(source: Source, found: list[_Rewritten], becomes: Reading) -> Change:
    with in_one_sentence():
        text = respelled(source.text, {one.path: one.becomes.text for one in found}) if found else source.text
        if source.file == HOUSE_FILE:
            text = edited(text, _with_reading(tomllib.loads(text), becomes))
    return Change(source.file, text, source.digest)


def _with_reading(data: dict[str, Any], becomes: Reading) -> dict[str, Any]:
    """The house's data with what changes of its reading; what it leaves to the defaults and they still say stays unsaid."""
    reads = dict(data.get("reads", {}))
    for key, default in (("ounce", "us"), ("spoons", "us")):
        wanted = getattr(becomes, key)
        if reads.get(key, default) != wanted:
            reads[key] = wanted
    return {**data, "reads": reads}


def _told(
    was: Reading, becomes: Reading, files: dict[str, Source], found: dict[str, list[_Rewritten]], changes: list[Change]
) -> Migration:
    told = tuple(one for file, rewrites in found.items() if rewrites for one in _placed(files[file], rewrites))
    moves = [(abs(one.ml_becomes - one.ml_was), one.ml_was) for one in told]
    return Migration(
        was=was,
        becomes=becomes,
        amounts=told,
        files=tuple(change.file for change in changes),
        largest_change_ml=max((ml for ml, _ in moves), default=0.0),
        largest_change_pct=max((100.0 * ml / whole for ml, whole in moves), default=0.0),
    )


def _placed(source: Source, rewrites: list[_Rewritten]) -> Iterator[Respelled]:
    spans = scan(source.text)
    for one in rewrites:
        place = spans.place(one.path)
        where = (source.file, place.line, place.column, dotted(one.path))
        yield Respelled(*where, one.was.text, one.becomes.text, one.ml_was, one.ml_becomes)


def _copied(opened: Opened) -> str:
    try:
        return copied(opened.folder, "migrate")
    except OSError as error:
        said = error if isinstance(error, NotWritable) else error.strerror
        raise CannotAnswer(f"nothing was changed: the library cannot be copied first: {said}") from None
