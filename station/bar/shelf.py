"""Answers about the library itself: what was put on the shelf or moved there, what an import or a migration would do."""

from __future__ import annotations

from dataclasses import dataclass

from station.bar.fault import Fault

DRINK, STOCK, ITEM = "drink", "stock", "item"
KINDS = (DRINK, STOCK, ITEM)


@dataclass(frozen=True, slots=True)
class Shelved:
    """What was done to one drink, stock or item: `did` is new, copy, rename, retire or unretire; `was` the id it comes from."""

    did: str
    kind: str
    id: str
    was: str
    files: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlannedLine:
    """A line of a drink to be imported, from that line of the sheet."""

    item: str
    amount: str
    row: int


@dataclass(frozen=True, slots=True)
class PlannedDrink:
    """A drink to be imported."""

    id: str
    name: str
    method: str
    glass: str
    lines: tuple[PlannedLine, ...]


@dataclass(frozen=True, slots=True)
class UnknownItem:
    """What a sheet calls something the library does not know: the lines it stands on, and the nearest ids."""

    name: str
    rows: tuple[int, ...]
    nearest: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ImportPlan:
    """What a sheet says, as drinks. It can be written if nothing is unknown and nothing wrong; `written` are the new files."""

    file: str
    drinks: tuple[PlannedDrink, ...]
    unknown: tuple[UnknownItem, ...]
    faults: tuple[Fault, ...]
    ignored_columns: tuple[str, ...]
    writable: bool
    written: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """What the library's text means: its format, its ounce, its spoons."""

    format: int
    ounce: str
    spoons: str


@dataclass(frozen=True, slots=True)
class Respelled:
    """One amount in another spelling, and its millilitres before and after."""

    file: str
    line: int
    column: int
    key: str
    was: str
    becomes: str
    ml_was: float
    ml_becomes: float


@dataclass(frozen=True, slots=True)
class Migration:
    """Another reading of the same bar. `files` change; `copy` is where the library as it was is kept, "" until it is written."""

    was: Reading
    becomes: Reading
    amounts: tuple[Respelled, ...]
    files: tuple[str, ...]
    largest_change_ml: float
    largest_change_pct: float
    written: bool = False
    copy: str = ""
