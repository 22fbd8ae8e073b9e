"""A month of invented lots, so that the log's questions have something to answer: imported on request, ending now."""

from __future__ import annotations

import re
import tempfile
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from pathlib import Path
from typing import Any
from uuid import NAMESPACE_OID, uuid5

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.logged import ASKED, DISCARDED, FINISHED, READ, Lot, Mark, Measurement, Row, Weighing
from station.calc import keeping
from station.desk.batching import batched, target_of_text
from station.desk.log_questions import discards
from station.desk.logging import add, log_of, new_uuid, told
from station.desk.logging_lots import logged
from station.desk.look import find_spec
from station.desk.making import made, yield_of
from station.desk.on_shelf import shelf_of
from station.desk.opening import Opened
from station.desk.pour_log import Asked, begin
from station.desk.receiving import Delivery, log_delivery
from station.files.places import shipped

_FILE = "log/month.toml"
_AGO = re.compile(r"(\d+(?:\.\d+)?) h ago")
_KINDS: tuple[type[Row], ...] = (Lot, Weighing, Measurement, Mark)


@dataclass(frozen=True, slots=True)
class Imported:
    """How much was put into the log, nothing where it was there already; and the entries this library has no items for."""

    lots: int
    weighings: int
    left_out: tuple[str, ...]


def imported(opened: Opened, now: datetime) -> Imported:
    """The month in the log, all of it or nothing, once. Raises CannotAnswer where it cannot be written."""
    real = log_of(opened)
    entries = tomllib.loads((shipped("specs") / _FILE).read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory(prefix="station-log-") as folder:
        rows, left_out = _lived_through(opened, Path(folder), entries, now)
    with told():
        before = len(real.every(Lot)), len(real.every(Weighing))
        real.add(*rows)
        after = len(real.every(Lot)), len(real.every(Weighing))
    return Imported(after[0] - before[0], after[1] - before[1], tuple(left_out))


def _lived_through(
    opened: Opened, folder: Path, entries: Mapping[str, list[dict[str, Any]]], now: datetime
) -> tuple[list[Row], list[str]]:
    """Every entry done in its turn, by the questions anyone asks, in a log of its own; its rows named the same every time."""
    from station.lots.log import Log

    steps = sorted(_steps(entries, now, opened), key=lambda step: step[0])
    there = replace(opened, log=Log(folder / "log.db"))
    left_out = []
    for moment, said, do, entry in steps:
        try:
            do(there, entry, moment)
        except (CannotAnswer, AmountError) as error:
            left_out.append(f"{said}: {error}")
    with told():
        rows = [row for kind in _KINDS for row in there.log.every(kind)] if there.log else []  # type: ignore[type-var]
    return _renamed(rows), left_out


_Do = Callable[[Opened, dict[str, Any], datetime], None]


def _steps(
    entries: Mapping[str, list[dict[str, Any]]], now: datetime, opened: Opened
) -> Iterator[tuple[datetime, str, _Do, dict[str, Any]]]:
    does: dict[str, _Do] = {"received": _received, "made": _made, "poured": _poured, "discarded": _discarded}
    for kind, do in does.items():
        for entry in entries.get(kind, []):
            what = entry.get("item") or entry.get("stock") or entry.get("spec") or "what was over"
            yield _moment(entry, now, opened), f"{kind} {what}", do, entry


def _moment(entry: Mapping[str, Any], now: datetime, opened: Opened) -> datetime:
    here = keeping.in_house(now, opened.library.house)
    ago = _AGO.fullmatch(entry["at"])
    if ago:
        return here - timedelta(hours=float(ago[1]))
    day = keeping.service_day(here, keeping.clock(opened.library.house)) + timedelta(days=entry["day"])
    return datetime.combine(day, time.fromisoformat(entry["at"]), tzinfo=here.tzinfo)


def _received(opened: Opened, entry: dict[str, Any], now: datetime) -> None:
    said = {key: entry[key] for key in ("item", "ta", "ph", "amount", "pieces", "code") if key in entry}
    log_delivery(opened, Delivery(**said), entry["by"], now)


def _made(opened: Opened, entry: dict[str, Any], now: datetime) -> None:
    shelf = shelf_of(opened, now)
    card = made(opened.blends, entry["stock"], yield_of(opened.blends, entry["amount"]), now, True, shelf)
    read = entry.get("read", {})
    reads = [f"{line.item}={line.g * read[line.item]:.4f} g" for line in card.lines if line.item in read]
    logged(opened, card, shelf, entry["by"], now, reads)


def _poured(opened: Opened, entry: dict[str, Any], now: datetime) -> None:
    """A pour's rows as the pour view logs them, at once."""
    shelf, spec = shelf_of(opened, now), find_spec(opened.library, entry["spec"])
    answer = batched(opened.blends, spec.id, target_of_text(opened.blends, entry["target"]), None, now, shelf=shelf)
    place = begin(opened, spec, answer, Asked(entry["target"]), shelf, now)
    assert place.lot is not None
    lot, read, rows = replace(place.lot, by=entry["by"], made=now), entry.get("read", {}), list[Row]()
    for line, one in enumerate(place.lines[: entry.get("lines", len(place.lines))]):
        factor, known = (read[one.item], READ) if one.item in read else (1.0, ASKED)
        part, at = place.parts.get(one.item, ""), now + timedelta(minutes=line)
        rows.append(
            Weighing(new_uuid(), lot.uuid, line, one.item, one.weigh_g, one.weigh_g * factor, known, at, lot.by, part, one.scale)
        )
    if "lines" not in entry:
        rows.append(Mark(new_uuid(), lot.uuid, FINISHED, now + timedelta(minutes=len(rows)), lot.by))
    add(opened, lot, *rows)


def _discarded(opened: Opened, entry: dict[str, Any], now: datetime) -> None:
    """What has ended by then, and what ends with that service day."""
    found = discards(opened, now)
    ending = [*found.over, *found.ends_today]
    add(opened, *(Mark(new_uuid(), row.uuid, DISCARDED, now, entry["by"], why=entry["why"]) for row in ending))


def _renamed(rows: list[Row]) -> list[Row]:
    """The rows under names that are the same at every import, so that none is in a log twice."""
    names = {row.uuid: uuid5(NAMESPACE_OID, f"station demo month {place}").hex for place, row in enumerate(rows)}
    renamed: list[Row] = []
    for row in rows:
        other = {key: names[value] for key in ("uuid", "lot", "part", "about") if (value := getattr(row, key, "")) in names}
        renamed.append(replace(row, **other))  # type: ignore[arg-type]  # only text fields are named so
    return renamed
