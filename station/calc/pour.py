"""A pour as it stands: what is in the vessel and in its cups, what is still to do, and the ways on from a mis-pour.

A pour is what it began as and what has happened since (calc/pour_events.py): taking the last event off again is to undo it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from station.bar import say
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.logged import ASKED
from station.bar.nouns import WATER, Scale
from station.calc import correct
from station.calc.correct import Choice, Part, Room
from station.calc.scales import VESSEL

# What is to be done in a step: something in, the cups tipped in, something out, the mix drawn off, the cups emptied.
IN, TIP, OUT, DRAW, EMPTY = "in", "tip", "out", "draw", "empty"
# What happens: a step is done, something else went in than was asked, a way on from a mis-pour is chosen, the vessel's scale was
# zeroed with something on it.
DONE, OTHER, WAY, ZEROED = "done", "other", "way", "zeroed"


@dataclass(frozen=True, slots=True)
class Line:
    """One line as it goes on the scale: grams the card wants, what a gram of it brings, to which tolerance and on which scale it
    is weighed. `plain` as of a Part; `let_down`: it is weighed as a weaker solution of its item."""

    item: str
    wanted_g: float
    per_g: Composition
    tolerance: float
    scale: str = ""
    plain: bool = False
    let_down: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do: grams of a line (`line` -1: of all that is there), negative for out. `times` and `apart` as in a card."""

    kind: str
    line: int
    g: float
    into: str
    scale: str
    note: str = ""
    times: int = 1
    apart: bool = False


@dataclass(frozen=True, slots=True)
class Event:
    """What happened: a step done (`reads_g` None: as asked), another `line` poured `into` vessel or cup ("": where the step
    goes), a way on chosen, or the scale zeroed."""

    kind: str
    reads_g: float | None = None
    known: str = ASKED
    way: str = ""
    line: Line | None = None
    into: str = ""


@dataclass(frozen=True, slots=True)
class Pour:
    """Where a pour stands. `held` is grams by line in the vessel and in each cup, `zero_g` what a display was zeroed on.

    `on` is the scale that each stands on. `size` is the whole over the card's, grown by corrections; `off` the line whose
    weighing missed and still wants a way on; `poured` how many of the steps done put something in. `unknown_g` is what the
    vessel's scale showed at the tip over all that was weighed. A line the card does not have wants 0.
    """

    lines: tuple[Line, ...]
    room: Room
    scales: Mapping[str, Scale]
    tare_g: float
    taste: float
    ahead: tuple[Step, ...]
    held: Mapping[str, tuple[float, ...]]
    zero_g: Mapping[str, float]
    on: Mapping[str, str]
    size: float = 1.0
    off: int | None = None
    done: int = 0
    poured: int = 0
    unknown_g: float = 0.0

    @property
    def weighings(self) -> int:
        """How many times something is put in, done and to do."""
        return self.poured + sum(step.kind == IN for step in self.ahead)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every line for what is asked of a mis-pour."""
        coming = [
            sum(step.g for step in self.ahead if step.kind == IN and step.line == place) for place in range(len(self.lines))
        ]
        cups = [sum(held[place] for into, held in self.held.items() if into != VESSEL) for place in range(len(self.lines))]
        return tuple(
            Part(line.item, line.wanted_g * self.size, vessel, line.per_g, cup, ahead, plain=line.plain)
            for line, vessel, cup, ahead in zip(self.lines, self.held[VESSEL], cups, coming, strict=True)
        )

    @property
    def asked(self) -> tuple[Part, ...]:
        """Every part a way on speaks of: water too, of which there always is some."""
        return with_line(self, self.water).parts

    @property
    def water(self) -> Line:
        return Line(WATER, 0.0, Composition.of(water=1.0), max(line.tolerance for line in self.lines), plain=True)

    @property
    def ways(self) -> tuple[Choice, ...]:
        """The ways on from a mis-pour, best first; of a line that is short, that there is no more of it."""
        asked = self.asked
        first, *others = correct.choices(asked, self.room, self.taste)
        less = None if self.off is None else correct.less(asked, self.room, self.off)
        return (first, *([less] if less else []), *others)


def with_line(pour: Pour, line: Line) -> Pour:
    """The pour with a place for that line too, of which nothing is in, unless its item has one."""
    if any(one.item == line.item for one in pour.lines):
        return pour
    held = {into: (*there, 0.0) for into, there in pour.held.items()}
    return replace(pour, lines=(*pour.lines, line), held=held)


def reads_before_g(pour: Pour, into: str) -> float:
    """What the display shows of a vessel or cup as it stands."""
    return sum(pour.held.get(into, ())) - pour.zero_g.get(into, 0.0)


def reads_g(pour: Pour, step: Step) -> float:
    """What the display should show when the step, the next one, is done."""
    if step.apart:
        return step.g / step.times
    if step.kind == EMPTY:
        return 0.0
    if step.kind == TIP:
        return reads_before_g(pour, VESSEL) + sum(sum(held) for into, held in pour.held.items() if into != VESSEL)
    return reads_before_g(pour, step.into) + step.g


def grams_of(pour: Pour, step: Step, reads: float | None) -> float:
    """What a reading after a step says went in, or out as a negative; as asked without one. Raises CannotAnswer."""
    if reads is None:
        return step.g
    if step.apart:
        return reads * step.times
    before = reads_before_g(pour, step.into)
    grams = reads - before
    if step.kind == IN and grams < 0.0:
        raise CannotAnswer(f"it read {say.grams(before)} before this line, so it cannot read less", "z if it was zeroed")
    if step.kind != IN and not -sum(pour.held[step.into]) <= grams <= 0.0:
        raise CannotAnswer(f"it read {say.grams(before)} before, and something came out", "type what it reads now")
    return grams


def tolerated_g(pour: Pour, place: int, scale_id: str) -> float:
    """By how much the line of that place may be off on that scale and still be what was asked: its weighing tolerance, and one
    step of the display."""
    line, scale = pour.lines[place], pour.scales.get(scale_id)
    return max(line.tolerance * line.wanted_g * pour.size, scale.readability_g if scale else 0.0) * (1.0 + 1e-9)
