"""How a pour goes on: begun, a step done, something else poured, a way on from a mis-pour taken."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from station.bar import say
from station.bar.fault import CannotAnswer
from station.bar.nouns import Scale
from station.calc import correct
from station.calc.correct import Choice, Part, Room
from station.calc.mispour import NOTHING_G
from station.calc.pour import (
    DRAW,
    EMPTY,
    IN,
    OTHER,
    OUT,
    TIP,
    WAY,
    ZEROED,
    Event,
    Line,
    Pour,
    Step,
    grams_of,
    reads_before_g,
    reads_g,
    tolerated_g,
    with_line,
)
from station.calc.scales import VESSEL, ToWeigh, weighings

_ALL = -1


def begun(
    lines: Sequence[Line], ahead: Iterable[Step], room: Room, scales: Mapping[str, Scale], tare_g: float, taste: float
) -> Pour:
    """A pour of which nothing is in yet; cups are tipped in last."""
    steps = tuple(ahead)
    nothing = {VESSEL: (0.0,) * len(lines)}
    return _ahead(Pour(tuple(lines), room, scales, tare_g, taste, (), nothing, {}, {}), steps)


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


def where_other(pour: Pour, into: str = "") -> Step:
    """The step in whose place something else can go in: a line's, or the tip of the cups; as if it stood where `into` says.

    Raises CannotAnswer.
    """
    if pour.off is not None:
        raise CannotAnswer("this line missed", "choose a way on first, or take the reading back")
    if not pour.ahead:
        raise CannotAnswer("all lines are in", "take the last one back first")
    step = pour.ahead[0]
    if step.kind not in {IN, TIP}:
        raise CannotAnswer("nothing is being put in just now", "do this step first")
    return step if into in {"", step.into} else replace(step, into=into, scale=pour.on.get(into, ""), times=1, apart=False)


def other_g(pour: Pour, reads: float, into: str = "") -> float:
    """What a reading says went in of something else, into the vessel or a cup. Raises CannotAnswer."""
    step = where_other(pour, into)
    before = 0.0 if step.apart else reads_before_g(pour, step.into)
    if reads <= before:
        raise CannotAnswer(f"it read {say.grams(before)} before, so it reads more with something else in", "type what it reads")
    return reads - before


def _other_poured(pour: Pour, event: Event) -> Pour:
    """What was not asked for is in; of a line that was to come that much less is to come, or it is over."""
    assert event.line is not None
    assert event.reads_g is not None
    into, grams = where_other(pour, event.into).into, other_g(pour, event.reads_g, event.into)
    pour = with_line(pour, event.line)
    place = [line.item for line in pour.lines].index(event.line.item)
    there = list(pour.held.get(into, (0.0,) * len(pour.lines)))
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
    """The cups tipped in, the vessel's scale showing so much more than it should, or less: that stayed in the cup, is lost, and
    wants a way on."""
    scale = pour.scales.get(step.scale)
    told = abs(more_g) > (scale.readability_g if scale else 0.0) * (1.0 + 1e-9)
    vessel, cups = pour.held[VESSEL], [held for into, held in pour.held.items() if into != VESSEL]
    in_cups = sum(map(sum, cups))
    stayed = min(1.0, -more_g / in_cups) if told and more_g < 0.0 and in_cups else 0.0
    tipped = tuple(sum(of_line) * (1.0 - stayed) for of_line in zip(*cups, strict=True)) if cups else (0.0,) * len(vessel)
    whole = tuple(map(sum, zip(vessel, tipped, strict=True)))
    unknown_g = more_g + stayed * in_cups if told else 0.0
    shows = {**pour.zero_g, VESSEL: pour.zero_g.get(VESSEL, 0.0) - unknown_g}
    left = replace(pour, held={VESSEL: whole}, zero_g=shows, unknown_g=pour.unknown_g + unknown_g)
    return replace(left, off=_shortest(left) if stayed else None)


def _shortest(pour: Pour) -> int | None:
    """The line that is furthest short of what is wanted, by its share, past its tolerance; None where none is."""
    parts = pour.parts
    short = [place for place, part in enumerate(parts) if part.wanted_g - part.there_g > tolerated_g(pour, place, "")]
    return min(short, key=lambda place: parts[place].share, default=None)


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


def _drawn(pour: Pour, grams: float) -> Pour:
    """So much of the mix is gone, of every line alike; what is to come is reckoned from what stayed, where that restores it."""
    stays = max(0.0, 1.0 + grams / sum(pour.held[VESSEL]))
    left = replace(pour, held={**pour.held, VESSEL: tuple(one * stays for one in pour.held[VESSEL])})
    size = correct.size_restored(left.parts)
    if size is None:
        return left
    ends = [part.wanted_g * size - part.there_g for part in left.parts]
    return _ahead(replace(left, size=left.size * size), _plan(left, ends))


def _on_that_way(pour: Pour, way: str) -> Pour:
    if pour.off is not None and way == correct.LEAVE:
        return replace(pour, off=None)
    chosen = next((one for one in pour.ways if one.way == way), None)
    if pour.off is None or chosen is None:
        raise CannotAnswer(f"there is no way “{way}” on from here", "choose one of those shown")
    settled = replace(pour, off=None)
    if any(chosen.adds_g[len(pour.lines) :]):
        settled = with_line(settled, pour.water)
    grown = replace(settled, size=settled.size * _grown(chosen, pour.asked))
    first, goes_on = _taken_out(grown, chosen)
    return _ahead(grown, _plan(goes_on, chosen.adds_g[: len(grown.lines)]), *first)


def _grown(chosen: Choice, parts: Sequence[Part]) -> float:
    """The size it makes over the one there was; of one that restores nothing, by weight."""
    return chosen.size or sum(chosen.ends_g) / sum(part.wanted_g for part in parts)


def _taken_out(pour: Pour, chosen: Choice) -> tuple[list[Step], Pour]:
    """What is emptied, drawn off and taken out for that, in this order; and the pour with its cups as they are then."""
    first, into, cups = [], list(chosen.takes_out_g), [into for into in pour.held if into != VESSEL]
    if chosen.way in {correct.AGAIN, correct.AGAIN_DRAW_OFF} or (chosen.way == correct.LESS and any(into)):
        first.append(Step(EMPTY, _ALL, 0.0, cups[0], pour.on[cups[0]]))
        in_cups = [sum(pour.held[cup][place] for cup in cups) for place in range(len(pour.lines))]
        into = [g - in_cup for g, in_cup in zip(into, in_cups, strict=False)]
        pour = replace(pour, held={VESSEL: pour.held[VESSEL]})
    if chosen.draws_g:
        first.append(Step(DRAW, _ALL, -chosen.draws_g, VESSEL, pour.on[VESSEL]))
    first += [_out(pour, place, g) for place, g in enumerate(into) if g > NOTHING_G]
    return first, pour


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
