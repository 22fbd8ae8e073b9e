"""What is asked of the log: what is in date, what to discard, where a lot went and came from, how far weighings were off."""

from __future__ import annotations

from datetime import datetime, timedelta

from station.bar.fault import CannotAnswer
from station.bar.logged import FINISHED, Lot, Mark, Measurement, Weighing
from station.calc import deviating, keeping, logbook, traced
from station.calc import yields as calc_yields
from station.calc.deviating import Deviation
from station.calc.lot_answers import Discards, LogEntry, LotRow, PieceYield, Traced, TracedLot
from station.calc.lots import Standing, came_to, to_discard
from station.calc.traced import Link
from station.desk.logging import find_lot, has_log, log_of, told
from station.desk.lot_rows import bare_row, row_of
from station.desk.on_shelf import as_they_stand, standing_after
from station.desk.opening import Opened


def everything(opened: Opened) -> list[LogEntry]:
    """All that was logged, the newest first: what was made, came in, was measured, used up, discarded, corrected, taken back.

    What was taken back is there too and says so. Raises CannotAnswer.
    """
    if not has_log(opened):
        return []
    with told():
        log = log_of(opened)
        lots, measurements, marks = log.voided(Lot), log.voided(Measurement), log.voided(Mark)
        return logbook.entries(
            logbook.Logged(
                lots=[*log.every(Lot), *lots],
                measurements=[*log.every(Measurement), *measurements],
                marks=[*log.every(Mark), *marks],
                voided=[*lots, *measurements, *marks, *log.voided(Weighing)],
            )
        )


def in_date(opened: Opened, now: datetime) -> list[LotRow]:
    """Everything that is there in date, what ends first at the head; what is half made, and may not be used, at the foot.

    Raises CannotAnswer.
    """
    there = [one for one in standing_after(opened, now) if not one.gone and one.in_date(now)]
    return [row_of(one) for one in sorted(there, key=_by_end)]


def discards(opened: Opened, now: datetime) -> Discards:
    """What is over and still there, and what ends with this service day. Raises CannotAnswer."""
    house = opened.library.house
    here = keeping.in_house(now, house)
    day = keeping.service_day(here, keeping.clock(house))
    close = datetime.combine(day + timedelta(days=1), keeping.clock(house), tzinfo=here.tzinfo)
    ending = to_discard(_every(opened), close)
    return Discards(
        over=tuple(row_of(one) for one in ending if not one.in_date(now)),
        ends_today=tuple(row_of(one) for one in ending if one.in_date(now)),
    )


def trace(opened: Opened, reference: str) -> Traced:
    """Where a lot went and what went into it. Raises CannotAnswer."""
    lot = find_lot(opened, reference)
    log = log_of(opened)
    with told():
        weighings = log.of_lots(Weighing, [lot.uuid])
        measurements, marks = log.of_lots(Measurement, [lot.uuid]), log.of_lots(Mark, [lot.uuid])
        onward = traced.forward(lot.uuid, log.from_parts)
        back = traced.backward(lot.uuid, lambda lots: log.of_lots(Weighing, lots))
    nameless = dict.fromkeys(opened.library.name_of(one.item) for one in weighings if not one.part)
    return Traced(
        row=row_of(as_they_stand(opened, [lot])[0]),
        went_into=_met(opened, onward),
        made_of=_met(opened, back),
        unknown=tuple(nameless),
        weighings=tuple(weighings),
        measurements=tuple(measurements),
        marks=tuple(marks),
        revision=lot.revision,
        text=lot.text,
    )


def deviations(opened: Opened) -> list[Deviation]:
    """By person and item, how far readings were from what was asked. Raises CannotAnswer."""
    if not has_log(opened):
        return []
    with told():
        return deviating.deviations(log_of(opened).every(Weighing))


def yields(opened: Opened) -> list[PieceYield]:
    """What one fruit gave, by the lots that say how many were pressed. Raises CannotAnswer."""
    if not has_log(opened):
        return []
    with told():
        return calc_yields.yields(log_of(opened).every(Lot), opened.library)


def _by_end(one: Standing) -> tuple[bool, bool, datetime]:
    return one.half_made, one.lot.use_by is None, one.lot.use_by or one.lot.made


def _every(opened: Opened) -> list[Standing]:
    if not has_log(opened):
        return []
    with told():
        return as_they_stand(opened, log_of(opened).every(Lot))


def _met(opened: Opened, links: list[Link]) -> tuple[TracedLot, ...]:
    with told():
        names = [link.lot for link in links]
        ends = {mark.lot: mark for mark in log_of(opened).of_lots(Mark, names) if mark.kind == FINISHED}
        lots = {lot.uuid: came_to(lot, ends.get(lot.uuid)) for lot in log_of(opened).lots(names)}
    return tuple(TracedLot(bare_row(lots[link.lot]), link.steps, link.g) for link in links if link.lot in lots)


def row_called(opened: Opened, reference: str) -> Lot | Weighing | Measurement | Mark:
    """The one row of the log whose name begins so. Raises CannotAnswer."""
    if not has_log(opened):
        raise CannotAnswer("nothing is logged yet", "log a lot first")
    with told():
        found = log_of(opened).rows_called(reference)
    if len(found) != 1:
        raise CannotAnswer(f"{len(found) or 'no'} rows are called {reference}", "give what station log trace LOT says of it")
    return found[0]
