"""Another id for a drink, a stock or a bought item: every reference follows, in all files or in none."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from typing import Any

from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER
from station.bar.shelf import DRINK, ITEM, Shelved
from station.desk.kept import EDITS, POURS, drafts_of
from station.desk.opening import Opened
from station.desk.shelving import file_of, must_be_free, path_of
from station.desk.writing import in_one_sentence, make, ready, source_of
from station.files.edit import edited
from station.files.respell import leaves, respelled
from station.files.save import Change
from station.files.source import Source
from station.files.whole import sources

_ORDERS = "orders/"


def rename_drink(opened: Opened, name: str, new: str, called: str) -> Shelved:
    """Give a drink another name, and the id `new` (its own, if only the name changes); orders follow. Raises CannotAnswer."""
    ready(opened)
    source = source_of(opened, file_of(opened, DRINK, name))
    with in_one_sentence():
        text = edited(source.text, {**source.data, "name": called})
    if new == name:
        changes = [Change(source.file, text, source.digest)] if text != source.text else []
        make(opened, changes)
    else:
        must_be_free(opened, DRINK, new)
        moved = _moved(source, path_of(DRINK, new), text)
        changes = [*_in_orders(sources(opened.folder), DRINK, name, new), *moved]
        _with_its_drafts(opened, name, new, changes)
    return Shelved("rename", DRINK, new, name, tuple(change.file for change in changes if change.text is not None))


def rename(opened: Opened, kind: str, name: str, new: str) -> Shelved:
    """Give it the id `new`; lines, calibrations and what is pressed from it follow. Raises CannotAnswer, and changes nothing."""
    ready(opened)
    if kind != DRINK and name == WATER:
        raise CannotAnswer("water is what dilution is made of: it keeps its id", "give it another name instead")
    file = file_of(opened, kind, name)
    must_be_free(opened, kind, new)
    if kind == DRINK:
        changes = [*_in_orders(sources(opened.folder), DRINK, name, new), *_moved(source_of(opened, file), path_of(DRINK, new))]
        _with_its_drafts(opened, name, new, changes)
    else:
        changes = _followed(sources(opened.folder), file, kind, name, new)
        make(opened, changes)
    return Shelved("rename", kind, new, name, tuple(change.file for change in changes if change.text is not None))


def _followed(files: Mapping[str, Source], own: str, kind: str, name: str, new: str) -> list[Change]:
    """The change of every file that names it."""
    _must_be_readable(files, name)
    changes = []
    changes += _in_orders(files, kind, name, new)
    for file, source in files.items():
        if file.startswith(_ORDERS):
            continue
        text = _renamed(source, name, new, declares=kind == ITEM and file == own)
        if text != source.text:
            changes.append(Change(file, text, source.digest))
    return changes if kind == ITEM else [*changes, *_moved(files[own], path_of(kind, new))]


def _in_orders(files: Mapping[str, Source], kind: str, name: str, new: str) -> list[Change]:
    """The change of every order that pours the drink, or has the item or stock on hand."""
    changes = []
    for file, source in files.items():
        if not file.startswith(_ORDERS) or name not in source.text:
            continue
        if source.faults:
            raise CannotAnswer(f"an order that may refer to {name} cannot be read", "mend it first", source.faults)
        with in_one_sentence():
            text = edited(source.text, _order_with(source.data, kind, name, new))
        if text != source.text:
            changes.append(Change(file, text, source.digest))
    return changes


def _order_with(data: Mapping[str, Any], kind: str, name: str, new: str) -> dict[str, Any]:
    if kind == DRINK:
        pours = [{**one, "spec": new} if one.get("spec") == name else one for one in data.get("pours", [])]
        return {**data, "pours": pours} if pours else dict(data)
    on_hand = data.get("on_hand", {})
    return {**data, "on_hand": {new if item == name else item: left for item, left in on_hand.items()}} if on_hand else dict(data)


def _renamed(source: Source, name: str, new: str, declares: bool) -> str:
    references = {path: new for path, value in leaves(source.data) if path[-1] == "item" and value == name}
    if not references and not declares:
        return source.text
    with in_one_sentence():
        return respelled(source.text, references, {name: new} if declares else {})


def _must_be_readable(files: Mapping[str, Source], name: str) -> None:
    """A file that cannot be read may refer to it, and could not follow."""
    faults = [fault for one in files.values() if one.faults and (not one.text or name in one.text) for fault in one.faults]
    if faults:
        raise CannotAnswer(f"a file that may refer to {name} cannot be read", "mend it first", tuple(faults))


def _moved(source: Source, file: str, text: str = "") -> list[Change]:
    return [Change(file, text or source.text, None, like=source.file), Change(source.file, None, source.digest)]


def _with_its_drafts(opened: Opened, name: str, new: str, changes: list[Change]) -> None:
    """A drink's unsaved work goes with it: it stands under both ids until the files are moved."""
    drafts = drafts_of(opened)
    kept = {kind: content for kind in (EDITS, POURS) if (content := drafts.read(kind, name))}
    try:
        for kind, content in kept.items():
            drafts.write(kind, new, content)
    except OSError as error:
        raise CannotAnswer(f"nothing was changed: the draft of {name} cannot be kept: {error.strerror}") from None
    try:
        make(opened, changes)
    except CannotAnswer:
        _dropped(opened, new, kept)
        raise
    _dropped(opened, name, kept)


def _dropped(opened: Opened, name: str, kinds: Mapping[str, object]) -> None:
    for kind in kinds:
        with suppress(OSError):
            drafts_of(opened).drop(kind, name)
