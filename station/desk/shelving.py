"""New on the shelf, copied, taken off it: each a change of the library's files that is made whole or not at all."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from os.path import lexists
from typing import Any

from station.bar.amount import AmountError, parse_amount
from station.bar.fault import CannotAnswer
from station.bar.kinds import is_id
from station.bar.nouns import WATER
from station.bar.shelf import DRINK, ITEM, STOCK, Shelved
from station.desk.look import faulty_drinks, find_spec, find_stock, nearest
from station.desk.opening import Opened
from station.desk.writing import in_one_sentence, make, ready, source_of
from station.files.checker import Finding, dotted
from station.files.edit import edited
from station.files.save import Change
from station.files.sound import drink_findings, stock_findings
from station.files.source import read_source
from station.files.whole import files_of


def new_drink(opened: Opened, name: str, data: Mapping[str, Any]) -> Shelved:
    """A drink of that id, its file holding `data`. Raises CannotAnswer if the id is taken or the drink would have a fault."""
    return _new(opened, DRINK, name, data)


def new_stock(opened: Opened, name: str, data: Mapping[str, Any]) -> Shelved:
    """A stock of that id, its file holding `data`. Raises CannotAnswer if the id is taken or the stock would have a fault."""
    return _new(opened, STOCK, name, data)


def duplicate(opened: Opened, kind: str, name: str, new: str, called: str = "") -> Shelved:
    """A copy of a drink, stock or bought item under the id `new`, named `called` or after its id. Raises CannotAnswer."""
    ready(opened)
    source = source_of(opened, file_of(opened, kind, name))
    must_be_free(opened, kind, new)
    data = tomllib.loads(source.text)
    shown = called or titled(new)
    if kind == ITEM:
        change = Change(source.file, _edited(source.text, {**data, new: {**data[name], "name": shown}}), source.digest)
    else:
        text = _edited(source.text, {**_without(data, "retired"), "name": shown})
        change = Change(path_of(kind, new), text, None, like=source.file)
    make(opened, [change])
    return Shelved("copy", kind, new, name, (change.file,))


def retire(opened: Opened, name: str) -> Shelved:
    """Take a drink off the list; its file stays for what was made from it. Raises CannotAnswer."""
    return _retired(opened, name, "retire")


def unretire(opened: Opened, name: str) -> Shelved:
    """Put a retired drink back on the list. Raises CannotAnswer."""
    return _retired(opened, name, "unretire")


def kind_of(opened: Opened, name: str) -> str:
    """What goes by that id: a drink, a stock or an item. Raises CannotAnswer if nothing does, or more than one."""
    library = opened.library
    known = {DRINK: {*library.drinks, *faulty_drinks(library)}, STOCK: {*library.stocks}, ITEM: {*library.items}}
    found = [kind for kind, names in known.items() if name in names]
    if len(found) > 1:
        message = f"{name} is the id of more than one: {', '.join(found)}"
        raise CannotAnswer(message, f"say which with --kind, e.g. --kind {found[0]}")
    if found:
        return found[0]
    remedy = nearest(name, sorted(set().union(*known.values())), "see `station list`")
    raise CannotAnswer(f"there is no drink, stock or item {name}", remedy)


def file_of(opened: Opened, kind: str, name: str) -> str:
    """The file that holds it. Raises CannotAnswer if there is none, or with its faults."""
    library = opened.library
    if kind == DRINK:
        return find_spec(library, name).file
    if kind == STOCK:
        return find_stock(library, name).file
    if name in library.items:
        return library.items[name].file
    remedy = nearest(name, library.items, "see the ingredients folder; station check says what has a fault")
    raise CannotAnswer(f"there is no item {name}", remedy)


def path_of(kind: str, name: str) -> str:
    """The file a drink or stock of that id has."""
    return f"{kind}s/{name}.toml"


def must_be_free(opened: Opened, kind: str, name: str) -> None:
    """Raises CannotAnswer unless `name` is an id that nothing of its namespace has: bought items and stocks share one."""
    if not is_id(name):
        raise CannotAnswer(f"“{name[:80]}” is no id", "lower-case letters and digits, words joined by -, at most 64")
    if kind == DRINK:
        taken = lexists(opened.folder / path_of(DRINK, name))
    else:
        taken = name == WATER or lexists(opened.folder / path_of(STOCK, name)) or name in _bought(opened)
    if taken:
        raise CannotAnswer(f"the id {name} is taken", "choose another")


def must_be_sound(file: str, findings: tuple[Finding, ...]) -> None:
    """Raises CannotAnswer with the first of the findings."""
    if findings:
        first = findings[0]
        where = f"{dotted(first.path)}: " if first.path else ""
        raise CannotAnswer(f"{file} would have a fault: {where}{first.message}", first.remedy)


def titled(name: str) -> str:
    """An id as a name: `tin-lantern` is Tin Lantern."""
    return " ".join(word.capitalize() for word in name.split("-"))


def lines_of(said: Iterable[str]) -> list[dict[str, str]]:
    """Lines given as ITEM=AMOUNT. Raises AmountError."""
    return [_line(text) for text in said]


def _line(text: str) -> dict[str, str]:
    item, equals, amount = text.partition("=")
    if not equals:
        raise AmountError(text, 0, f"“{text}” names no amount", "write e.g. lime-juice=22.5 ml")
    return {"item": item.strip(), "amount": parse_amount(amount.strip()).text}


def _new(opened: Opened, kind: str, name: str, data: Mapping[str, Any]) -> Shelved:
    ready(opened)
    must_be_free(opened, kind, name)
    file = path_of(kind, name)
    must_be_sound(file, (drink_findings if kind == DRINK else stock_findings)(file, data, opened.library))
    make(opened, [Change(file, _edited("", data), None)])
    return Shelved("new", kind, name, "", (file,))


def _retired(opened: Opened, name: str, did: str) -> Shelved:
    ready(opened)
    source = source_of(opened, file_of(opened, DRINK, name))
    data = _without(tomllib.loads(source.text), "retired")
    text = _edited(source.text, {**data, "retired": True} if did == "retire" else data)
    if text != source.text:
        make(opened, [Change(source.file, text, source.digest)])
    return Shelved(did, DRINK, name, name, (source.file,) if text != source.text else ())


def _edited(text: str, wanted: Mapping[str, Any]) -> str:
    with in_one_sentence():
        return edited(text, wanted)


def _without(data: Mapping[str, Any], key: str) -> dict[str, Any]:
    return {name: value for name, value in data.items() if name != key}


def _bought(opened: Opened) -> set[str]:
    """The ids every ingredients file declares, with a fault or without."""
    files = [file for file in files_of(opened.folder) if file.startswith("ingredients/")]
    return {name for file in files for name in read_source(opened.folder, file).data}
