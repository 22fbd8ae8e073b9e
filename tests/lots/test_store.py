"""The log's file: only ever added to, waited for, set aside when damaged, copied before it is brought to a newer form."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from log_rows import NOON, a_log, a_lot, a_mark, a_measurement, a_weighing

from station.bar.logged import Lot, Mark, Measurement, Weighing
from station.lots import schema, store
from station.lots.log import Log
from station.lots.store import LogBusy, LogUnusable, Store

FULL = 2


def test_every_row_comes_back_as_it_went_in(tmp_path: Path) -> None:
    log = a_log(tmp_path)
    lot = a_lot(
        *("sour", "batch"),
        use_by=NOON,
        g=1.5,
        ml=2.5,
        diluted=True,
        allergens=("?", "milk"),
        may_contain=("nuts",),
        finishing=("a", "b"),
        hazards=("c",),
        pieces=31.0,
        code="L1",
        target="pitcher",
        water=False,
        card="k",
        revision="r",
        text='name = "é \U0001f378"\n',
        strength="15 % vol",
        store="fridge",
    )
    bare = a_lot()
    rows = [lot, bare, a_weighing(lot, 3, bare), a_measurement(lot, ta="5.2 g/100ml", ph=2.4), a_mark(lot, "discarded", g=3.0)]
    log.add(*rows)
    again = Log(log.store.path)
    assert [*again.every(Lot), *again.every(Weighing), *again.every(Measurement), *again.every(Mark)] == rows


def test_a_row_without_an_offset_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no offset"):
        a_log(tmp_path).add(a_lot(made=NOON.replace(tzinfo=None)))


@pytest.mark.parametrize("statement", ["DELETE FROM {}", "UPDATE {} SET by = 'x'"])
@pytest.mark.parametrize("table", schema.TABLES)
def test_the_database_itself_refuses_a_change(statement: str, table: str, tmp_path: Path) -> None:
    log, lot = a_log(tmp_path), a_lot()
    log.add(lot, a_weighing(lot), a_measurement(lot), a_mark(lot, "held"))
    with closing(sqlite3.connect(log.store.path)) as db, pytest.raises(sqlite3.IntegrityError, match="only added to"):
        db.execute(statement.format(table))


def test_it_is_written_ahead_and_forced_to_the_disk(tmp_path: Path) -> None:
    log = a_log(tmp_path)

    def asked(db: sqlite3.Connection) -> tuple[Any, Any, Any, Any]:
        pragmas = ("journal_mode", "synchronous", "user_version", "application_id")
        return tuple(db.execute(f"PRAGMA {name}").fetchone()[0] for name in pragmas)  # type: ignore[return-value]

    assert log.store.ask(asked) == ("wal", FULL, len(schema.STEPS), schema.APPLICATION_ID)


def test_all_rows_or_none(tmp_path: Path) -> None:
    log, lot = a_log(tmp_path), a_lot()
    with pytest.raises(LogUnusable):
        log.add(lot, a_weighing(lot, known="guessed"))
    assert log.every(Lot) == []


def test_a_row_that_is_there_is_not_added_again(tmp_path: Path) -> None:
    log, lot = a_log(tmp_path), a_lot()
    log.add(lot)
    log.add(lot)
    assert log.every(Lot) == [lot]


def test_a_void_row_stays_and_is_not_found(tmp_path: Path) -> None:
    log, lot = a_log(tmp_path), a_lot()
    weighing = a_weighing(lot)
    log.add(lot, weighing, a_mark(lot, "voided", about=weighing.uuid))
    assert log.every(Weighing) == []
    with closing(sqlite3.connect(log.store.path)) as db:
        assert db.execute("SELECT count(*) FROM weighings").fetchone() == (1,)


def test_a_line_is_confirmed_once_until_it_is_taken_back(tmp_path: Path) -> None:
    log, lot = a_log(tmp_path), a_lot(kind="batch")
    first, second = a_weighing(lot, 0, by="AB"), a_weighing(lot, 0, by="CD")
    assert log.confirm(first, lot).new
    assert log.confirm(first, lot).new
    there = log.confirm(second, lot)
    assert not there.new and there.row == first
    log.add(a_mark(lot, "voided", about=first.uuid))
    assert log.confirm(second, lot).new
    assert log.every(Weighing) == [second]


def test_a_busy_log_is_waited_for(tmp_path: Path) -> None:
    log, lot = a_log(tmp_path), a_lot()
    log.add(lot)
    with closing(sqlite3.connect(log.store.path, check_same_thread=False, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        letting_go = threading.Timer(0.3, lambda: other.execute("ROLLBACK"))
        letting_go.start()
        log.add(a_weighing(lot))
        letting_go.join()
    assert len(log.every(Weighing)) == 1


def test_a_log_that_stays_busy_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "BUSY_SECONDS", 0.2)
    log, lot = a_log(tmp_path), a_lot()
    log.add(lot)
    with closing(sqlite3.connect(log.store.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(LogBusy, match=r"another station has been writing to the log for 0\.2 s"):
            log.add(a_weighing(lot))
        assert log.every(Weighing) == []


def _garbage(path: Path) -> None:
    path.write_bytes(b"this is no database, and never was one. " * 200)


def _middle_gone(path: Path) -> None:
    raw = bytearray(path.read_bytes())
    raw[4096 : len(raw)] = b"\xff" * (len(raw) - 4096)
    path.write_bytes(raw)


def _cut_off(path: Path) -> None:
    raw = path.read_bytes()
    path.write_bytes(raw[: len(raw) // 2])


@pytest.mark.parametrize("damage", [_garbage, _middle_gone, _cut_off])
def test_a_damaged_log_is_set_aside_whole_and_begun_anew(damage: Callable[[Path], None], tmp_path: Path) -> None:
    log = a_log(tmp_path)
    lots = [a_lot(text="x" * 3000) for _ in range(40)]
    log.add(*lots)
    damage(log.store.path)
    was = log.store.path.read_bytes()
    new = a_lot()
    assert log.every(Lot) == []
    log.add(new)
    assert log.every(Lot) == [new]
    aside = list(tmp_path.glob("log-damaged-*.db"))
    assert [path.read_bytes() for path in aside] == [was]
    (said,) = log.news()
    assert "damaged" in said and aside[0].name in said
    assert log.news() == []


@pytest.mark.parametrize("version", [0, 1])
def test_another_programs_database_is_left_alone(version: int, tmp_path: Path) -> None:
    path = tmp_path / "log.db"
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE theirs (x)")
        db.execute(f"PRAGMA user_version = {version}")
        db.commit()
    with pytest.raises(LogUnusable, match="another program"):
        Log(path).every(Lot)


def test_a_newer_stations_log_is_not_touched(tmp_path: Path) -> None:
    log = a_log(tmp_path)
    log.add(a_lot())
    with closing(sqlite3.connect(log.store.path)) as db:
        db.execute(f"PRAGMA user_version = {len(schema.STEPS) + 1}")
    with pytest.raises(LogUnusable, match="newer station"):
        log.add(a_lot())


def test_an_older_log_is_copied_and_then_brought_to_the_newest_form(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log, lot = a_log(tmp_path), a_lot()
    log.add(lot)
    version = len(schema.STEPS)
    newer = (*schema.STEPS, "CREATE TABLE more (x TEXT);\nINSERT INTO more VALUES ('kept');\n")
    monkeypatch.setattr(schema, "STEPS", newer)
    later = Log(log.store.path)
    assert later.every(Lot) == [lot]
    assert later.store.ask(lambda db: db.execute("SELECT x FROM more").fetchall()) == [("kept",)]
    (copy,) = tmp_path.glob(f"log-version-{version}-*.db")
    with closing(sqlite3.connect(copy)) as db:
        assert db.execute("SELECT uuid FROM lots").fetchall() == [(lot.uuid,)]
        assert db.execute("SELECT count(*) FROM sqlite_master WHERE name = 'more'").fetchone() == (0,)
    assert any(copy.name in said for said in later.news())


def test_a_log_of_the_first_form_keeps_its_marks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as patched:
        patched.setattr(schema, "STEPS", schema.STEPS[:1])
        log, lot = a_log(tmp_path), a_lot()
        log.add(lot)
        log.store.write(
            lambda db: db.execute(
                "INSERT INTO marks (uuid, lot, kind, at, by, about, g, why) VALUES (?, ?, 'finished', ?, 'AB', '', NULL, '')",
                ("a" * 32, lot.uuid, lot.made.isoformat()),
            )
        )
    (mark,) = Log(log.store.path).every(Mark)
    assert (mark.kind, mark.g, mark.ml, mark.strength) == ("finished", None, None, "")


def test_a_migration_that_fails_leaves_the_log_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log, lot = a_log(tmp_path), a_lot()
    log.add(lot)
    with monkeypatch.context() as patched:
        patched.setattr(schema, "STEPS", (*schema.STEPS, "CREATE TABLE more (x TEXT);\nNONSENSE;\n"))
        with pytest.raises(LogUnusable):
            Log(log.store.path).every(Lot)
    assert Log(log.store.path).every(Lot) == [lot]


def test_without_shared_memory_the_rollback_journal_does_and_is_said_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite's `unix-dotfile` file system has no shared memory, as network drives have none: WAL cannot be had on it."""
    connect = sqlite3.connect

    def without_shared_memory(path: Path, **more: Any) -> sqlite3.Connection:
        return connect(f"file:{path}?vfs=unix-dotfile", uri=True, **more)

    monkeypatch.setattr(store.sqlite3, "connect", without_shared_memory)
    log, lot = a_log(tmp_path), a_lot()
    log.add(lot)
    log.add(a_weighing(lot))
    assert log.store.ask(lambda db: db.execute("PRAGMA journal_mode").fetchone()) == ("delete",)
    assert log.every(Lot) == [lot]
    (said,) = log.news()
    assert "rollback journal" in said


