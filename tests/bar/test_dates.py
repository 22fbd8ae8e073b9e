"""Dates as typed and in files."""

from __future__ import annotations

from datetime import date

import pytest

from station.bar.amount import AmountError
from station.bar.dates import parse_date
from station.bar.kinds import DATE, BadValue


def test_a_day_as_it_is_typed() -> None:
    assert parse_date("2026-12-01") == date(2026, 12, 1)


@pytest.mark.parametrize("text", ["tomorrow", "1.12.2026", "2026-13-01", "", "9999-12-31", "1999-12-31", "2200-01-01"])
def test_what_is_no_day_a_bar_can_mean_is_refused(text: str) -> None:
    with pytest.raises(AmountError):
        parse_date(text)


def test_a_file_s_date_must_be_one_that_can_be_reckoned_from() -> None:
    assert DATE.read(date(2199, 12, 31)) == date(2199, 12, 31)
    for day in (date(1999, 12, 31), date(2200, 1, 1), date.max, date.min):
        with pytest.raises(BadValue, match="out of range"):
            DATE.read(day)
