"""The open pour: steps confirmed as asked or as read, a mis-pour's ways on, all taken back one by one, all of it in the log."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from station.bar import say
from station.bar.amount import AmountError, parse_number
from station.bar.fault import CannotAnswer
from station.bar.logged import ASKED, ESTIMATED, READ, Weighing
from station.bar.nouns import Spec
from station.calc import correct
from station.calc.answers import Batched
from station.calc.backwards import Way
from station.calc.pour import (
    DONE,
    DRAW,
    EMPTY,
    TIP,
    WAY,
    ZEROED,
    Event,
    Pour,
    after,
    grams_of,
    reads_before_g,
)
from station.calc.scales import VESSEL
from station.desk import pour_log
from station.desk.on_shelf import Shelf
from station.desk.opening import Opened
from station.desk.pour_log import Asked, Confirmed, Of, Place
from station.desk.pouring import Step, pour_of, steps, ways

_ABOUT = "~"
_DRAWN_OFF, _ZEROED = "drawn off", "scale zeroed"
# Steps that put nothing on a scale are not weighings: nothing of them is logged.
_UNWEIGHED = frozenset({TIP, EMPTY})


@dataclass(slots=True)
class OpenPour:
    """A card being poured. `events` is what has happened, `states` where it stood before the first of them and after each."""

    opened: Opened
    answer: Batched
    place: Place
    events: list[Event]
    states: list[Pour]
    finished: bool = False
    _ways: tuple[Way, ...] | None = None

    @property
    def pour(self) -> Pour:
        return self.states[-1]

    @property
    def steps(self) -> tuple[Step, ...]:
        """What is still to do, the next first."""
        return steps(self.pour, self.answer, self.opened.library)

    @property
    def over(self) -> bool:
        """Whether everything is in."""
        return not self.pour.ahead and self.pour.off is None

    @property
    def total(self) -> int:
        """How many steps there are, done and to do."""
        return self.pour.done + len(self.pour.ahead)

    @property
    def ways(self) -> tuple[Way, ...]:
        """The ways on from the weighing that missed, best first; none where none did."""
        if self._ways is None:
            self._ways = ways(self.pour, self.answer, self.opened.blends)
        return self._ways

    @property
    def missed(self) -> str:
        """What went in of the line that missed, and what was wanted."""
        pour = self.pour
        if pour.off is None:
            return ""
        part, name = pour.parts[pour.off], self.opened.library.name_of(pour.lines[pour.off].item)
        return f"{name}: {say.grams(part.there_g)} in, {say.grams(part.wanted_g)} wanted"

    def as_asked(self, now: datetime) -> None:
        """The next step is done as it was asked. Raises CannotAnswer, AmountError: nothing has happened then."""
        self._confirm(Event(DONE), now)

    def as_read(self, text: str, now: datetime) -> None:
        """The next step is done and the scale reads that; a `~` before it: estimated. Raises AmountError, CannotAnswer."""
        about = text.strip().startswith(_ABOUT)
        reads = parse_number(text.strip().lstrip(_ABOUT))
        if not reads < 1e6:
            raise AmountError(text, 0, f"no scale reads {text}", "type what it reads in g")
        self._confirm(Event(DONE, reads, ESTIMATED if about else READ), now)

    def choose(self, number: int, now: datetime) -> str:
        """Take that way on, counted from 1, and say which. Raises CannotAnswer, AmountError."""
        if not 1 <= number <= len(self.ways):
            raise CannotAnswer(f"there is no way {number}", "choose one of those shown")
        way = self.ways[number - 1].way
        event = Event(WAY, way=way)
        state = after(self.pour, event)
        self.place = pour_log.correct(self.opened, self.place, way, now)
        self._happened(event, state)
        self._end_if_over(now)
        return way

    def zeroed(self, now: datetime) -> None:
        """The vessel's scale was zeroed with what is in it on it: it is read from there. Raises CannotAnswer, AmountError."""
        self.place = pour_log.correct(self.opened, self.place, _ZEROED, now)
        self._happened(Event(ZEROED), after(self.pour, Event(ZEROED)))

    def take_back(self, now: datetime) -> bool:
        """The last thing that happened has not. False where nothing has. Raises CannotAnswer, AmountError."""
        if not self.events:
            return False
        if self.finished:
            self.place, self.finished = pour_log.unfinish(self.opened, self.place, now), False
        before = self.states[-2]
        if self.events[-1].kind != DONE or before.ahead[0].kind == DRAW:
            self.place = pour_log.uncorrect(self.opened, self.place, now)
        elif before.ahead[0].kind not in _UNWEIGHED:
            self.place = pour_log.take_back(self.opened, self.place, now)
        self.events.pop()
        self.states.pop()
        self._ways = None
        return True

    def _confirm(self, event: Event, now: datetime) -> None:
        pour = self.pour
        if pour.off is not None:
            raise CannotAnswer("this line missed", "choose a way on first, or take the reading back")
        state, step = after(pour, event), pour.ahead[0]
        if step.kind == DRAW:
            self.place = pour_log.correct(self.opened, self.place, _DRAWN_OFF, now, -grams_of(pour, step, event.reads_g))
        elif step.kind not in _UNWEIGHED:
            actual, of = grams_of(pour, step, event.reads_g), Of(pour.lines[step.line].item, step.scale)
            try:
                self.place = pour_log.confirm(self.opened, self.place, self.place.done, step.g, actual, event.known, now, of)
            except Confirmed as error:
                self._take_up(error.place)
                raise
        self._happened(event, state)
        self._end_if_over(now)

    def _end_if_over(self, now: datetime) -> None:
        if self.over and not self.finished:
            self.place, self.finished = pour_log.finish(self.opened, self.place, now), True

    def _happened(self, event: Event, state: Pour) -> None:
        self.events.append(event)
        self.states.append(state)
        self._ways = None

    def _take_up(self, place: Place) -> None:
        """Where the pour stands by the log: every weighing in its order, and what was done about it."""
        self.place, self.events, self.states, self._ways = place, [], [pour_of(self.opened.blends, self.answer)], None
        with suppress(CannotAnswer):
            for weighing in sorted(place.weighed, key=lambda one: one.line)[: place.done]:
                self._again(weighing)

    def _again(self, weighing: Weighing) -> None:
        if self.pour.off is not None:
            self._replay(Event(WAY, way=correct.LEAVE))
        while self.pour.ahead and self.pour.ahead[0].kind in _UNWEIGHED:
            self._replay(Event(DONE))
        if not self.pour.ahead:
            raise CannotAnswer("the log holds more weighings than this card has", "see `station log trace`")
        step = self.pour.ahead[0]
        reads = weighing.actual_g / step.times if step.apart else reads_before_g(self.pour, step.into) + weighing.actual_g
        self._replay(Event(DONE, None if weighing.known == ASKED else reads, weighing.known))
        for mark in self.place.corrections:
            if mark.about == weighing.uuid:
                drawn = Event(DONE, reads_before_g(self.pour, VESSEL) - (mark.g or 0.0), READ)
                events = {_DRAWN_OFF: drawn, _ZEROED: Event(ZEROED)}
                self._replay(events.get(mark.why, Event(WAY, way=mark.why)))

    def _replay(self, event: Event) -> None:
        self._happened(event, after(self.pour, event))


def open_pour(opened: Opened, spec: Spec, answer: Batched, asked: Asked, shelf: Shelf, now: datetime) -> OpenPour:
    """A card to pour; one that was left half-way goes on where it was. Raises CannotAnswer where the log refuses."""
    place = pour_log.begin(opened, spec, answer, asked, shelf, now)
    made = OpenPour(opened, answer, place, [], [pour_of(opened.blends, answer)])
    made._take_up(place)
    if made.over:
        made._end_if_over(now)
    return made
