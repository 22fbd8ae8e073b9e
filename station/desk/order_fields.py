"""An order's assumptions as fields: the text a person types into one, and the order's data with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, TypeAlias

from station.bar.amount import AmountError, parse_number
from station.bar.dates import parse_date

Data: TypeAlias = Mapping[str, Any]

# Fields that stand at the end, to put another item on hand or give it a lead time: `rum-light=2.1 l`.
ADD = "+"
# What a bare number means, by the first part of a field's key.
_UNITS = {
    **dict.fromkeys(("overage", "waste", "garnish_spoilage"), " %"),
    "ice_per_guest": " g",
    "water_per_guest": " ml",
    "ready": " hours",
    "lead": " days",
    "starts": ":00",
}
_WHOLE = frozenset({"guests", "serves"})
_NUMBERS = frozenset({"hours", "first_hour", "per_hour", "drinks_per_guest", "mixed_share", "share", "glasses_per_guest"})
_SHARES = frozenset({"mixed_share", "share"})
_NEEDED = frozenset({"date", "guests"})
# Setting one of these takes the others away: they say the same.
_INSTEAD = {
    "drinks_per_guest": ("first_hour", "per_hour"),
    "first_hour": ("drinks_per_guest",),
    "per_hour": ("drinks_per_guest",),
}


def with_text(data: Data, key: str, text: str) -> dict[str, Any]:
    """The order's data with that field as typed; an empty text takes the key out. Raises AmountError for what it cannot be."""
    group, *rest = key.split(".", 1)
    typed = " ".join(text.split())
    if rest and rest[0] == ADD:
        item, equals, typed = (part.strip() for part in typed.partition("="))
        if not equals or not typed:
            example = "rum-light=2.1 l" if group == "on_hand" else "tea-gin=2 days"
            raise AmountError(text, 0, "this names an item and says no more", f"write e.g. {example}")
        return with_text(data, f"{group}.{item}", typed)
    if group == "pours":
        return _with_pour(data, rest[0], typed)
    changed = {name: one for name, one in data.items() if not typed or name not in _INSTEAD.get(group, ())}
    if rest:
        return _with_entry(changed, group, rest[0], typed)
    return _with_key(changed, group, typed)


def texts_of(data: Data) -> dict[str, str]:
    """Every field that the data says, by its key, as it would be typed."""
    found: dict[str, str] = {}
    for name, value in data.items():
        if name == "pours":
            for place, pour in enumerate(value):
                found |= {f"pours.{place}.{key}": _spelled(one) for key, one in pour.items() if key in {"share", "serves"}}
        elif isinstance(value, dict):
            found |= {f"{name}.{item}": _spelled(one) for item, one in value.items()}
        elif name in _NUMBERS | _WHOLE | _NEEDED | set(_UNITS) | {"shares", "fruit"}:
            found[name] = _spelled(value)
    return found


def _with_key(data: dict[str, Any], key: str, typed: str) -> dict[str, Any]:
    if not typed:
        if key in _NEEDED:
            raise AmountError(typed, 0, f"an order needs its {key}", "write it")
        return {name: value for name, value in data.items() if name != key}
    return {**data, key: _value(key, typed)}


def _with_entry(data: dict[str, Any], group: str, item: str, typed: str) -> dict[str, Any]:
    """An entry of a table: what is on hand of an item, its lead time. A table without entries goes."""
    entries = {name: value for name, value in data.get(group, {}).items() if name != item}
    if typed:
        entries = {**data.get(group, {}), item: _value(group, typed)}
    if not entries:
        return {name: value for name, value in data.items() if name != group}
    return {**data, group: entries}


def _with_pour(data: Data, key: str, typed: str) -> dict[str, Any]:
    place, name = key.split(".")
    if not typed:
        raise AmountError(typed, 0, f"a drink of an order needs its {name}", "write it, or remove the drink in the file")
    pours = [{**pour, name: _value(name, typed)} if row == int(place) else pour for row, pour in enumerate(data["pours"])]
    return {**data, "pours": pours}


def _value(key: str, typed: str) -> object:
    reader: Callable[[str, str], object] = _text
    if key == "date":
        reader = _date
    elif key in _WHOLE:
        reader = _whole
    elif key in _NUMBERS:
        reader = _number
    return reader(key, typed)


def _date(key: str, typed: str) -> date:
    return parse_date(typed)


def _whole(key: str, typed: str) -> int:
    value = parse_number(typed)
    if value != int(value):
        raise AmountError(typed, 0, f"{typed} is no whole number", "write e.g. 120")
    return int(value)


def _number(key: str, typed: str) -> float | int:
    """A number; a share may be typed as a percentage. One without a part stays a whole number, as people write it."""
    if key in _SHARES and typed.endswith("%"):
        return round(parse_number(typed.removesuffix("%").strip()) / 100.0, 9)
    value = parse_number(typed)
    return int(value) if value == int(value) else value


def _text(key: str, typed: str) -> str:
    """A quantity; a bare number gets the unit the field has."""
    if key not in _UNITS:
        return typed
    try:
        parse_number(typed)
    except AmountError:
        return typed
    return typed + _UNITS[key]


def _spelled(value: object) -> str:
    if isinstance(value, date):
        return value.isoformat()
    return f"{value:.9g}" if isinstance(value, float) else str(value)
