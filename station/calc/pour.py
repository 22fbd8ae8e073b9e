"""A pour as it goes: what is in the vessel and in its cups, what is still to do, and how a mis-pour changes that.

A pour is what it began as and what has happened since: taking the last event off again is to undo it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from station.bar import say
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.logged import ASKED
from station.bar.nouns import Scale
from station.calc import correct
from station.calc.correct import Choice, Part, Room
from station.calc.scales import VESSEL, ToWeigh, weighings

# What is to be done in a step: something in, the cups tipped in, something out, the mix drawn off, the cups emptied.
IN, TIP, OUT, DRAW, EMPTY = "in", "tip", "out", "draw", "empty"
# What happens: a step is done, something else went in than was asked, a way on from a mis-pour is chosen, the vessel's scale was
# zeroed with something on it.
DONE, OTHER, WAY, ZEROED = "done", "other", "way", "zeroed"
_ALL = -1


@dataclass(frozen=True, slots=True)
class Line:
    """One line as it goes on the scale: grams the card wants, what a gram of it brings, to which tolerance and on which scale it
    is weighed."""

    item: str
    wanted_g: float
    per_g: Composition
    tolerance: float
    scale: str = ""


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
    """What happened: a step done (`reads_g` None: as asked), another `line` poured, a way on chosen, or the scale zeroed."""

    kind: str
    reads_g: float | None = None
    known: str = ASKED
    way: str = ""
    line: Line | None = None


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
            Part(line.item, line.wanted_g * self.size, vessel, line.per_g, cup, ahead)
            for line, vessel, cup, ahead in zip(self.lines, self.held[VESSEL], cups, coming, strict=True)
        )

    @property
    def ways(self) -> tuple[Choice, ...]:
        """The ways on from a mis-pour, best first."""
        return correct.choices(self.parts, self.room, self.taste)


def begun(
    lines: Sequence[Line], ahead: Iterable[Step], room: Room, scales: Mapping[str, Scale], tare_g: float, taste: float
) -> Pour:
    """A pour of which nothing is in yet; cups are tipped in last."""
    steps = tuple(ahead)
    nothing = {VESSEL: (0.0,) * len(lines)}
    return _ahead(Pour(tuple(lines), room, scales, tare_g, taste, (), nothing, {}, {}), steps)


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


def after(pour: Pour, event: Event) -> Pour:
    """The pour once that has happened. Raises CannotAnswer for what cannot."""
    if event.kind == ZEROED:
        return replace(pour, zero_g={**pour.zero_g, VESSEL: sum(pour.held[VESSEL])})
    if event.kind == WAY:
        return _on_that_way(pour, event.way)
    if event.kind == OTHER:
        return _other_poured(pour, event)
    if not pour.ahead:
        raise CannotAnswer("all lines are in", "begin the card again")
    step, pour = pour.ahead[0], replace(pour, done=pour.done + 1)
    rest = replace(pour, ahead=pour.ahead[1:])
    if step.kind == TIP:
        return _tipped(rest, 0.0 if event.reads_g is None else event.reads_g - reads_g(pour, step), step)
    if step.kind == EMPTY:
        _refuse_left_in(pour, step, event.reads_g or 0.0)
        return replace(rest, held={VESSEL: pour.held[VESSEL]})
    grams = grams_of(pour, step, event.reads_g)
    if step.kind == DRAW:
        return _drawn(rest, grams)
    return _weighed(replace(rest, poured=rest.poured + (step.kind == IN)), step, grams)


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


def where_other(pour: Pour) -> Step:
    """The step in whose place something else can go in: a line's, or the tip of the cups. Raises CannotAnswer."""
    if pour.off is not None:
        raise CannotAnswer("this line missed", "choose a way on first, or take the reading back")
    if not pour.ahead:
        raise CannotAnswer("all lines are in", "take the last one back first")
    if pour.ahead[0].kind not in {IN, TIP}:
        raise CannotAnswer("nothing is being put in just now", "do this step first")
    return pour.ahead[0]


