"""The open pour: steps confirmed as asked or as read, a mis-pour's ways on, all taken back one by one, all of it in the log."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from station.bar import say
from station.bar.amount import AmountError, parse_number
from station.bar.fault import CannotAnswer
from station.bar.logged import ASKED, ESTIMATED, READ, Mark, Weighing
from station.bar.nouns import Spec
from station.calc import correct
from station.calc.answers import Batched
from station.calc.backwards import Way
from station.calc.blend import Blends
from station.calc.pour import DONE, DRAW, EMPTY, IN, OTHER, TIP, WAY, ZEROED, Event, Pour, grams_of, reads_before_g
from station.calc.pour_events import after, other_g, where_other
from station.calc.poured import AsPoured, Serve, as_poured
from station.calc.scales import VESSEL
from station.cards.poured import brief_mark, mark, strength
from station.cards.text import let_down
from station.desk import pour_log
from station.desk.asked import house_day
from station.desk.on_shelf import Shelf
from station.desk.opening import Opened
from station.desk.pour_log import Asked, Confirmed, Ended, Of, Place
from station.desk.pouring import Step, doubtful, doubtful_other, pour_of, serve_of, steps, ways
from station.desk.wrong_bottle import cup_stop_of, line_of, name_of, stop_of

_ABOUT = "~"
_DRAWN_OFF, _ZEROED, _TIPPED = "drawn off", "scale zeroed", "cup tipped in, as read"
# Steps that put nothing on a scale are not weighings: nothing of them is logged.
_UNWEIGHED = frozenset({TIP, EMPTY})


class Doubtful(CannotAnswer):
    """A reading that can hardly be: refused once."""

    def __init__(self, doubt: str) -> None:
        super().__init__(doubt, "")


@dataclass(slots=True)
class OpenPour:
    """A card being poured. `events` is what has happened, `states` where it stood before the first of them and after each.

    `blends` is the memo the card was reckoned with; `doubt` a sentence about the reading that was refused last, "" for none.
    """

    opened: Opened
    answer: Batched
    blends: Blends
    serve: Serve
    place: Place
    events: list[Event]
    states: list[Pour]
    finished: bool = False
    doubt: str = ""
    _doubted: float | None = None
    _ways: tuple[Way, ...] | None = None
    _stop: str | None = None
    _come_to: AsPoured | None = None

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
    def putting_in(self) -> bool:
        """Whether something of a line goes in next; else it is stirred, tipped, emptied or taken out."""
        return self.pour.off is None and bool(self.pour.ahead) and self.pour.ahead[0].kind == IN

    @property
    def come_to(self) -> AsPoured:
        """What it comes to by what is in the vessel, beside what the card planned."""
        if self._come_to is None:
            self._come_to = as_poured(self.pour, self.serve)
        return self._come_to

    @property
    def mark(self) -> str:
        """The lasting mark of a mis-pour that was left; "" for none, and while a way on is still asked for."""
        return mark(self.come_to, self.opened.library) if self.pour.off is None else ""

    @property
    def brief_mark(self) -> str:
        """The mark where there is little room."""
        return brief_mark(self.come_to, self.opened.library) if self.pour.off is None else ""

    @property
    def overflow(self) -> str:
        """That the whole will not go into the vessel, or passes the fill it is used with, if so."""
        ml, room = self.come_to.ends.ml, self.pour.room
        if self.pour.off is not None or ml <= room.most_ml:
            return ""
        when = "in it" if self.over else "when full"
        if ml > room.brim_ml:
            return "" if self.over else f"{say.volume(ml)} when full, brim {say.volume(room.brim_ml)}: too much"
        return f"{say.volume(ml)} {when}, {say.volume(ml - room.ml)} over its fill of {say.volume(room.ml)}"

    @property
    def in_vessel_g(self) -> float:
        return sum(self.pour.held[VESSEL])

    @property
    def in_cups_g(self) -> float:
        """What is weighed in cups and not tipped in yet."""
        return sum(sum(held) for into, held in self.pour.held.items() if into != VESSEL)

    @property
    def logged(self) -> str:
        """What is to be written on a vessel that is done; "" before, and that nothing is logged where one only looks."""
        if self.opened.look:
            return "Only looking: nothing of it is in the log."
        lot = self.place.lot
        return f"Lot {lot.short}: write it on the vessel." if self.finished and lot else ""

    @property
    def ways(self) -> tuple[Way, ...]:
        """The ways on from the weighing that missed, best first; none where none did, or where it must be discarded."""
        if self._ways is None:
            self._ways = () if self.stop else ways(self.pour, self.answer, self.blends, bool(self.of_cup))
        return self._ways

    @property
    def of_cup(self) -> str:
        """Why a cup that is not tipped in yet must be emptied, the vessel being as it was; "" where nothing says so."""
        return "" if self.stop else cup_stop_of(self.blends, self.answer, self.pour)

    @property
    def stop(self) -> str:
        """Why what is in the vessel must be discarded and not corrected; "" where nothing says so."""
        if self._stop is None:
            self._stop = stop_of(self.blends, self.answer, self.pour)
        return self._stop

    @property
    def missed(self) -> str:
        """What went in of the line that missed, and what was wanted."""
        pour = self.pour
        if pour.off is None:
            return ""
        part, line = pour.parts[pour.off], pour.lines[pour.off]
        name = name_of(self.opened.library, line.item)
        name = let_down(name) if line.let_down else name
        by = part.there_g - part.wanted_g
        scale = pour.scales.get(self.states[-2].ahead[0].scale)
        there, wanted, off = (
            say.grams(g, scale.readability_g if scale else None) for g in (part.there_g, part.wanted_g, abs(by))
        )
        if not part.wanted_g:
            only_cup = f". {self.of_cup} Only the cup: take a clean one" if self.of_cup else ""
            return f"{name}: {there} in, not on the card{only_cup}"
        return f"{name}: {there} in, {wanted} wanted, {'over' if by > 0.0 else 'short'} by {off}"

    def as_asked(self, now: datetime) -> None:
        """The next step is done as it was asked. Raises CannotAnswer, AmountError: nothing has happened then."""
        self._confirm(Event(DONE), now)

    def as_read(self, text: str, now: datetime) -> None:
        """The next step is done and the scale reads that; a `~` before it: estimated. Raises AmountError, CannotAnswer.

        What can hardly be is refused once (Doubtful), and taken when the same is said again.
        """
        reads, known = _read(text)
        if self.pour.off is None and self.pour.ahead and reads != self._doubted:
            self._question(doubtful(self.pour, self.answer.mixes[0], self.opened.library, reads), reads)
        self._confirm(Event(DONE, reads, known), now)

    def other(self, item: str, text: str, now: datetime, into: str = "") -> None:
        """That item went in, where the next line was to go or `into` the other of vessel and cup, and that scale reads that.

        Raises as `as_read`.
        """
        reads, known = _read(text)
        if not self.pour.ahead or item == self.asked_for:
            raise CannotAnswer(f"{name_of(self.opened.library, item)} is what goes in now", "type what the scale reads")
        step, line, grams = where_other(self.pour, into), line_of(self.blends, self.pour, item), other_g(self.pour, reads, into)
        if reads != self._doubted:
            self._question(doubtful_other(self.pour, line, into, self.answer.mixes[0], self.opened.library, reads), reads)
        event = Event(OTHER, reads, known, line=line, into=into)
        state = after(self.pour, event)
        self._log(0.0, grams, known, now, Of(item, step.scale))
        self._happened(event, state)

    def refuse_other(self) -> None:
        """Raises CannotAnswer where nothing else can have gone in just now."""
        where_other(self.pour)

    def can_go_into(self, item: str) -> tuple[str, ...]:
        """Where else than asked something can have gone: where that item belongs first, then where the next line goes."""
        here = where_other(self.pour).into
        cups = [into for into, held in self.pour.held.items() if into != VESSEL and any(held)]
        own = next((line.into for line in self.answer.mixes[0].lines if line.item == item), here)
        places = dict.fromkeys((here, VESSEL, *cups))
        return tuple(sorted(places, key=lambda into: into != own))

    def read_before(self, into: str) -> str:
        """What a scale read before something else went in, and which scale that is."""
        step = where_other(self.pour, into)
        scale = self.pour.scales.get(step.scale)
        reads = say.grams(reads_before_g(self.pour, step.into), scale.readability_g if scale else None)
        return f"{scale.name if scale else 'The scale'} under the {step.into} read {reads} before"

    @property
    def asked_for(self) -> str:
        """The item of the line that goes in next; "" for a step that puts none in."""
        return self.pour.lines[self.pour.ahead[0].line].item if self.putting_in else ""

    def discard(self, now: datetime) -> str:
        """It is poured away, and the log says why; what became of it. Raises CannotAnswer, AmountError."""
        self.place = pour_log.discard(self.opened, self.place, self.stop, now)
        self.finished = True
        lot = "" if self.opened.look or self.place.lot is None else f"lot {self.place.lot.short} is "
        return f"{self.answer.name}: {lot}discarded{', the log says why' if lot else ''}"

    def no_reading(self) -> None:
        """The reading that was refused was none."""
        self.doubt, self._doubted = "", None

    def _question(self, doubt: str, reads: float) -> None:
        self.doubt, self._doubted = doubt, reads if doubt else None
        if doubt:
            raise Doubtful(doubt)

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
        last = self.events[-1].kind
        if last not in {DONE, OTHER} or (last == DONE and self._is_marked(before, self.events[-1])):
            self.place = pour_log.uncorrect(self.opened, self.place, now)
        elif last == OTHER or before.ahead[0].kind not in _UNWEIGHED:
            self.place = pour_log.take_back(self.opened, self.place, now)
        self.events.pop()
        self.states.pop()
        self._forget()
        return True

    def _is_marked(self, before: Pour, done: Event) -> bool:
        """Whether a step done is a mark in the log about the weighing before it, and none of its own."""
        return before.ahead[0].kind == DRAW or (before.ahead[0].kind == TIP and done.reads_g is not None)

    def _confirm(self, event: Event, now: datetime) -> None:
        pour = self.pour
        if pour.off is not None:
            raise CannotAnswer("this line missed", "choose a way on first, or take the reading back")
        state, step = after(pour, event), pour.ahead[0]
        if step.kind == DRAW:
            self.place = pour_log.correct(self.opened, self.place, _DRAWN_OFF, now, -grams_of(pour, step, event.reads_g))
        elif step.kind == TIP and event.reads_g is not None:
            self.place = pour_log.correct(self.opened, self.place, _TIPPED, now, event.reads_g)
        elif step.kind not in _UNWEIGHED:
            of = Of(pour.lines[step.line].item, step.scale)
            self._log(step.g, grams_of(pour, step, event.reads_g), event.known, now, of)
        self._happened(event, state)
        self._end_if_over(now)

    def _log(self, wanted_g: float, actual_g: float, known: str, now: datetime, of: Of) -> None:
        try:
            self.place = pour_log.confirm(self.opened, self.place, self.place.done, wanted_g, actual_g, known, now, of)
        except Confirmed as error:
            self._take_up(error.place)
            raise

    def _end_if_over(self, now: datetime) -> None:
        if self.over and not self.finished:
            ends = self.come_to.ends
            ended = Ended(ends.g + self.pour.unknown_g, ends.ml, strength(ends), self.mark)
            self.place, self.finished = pour_log.finish(self.opened, self.place, now, ended), True

    def _happened(self, event: Event, state: Pour) -> None:
        self.events.append(event)
        self.states.append(state)
        self._forget()

    def _forget(self) -> None:
        """What was reckoned of, or doubted in, another state of it."""
        self._ways, self._stop, self._come_to, self.doubt, self._doubted = None, None, None, "", None

    def _take_up(self, place: Place) -> None:
        """Where the pour stands by the log: every weighing in its order, and what was done about it."""
        self.place, self.events, self.states = place, [], [pour_of(self.blends, self.answer)]
        self._forget()
        with suppress(CannotAnswer):
            for weighing in sorted(place.weighed, key=lambda one: one.line)[: place.done]:
                self._again(weighing)

    def _again(self, weighing: Weighing) -> None:
        if self.pour.off is not None:
            self._replay(Event(WAY, way=correct.LEAVE))
        # Something else may have gone in before the cup was tipped, never before it was emptied.
        other = not weighing.wanted_g
        while self.pour.ahead and self.pour.ahead[0].kind in (_UNWEIGHED - {TIP} if other else _UNWEIGHED):
            self._replay(Event(DONE))
        if not self.pour.ahead:
            raise CannotAnswer("the log holds more weighings than this card has", "see `station log trace`")
        step = self.pour.ahead[0]
        before_g = 0.0 if step.apart else reads_before_g(self.pour, step.into)
        if other:
            line = line_of(self.blends, self.pour, weighing.item)
            into = next((name for name, scale in self.pour.on.items() if scale == weighing.scale != step.scale), "")
            before_g = reads_before_g(self.pour, into) if into else before_g
            self._replay(Event(OTHER, before_g + weighing.actual_g, weighing.known, line=line, into=into))
        else:
            reads = weighing.actual_g / step.times if step.apart else before_g + weighing.actual_g
            self._replay(Event(DONE, None if weighing.known == ASKED else reads, weighing.known))
        for done in self.place.corrections:
            if done.about == weighing.uuid:
                self._replay(self._marked(done))

    def _marked(self, mark: Mark) -> Event:
        """What happened by a mark of the log."""
        if mark.why == _DRAWN_OFF:
            return Event(DONE, reads_before_g(self.pour, VESSEL) - (mark.g or 0.0), READ)
        if mark.why == _TIPPED:
            return Event(DONE, mark.g, READ)
        return Event(ZEROED) if mark.why == _ZEROED else Event(WAY, way=mark.why)

    def _replay(self, event: Event) -> None:
        self._happened(event, after(self.pour, event))


def _read(text: str) -> tuple[float, str]:
    """What a scale reads and how that is known: a `~` before it, estimated. Raises AmountError."""
    reads = parse_number(text.strip().lstrip(_ABOUT))
    if not reads < 1e6:
        raise AmountError(text, 0, f"no scale reads {text}", "type what it reads in g")
    return reads, ESTIMATED if text.strip().startswith(_ABOUT) else READ


def open_pour(opened: Opened, spec: Spec, answer: Batched, asked: Asked, shelf: Shelf, now: datetime) -> OpenPour:
    """A card to pour; one that was left half-way goes on where it was. Raises CannotAnswer where the log refuses."""
    place = pour_log.begin(opened, spec, answer, asked, shelf, now)
    blends = shelf.measured(opened.blends.on(house_day(now, opened.library.house)))
    made = OpenPour(opened, answer, blends, serve_of(spec, answer, blends), place, [], [pour_of(blends, answer)])
    made._take_up(place)
    if made.over:
        made._end_if_over(now)
    return made
