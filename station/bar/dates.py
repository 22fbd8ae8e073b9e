"""Dates a bar may mean, in files and as typed: with years to spare on both sides for what is reckoned from them."""

from __future__ import annotations

from datetime import date

from station.bar.amount import AmountError

FIRST_YEAR, LAST_YEAR = 2000, 2199


def believable(day: date) -> bool:
    """Whether the year is one a bar works in: `9999` or `0206` is a slip."""
    return FIRST_YEAR <= day.year <= LAST_YEAR


def parse_date(text: str) -> date:
    """A day as typed, `2026-12-01`. Raises AmountError."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise AmountError(text, 0, f"“{text}” is no date", "write e.g. 2026-12-01") from None
    return checked(day, text)


def checked(day: date, text: str) -> date:
    """The day, if its year can be meant. Raises AmountError."""
    if not believable(day):
        raise AmountError(text, 0, f"the year of {text} is not within {FIRST_YEAR} to {LAST_YEAR}", "write e.g. 2026-12-01")
    return day
