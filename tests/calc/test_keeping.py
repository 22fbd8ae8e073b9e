"""Until when something may be used."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import drink, open_small

from station.bar.quantity import Keeps
from station.calc.batch import Target
from station.calc.keeping import use_by
from station.calc.shelf_life import made_of
from station.desk.batching import batched

LISBON = ZoneInfo("Europe/Lisbon")
FIVE = time(5)


def days(count: int) -> Keeps:
    return Keeps(24 * count, by_the_day=True)


def hours(count: int) -> Keeps:
    return Keeps(count, by_the_day=False)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 11, day, hour, minute, tzinfo=LISBON)


# The day made is day 1, and a day ends when service does.
@pytest.mark.parametrize(
    ("made", "keeps", "ends"),
    [
        (at(25, 12), days(1), at(26, 5)),
        (at(25, 12), days(3), at(28, 5)),
        (at(25, 5), days(1), at(26, 5)),
        (at(25, 4, 59), days(1), at(25, 5)),
        (at(25, 0, 30), days(2), at(26, 5)),
        (at(25, 23, 59), days(1), at(26, 5)),
        (at(30, 12), days(1), datetime(2026, 12, 1, 5, tzinfo=LISBON)),
        (at(25, 12), hours(36), at(27, 0)),
        (at(25, 4, 59), hours(1), at(25, 5, 59)),
    ],
)
def test_days_are_service_days_and_hours_a_clock(made: datetime, keeps: Keeps, ends: datetime) -> None:
    assert use_by(made, keeps, FIVE) == ends


def test_a_house_may_end_its_day_at_midnight() -> None:
    assert use_by(at(25, 0, 30), days(1), time(0)) == at(26, 0)


@given(st.datetimes(datetime(2026, 1, 1), datetime(2026, 12, 31)), st.integers(1, 100))
@settings(max_examples=60, deadline=None)
def test_a_day_kept_never_outlasts_its_count_of_days(made: datetime, count: int) -> None:
    made = made.replace(tzinfo=UTC)
    ends = use_by(made, days(count), FIVE)
    assert timedelta(days=count - 1) < ends - made <= timedelta(days=count)
    assert ends.time() == FIVE


# In the night of 25 October 2026 Lisbon's clocks go back: 36 hours are 36 hours, on the wall they look like 35.
def test_hours_are_hours_over_a_change_of_the_clocks() -> None:
    made = datetime(2026, 10, 24, 18, tzinfo=LISBON)
    ends = use_by(made, hours(36), FIVE)
    assert ends.astimezone(UTC) - made.astimezone(UTC) == timedelta(hours=36)


def test_the_earliest_part_ends_it_and_none_that_says_nothing() -> None:
    def earliest(*keeps: Keeps | None) -> datetime | None:
        made = at(25, 12)
        return made_of(made, None, (use_by(made, one, FIVE) if one else None for one in keeps), FIVE)

    assert earliest(days(90), None, hours(20), days(1)) == at(26, 5)
    assert earliest(days(90), None, hours(3)) == at(25, 15)
    assert earliest(None, None) is None


# 03:00 UTC is 03:00 in Lisbon in winter: still the service day before.
@pytest.mark.parametrize(
    ("now", "ends"),
    [(datetime(2026, 11, 25, 12, tzinfo=UTC), at(26, 5)), (datetime(2026, 11, 26, 3, tzinfo=UTC), at(26, 5))],
)
def test_a_batch_is_used_by_its_shortest_part(now: datetime, ends: datetime, tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    assert batched(opened.blends, "sour", Target(serves=3), None, now).use_by == ends


def test_what_is_added_at_the_glass_does_not_shorten_the_batch(tmp_path: Path) -> None:
    spec = drink("shake", "spirit: 60 ml", "citric-25: 2 g", 'sour: 20 ml | when = "service"')
    opened = open_small(tmp_path, {"drinks/d.toml": spec})
    made = datetime(2026, 11, 25, 12, tzinfo=UTC)
    assert batched(opened.blends, "d", Target(serves=3), None, made).use_by == datetime(2027, 2, 23, 5, tzinfo=LISBON)


def test_the_houses_own_clock_counts(tmp_path: Path) -> None:
    far = 'format = 1\n[reads]\ntimezone = "Pacific/Auckland"\nday_ends = "04:00"\n'
    opened = open_small(tmp_path, {"station.toml": far})
    # 15:30 UTC on the 25th is 04:30 on the 26th there, a new service day.
    ends = batched(opened.blends, "sour", Target(serves=3), None, datetime(2026, 11, 25, 15, 30, tzinfo=UTC)).use_by
    assert ends == datetime(2026, 11, 27, 4, tzinfo=ZoneInfo("Pacific/Auckland"))
