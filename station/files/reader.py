"""A folder read as a library: a pipeline of pure stages, each file by itself, faults collected, nothing raised for bad text.

The house, measures, windows, items and stocks are read whole. A drink's file is read when it is asked for; which drinks
there are, and which have faults, the index knows (files.index).
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

from station.bar.fault import Fault
from station.bar.listed import Listed
from station.bar.nouns import Dispenser, House, Item, Library, Order, Spec, Stock, Window
from station.files import index, links, themes
from station.files.checker import Finding, told
from station.files.index import Entry, Index, Stamp
from station.files.parts import DEFAULTS, HOUSE_FILE, MEASURES_FILE, WINDOWS_FILE, Part, parsed, stem
from station.files.source import Source, read_source, stamp_of

FOLDERS = ("ingredients", "stocks", "orders", "themes")


class Drinks(Mapping[str, Spec]):
    """The usable drinks by id, each read when it is first asked for."""

    def __init__(self, ids: Iterable[str], read: Callable[[str], Spec | None]) -> None:
        self._ids = dict.fromkeys(ids)
        self._read = read

    def __getitem__(self, name: str) -> Spec:
        if name not in self._ids:
            raise KeyError(name)
        spec = self._read(name)
        if spec is None:
            raise KeyError(name)
        return spec

    def __iter__(self) -> Iterator[str]:
        return iter(self._ids)

    def __len__(self) -> int:
        return len(self._ids)

    def __contains__(self, name: object) -> bool:
        return name in self._ids


@dataclass(frozen=True, slots=True)
class Base:
    """Everything but the drinks, references followed."""

    known: links.Known
    house: House
    counted_ml: Mapping[str, float]
    faults: tuple[Fault, ...]


class LibraryReader:
    """Reads one folder, again and again; a file that has not changed since is not read anew.

    `kept` is where its index lies, None for none; `known` what was read there already.
    """

    def __init__(self, folder: Path, kept: Path | None = None, known: Index | None = None) -> None:
        self.folder = folder
        self.index = known or index.NOTHING
        self._kept = kept
        self._parts: dict[str, Part] = {}

    def read(self) -> Library:
        """The library as it stands. Raises NotADirectoryError or FileNotFoundError if the folder itself is not there."""
        files, unread = _files(self.folder)
        parts = {file: self._part(file) for file in files}
        base = based(parts)
        moved = index.moved(self.folder)  # before its files are: what moves it meanwhile is found the next time
        drinks = index.drink_files(self.folder)
        self._parts = {**parts, **{file: part for file, part in self._parts.items() if file in drinks}}
        self.index = self._indexed(drinks, base.known, base.house.name, moved)
        usable = sorted(self.index.usable)
        orders, broken = ordered(parts, usable, base.known)
        return Library(
            folder=str(self.folder),
            revision=self._revision(parts),
            house=base.house,
            items=MappingProxyType(dict(base.known.items)),
            stocks=MappingProxyType(dict(base.known.stocks)),
            drinks=Drinks(usable, self._reading(base.known)),
            dispensers=MappingProxyType(dict(base.known.dispensers)),
            windows=MappingProxyType(dict(base.known.windows)),
            counted_ml=base.counted_ml,
            orders=MappingProxyType(orders),
            faults=tuple(sorted((*unread, *base.faults, *broken, *self.index.faults))),
        )

    def source(self, file: str) -> Source:
        """One file as it was last read."""
        return self._parts[file].source

    def _part(self, file: str) -> Part:
        part = self._parts.get(file)
        try:
            fresh = part is not None and part.source.stamp == stamp_of(self.folder / file)
        except OSError:
            fresh = False
        if part is None or not fresh:
            part = self._parts[file] = parsed(read_source(self.folder, file))
        return part

    def _reading(self, among: links.Known) -> Callable[[str], Spec | None]:
        def read(name: str) -> Spec | None:
            spec = self._part(index.file_of(name)).nouns.get(name)
            return spec if isinstance(spec, Spec) and not links.spec_faults(spec, among) else None

        return read

    def _indexed(self, stamps: Mapping[str, Stamp], among: links.Known, house: str, moved: int) -> Index:
        """The index of these files: kept rows where they still hold, else made by reading the file."""
        state = among.key
        before = self.index
        if before is index.NOTHING and self._kept is not None:
            before = index.load(self._kept) or before
        held = list(before.holding(stamps)) if before.links == state else []
        if before.links == state and len(before) == len(held) == len(stamps) and (before.house, before.moved) == (house, moved):
            return before
        known = {index.file_of(before.ids[place]) for place in held}
        fresh = [entry_of(self._part(file), among, stamp) for file, stamp in stamps.items() if file not in known]
        made = index.made(state, house, moved, fresh, before, held)
        if self._kept is not None:
            index.keep(self._kept, made)
        return made

    def _revision(self, parts: Mapping[str, Part]) -> str:
        whole = hashlib.sha256()
        digests = {file: part.source.digest for file, part in parts.items()}
        digests.update(self.index.digests)
        for file, digest in sorted(digests.items()):
            whole.update(f"{file}\0{digest}\n".encode(errors="surrogateescape"))
        return whole.hexdigest()[:16]


def read_library(folder: Path) -> Library:
    return LibraryReader(folder).read()


def based(parts: Mapping[str, Part]) -> Base:
    """Everything but the drinks: duplicates dropped, every reference followed."""
    faults = [fault for part in parts.values() for fault in part.faults]
    if HOUSE_FILE not in parts:
        faults.append(Fault(HOUSE_FILE, 0, 0, "", "missing-file", "error", "is missing", "a library has one: format = 1"))
    known, findings = links.known(
        items=_by_id(parts, Item),
        stocks=_by_id(parts, Stock),
        dispensers=parts[MEASURES_FILE].of(Dispenser) if MEASURES_FILE in parts else {},
        windows=parts[WINDOWS_FILE].of(Window) if WINDOWS_FILE in parts else {},
        declared=_declared(parts),
        unread=tuple(file for file, part in parts.items() if file.startswith("ingredients/") and part.source.faults),
    )
    for file, found in findings.items():
        faults.extend(told(file, parts[file].source.text, found))
    house = parts[HOUSE_FILE].nouns.get("house", House()) if HOUSE_FILE in parts else House()
    if house.theme and house.theme not in themes.names_in(parts):
        message, remedy = f"there is no theme {house.theme}", f"one of {', '.join(themes.names_in(parts))}"
        unknown = Finding(("shows", "theme"), "unknown-theme", message, remedy, "warning")
        faults.extend(told(HOUSE_FILE, parts[HOUSE_FILE].source.text, [unknown]))
    counted = parts[MEASURES_FILE].nouns.get(DEFAULTS, {}) if MEASURES_FILE in parts else {}
    return Base(known, house, MappingProxyType(dict(counted)), tuple(faults))


def ordered(parts: Mapping[str, Part], drinks: Iterable[str], among: links.Known) -> tuple[dict[str, Order], list[Fault]]:
    """The orders whose drinks and items are there, and what is wrong with the others."""
    orders: dict[str, Order] = {}
    faults: list[Fault] = []
    known = set(drinks)
    for file, part in parts.items():
        for name, order in part.of(Order).items():
            found = told(file, part.source.text, links.order_faults(order, known, among))
            faults += found
            if not found:
                orders[name] = order
    return orders, faults


def entry_of(part: Part, among: links.Known, stamp: Stamp) -> Entry:
    """The index entry of one drink's file."""
    file, name = part.source.file, stem(part.source.file)
    spec = part.nouns.get(name)
    faults = part.faults
    if isinstance(spec, Spec):
        faults = (*faults, *told(file, part.source.text, links.spec_faults(spec, among)))
    if not isinstance(spec, Spec) or faults:
        return Entry(stamp, part.source.digest, Listed(name, name, "", "", (), True), name.casefold(), faults)
    row = Listed(name, spec.name, spec.method, spec.style, spec.tags, False)
    return Entry(stamp, part.source.digest, row, _text(spec, among), faults, spec.retired)


