"""Labels as plain text at a label's width."""

from __future__ import annotations

import textwrap

from station.bar import say
from station.bar.nouns import OF_EDIT, House
from station.calc.answers import Label
from station.cards.text import moment, plainly, until

WIDTH = 40
_NARROWEST = 24
_BLANK = "________"


@plainly
def label(one: Label, house: House, width: int = WIDTH) -> list[str]:
    """One label, a row of at most `width` cells each."""
    width = max(width, _NARROWEST)
    state = {True: "DILUTED", False: "UNDILUTED", None: ""}[one.diluted]
    said = [
        one.name.upper(),
        one.strength,
        state,
        f"NOT AS PLANNED: {one.off_plan}" if one.off_plan else "",
        OF_EDIT.capitalize() if one.of_edit else "",
        *one.hazards,
        f"Made {moment(one.made)} by {one.by or _BLANK}",
        f"Use by {until(one.use_by, house)}" if one.use_by else f"Use by {_BLANK}",
        f"House's decision to keep it so long: {one.keeps_reason}" if one.keeps_reason else "",
        f"Store: {one.store}" if one.store else "",
        f"Lot {one.lot or _BLANK}",
        f"Allergens: {say.allergens(one.allergens)}",
        f"May contain traces of: {', '.join(one.may_contain)}" if one.may_contain else "",
        *(f"{place}. {step}" for place, step in enumerate(one.finishing, 1)),
    ]
    return [row for text in said for row in _wrapped(say.plain(text, 1000), width)]


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, break_on_hyphens=False) if text else []