TWO_STATIONS = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from log_rows import a_lot, a_weighing
from station.lots.log import Log
log = Log(Path(sys.argv[1]))
for place in range(int(sys.argv[3])):
    lot = a_lot(code=f"{sys.argv[2]}-{place}")
    log.add(lot, a_weighing(lot))
"""


@pytest.mark.parametrize("lots", [20, pytest.param(500, marks=pytest.mark.long)])
def test_two_stations_log_at_once_and_no_lot_is_lost_or_twice(lots: int, tmp_path: Path) -> None:
    path, support = tmp_path / "log.db", str(Path(__file__).parent.parent / "support")
    commands = [
        [sys.executable, "-c", f"import sys; sys.path.insert(0, {support!r}); {_one_line(TWO_STATIONS)}"] for _ in range(2)
    ]
    running = [
        subprocess.Popen([*command, str(path), name, str(lots)], stderr=subprocess.PIPE, text=True)
        for command, name in zip(commands, ("a", "b"), strict=True)
    ]
    said = [one.communicate(timeout=300)[1] for one in running]
    assert [one.returncode for one in running] == [0, 0], said
    log = Log(path)
    assert sorted(lot.code for lot in log.every(Lot)) == sorted(f"{name}-{place}" for name in "ab" for place in range(lots))
    assert {one.lot for one in log.every(Weighing)} == {lot.uuid for lot in log.every(Lot)}
    assert len(log.every(Weighing)) == 2 * lots


def _one_line(script: str) -> str:
    return f"exec({script!r})"


def test_a_log_another_station_makes_while_this_one_opens_is_no_other_programs(tmp_path: Path) -> None:
    path = tmp_path / "log.db"

    class Late(Store):
        """The other station's schema is committed after this one saw an empty file."""

        def _migrate(self, db: sqlite3.Connection, version: int) -> None:
            Store(path).ask(lambda other: None)
            super()._migrate(db, version)

    assert Late(path).ask(lambda db: db.execute("SELECT count(*) FROM lots").fetchone()) == (0,)
