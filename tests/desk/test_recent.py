"""What stands first in the list, and why."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from small_library import demo_copy

from station.desk.opening import Opened, opened
from station.desk.recent import RECENT, TODAY, first_wanted, note_opened, recent

NOW = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)


def ids(shelf: Opened, now: datetime, words: str = "") -> list[str]:
    return [row.id for row in first_wanted(shelf, words, now)[0]]


def test_the_drink_opened_last_stands_first_and_says_why(tmp_path: Path) -> None:
    shelf = opened(str(demo_copy(tmp_path)))
    by_name = ids(shelf, NOW)
    third, eighth = by_name[2], by_name[7]
    note_opened(shelf, eighth, NOW - timedelta(hours=2))
    note_opened(shelf, third, NOW - timedelta(hours=1))
    rows, reasons = first_wanted(shelf, "", NOW)
    assert [row.id for row in rows[:2]] == [third, eighth]
    assert reasons == {third: RECENT, eighth: RECENT}
    assert sorted(row.id for row in rows) == sorted(by_name)


def test_opened_again_it_is_remembered_once(tmp_path: Path) -> None:
    shelf = opened(str(demo_copy(tmp_path)))
    first, second = ids(shelf, NOW)[:2]
    for name in (first, second, first):
        note_opened(shelf, name, NOW)
    assert recent(shelf, NOW) == [first, second]


def test_words_find_by_name_whatever_was_opened(tmp_path: Path) -> None:
    shelf = opened(str(demo_copy(tmp_path)))
    note_opened(shelf, ids(shelf, NOW)[-1], NOW)
    assert ids(shelf, NOW, "tin")[0] == "tin-lantern"
    assert first_wanted(shelf, "tin", NOW)[1] == {}


def test_what_was_opened_weeks_ago_is_not_recent(tmp_path: Path) -> None:
    shelf = opened(str(demo_copy(tmp_path)))
    note_opened(shelf, ids(shelf, NOW)[-1], NOW - timedelta(days=15))
    assert first_wanted(shelf, "", NOW)[1] == {}


def test_the_drinks_of_todays_order_stand_before_the_recent_ones(tmp_path: Path) -> None:
    shelf = opened(str(demo_copy(tmp_path)))
    order = next(iter(shelf.library.orders.values()))
    other = next(name for name in ids(shelf, NOW) if name not in {pour.spec for pour in order.pours})
    note_opened(shelf, other, NOW)
    late = datetime(order.date.year, order.date.month, order.date.day, 23, 0, tzinfo=UTC)
    note_opened(shelf, other, late)
    rows, reasons = first_wanted(shelf, "", late)
    assert [reasons[row.id] for row in rows[: len(order.pours) + 1]] == [TODAY] * len(order.pours) + [RECENT]
    after_midnight = late + timedelta(hours=4)
    assert reasons == first_wanted(shelf, "", after_midnight)[1], "until the service day ends"


def test_a_damaged_memory_is_no_memory(tmp_path: Path) -> None:
    shelf = opened(str(demo_copy(tmp_path)))
    folder = shelf.folder / ".station" / "drafts" / "list"
    folder.mkdir(parents=True)
    for content in ('{"tin-whistle": "yesterday"}', '{"tin-whistle": 7}', "[]", "{"):
        (folder / "opened.json").write_text(content, encoding="utf-8")
        assert first_wanted(shelf, "", NOW)[1] == {}
