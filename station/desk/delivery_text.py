"""A delivery in one line, as it is typed at the station: `lime-juice ta=5.2 ph=2.44 amount=1.5 l pieces=52`."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from station.bar.amount import AmountError, parse_number
from station.bar.nouns import Library
from station.desk.look import nearest
from station.desk.receiving import Delivery

TEXTS, NUMBERS = ("ta", "amount", "made", "use-by", "code", "of"), ("ph", "brix", "temp", "pieces")
EXAMPLE = "lime-juice ta=5.2 ph=2.44 amount=1.5 l pieces=52"
# A blank or comma before `key=` parts two things that are said; one within a value does not.
_PARTS = re.compile(r"[\s,;]+(?=[a-z-]+\s*=)")
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+")
_FIELDS = {"use-by": "use_by", "temp": "temp_c"}


def delivery_of(library: Library, text: str) -> Delivery:
    """What was typed. A TA that is a bare number is in g/100 ml as citric. Raises AmountError."""
    item, *said = _PARTS.split(" ".join(text.split()))
    if not item:
        raise AmountError(text, 0, "no item is named", f"write e.g. {EXAMPLE}")
    known = (*library.items, *library.stocks)
    if item not in known:
        raise AmountError(text, 0, f"there is no item or stock {item}", nearest(item, known, "see the stocks"))
    delivery = Delivery(item)
    for part in said:
        key, _, value = (one.strip() for one in part.partition("="))
        delivery = _with(delivery, key, value, text)
    return delivery


def in_words(library: Library, said: Delivery) -> list[str]:
    """What would be logged, a row each."""
    rows = [
        ("TA", said.ta),
        ("pH", "" if said.ph is None else f"{said.ph:g}"),
        ("°Bx by a refractometer", "" if said.brix is None else f"{said.brix:g}"),
        ("°C", "" if said.temp_c is None else f"{said.temp_c:g}"),
        ("there is", said.amount),
        ("pressed from", "" if said.pieces is None else f"{said.pieces:g} pieces"),
        ("made", said.made or "now"),
        ("supplier's date", said.use_by),
        ("supplier's lot", said.code),
        ("measured again, lot", said.of),
    ]
    return [library.name_of(said.item), "", *(f"{name}: {value}" for name, value in rows if value)]


def _with(delivery: Delivery, key: str, value: str, text: str) -> Delivery:
    if key not in (*TEXTS, *NUMBERS):
        raise AmountError(text, text.find(key), f"{key} is not known here", f"one of {', '.join((*TEXTS, *NUMBERS))}")
    if not value:
        raise AmountError(text, text.find(key), f"{key} says nothing yet", f"write e.g. {EXAMPLE}")
    if key == "ta" and _NUMBER.fullmatch(value):
        value = f"{value} g/100ml"
    read: Any = parse_number(value) if key in NUMBERS else value
    return replace(delivery, **{_FIELDS.get(key, key): read})
