"""Kinds of value a library's file may hold: how each is read, and what is said when it is not that."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from difflib import get_close_matches
from typing import Any, TypeAlias

from station.bar.amount import AmountError, parse_amount
from station.bar.dates import FIRST_YEAR, LAST_YEAR, believable
from station.bar.quantity import QuantityError
from station.bar.theme import HEX_COLOUR, TERMINAL_COLOURS, is_colour

ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
LONGEST_ID = 64
LONGEST_TEXT = 20_000

_IN_TOML = {
    bool: "boolean",
    int: "integer",
    float: "float",
    str: "string",
    list: "array",
    dict: "table",
    date: "date",
    datetime: "date-time",
}


class BadValue(ValueError):
    """A value its key cannot take: why, what to write, and where inside the value (`path`, for arrays and tables)."""

    def __init__(self, code: str, reason: str, remedy: str, path: tuple[str | int, ...] = ()) -> None:
        super().__init__(f"{reason} ({remedy})")
        self.code, self.reason, self.remedy, self.path = code, reason, remedy, path


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of value: `says` names it in TOML's own words, `read` turns it into ours or raises BadValue.

    `schema` is as much of that as JSON Schema can say; a quantity refers to its pattern in `patterns.SPELLED` by name.
    """

    says: str
    read: Callable[[object], Any]
    schema: Mapping[str, object] = field(compare=False)


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a table. `field` is the noun's name for it, where that differs."""

    name: str
    kind: Kind | Table | Tables | Rows
    required: bool = False
    field: str = ""
    about: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table with exactly these keys."""

    keys: tuple[Key, ...]
    says: str = "table"


@dataclass(frozen=True, slots=True)
class Tables:
    """A table of tables, each under an id of the house's own."""

    each: Table
    says: str = "table of tables"


@dataclass(frozen=True, slots=True)
class Rows:
    """An array of tables."""

    each: Table
    least: int = 0
    says: str = "array of tables"


Shape: TypeAlias = Kind | Table | Tables | Rows


def in_toml(value: object) -> str:
    """What a value is, in TOML's own words."""
    return _IN_TOML.get(type(value), type(value).__name__)


def as_typed(value: float) -> str:
    """A number for a message; one of thousands of digits cannot be spelled, and need not be."""
    return f"{value}" if isinstance(value, float) or abs(value) < 10**15 else "…"


def wrong_type(value: object, says: str, remedy: str = "") -> BadValue:
    return BadValue("wrong-type", f"a {says} is wanted here, not a {in_toml(value)}", remedy or f"write a {says}")


def _text(value: object) -> str:
    if not isinstance(value, str):
        quoted = f'write it in quotes: "{as_typed(value)}"' if isinstance(value, int | float) else ""
        raise wrong_type(value, "string", quoted)
    if len(value) > LONGEST_TEXT:
        raise BadValue("too-long", f"the text has {len(value)} characters", f"at most {LONGEST_TEXT}")
    return value


def _identifier(value: object) -> str:
    text = _text(value)
    if not is_id(text):
        raise BadValue("bad-id", f"“{text[:80]}” is no id", "lower-case letters and digits, words joined by -, at most 64")
    return text


def is_id(text: str) -> bool:
    return len(text) <= LONGEST_ID and ID.fullmatch(text) is not None


def _colour(value: object) -> str:
    text = _text(value)
    if not is_colour(text):
        raise BadValue("bad-colour", f"“{text[:80]}” is no colour", "write e.g. #d8d2c4, or a terminal colour: bright cyan")
    return text.lower()


def _boolean(value: object) -> bool:
    if not isinstance(value, bool):
        raise wrong_type(value, "boolean", "write true or false")
    return value


def _date(value: object) -> date:
    if not isinstance(value, date) or isinstance(value, datetime):
        raise wrong_type(value, "date", "write e.g. 2026-11-04, without quotes")
    if not believable(value):
        raise BadValue("out-of-range", f"{value} is out of range", f"{FIRST_YEAR}-01-01 to {LAST_YEAR}-12-31")
    return value


