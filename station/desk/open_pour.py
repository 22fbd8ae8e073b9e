"""The open pour: steps confirmed as asked or as read, a mis-pour's ways on, everything taken back one by one, all of it kept."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace

from station.bar import say
from station.bar.amount import AmountError, parse_number
from station.bar.fault import CannotAnswer
from station.calc.answers import Batched
from station.calc.backwards import Way
from station.calc.pour import DONE, ESTIMATED, READ, WAY, ZEROED, Event, Pour, after
from station.desk.opening import Opened
from station.desk.pouring import Place, Step, all_states, card_of, confirm, finish, keep, left_at, pour_of, steps, ways, weighed

_ABOUT = "~"


@dataclass(slots=True)
class OpenPour:
    """A card being poured. `states` is where it stood before the first event and after each; `message` what could not be kept."""

    opened: Opened
    answer: Batched
    place: Place
    states: list[Pour]
    message: str = ""
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

    def as_asked(self) -> None:
        """The next step is done as it was asked. Raises CannotAnswer."""
        self._confirm(Event(DONE))

    def as_read(self, text: str) -> None:
        """The next step is done and the scale reads that; a `~` before it: estimated. Raises AmountError, CannotAnswer."""
        about = text.strip().startswith(_ABOUT)
        reads = parse_number(text.strip().lstrip(_ABOUT))
        if not reads < 1e6:
            raise AmountError(text, 0, f"no scale reads {text}", "type what it reads in g")
        self._confirm(Event(DONE, reads, ESTIMATED if about else READ))

    def choose(self, number: int) -> str:
        """Take that way on, counted from 1, and say which. Raises CannotAnswer."""
        if not 1 <= number <= len(self.ways):
            raise CannotAnswer(f"there is no way {number}", "choose one of those shown")
        way = self.ways[number - 1].way
        self._happened(Event(WAY, way=way))
        self._keep()
        return way

    def zeroed(self) -> None:
        """The vessel's scale was zeroed with what is in it on it: it is read from there."""
        self._happened(Event(ZEROED))
        self._keep()

    def take_back(self) -> bool:
        """The last thing that happened has not. False where nothing has."""
        if not self.place.events:
            return False
        self.states.pop()
        self.place, self._ways = replace(self.place, events=self.place.events[:-1]), None
        self._keep()
        return True

    def _confirm(self, event: Event) -> None:
        if self.pour.off is not None:
            raise CannotAnswer("this line missed", "choose a way on first, or take the reading back")
        weighing = weighed(self.pour, event)
        self._happened(event)
        self._kept(lambda: confirm(self.opened, self.answer.id, self.place, weighing))
        if self.over:
            self._kept(lambda: finish(self.opened, self.answer.id))

    def _happened(self, event: Event) -> None:
        self.states.append(after(self.pour, event))
        self.place, self._ways = replace(self.place, events=(*self.place.events, event)), None

    def _keep(self) -> None:
        if self.place.events:
            self._kept(lambda: keep(self.opened, self.answer.id, self.place))
        else:
            self._kept(lambda: finish(self.opened, self.answer.id))

    def _kept(self, write: Callable[[], None]) -> None:
        """What has happened stands, also where it cannot be kept; that is said."""
        try:
            write()
            self.message = ""
        except OSError as error:
            self.message = f"where you are cannot be kept: {error.strerror}"


def open_pour(opened: Opened, answer: Batched, target: str, water: bool | None, rounding: str = "") -> OpenPour:
    """A card to pour; one that was left half-way goes on where it was."""
    place = Place(target, water, card_of(answer), rounding=rounding)
    left = left_at(opened, answer.id)
    made = OpenPour(opened, answer, place, [pour_of(opened.blends, answer)])
    if left is not None and left.card == place.card:
        with suppress(CannotAnswer):
            states = all_states(opened.blends, answer, left.events)
            made.place, made.states = replace(place, events=left.events), states
    return made
