"""A batch poured line by line: the steps, what was read, and where the person was when they left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from station.bar import say
from station.bar.nouns import ROUNDINGS, Library, Scale
from station.calc.answers import Batched
from station.calc.backwards import Way
from station.calc.batch import BatchLine, Mix
from station.calc.blend import Blends
from station.calc.pour import (
    ASKED,
    DONE,
    DRAW,
    EMPTY,
    ESTIMATED,
    IN,
    OUT,
    READ,
    TIP,
    WAY,
    ZEROED,
    Event,
    Line,
    Pour,
    after,
    begun,
    grams_of,
    reads_g,
)
from station.calc.pour import Step as ToDo
from station.calc.scales import VESSEL
from station.cards.text import what
from station.desk.correcting import per_gram, room_of, ways_of
from station.desk.kept import POURS, drafts_of
from station.desk.opening import Opened

__all__ = ["ASKED", "DONE", "ESTIMATED", "READ", "WAY", "ZEROED", "Event", "Place", "Step", "Weighed"]


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do: what, how much, into or out of what, and what that scale should read then."""

    title: str
    does: str
    amount: str
    into: str
    reads: str
    scale: str
    note: str


@dataclass(frozen=True, slots=True)
class Place:
    """Where a pour stands: the target as typed, the water switch, the card it belongs to, what happened since, the rounding."""

    target: str
    water: bool | None
    card: str
    events: tuple[Event, ...] = ()
    rounding: str = ""

    @property
    def done(self) -> int:
        """How many steps are confirmed."""
        return sum(event.kind == DONE for event in self.events)


@dataclass(frozen=True, slots=True)
class Weighed:
    """A weighing that is confirmed: wanted and actual g (negative: taken out), what the scale should have read and what it did,
    and how that is known (read, asked, estimated). `item` is "" where it is no one line: a cup tipped in, the mix drawn off."""

    number: int
    item: str
    wanted_g: float
    actual_g: float
    wanted_reads_g: float
    reads_g: float | None
    known: str
    scale: str


def pour_of(blends: Blends, answer: Batched) -> Pour:
    """The pour of the card's first mix, nothing of it in yet."""
    library, mix = blends.library, answer.mixes[0]
    house = library.house
    tolerances = {True: house.weigh_acid, False: house.weigh}
    lines = [
        Line(line.item, line.weigh_g, per_gram(line, blends), tolerances[blends.stuff(line.item).acid_like]) for line in mix.lines
    ]
    steps = [
        ToDo(IN, place, line.weigh_g, line.into, line.scale, _note(line), line.times, line.apart)
        for place, line in enumerate(mix.lines)
    ]
    vessel = house.vessels.get(mix.vessel or "")
    return begun(lines, steps, room_of(mix, house), house.scales, vessel.tare_g if vessel else 0.0, house.taste)


def all_states(blends: Blends, answer: Batched, events: Sequence[Event]) -> list[Pour]:
    """Where the pour stood before the first event and after each. Raises CannotAnswer for one that cannot have happened."""
    states = [pour_of(blends, answer)]
    for event in events:
        states.append(after(states[-1], event))
    return states


def steps(pour: Pour, answer: Batched, library: Library) -> tuple[Step, ...]:
    """What is still to do; the readings but the first's are left open, as they follow what is poured."""
    return tuple(_shown(pour, step, answer.mixes[0], library) for step in pour.ahead)


def ways(pour: Pour, answer: Batched, blends: Blends) -> tuple[Way, ...]:
    """The ways on from the weighing that missed; none where none did."""
    return ways_of(pour.ways, pour.parts, blends, answer) if pour.off is not None else ()


def weighed(pour: Pour, event: Event) -> Weighed:
    """What that event confirms of the step a pour is at. Raises CannotAnswer for a reading that cannot be."""
    step = pour.ahead[0]
    actual = step.g if step.kind in {TIP, EMPTY} else grams_of(pour, step, event.reads_g)
    item = pour.lines[step.line].item if step.line >= 0 else ""
    return Weighed(pour.done, item, step.g, actual, reads_g(pour, step), event.reads_g, event.known, step.scale)


