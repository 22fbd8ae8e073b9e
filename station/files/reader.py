"""A folder read as a library: a pipeline of pure stages, each file by itself, faults collected, nothing raised for bad text."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

from station.bar import schema
from station.bar.fault import Fault
from station.bar.kinds import is_id
from station.bar.nouns import Dispenser, House, Item, Library, Spec, Stock, Window
from station.files import build
from station.files.checker import Finding, read_shape, read_table, told
from station.files.links import Links, linked
from station.files.source import Source, read_source, stamp_of

HOUSE_FILE, MEASURES_FILE, WINDOWS_FILE = "station.toml", "measures.toml", "windows.toml"
DEFAULTS = "[defaults]"
FOLDERS = ("ingredients", "stocks", "drinks")


@dataclass(frozen=True, slots=True)
class Part:
    """What one file gave: its nouns by id, the ids it declares (faulty ones too), and its faults."""

    source: Source
    nouns: Mapping[str, Any]
    declared: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()


class LibraryReader:
    """Reads one folder, again and again; a file that has not changed since is not read anew."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._parts: dict[str, Part] = {}

    def read(self) -> Library:
        """The library as it stands. Raises NotADirectoryError or FileNotFoundError if the folder itself is not there."""
        files = list(_files(self.folder))
        parts = {file: self._part(file) for file in files}
        self._parts = parts
        return assembled(str(self.folder), parts)

    def source(self, file: str) -> Source:
        """The text of one file as last read."""
        return self._parts[file].source

    def _part(self, file: str) -> Part:
        known = self._parts.get(file)
        try:
            fresh = known is not None and known.source.stamp == stamp_of(self.folder / file)
        except OSError:
            fresh = False
        return known if known is not None and fresh else parsed(read_source(self.folder, file))


def read_library(folder: Path) -> Library:
    return LibraryReader(folder).read()


def parsed(source: Source) -> Part:
    """One file's nouns and faults."""
    if source.faults:
        return Part(source, {}, (_stem(source.file),), source.faults)
    findings: list[Finding] = []
    nouns, declared = _nouns(source, findings)
    return Part(source, nouns, declared, told(source.file, source.text, findings))


def assembled(folder: str, parts: Mapping[str, Part]) -> Library:
    """One library of all parts: duplicates dropped, every reference followed."""
    faults = [fault for part in parts.values() for fault in part.faults]
    if HOUSE_FILE not in parts:
        faults.append(Fault(HOUSE_FILE, 0, 0, "", "missing-file", "error", "is missing", "a library has one: format = 1"))
    links = Links(
        items=_by_id(parts, "ingredients/", Item),
        stocks=_by_id(parts, "stocks/", Stock),
        drinks=_by_id(parts, "drinks/", Spec),
        dispensers=_nouns_of(parts.get(MEASURES_FILE), Dispenser),
        windows=_nouns_of(parts.get(WINDOWS_FILE), Window),
    )
    good, findings = linked(links, _declared(parts))
    for file, found in findings.items():
        faults.extend(told(file, parts[file].source.text, found))
    return Library(
        folder=folder,
        revision=_revision(parts),
        house=_nouns_of(parts.get(HOUSE_FILE), House).get("house", House()),
        items=MappingProxyType(good.items),
        stocks=MappingProxyType(good.stocks),
        drinks=MappingProxyType(good.drinks),
        dispensers=MappingProxyType(links.dispensers),
        windows=MappingProxyType(links.windows),
        counted_ml=parts[MEASURES_FILE].nouns.get(DEFAULTS, {}) if MEASURES_FILE in parts else {},
        faults=tuple(sorted(faults)),
    )


def _files(folder: Path) -> Iterable[str]:
    top = {entry.name for entry in os.scandir(folder)}
    yield from (name for name in (HOUSE_FILE, MEASURES_FILE, WINDOWS_FILE) if name in top)
    for name in FOLDERS:
        if name in top and (folder / name).is_dir():
            inside = sorted(entry.name for entry in os.scandir(folder / name))
            yield from (f"{name}/{one}" for one in inside if one.endswith(".toml") and not one.startswith("."))


