"""An answer as JSON: its fields, numbers unrounded, never NaN."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date

# What a terminal takes as a command, or an eye in another order: the same text to whoever reads JSON, when escaped.
_COMMANDS = re.compile("[\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]")


def as_json(answer: object, ascii_only: bool = False) -> str:
    """One JSON document. ValueError if a figure is not finite: that is a fault of the engine, never printed."""
    text = json.dumps(plainly(answer), ensure_ascii=ascii_only, allow_nan=False, indent=2)
    return _COMMANDS.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def plainly(value: object) -> object:
    """Dataclasses as objects, sequences as arrays, moments in ISO 8601."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plainly(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plainly(one) for key, one in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [plainly(one) for one in value]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"{value} in an answer")
    return value