def other_g(pour: Pour, reads: float) -> float:
    """What a reading says went in of something else, into what the next step is weighed in. Raises CannotAnswer."""
    step = where_other(pour)
    before = 0.0 if step.apart else reads_before_g(pour, step.into)
    if reads <= before:
        raise CannotAnswer(f"it read {say.grams(before)} before, so it reads more with something else in", "type what it reads")
    return reads - before


def _other_poured(pour: Pour, event: Event) -> Pour:
    """What was not asked for is in; of a line that was to come that much less is to come, or it is over."""
    assert event.line is not None
    assert event.reads_g is not None
    into, grams = where_other(pour).into, other_g(pour, event.reads_g)
    items = [line.item for line in pour.lines]
    if event.line.item not in items:
        held = {name: (*there, 0.0) for name, there in pour.held.items()}
        pour, items = replace(pour, lines=(*pour.lines, event.line), held=held), [*items, event.line.item]
    place = items.index(event.line.item)
    there = list(pour.held.get(into, (0.0,) * len(items)))
    there[place] += grams
    pour = replace(pour, held={**pour.held, into: tuple(there)}, done=pour.done + 1, poured=pour.poured + 1)
    over_g = pour.parts[place].there_g - pour.parts[place].wanted_g
    over = over_g > tolerated_g(pour, place, event.line.scale)
    return replace(_with_rest(pour, place, -over_g), off=place if over else None)


def _with_rest(pour: Pour, place: int, rest_g: float) -> Pour:
    """The pour with no more than the rest of that line to come, where the line stood."""
    coming = [step for step in pour.ahead if step.kind == IN]
    at = next((number for number, step in enumerate(coming) if step.line == place), len(coming))
    others = [step for step in coming if step.line != place]
    rest = _plan(pour, [rest_g if number == place else 0.0 for number in range(len(pour.lines))])
    return _ahead(pour, [*others[:at], *rest, *others[at:]])


def _tipped(pour: Pour, more_g: float, step: Step) -> Pour:
    """The cups tipped in, the vessel's scale showing so much more than it should, or less: that stayed in the cup."""
    scale = pour.scales.get(step.scale)
    told = abs(more_g) > (scale.readability_g if scale else 0.0) * (1.0 + 1e-9)
    vessel, cups = pour.held[VESSEL], [held for into, held in pour.held.items() if into != VESSEL]
    in_cups = sum(map(sum, cups))
    stayed = min(1.0, -more_g / in_cups) if told and more_g < 0.0 and in_cups else 0.0
    tipped = tuple(sum(of_line) * (1.0 - stayed) for of_line in zip(*cups, strict=True)) if cups else (0.0,) * len(vessel)
    whole = tuple(map(sum, zip(vessel, tipped, strict=True)))
    return replace(pour, held={VESSEL: whole}, unknown_g=more_g + stayed * in_cups if told else 0.0)


def _refuse_left_in(pour: Pour, step: Step, reads: float) -> None:
    """A cup is empty where what is left of each line is within what its weighing may miss. Raises CannotAnswer where more is."""
    held = [part.cup_g for part in pour.parts]
    whole = sum(held)
    if any(grams * abs(reads) > whole * tolerated_g(pour, place, step.scale) for place, grams in enumerate(held)):
        raise CannotAnswer(
            f"{say.grams(abs(reads))} would stay in the cup, uncounted", "pour it out, wipe it, tare it; then type what it reads"
        )


def _weighed(pour: Pour, step: Step, grams: float) -> Pour:
    held = list(pour.held.get(step.into, (0.0,) * len(pour.lines)))
    held[step.line] = max(0.0, held[step.line] + grams)
    missed = abs(grams - step.g) > tolerated_g(pour, step.line, step.scale)
    return replace(pour, held={**pour.held, step.into: tuple(held)}, off=step.line if missed else None)