def _nouns(source: Source, findings: list[Finding]) -> tuple[dict[str, Any], tuple[str, ...]]:
    folder, _, _ = source.file.partition("/")
    readers = {HOUSE_FILE: _house, MEASURES_FILE: _measures, WINDOWS_FILE: _windows, "ingredients": _ingredients}
    read = readers.get(folder)
    return read(source, findings) if read else _single(source, findings)


def _house(source: Source, findings: list[Finding]) -> tuple[dict[str, Any], tuple[str, ...]]:
    newer = source.data.get("format")
    if isinstance(newer, int) and newer > schema.FORMAT:
        message = f"this library's format is {newer}, newer than this program's {schema.FORMAT}: it is read only"
        findings.append(Finding(("format",), "newer-format", message, "update the program"))
    values = read_table(source.data, schema.HOUSE, findings)
    return {"house": build.house(values, findings)}, ()


def _measures(source: Source, findings: list[Finding]) -> tuple[dict[str, Any], tuple[str, ...]]:
    values = read_table(source.data, schema.MEASURES, findings)
    dispensers = {name: build.dispenser(name, one) for name, one in values.get("dispensers", {}).items()}
    return {DEFAULTS: values.get("defaults", {}), **dispensers}, ()


def _windows(source: Source, findings: list[Finding]) -> tuple[dict[str, Any], tuple[str, ...]]:
    return {name: build.window(name, one) for name, one in read_shape(source.data, schema.WINDOWS, findings).items()}, ()


def _ingredients(source: Source, findings: list[Finding]) -> tuple[dict[str, Any], tuple[str, ...]]:
    items = {}
    for name, values in read_shape(source.data, schema.ITEMS, findings).items():
        own: list[Finding] = []
        made = build.item(name, values, source.file, own, (name,))
        findings.extend(own)
        if not own:
            items[name] = made
    return items, tuple(source.data)


def _single(source: Source, findings: list[Finding]) -> tuple[dict[str, Any], tuple[str, ...]]:
    """A stock or a drink: one noun, named by its file."""
    stem = _stem(source.file)
    is_drink = source.file.startswith("drinks/")
    if not is_id(stem):
        findings.append(
            Finding((), "bad-id", f"the file's name “{stem[:80]}” is no id", "lower-case letters and digits, joined by -")
        )
    values = read_table(source.data, schema.DRINK if is_drink else schema.STOCK, findings)
    if findings:
        return {}, (stem,)
    noun = build.spec(stem, values, source.file, source.digest, findings) if is_drink else build.stock(stem, values, source.file)
    return ({} if findings else {stem: noun}), (stem,)


def _stem(file: str) -> str:
    return Path(file).stem


def _by_id(parts: Mapping[str, Part], folder: str, noun: type[Any]) -> dict[str, list[Any]]:
    """Every noun of one folder under its id: more than one where an id is given twice."""
    found: dict[str, list[Any]] = {}
    for file, part in parts.items():
        if file.startswith(folder):
            for name, one in _nouns_of(part, noun).items():
                found.setdefault(name, []).append(one)
    return found


def _nouns_of(part: Part | None, noun: type[Any]) -> dict[str, Any]:
    return {name: one for name, one in part.nouns.items() if isinstance(one, noun)} if part else {}


def _declared(parts: Mapping[str, Part]) -> dict[str, list[str]]:
    """Files that declare an item or stock of that id, whether it could be read or not."""
    declared: dict[str, list[str]] = {}
    for file, part in parts.items():
        if file.startswith(("ingredients/", "stocks/")):
            for name in part.declared:
                declared.setdefault(name, []).append(file)
    return declared


def _revision(parts: Mapping[str, Part]) -> str:
    whole = hashlib.sha256()
    for file, part in sorted(parts.items()):
        whole.update(f"{file}\0{part.source.digest}\n".encode())
    return whole.hexdigest()[:16]
