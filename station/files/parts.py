"""One file of a library parsed: its nouns, the ids it declares, its faults."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from station.bar import schema
from station.bar.fault import Fault
from station.bar.kinds import as_typed, is_id
from station.bar.theme import Theme
from station.files import build
from station.files.checker import Finding, read_shape, read_table, told
from station.files.source import Source

HOUSE_FILE, MEASURES_FILE, WINDOWS_FILE = "station.toml", "measures.toml", "windows.toml"
# Under which the house's own volumes of uncalibrated counts stand among a file's nouns: no id can be spelled so.
DEFAULTS = "[defaults]"

_SHAPES = {"drinks": schema.DRINK, "orders": schema.ORDER, "stocks": schema.STOCK, "themes": schema.THEME}

Nouns = tuple[dict[str, Any], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Part:
    """What one file gave: its nouns by id, the ids it declares (faulty ones too), and its faults."""

    source: Source
    nouns: Mapping[str, Any]
    declared: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()

    def of(self, noun: type[Any]) -> dict[str, Any]:
        """The nouns of that class."""
        return {name: one for name, one in self.nouns.items() if isinstance(one, noun)}


def parsed(source: Source) -> Part:
    """One file's nouns and faults."""
    if source.faults:
        return Part(source, {}, () if source.file.startswith("ingredients/") else (stem(source.file),), source.faults)
    findings: list[Finding] = []
    nouns, declared = _reader_of(source.file)(source, findings)
    return Part(source, nouns, declared, told(source.file, source.text, findings))


def parsed_theme(source: Source) -> tuple[Theme | None, tuple[Fault, ...]]:
    """A theme's file, wherever it stands; None with what is wrong in it."""
    if source.faults:
        return None, source.faults
    findings: list[Finding] = []
    values = read_table(source.data, schema.THEME, findings)
    made = None if findings else build.theme(stem(source.file), values, findings)
    return (None if findings else made), told(source.file, source.text, findings)


def stem(file: str) -> str:
    return Path(file).stem


def _reader_of(file: str) -> Callable[[Source, list[Finding]], Nouns]:
    folder, _, _ = file.partition("/")
    readers = {HOUSE_FILE: _house, MEASURES_FILE: _measures, WINDOWS_FILE: _windows, "ingredients": _ingredients}
    return readers.get(folder, _single)


def _house(source: Source, findings: list[Finding]) -> Nouns:
    newer = source.data.get("format")
    if isinstance(newer, int) and newer > schema.FORMAT:
        message = f"this library's format is {as_typed(newer)}, newer than this program's {schema.FORMAT}: it is read only"
        findings.append(Finding(("format",), "newer-format", message, "update the program"))
    values = read_table(source.data, schema.HOUSE, findings)
    return {"house": build.house(values, findings)}, ()


def _measures(source: Source, findings: list[Finding]) -> Nouns:
    values = read_table(source.data, schema.MEASURES, findings)
    dispensers = {name: build.dispenser(name, one) for name, one in values.get("dispensers", {}).items()}
    return {DEFAULTS: values.get("defaults", {}), **dispensers}, ()


def _windows(source: Source, findings: list[Finding]) -> Nouns:
    return {name: build.window(name, one) for name, one in read_shape(source.data, schema.WINDOWS, findings).items()}, ()


def _ingredients(source: Source, findings: list[Finding]) -> Nouns:
    items = {}
    for name, values in read_shape(source.data, schema.ITEMS, findings).items():
        own: list[Finding] = []
        made = build.item(name, values, source.file, own, (name,))
        findings.extend(own)
        if not own:
            items[name] = made
    return items, tuple(source.data)


def _single(source: Source, findings: list[Finding]) -> Nouns:
    """A stock, a drink, an order or a theme: one noun, named by its file."""
    name = stem(source.file)
    folder, _, _ = source.file.partition("/")
    if not is_id(name):
        message = f"the file's name “{name[:80]}” is no id"
        findings.append(Finding((), "bad-id", message, "lower-case letters and digits, joined by -"))
    values = read_table(source.data, _SHAPES[folder], findings)
    if findings:
        return {}, (name,)
    noun: Any
    if folder == "drinks":
        noun = build.spec(name, values, source.file, source.digest, findings)
    elif folder == "orders":
        noun = build.order(name, values, source.file, findings)
    elif folder == "themes":
        noun = build.theme(name, values, findings)
    else:
        noun = build.stock(name, values, source.file, findings)
    return ({} if findings else {name: noun}), (name,)
