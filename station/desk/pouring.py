"""A batch poured line by line: what to do, step after step, and the ways on from a mis-pour."""

from __future__ import annotations

from dataclasses import dataclass

from station.bar import say
from station.bar.composition import Composition
from station.bar.nouns import Library, Scale, Spec
from station.calc.answers import Batched
from station.calc.backwards import Way
from station.calc.batch import BatchLine, Mix
from station.calc.blend import Blends
from station.calc.dilution import dilution
from station.calc.pour import DRAW, EMPTY, IN, OUT, TIP, Line, Pour, grams_of, reads_g
from station.calc.pour import Step as ToDo
from station.calc.pour_events import begun, other_g, where_other
from station.calc.poured import Serve, load_g, volume_ml
from station.calc.scales import VESSEL
from station.cards.text import what
from station.desk.correcting import is_plain, per_gram, room_of, ways_of
from station.desk.look import sound_drink
from station.desk.wrong_bottle import without_strange


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


def pour_of(blends: Blends, answer: Batched) -> Pour:
    """The pour of the card's first mix, nothing of it in yet."""
    library, mix = blends.library, answer.mixes[0]
    house = library.house
    tolerances = {True: house.weigh_acid, False: house.weigh}
    lines = [
        Line(
            item=line.item,
            wanted_g=line.weigh_g,
            per_g=per_gram(line, blends),
            tolerance=tolerances[blends.stuff(line.item).acid_like],
            scale=line.scale,
            plain=is_plain(line.item, blends),
            let_down=line.intermediate is not None,
        )
        for line in mix.lines
    ]
    steps = [
        ToDo(IN, place, line.weigh_g, line.into, line.scale, _note(line), line.times, line.apart)
        for place, line in enumerate(mix.lines)
    ]
    vessel = house.vessels.get(mix.vessel or "")
    return begun(lines, steps, room_of(mix, house), house.scales, vessel.tare_g if vessel else 0.0, house.taste)


def steps(pour: Pour, answer: Batched, library: Library) -> tuple[Step, ...]:
    """What is still to do; the readings but the first's are left open, as they follow what is poured."""
    return tuple(_shown(pour, step, answer.mixes[0], library) for step in pour.ahead)


def ways(pour: Pour, answer: Batched, blends: Blends, only_cup: bool = False) -> tuple[Way, ...]:
    """The ways on from the weighing that missed; none where none did. `only_cup`: those that leave nothing strange in it."""
    if pour.off is None:
        return ()
    return ways_of(without_strange(pour) if only_cup else pour.ways, pour.asked, blends, answer)


def serve_of(spec: Spec, answer: Batched, blends: Blends) -> Serve:
    """What the card makes of a serve. Raises CannotAnswer."""
    mix, window, one = answer.mixes[0], blends.library.windows.get(spec.style), sound_drink(blends, spec)

    def ice_g(liquid: Composition) -> float:
        return 0.0 if answer.diluted else dilution(spec, liquid).water_g

    return Serve(mix.ml * mix.count / answer.serves, one.glass, window.figures if window else {}, one.undiluted, ice_g)


def doubtful(pour: Pour, mix: Mix, library: Library, reads: float) -> str:
    """Why the next step can hardly read that: past what the scale shows, past the vessel's brim, or not what it should read
    with the cup in it; "" where it can."""
    step = pour.ahead[0]
    if step.kind == TIP:
        return _doubtful_tip(pour, step, library.house.scales.get(step.scale), reads)
    grams = grams_of(pour, step, reads)
    return _past(pour, step, pour.lines[step.line], grams if step.kind == IN else 0.0, mix, library, reads)


def doubtful_other(pour: Pour, line: Line, into: str, mix: Mix, library: Library, reads: float) -> str:
    """As `doubtful`, of a line that went into the vessel or a cup though it was not asked for."""
    return _past(pour, where_other(pour, into), line, other_g(pour, reads, into), mix, library, reads)


def _past(pour: Pour, step: ToDo, line: Line, grams: float, mix: Mix, library: Library, reads: float) -> str:
    """Why that can hardly be: it is past what the scale shows, or past the vessel's brim."""
    again = "type it again if so"
    scale, vessel = library.house.scales.get(step.scale), library.house.vessels.get(mix.vessel or "")
    if scale and load_g(pour, step, reads) > scale.capacity_g:
        on_it = f" with the {vessel.name} on it" if vessel and vessel.tare_g and step.into == VESSEL and not step.apart else ""
        most = say.grams(scale.capacity_g - (pour.tare_g if on_it else 0.0))
        return f"{say.grams(reads)}? {scale.name} ends at {most}{on_it}: {again}."
    ml = volume_ml(pour, line, grams) if step.into == VESSEL else 0.0
    if vessel and ml > pour.room.brim_ml:
        return f"{say.grams(reads)}? It is {say.volume(ml)}, the {vessel.name}'s brim {say.volume(pour.room.brim_ml)}: {again}."
    return ""


def _doubtful_tip(pour: Pour, step: ToDo, scale: Scale | None, reads: float) -> str:
    """Why a tipped cup can hardly leave that on the vessel's scale: it shows other than it held before and the cup together."""
    should, digit = reads_g(pour, step), scale.readability_g if scale else None
    if abs(reads - should) <= (digit or 0.0) * (1.0 + 1e-9):
        return ""
    in_it = f"With all of the cup in it reads {say.grams(should, digit)}"
    look = "look into the cup" if reads < should else "look what stands on the scale"
    return f"{say.grams(reads)}? {in_it}: {look}, type it again to go on."


def card_of(answer: Batched) -> str:
    """What a pour's place belongs to: the same card asks for the same grams in the same order."""
    lines = ",".join(f"{line.item}={line.weigh_g:.3f}" for line in answer.mixes[0].lines)
    return f"{answer.spec_revision[:16]}:{answer.diluted}:{lines}"


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
        return Step(
            "Empty the cup", "pour away", "all", f"that is in {into}", reads, _name(scale), "wipe it, tare it, weigh it again"
        )
    if step.kind == DRAW:
        return Step("Draw off the mix", "stir, draw off", say.grams(-step.g, digit), f"out of {into}", reads, _name(scale), "")
    title = what(mix.lines[step.line], library) if step.line < len(mix.lines) else library.name_of(pour.lines[step.line].item)
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
