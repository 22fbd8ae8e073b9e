"""A calibration under way: what was chosen, what the scale read so far; kept after every key, as an edit is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Library, Line
from station.calc.calibrating import Calibrated
from station.calc.counting import Counted
from station.desk.calibrating import Given, believed_of, calibrated, considered, weights
from station.desk.kept import CALIBRATIONS, drafts_of
from station.desk.opening import Opened

# How many make a weighing a scale of 0.01 g sees well. Common practice, no source.
_USUAL_COUNT = {"drop": 50, "dash": 20, "barspoon": 10, "spray": 20}
_DRAFT = "under-way"
_SPOONED = "barspoon"


@dataclass(frozen=True, slots=True)
class Choice:
    """Something to choose: its id and its name."""

    id: str
    name: str


@dataclass(slots=True)
class AtTheScale:
    """The calibration on the screen. `typing` is the reading being typed."""

    opened: Opened
    dispenser: str = ""
    item: str = ""
    count: str = ""
    reads: list[str] = field(default_factory=list)
    typing: str = ""
    running: bool = False
    without_first: bool = False
    anyway: bool = False

    def answer(self, now: datetime) -> Calibrated | str:
        """What the readings so far make; or in one sentence why they make nothing."""
        try:
            return considered(self.opened, self._given(), now)
        except (AmountError, CannotAnswer) as error:
            return str(error)

    def believed(self) -> Counted | None:
        """What one count weighs as the library stands, before anything is read; None where nothing says so."""
        one = self.opened.library.dispensers.get(self.dispenser)
        return believed_of(self.opened.blends, one, self.item) if one else None

    def only_doubted(self, now: datetime) -> bool:
        """Whether what is refused would be taken if the person says so anyway."""
        try:
            considered(self.opened, replace(self._given(), anyway=True), now)
        except (AmountError, CannotAnswer):
            return False
        return True

    def take(self) -> None:
        """Take what was typed as the next reading. Raises AmountError or CannotAnswer; what was typed stays then."""
        reads = [*self.reads, self.typing.strip()]
        weights([self.typing])
        weights(reads, self.running)
        self.reads, self.typing, self.anyway = reads, "", False
        self.keep()

    def take_back(self) -> None:
        """The last reading is typed again."""
        if self.reads:
            self.typing = self.reads.pop()
            self.keep()

    def save(self, now: datetime) -> Calibrated:
        """Write it; there is nothing to keep then. Raises CannotAnswer."""
        answer = calibrated(self.opened, self._given(), now)
        self.reads, self.typing, self.anyway, self.without_first = [], "", False, False
        drafts_of(self.opened).drop(CALIBRATIONS, _DRAFT)
        return answer

    def keep(self) -> None:
        """The readings, written now. A folder that cannot be written costs only that they outlive the program."""
        drafts = drafts_of(self.opened)
        try:
            if not (self.reads or self.typing):
                drafts.drop(CALIBRATIONS, _DRAFT)
                return
            names = ("dispenser", "item", "count", "reads", "typing", "running", "without_first")
            drafts.write(CALIBRATIONS, _DRAFT, {name: getattr(self, name) for name in names})
        except OSError:
            return

    def take_up(self) -> bool:
        """The readings a program that was left or killed kept; False if there are none that fit this library."""
        content = drafts_of(self.opened).read(CALIBRATIONS, _DRAFT) or {}
        texts = [content.get(name) for name in ("dispenser", "item", "count", "typing")]
        reads = content.get("reads")
        if not (isinstance(reads, list) and all(isinstance(one, str) for one in [*texts, *reads])):
            return False
        self.dispenser, self.item, self.count, self.typing = map(str, texts)
        self.reads, self.running = list(reads), content.get("running") is True
        self.without_first = content.get("without_first") is True
        return self.dispenser in self.opened.library.dispensers

    def choose_dispenser(self, dispenser: str) -> None:
        """Another dispenser: the liquid that is counted with its kind, the count it was last weighed by."""
        if dispenser != self.dispenser:
            self.dispenser = dispenser
            self.item = next((one.id for one in liquids(self.opened.library, dispenser)), "")
            self.count = str(usual_count(self.opened.library, dispenser))

    def _given(self) -> Given:
        count = int(self.count) if self.count.strip().isdecimal() and len(self.count) < 10 else 0
        return Given(self.dispenser, self.item, count, tuple(self.reads), self.running, self.without_first, anyway=self.anyway)


def dispenser_of(library: Library, line: Line) -> str:
    """Which dispenser counts that line: its own, else the house's first of that unit; "" where it is not counted or none is."""
    if line.dispenser:
        return line.dispenser
    return next((one.id for one in library.dispensers.values() if one.unit == line.amount.unit), "")


def dispensers(library: Library) -> list[Choice]:
    """The house's, in the order they are written in."""
    return [Choice(one.id, one.name) for one in library.dispensers.values()]


def liquids(library: Library, dispenser: str) -> list[Choice]:
    """What that dispenser may be weighed with: what drinks and stocks count by its unit first, then every other liquid."""
    one = library.dispensers.get(dispenser)
    unit = one.unit if one else ""
    lines = [line for spec in library.drinks.values() for line in spec.lines]
    lines += [line for stock in library.stocks.values() for line in stock.lines]
    counted = [line.item for line in lines if line.amount.unit == unit]
    bought = [item.id for item in library.items.values() if item.form == "liquid" or unit == _SPOONED]
    others = sorted((*bought, *library.stocks, WATER), key=library.name_of)
    known = {*library.items, *library.stocks, WATER}
    return [Choice(name, library.name_of(name)) for name in dict.fromkeys((*counted, *others)) if name in known]


def usual_count(library: Library, dispenser: str) -> int:
    """How many went into its last weighing; where it has none, how many usually do."""
    one = library.dispensers.get(dispenser)
    if one is None:
        return _USUAL_COUNT["drop"]
    return one.calibrations[-1].count if one.calibrations else _USUAL_COUNT[one.unit]


def found(choices: Sequence[Choice], words: str) -> list[Choice]:
    """Those whose name or id holds all the words; all of them for none."""
    asked = words.casefold().split()
    return [one for one in choices if all(word in f"{one.id} {one.name}".casefold() for word in asked)]
