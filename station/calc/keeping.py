"""Until when something may be used: made, plus what the house says it keeps, and never longer than its parts."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from station.bar.nouns import House
from station.bar.quantity import Keeps


def use_by(made: datetime, keeps: Keeps, day_ends: time) -> datetime:
    """The moment it ends: hours by the clock; days with the service day it was made in as day 1, to the end of the last."""
    if not keeps.by_the_day:
        return (made.astimezone(UTC) + timedelta(hours=keeps.hours)).astimezone(made.tzinfo)
    last = service_day(made, day_ends) + timedelta(days=keeps.hours // 24)
    return datetime.combine(last, day_ends, tzinfo=made.tzinfo)


def service_day(moment: datetime, day_ends: time) -> date:
    """The day of service a moment belongs to: the one before, until `day_ends`."""
    return moment.date() if moment.time() >= day_ends else moment.date() - timedelta(days=1)


def earliest(made: datetime, parts: Iterable[Keeps | None], day_ends: time) -> datetime | None:
    """The earliest use-by of parts all fresh at `made`; None where none says how long it keeps."""
    ends = [use_by(made, keeps, day_ends) for keeps in parts if keeps is not None]
    return min(ends) if ends else None


def in_house(moment: datetime, house: House) -> datetime:
    """The moment as the house's clock shows it, with its offset."""
    return moment.astimezone(ZoneInfo(house.timezone))


def clock(house: House) -> time:
    """When the house's service day ends."""
    return time.fromisoformat(house.day_ends)
