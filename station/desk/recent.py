"""The drinks one is likely to want: those of an order of this service day, then those opened last."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from station.bar.listed import Listed
from station.desk.kept import drafts_of
from station.desk.opening import Opened

_KIND, _NAME = "list", "opened"
_MOST = 5
# After this long a drink is no longer recent.
_DAYS = 14

TODAY, RECENT = "today", "recent"


def first_wanted(opened: Opened, words: str, now: datetime) -> tuple[Sequence[Listed], dict[str, str]]:
    """The list for these words, and why a row stands before its turn, by id. Only a list without words has such rows."""
    rows = opened.find(words)
    if words.strip():
        return rows, {}
    today, lately = _of_the_day(opened, now), recent(opened, now)
    if not today and not lately:
        return rows, {}
    ordered = [one for one in today if one in rows.place_of]
    last = [one for one in lately if one in rows.place_of and one not in ordered]
    reasons = dict.fromkeys(ordered, TODAY) | dict.fromkeys(last[:_MOST], RECENT)
    return rows.led_by(reasons), reasons


def note_opened(opened: Opened, spec: str, now: datetime) -> None:
    """That drink was opened now. A folder that cannot be written costs the memory of it, nothing else."""
    kept = {spec: now.astimezone(UTC)} | {name: when for name, when in _kept(opened).items() if name != spec}
    try:
        drafts_of(opened).write(_KIND, _NAME, {name: when.isoformat(timespec="seconds") for name, when in kept.items()})
    except OSError:
        return


def recent(opened: Opened, now: datetime) -> list[str]:
    """The drinks opened lately, the last first."""
    oldest = now - timedelta(days=_DAYS)
    return [name for name, when in _kept(opened).items() if oldest <= when <= now + timedelta(days=1)]


def _kept(opened: Opened) -> dict[str, datetime]:
    content = drafts_of(opened).read(_KIND, _NAME) or {}
    times = {name: _time(when) for name, when in list(content.items())[: 2 * _MOST]}
    return {name: when for name, when in times.items() if when is not None}


def _time(text: object) -> datetime | None:
    try:
        when = datetime.fromisoformat(str(text))
    except ValueError:
        return None
    return when if when.tzinfo else None


def _of_the_day(opened: Opened, now: datetime) -> list[str]:
    """The drinks of the orders of this service day; none before the library was read."""
    if not opened.loaded:
        return []
    from station.calc.keeping import clock, in_house, service_day

    house = opened.library.house
    day = service_day(in_house(now, house), clock(house))
    return [pour.spec for order in opened.library.orders.values() if order.date == day for pour in order.pours]
