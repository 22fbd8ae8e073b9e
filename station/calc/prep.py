"""What is done before an event, in the order it is done, and until when each step must be begun.

Backwards from the moment all must stand ready: a step begins early enough for whatever waits for it. Forwards from what the
house says each thing keeps: nothing is made so early that it is out of date before the last drink, or before what it goes into.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from station.bar.nouns import House, Library
from station.bar.quantity import Keeps
from station.calc.estimates import Estimates
from station.calc.explode import ToMake, takes_hours
from station.calc.keeping import keeps_of, later, service_day

ORDER, MAKE, PRESS, MIX = "order", "make", "press", "mix"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do (order, make, press, mix) and how much comes of it. `start_by` is the latest it can begin, `not_before`
    the earliest by what it keeps (None: nobody said); `note` says where the two cannot both be."""

    do: str
    id: str
    g: float
    ml: float | None
    takes_h: float
    start_by: datetime
    not_before: datetime | None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Times:
    """When an event starts and ends, and when all must stand ready."""

    ready: datetime
    start: datetime
    end: datetime
    day_ends: time


@dataclass(frozen=True, slots=True)
class Mixing:
    """A batch as a step: what of it goes into the vessel, by item."""

    spec: str
    g: float
    ml: float
    parts: frozenset[str]


def times(day: date, given: Estimates, house: House) -> Times:
    """The moments of an event on that day, in the house's time zone."""
    start = datetime.combine(day, time.fromisoformat(given.starts), ZoneInfo(house.timezone))
    ready = later(start, -given.ready.hours)
    return Times(ready, start, later(start, given.hours), time.fromisoformat(house.day_ends))


def steps(
    stocks: Sequence[ToMake],
    pressed: Mapping[str, tuple[float, float]],
    mixes: Sequence[Mixing],
    served: Iterable[str],
    lead: Mapping[str, Keeps],
    library: Library,
    when: Times,
) -> tuple[Step, ...]:
    """All steps. `pressed` is g and ml of each juice pressed from fruit; `served` all that goes into drinks as it is; `lead` how
    long a stock takes or an item takes to come, where the order says so. `stocks` are in making order."""
    plan = _Plan(library, when, lead, set(served))
    for one in reversed(stocks):
        plan.make(one)
    ordered = [plan.order(item) for item in lead if item not in library.stocks and item in plan.wanted_by]
    making = _making(stocks, {name: plan.press(name, *size) for name, size in pressed.items()}, plan.made)
    fresh = set(pressed)
    mixing = sorted(mixes, key=lambda one: (bool(fresh & one.parts), one.spec))
    return (*sorted(ordered, key=lambda one: one.start_by), *making, *(plan.mix(one) for one in mixing))


def _making(stocks: Sequence[ToMake], pressing: Mapping[str, Step], made: Mapping[str, Step]) -> list[Step]:
    """Stocks in making order, each juice pressed just before the first stock that takes it, those for drinks alone last."""
    left, found = dict(pressing), list[Step]()
    for one in stocks:
        found += [left.pop(dose.item) for dose in one.doses if dose.item in left]
        found.append(made[one.id])
    return [*found, *left.values()]


class _Plan:
    """Users before their parts: `wanted_by` is when an item must be there, `until` when it is last used."""

    def __init__(self, library: Library, when: Times, lead: Mapping[str, Keeps], served: set[str]) -> None:
        self.library, self.when, self.lead = library, when, lead
        self.wanted_by = dict.fromkeys(served, when.ready)
        self.until = dict.fromkeys(served, when.end)
        self.made: dict[str, Step] = {}
        self._takes = {name: float(keeps.hours) for name, keeps in lead.items()}

    def make(self, one: ToMake) -> None:
        stock = self.library.stocks[one.id]
        step = self._step(MAKE, one.id, one.g, one.ml, takes_hours(stock, self._takes), keeps_of(stock))
        self.made[one.id] = step
        for dose in one.doses:
            self.wanted_by[dose.item] = min(step.start_by, self.wanted_by.get(dose.item, step.start_by))
            self.until[dose.item] = max(step.start_by, self.until.get(dose.item, step.start_by))

    def press(self, item: str, g: float, ml: float) -> Step:
        return self._step(PRESS, item, g, ml, 0.0, keeps_of(self.library.items[item], opened=True))

    def order(self, item: str) -> Step:
        return self._step(ORDER, item, 0.0, None, self._takes[item], None)

    def mix(self, one: Mixing) -> Step:
        bought = [keeps_of(self.library.items.get(part), opened=True) for part in one.parts]
        made = [keeps_of(self.library.stocks.get(part)) for part in one.parts]
        opens = [_not_before(each, self.when.end, self.when.day_ends) for each in (*bought, *made) if each is not None]
        return _placed(Step(MIX, one.spec, one.g, one.ml, 0.0, self.when.ready, max(opens, default=None)))

    def _step(self, do: str, item: str, g: float, ml: float | None, takes_h: float, keeps: Keeps | None) -> Step:
        start_by = later(self.wanted_by[item], -takes_h)
        opens = _not_before(keeps, self.until[item], self.when.day_ends) if keeps else None
        return _placed(Step(do, item, g, ml, takes_h, start_by, later(opens, -takes_h) if opens else None))


def _not_before(keeps: Keeps, until: datetime, day_ends: time) -> datetime:
    """The earliest moment something that keeps so long can be finished and still be in date at `until`."""
    if not keeps.by_the_day:
        return later(until, -keeps.hours)
    first = service_day(until - timedelta(microseconds=1), day_ends) - timedelta(days=keeps.hours // 24 - 1)
    return datetime.combine(first, day_ends, tzinfo=until.tzinfo)


def _placed(step: Step) -> Step:
    """The step with a word on it where it keeps too short a time."""
    if step.not_before is None or step.not_before <= step.start_by:
        return step
    hours = (step.not_before - step.start_by).total_seconds() / 3600.0
    return replace(step, note=f"keeps {hours:.0f} hours too short to be made once: make it again, or have it ready later")