def _text(spec: Spec, among: links.Known) -> str:
    """What a spec is found by: its own words and those of its items."""
    named: Mapping[str, Item | Stock] = {**among.items, **among.stocks}
    items = " ".join(f"{line.item} {named[line.item].name if line.item in named else ''}" for line in spec.lines)
    return f"{spec.id} {spec.name} {spec.method} {spec.style} {' '.join(spec.tags)} {items}".casefold()


def _files(folder: Path) -> tuple[list[str], list[Fault]]:
    """Every file but the drinks, and a fault for each of the library's folders that cannot be looked into."""
    top = {entry.name for entry in os.scandir(folder)}
    files, faults = [name for name in (HOUSE_FILE, MEASURES_FILE, WINDOWS_FILE) if name in top], []
    for name in (*FOLDERS, index.DRINKS):
        if name in top:
            try:
                with os.scandir(folder / name) as found:
                    inside = sorted(entry.name for entry in found) if name in FOLDERS else []
            except OSError as error:
                message = f"cannot be read as a folder: {error.strerror}"
                faults.append(Fault(name, 0, 0, "", "unreadable", "error", message, "make it a folder with files in it"))
                continue
            files += [f"{name}/{one}" for one in inside if one.endswith(".toml") and not one.startswith(".")]
    return files, faults


def _by_id(parts: Mapping[str, Part], noun: type[Any]) -> dict[str, list[Any]]:
    """Every noun of that class under its id: more than one where an id is given twice."""
    found: dict[str, list[Any]] = {}
    for part in parts.values():
        for name, one in part.of(noun).items():
            found.setdefault(name, []).append(one)
    return found


def _declared(parts: Mapping[str, Part]) -> dict[str, list[str]]:
    """Files that declare an item or stock of that id, whether it could be read or not."""
    declared: dict[str, list[str]] = {}
    for file, part in parts.items():
        if file.startswith(("ingredients/", "stocks/")):
            for name in part.declared:
                declared.setdefault(name, []).append(file)
    return declared
