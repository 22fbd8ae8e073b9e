"""What the log's rows say of a shelf: which lots may be used, how much is left of each, which one is taken next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from station.bar.logged import DISCARDED, FINISHED, USED_UP, Lot, Mark, Measurement, Weighing

# Less than this is what clings to a bottle, g.
_NOTHING_G = 0.5


@dataclass(frozen=True, slots=True)
class Standing:
    """A lot as it stands: what is left of it (None: nobody said how much there was), and its newest measurement.

    A batch that was finished is what it came to; `off_plan` says what was left off its card.
    """

    lot: Lot
    left_g: float | None
    measured: Measurement | None = None
    gone: bool = False
    half_made: bool = False
    off_plan: str = ""

    def in_date(self, moment: datetime) -> bool:
        """Whether it may still be used at `moment`."""
        return self.lot.use_by is None or moment < self.lot.use_by

    @property
    def there(self) -> bool:
        """Whether any of it is there to take from."""
        return not self.gone and not self.half_made


def standings(
    lots: Sequence[Lot], taken: Iterable[Weighing], measurements: Iterable[Measurement], marks: Iterable[Mark]
) -> list[Standing]:
    """Each lot as it stands, by the weighings taken out of it, what was measured of it and what became of it."""
    out: dict[str, float] = {}
    for weighing in taken:
        out[weighing.part] = out.get(weighing.part, 0.0) + weighing.actual_g
    newest: dict[str, Measurement] = {}
    for one in sorted(measurements, key=lambda one: one.at):
        newest[one.lot] = one
    told: dict[str, list[Mark]] = {}
    for mark in marks:
        told.setdefault(mark.lot, []).append(mark)
    return [_standing(lot, out.get(lot.uuid, 0.0), newest.get(lot.uuid), told.get(lot.uuid, [])) for lot in lots]


def next_used(standing: Iterable[Standing], moment: datetime) -> dict[str, Standing]:
    """By item, the lot to take from: of those that are there and in date the first to end, then the oldest."""
    chosen: dict[str, Standing] = {}
    for one in standing:
        if one.there and one.in_date(moment) and one.lot.kind != "batch":
            other = chosen.get(one.lot.item)
            if other is None or _turn(one) < _turn(other):
                chosen[one.lot.item] = one
    return chosen


def to_discard(standing: Iterable[Standing], moment: datetime) -> list[Standing]:
    """What is there and no longer in date at `moment`, what ended first at the head. A batch half made ends like any other."""
    over = [one for one in standing if not one.gone and not one.in_date(moment)]
    return sorted(over, key=lambda one: (one.lot.use_by or moment, one.lot.made))


def _standing(lot: Lot, out_g: float, measured: Measurement | None, marks: Sequence[Mark]) -> Standing:
    ended = next((mark for mark in reversed(marks) if mark.kind == FINISHED), None)
    lot = came_to(lot, ended)
    all_gone = any(mark.kind == USED_UP or (mark.kind == DISCARDED and mark.g is None) for mark in marks)
    out_g += sum(mark.g or 0.0 for mark in marks if mark.kind == DISCARDED)
    left = None if lot.g is None else max(0.0, lot.g - out_g)
    half = lot.kind == "batch" and ended is None
    gone = all_gone or (left is not None and left < _NOTHING_G)
    return Standing(lot, left, measured, gone, half, ended.why if ended else "")


def came_to(lot: Lot, ended: Mark | None) -> Lot:
    """The lot as its end says it came out, in place of what was planned; as it is where that says nothing."""
    if ended is None or ended.g is None:
        return lot
    return replace(lot, g=ended.g, ml=ended.ml, strength=ended.strength or lot.strength)


def _turn(one: Standing) -> tuple[bool, datetime, datetime]:
    return one.lot.use_by is None, one.lot.use_by or one.lot.made, one.lot.made
