"""Edits of a spec's lines: each gives new lines, the old stay as they were."""

from __future__ import annotations

from dataclasses import replace

from station.bar.amount import Amount, AmountError, parse_amount, rewritten, spell_unit
from station.bar.nouns import WHENS, House, Item
from station.desk.open_line import OpenLine, OpenLines
from station.files.build import goes_in

_BARE = ("top", "rinse")


def replaced(lines: OpenLines, place: int, line: OpenLine) -> OpenLines:
    """Another line in that place."""
    return (*lines[:place], line, *lines[place + 1 :])


def added(lines: OpenLines, place: int, line: OpenLine) -> OpenLines:
    """A line more, which then stands at that place."""
    return (*lines[:place], line, *lines[place:])


def removed(lines: OpenLines, place: int) -> OpenLines:
    """A line less."""
    return (*lines[:place], *lines[place + 1 :])


def moved(lines: OpenLines, place: int, by: int) -> OpenLines:
    """A line further down, or up where `by` is below nothing, as far as there are lines."""
    to = max(0, min(len(lines) - 1, place + by))
    return added(removed(lines, place), to, lines[place])


def amount_of(line: OpenLine, unit: str) -> Amount | None:
    """The line's amount, a bare number being in `unit`; None while it has none. Raises AmountError."""
    return parse_amount(line.amount, unit) if line.amount else None


def typed(line: OpenLine, text: str, unit: str) -> OpenLine:
    """The line with an amount as typed: a bare number in the unit it had, or in `unit`. Raises AmountError.

    A line that tops or floats goes on doing so under another number; `top`, `float` or `rinse` typed makes it one that does, and
    it then goes in when that does.
    """
    was = amount_of(line, unit)
    amount = parse_amount(text, was.unit if was and was.unit else unit)
    if amount.role == "to":
        raise AmountError(text, 0, "“to” is for stocks", "write how much goes in, e.g. 22.5 ml")
    if amount.value is None and amount.role not in _BARE:
        raise AmountError(text, 0, "it does not say how much", f"write e.g. {amount.role} 15 ml")
    role = was.role if was else ""
    if role and not amount.role:
        amount = replace(amount, role=role, text=f"{role} {amount.text.strip()}")
    return replace(line, amount=_whole(amount), when="" if amount.role != role else line.when)


def unit_taken(line: OpenLine, text: str, unit: str) -> str:
    """The unit that a bare number typed in the line takes, spelled for it; "" where the text says its own, or is no number."""
    was = amount_of(line, unit)
    own = was.unit if was and was.unit else unit
    if not text.strip():
        return spell_unit(own, 0)
    try:
        value = parse_amount(text, own).value
    except AmountError:
        return ""
    return "" if value is None or text.rstrip()[-1].isalpha() else spell_unit(own, value)


def with_when(line: OpenLine, when: str, unit: str) -> OpenLine:
    """The line going in at another time. One that tops, floats or rinses no longer does."""
    amount = amount_of(line, unit)
    if amount is None or not amount.role:
        return replace(line, when="" if when == WHENS[0] else when)
    plain = "" if amount.value is None else rewritten(replace(amount, role=""), amount.value).text
    return replace(line, amount=plain, when="" if when == WHENS[0] else when)


def when_of(line: OpenLine, unit: str) -> str:
    """When the line goes in: as it says, else as its amount does."""
    amount = amount_of(line, unit)
    return line.when or (goes_in(amount) if amount else WHENS[0])


def when_stated(line: OpenLine, unit: str) -> str:
    """When the line goes in, where that is another time than its amount says by itself; else ""."""
    amount = amount_of(line, unit)
    return "" if line.when == (goes_in(amount) if amount else WHENS[0]) else line.when


def next_when(when: str) -> str:
    """What comes after it, batch, service, finish and round again."""
    return WHENS[(WHENS.index(when) + 1) % len(WHENS)]


def unit_typed(found: Item | None, house: House) -> str:
    """What a bare number means on a line that has no amount yet: the house's volume, grams of a solid, pieces of a garnish."""
    if found is not None and found.kind == "garnish":
        return "each"
    return "g" if found is not None and found.form == "solid" else house.volume


def _whole(amount: Amount) -> str:
    """An amount's text with its unit, where only a number was typed."""
    text = amount.text.strip()
    if text[-1:].isalpha() or amount.value is None:
        return text
    return rewritten(amount, amount.value).text
