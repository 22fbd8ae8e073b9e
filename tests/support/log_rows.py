"""Rows of a log for tests, each with a name of its own."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

from station.bar.logged import Lot, Mark, Measurement, Weighing
from station.lots.log import Log

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def a_lot(item: str = "sour", kind: str = "bought", made: datetime = NOON, **more: Any) -> Lot:
    return Lot(**{"uuid": uuid4().hex, "kind": kind, "item": item, "name": item.title(), "made": made, "by": "AB", **more})


def a_weighing(lot: Lot, line: int = 0, part: Lot | None = None, **more: Any) -> Weighing:
    said = {"item": part.item if part else "sour", "wanted_g": 100.0, "actual_g": 100.0, "known": "asked", "at": NOON, "by": "AB"}
    return Weighing(**{"uuid": uuid4().hex, "lot": lot.uuid, "line": line, "part": part.uuid if part else "", **said, **more})


def a_measurement(lot: Lot, **more: Any) -> Measurement:
    return Measurement(**{"uuid": uuid4().hex, "lot": lot.uuid, "at": NOON, "by": "AB", **more})


def a_mark(lot: Lot, kind: str, **more: Any) -> Mark:
    return Mark(**{"uuid": uuid4().hex, "lot": lot.uuid, "kind": kind, "at": NOON, "by": "AB", **more})


def a_log(folder: Path) -> Log:
    folder.mkdir(parents=True, exist_ok=True)
    return Log(folder / "log.db")


def days(count: float) -> timedelta:
    return timedelta(days=count)
