"""What a person gave with a question, read."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from station.bar.amount import Amount, AmountError, parse_amount
from station.bar.fault import CannotAnswer
from station.bar.nouns import House


def some(text: str, what: str, makes: str) -> Amount:
    """The amount of `what`. Raises AmountError for what is no amount, CannotAnswer for a written zero: it makes no `makes`."""
    try:
        return parse_amount(text)
    except AmountError as error:
        if error.nothing:
            raise CannotAnswer(f"{text.strip()} of {what} makes no {makes}", "give what there is") from None
        raise


def house_day(now: datetime, house: House) -> date:
    """The date on the bar's wall."""
    return now.astimezone(ZoneInfo(house.timezone)).date()