def card_of(answer: Batched) -> str:
    """What a pour's place belongs to: the same card asks for the same grams in the same order."""
    lines = ",".join(f"{line.item}={line.weigh_g:.3f}" for line in answer.mixes[0].lines)
    return f"{answer.spec_revision[:16]}:{answer.diluted}:{lines}"


def left_at(opened: Opened, spec: str) -> Place | None:
    """Where that drink's pour was left, if one was."""
    content = drafts_of(opened).read(POURS, spec)
    if not content:
        return None
    target, water, card, events = (content.get(name) for name in ("target", "water", "card", "events"))
    if not isinstance(target, str) or not isinstance(card, str) or not isinstance(events, list):
        return None
    read = [_event(one) for one in events]
    kept = tuple(one for one in read if one is not None)
    if len(kept) < len(read):
        return None
    rounding = content.get("rounding", "")
    return Place(target, water if isinstance(water, bool) else None, card, kept, rounding if rounding in ROUNDINGS else "")


def confirm(opened: Opened, spec: str, place: Place, weighing: Weighed) -> None:
    """A weighing is confirmed, the last event of `place`: kept before the screen says so. Raises OSError."""
    keep(opened, spec, place)


def keep(opened: Opened, spec: str, place: Place) -> None:
    """Where the pour stands, kept: after a way on was chosen, or something was taken back. Raises OSError."""
    events = [[event.kind, event.reads_g, event.known, event.way] for event in place.events]
    content = {"target": place.target, "water": place.water, "card": place.card, "events": events, "rounding": place.rounding}
    drafts_of(opened).write(POURS, spec, content)


def finish(opened: Opened, spec: str) -> None:
    """The pour is over: nothing to come back to."""
    drafts_of(opened).drop(POURS, spec)


def _event(kept: object) -> Event | None:
    if not isinstance(kept, list) or len(kept) != 4:
        return None
    kind, reads, known, way = kept
    if kind not in {DONE, WAY, ZEROED} or known not in {READ, ASKED, ESTIMATED} or not isinstance(way, str):
        return None
    if reads is not None and (isinstance(reads, bool) or not isinstance(reads, int | float)):
        return None
    return Event(kind, None if reads is None else float(reads), known, way)


def _shown(pour: Pour, step: ToDo, mix: Mix, library: Library) -> Step:
    scale = library.house.scales.get(step.scale)
    digit = scale.readability_g if scale else None
    into = "the vessel" if step.into == VESSEL else f"the {step.into}"
    reads = say.grams(reads_g(pour, step), digit)
    if step.kind == TIP:
        cups = sum(sum(held) for into, held in pour.held.items() if into != VESSEL)
        note = "rinse it with a little of the mix"
        return Step("Tip the cup in", "tip in", say.grams(cups), "into the vessel", reads, _name(scale), note)
    if step.kind == EMPTY:
        return Step("Empty the cup", "pour away", "all", f"of {into}", reads, _name(scale), "wipe it, tare it, weigh it again")
    if step.kind == DRAW:
        return Step("Draw off the mix", "stir, draw off", say.grams(-step.g, digit), f"out of {into}", reads, _name(scale), "")
    title = what(mix.lines[step.line], library)
    amount = say.grams(abs(step.g), digit)
    if step.kind == OUT:
        return Step(title, "take out", amount, f"out of {into}", reads, _name(scale), "")
    emptied = any(one.kind == EMPTY for one in pour.ahead)
    more = any(held[step.line] for into, held in pour.held.items() if into == VESSEL or not emptied)
    return Step(f"{title}, more" if more else title, "add", amount, f"into {into}", reads, _name(scale), step.note)


def _note(line: BatchLine) -> str:
    acids = ", ".join(f"{say.grams(grams)} of it {acid}" for acid, grams in line.acid_g.items())
    times = f"{line.times} weighings, each reads that" if line.times > 1 else ""
    return "; ".join(part for part in (acids, times, line.rounded, line.note) if part)


def _name(scale: Scale | None) -> str:
    return scale.name if scale else "no scale"