def tolerated_g(pour: Pour, place: int, scale_id: str) -> float:
    """By how much the line of that place may be off on that scale and still be what was asked: its weighing tolerance, and one
    step of the display."""
    line, scale = pour.lines[place], pour.scales.get(scale_id)
    return max(line.tolerance * line.wanted_g * pour.size, scale.readability_g if scale else 0.0) * (1.0 + 1e-9)


def _drawn(pour: Pour, grams: float) -> Pour:
    """So much of the mix is gone, of every line alike; what is to come is reckoned from what stayed."""
    stays = max(0.0, 1.0 + grams / sum(pour.held[VESSEL]))
    left = replace(pour, held={**pour.held, VESSEL: tuple(one * stays for one in pour.held[VESSEL])})
    size = correct.size_restored(left.parts) or 1.0
    ends = [part.wanted_g * size - part.there_g for part in left.parts]
    return _ahead(replace(left, size=left.size * size), _plan(left, ends))


def _on_that_way(pour: Pour, way: str) -> Pour:
    chosen = next((one for one in pour.ways if one.way == way), None)
    if pour.off is None or chosen is None:
        raise CannotAnswer(f"there is no way “{way}” on from here", "choose one of those shown")
    settled = replace(pour, off=None)
    if way == correct.LEAVE:
        return settled
    if way == correct.TAKE_OUT:
        outs = [_out(pour, place, grams) for place, grams in enumerate(chosen.takes_out_g) if grams]
        return replace(settled, ahead=(*outs, *pour.ahead))
    grown = replace(settled, size=settled.size * (chosen.size or 1.0))
    if way == correct.AGAIN:
        cups = [into for into in pour.held if into != VESSEL]
        emptied = _plan(replace(grown, held={VESSEL: pour.held[VESSEL]}), chosen.adds_g)
        return _ahead(grown, emptied, Step(EMPTY, _ALL, 0.0, cups[0], pour.on[cups[0]]))
    plan = _plan(grown, chosen.adds_g)
    if way == correct.DRAW_OFF:
        return _ahead(grown, plan, Step(DRAW, _ALL, -chosen.draws_g, VESSEL, pour.on[VESSEL]))
    return _ahead(grown, plan)


def _ahead(pour: Pour, plan: Sequence[Step], *first: Step) -> Pour:
    """The pour with that to do, and the cups to tip in after it where there are any."""
    cups = any(step.into != VESSEL for step in plan) or any(any(held) for into, held in pour.held.items() if into != VESSEL)
    on = {**pour.on, **{step.into: step.scale for step in plan}}
    tip = (Step(TIP, _ALL, 0.0, VESSEL, on.get(VESSEL, "")),) if cups else ()
    return replace(pour, ahead=(*first, *plan, *tip), on=on)


def _plan(pour: Pour, adds: Sequence[float]) -> tuple[Step, ...]:
    """What is to be added, each on the scale that sees it; what a line within its tolerance lacks is let be."""
    parts = pour.parts
    doses = [
        ToWeigh(place, grams, pour.lines[place].tolerance)
        for place, grams in enumerate(adds)
        if grams > (pour.lines[place].tolerance * (part.there_g + grams) if (part := parts[place]).there_g else 0.0)
    ]
    placed = weighings(doses, pour.tare_g + sum(pour.held[VESSEL]), pour.scales)
    grams = {dose.key: dose.g for dose in doses}
    return tuple(Step(IN, one.key, grams[one.key], one.into, one.scale, one.note, one.times, one.apart) for one in placed)


def _out(pour: Pour, place: int, grams: float) -> Step:
    """Out of the vessel or cup that holds nothing else."""
    into = next(into for into, held in pour.held.items() if held[place] > 0.0 and sum(one > 0.0 for one in held) == 1)
    return Step(OUT, place, -grams, into, pour.on[into])
