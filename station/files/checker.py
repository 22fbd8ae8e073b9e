"""A table of a file held against its schema: values read, every fault collected, none raised."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Any, TypeAlias

from station.bar.fault import Fault
from station.bar.kinds import BadValue, Key, Kind, Rows, Shape, Table, Tables, in_toml, is_id, wrong_type

Path: TypeAlias = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """A fault that knows its key's path; where that stands in the text is looked up only when it is told."""

    path: Path
    code: str
    message: str
    remedy: str
    severity: str = "error"


def read_table(raw: Mapping[str, object], table: Table, findings: list[Finding], path: Path = ()) -> dict[str, Any]:
    """The table's values under their field names. What is wrong is appended to `findings` and left out."""
    keys = {key.name: key for key in table.keys}
    for name in raw:
        if name not in keys:
            findings.append(_unknown(name, tuple(keys), (*path, name)))
    values: dict[str, Any] = {}
    for key in table.keys:
        if key.name in raw:
            _read_key(raw[key.name], key, findings, (*path, key.name), values)
        elif key.required:
            findings.append(Finding((*path, key.name), "missing-key", f"{key.name} is missing", f"add it{_for_example(key)}"))
    return values


def read_shape(raw: object, shape: Shape, findings: list[Finding], path: Path = ()) -> Any:
    """One value of that shape, read. Raises BadValue where the whole value is of the wrong kind."""
    if isinstance(shape, Kind):
        return shape.read(raw)
    if isinstance(shape, Rows):
        return _read_rows(raw, shape, findings, path)
    if not isinstance(raw, dict):
        raise wrong_type(raw, shape.says)
    if isinstance(shape, Table):
        return read_table(raw, shape, findings, path)
    return _read_tables(raw, shape, findings, path)


def told(file: str, text: str, findings: list[Finding]) -> tuple[Fault, ...]:
    """The findings as faults, each with its line and column in `text`."""
    if not findings:
        return ()
    from station.files.spans import scan

    spans = scan(text)
    faults = []
    for one in findings:
        place = spans.place(one.path)
        faults.append(Fault(file, place.line, place.column, dotted(one.path), one.code, one.severity, one.message, one.remedy))
    return tuple(sorted(faults))


def dotted(path: Path) -> str:
    """A key's path as people write it, lines counted from 1: `lines 2 amount`."""
    return " ".join(str(part + 1) if isinstance(part, int) else part for part in path)


def nearest(word: str, known: tuple[str, ...] | Mapping[str, object], otherwise: str = "") -> str:
    """A remedy that offers the nearest known word."""
    near = _nearest_word(word[:80], tuple(known))
    return f"did you mean {near}?" if near else otherwise


# One file of items gone is the same few words unknown in ten thousand specs, at a millisecond each.
@lru_cache(maxsize=4096)
def _nearest_word(word: str, known: tuple[str, ...]) -> str:
    return next(iter(get_close_matches(word, known, n=1, cutoff=0.6)), "")


def _read_key(raw: object, key: Key, findings: list[Finding], path: Path, values: dict[str, Any]) -> None:
    try:
        values[key.field or key.name] = read_shape(raw, key.kind, findings, path)
    except BadValue as error:
        findings.append(Finding((*path, *error.path), error.code, error.reason, error.remedy))


def _read_rows(raw: object, shape: Rows, findings: list[Finding], path: Path) -> tuple[Any, ...]:
    if not isinstance(raw, list) or not all(isinstance(row, dict) for row in raw):
        raise wrong_type(raw, shape.says, f"write each under its own [[{path[-1]}]]")
    if len(raw) < shape.least:
        raise BadValue("wrong-length", f"there are no {path[-1]}", f"add at least one [[{path[-1]}]]")
    return tuple(read_table(row, shape.each, findings, (*path, place)) for place, row in enumerate(raw))


def _read_tables(raw: Mapping[str, object], shape: Tables, findings: list[Finding], path: Path) -> dict[str, Any]:
    tables: dict[str, Any] = {}
    for name, one in raw.items():
        here = (*path, name)
        if not is_id(name):
            findings.append(
                Finding(here, "bad-id", f"“{name[:80]}” is no id", "lower-case letters and digits, words joined by -")
            )
        elif not isinstance(one, dict):
            findings.append(Finding(here, "wrong-type", f"a table is wanted here, not a {in_toml(one)}", f"write [{name}]"))
        else:
            before = len(findings)
            values = read_table(one, shape.each, findings, here)
            if not any(finding.severity == "error" for finding in findings[before:]):
                tables[name] = values
    return tables


def _unknown(name: str, known: tuple[str, ...], path: Path) -> Finding:
    remedy = nearest(name, known, f"known here: {', '.join(known)}")
    return Finding(path, "unknown-key", f"the key {name[:80]} is not known here", remedy)


def _for_example(key: Key) -> str:
    return f": {key.about}" if key.about else ""