def number(low: float, high: float) -> Kind:
    """A finite number from `low` to `high`."""

    def read(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise wrong_type(value, "number")
        if isinstance(value, float) and not math.isfinite(value):
            raise BadValue("out-of-range", f"{value} is no number to reckon with", f"{low:g} to {high:g}")
        if not low <= value <= high:
            shown = f"{value:g}" if isinstance(value, float) or abs(value) < 10**15 else "the number"
            raise BadValue("out-of-range", f"{shown} is out of range", f"{low:g} to {high:g}")
        return float(value)

    return Kind("number", read, {"type": "number", "minimum": low, "maximum": high})


def integer(low: int, high: int) -> Kind:
    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise wrong_type(value, "integer")
        if not low <= value <= high:
            shown = str(value) if abs(value) < 10**15 else "the number"
            raise BadValue("out-of-range", f"{shown} is out of range", f"{low} to {high}")
        return value

    return Kind("integer", read, {"type": "integer", "minimum": low, "maximum": high})


def choice(*allowed: str) -> Kind:
    """One of some words; the nearest is offered for another."""

    def read(value: object) -> str:
        text = _text(value)
        if text in allowed:
            return text
        near = get_close_matches(text.lower(), allowed, n=1, cutoff=0.6)
        listed = ", ".join(allowed)
        remedy = f"did you mean {near[0]}? one of {listed}" if near else f"one of {listed}"
        raise BadValue("unknown-value", f"“{text[:80]}” is not known here", remedy)

    return Kind("string", read, {"enum": list(allowed)})


def quantity(parse: Callable[[str], Any]) -> Kind:
    """A string that `parse` reads, raising QuantityError or AmountError."""

    def read(value: object) -> Any:
        try:
            return parse(_text(value))
        except (QuantityError, AmountError) as error:
            raise BadValue("bad-quantity", error.reason, error.remedy) from None

    return Kind("string", read, {"$ref": f"#/$defs/{parse.__name__.removeprefix('parse').strip('_')}"})


def array(of: Kind, least: int = 0, most: int = 1000) -> Kind:
    def read(value: object) -> tuple[Any, ...]:
        if not isinstance(value, list):
            raise wrong_type(value, "array")
        if not least <= len(value) <= most:
            raise BadValue("wrong-length", f"{len(value)} values here", f"{least} to {most} are wanted")
        return tuple(_inside(place, of, one) for place, one in enumerate(value))

    return Kind("array", read, {"type": "array", "items": of.schema, "minItems": least, "maxItems": most})


def span(low: float, high: float) -> Kind:
    """A range [low, high]."""
    ends = array(number(low, high), 2, 2)

    def read(value: object) -> tuple[float, float]:
        first, last = ends.read(value)
        if first > last:
            raise BadValue("out-of-range", f"the range runs from {first:g} down to {last:g}", "write the lower figure first")
        return first, last

    return Kind("array", read, ends.schema)


def shares(names: tuple[str, ...], high: float) -> Kind:
    """A table of numbers under known names."""
    share = number(0, high)

    def read(value: object) -> Mapping[str, float]:
        if not isinstance(value, dict):
            raise wrong_type(value, "table", "write e.g. { citric = 100 }")
        for name in value:
            if name not in names:
                near = get_close_matches(str(name), names, n=1)
                raise BadValue(
                    "unknown-key",
                    f"“{name}” is not known here",
                    f"did you mean {near[0]}?" if near else f"one of {', '.join(names)}",
                )
        return {name: _inside(name, share, one) for name, one in value.items()}

    return Kind("table", read, {"type": "object", "propertyNames": {"enum": list(names)}, "additionalProperties": share.schema})


def by_id(of: Kind) -> Kind:
    """A table of values, each under the id of something else in the library."""

    def read(value: object) -> Mapping[str, Any]:
        if not isinstance(value, dict):
            raise wrong_type(value, "table", 'write e.g. { rum-light = "2.1 l" }')
        for name in value:
            if not is_id(name):
                raise BadValue("bad-id", f"“{name[:80]}” is no id", "lower-case letters and digits, words joined by -", (name,))
        return {name: _inside(name, of, one) for name, one in value.items()}

    return Kind("table", read, {"type": "object", "propertyNames": ID_SCHEMA, "additionalProperties": of.schema})


def _inside(place: str | int, kind: Kind, value: object) -> Any:
    try:
        return kind.read(value)
    except BadValue as error:
        raise BadValue(error.code, error.reason, error.remedy, (place, *error.path)) from None


ID_SCHEMA = {"type": "string", "pattern": f"^{ID.pattern}$", "maxLength": LONGEST_ID}
TEXT = Kind("string", _text, {"type": "string", "maxLength": LONGEST_TEXT})
IDENTIFIER = Kind("string", _identifier, ID_SCHEMA)
COLOUR = Kind("string", _colour, {"type": "string", "pattern": f"^(?:{HEX_COLOUR}|{'|'.join(TERMINAL_COLOURS)})$"})
BOOLEAN = Kind("boolean", _boolean, {"type": "boolean"})
DATE = Kind("date", _date, {"type": "string", "format": "date", "pattern": "^2[01]"})
AMOUNT = quantity(parse_amount)
