"""Until when something may be used: made, plus what the house says it keeps, and never longer than its parts."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from station.bar.nouns import House, Item, Stock
from station.bar.quantity import Keeps


def use_by(made: datetime, keeps: Keeps, day_ends: time) -> datetime:
    """The moment it ends: hours by the clock; days with the service day it was made in as day 1, to the end of the last."""
    if not keeps.by_the_day:
        return later(made, keeps.hours)
    last = service_day(made, day_ends) + timedelta(days=keeps.hours // 24)
    return datetime.combine(last, day_ends, tzinfo=made.tzinfo)


def later(moment: datetime, hours: float) -> datetime:
    """So many hours by the clock on, also over a night when the clocks change."""
    return (moment.astimezone(UTC) + timedelta(hours=hours)).astimezone(moment.tzinfo)


def service_day(moment: datetime, day_ends: time) -> date:
    """The day of service a moment belongs to: the one before, until `day_ends`."""
    return moment.date() if moment.time() >= day_ends else moment.date() - timedelta(days=1)


def keeps_of(found: Item | Stock | None, opened: bool = False) -> Keeps | None:
    """How long it keeps where it is stored, once opened where that is asked; None where the house does not say."""
    if found is None:
        return None
    return (found.keeps_in.get("opened") if opened else None) or found.keeps_in.get(found.store) or found.keeps


def in_house(moment: datetime, house: House) -> datetime:
    """The moment as the house's clock shows it, with its offset."""
    return moment.astimezone(ZoneInfo(house.timezone))


def clock(house: House) -> time:
    """When the house's service day ends."""
    return time.fromisoformat(house.day_ends)
