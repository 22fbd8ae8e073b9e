"""A mis-pour mended: what a person says is in the vessel, and the ways on from there."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from station.bar import say
from station.bar.cautions import UNKNOWN
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import House, Library, Vessel
from station.calc import caution, correct
from station.calc.answers import Batched
from station.calc.backwards import Corrected, InSoFar, Move, Way
from station.calc.balance import balance
from station.calc.batch import BatchLine, Mix, full_serves
from station.calc.blend import Blends
from station.calc.correct import Choice, Part, Room
from station.calc.scales import VESSEL, ToWeigh, doubts
from station.desk.went_in import UNLABELLED, Given, how_known, known_grams, refuse_nameless, wanted_by_item

# What rounding leaves of nothing.
_NOTHING_G = 1e-6


def corrected(
    blends: Blends, card: Batched, ins: Sequence[Given], reading_g: float | None, tipped: bool, none_left: Sequence[str] = ()
) -> Corrected:
    """The ways on with the first mix of that card. `tipped`: what was weighed in a cup is in the vessel already.

    `reading_g` is what the scale reads of the vessel's net content, or of the cup's where the unknown line is in one.
    Raises CannotAnswer.
    """
    mix = card.mixes[0]
    for item in none_left:
        if item not in {line.item for line in mix.lines}:
            raise CannotAnswer(f"{item} is in no line of this card", "name one of its lines")
    stop = stop_reason(blends, card, [one.item for one in ins])
    known = {} if stop else known_grams(blends.library, mix, ins, reading_g, tipped)
    parts = () if stop else _parts(blends, mix, known, tipped, none_left)
    return answer(blends, card, parts, () if stop else how_known(ins, mix), stop)


def answer(blends: Blends, card: Batched, parts: Sequence[Part], how: Sequence[str], stop: str = "") -> Corrected:
    """The ways on for what is in, by line of the card's first mix and then what it has no line for."""
    library, mix = blends.library, card.mixes[0]
    serves = card.serves / mix.count
    found = () if stop else correct.choices(parts, room_of(mix, library.house), library.house.taste)
    ways = ways_of(found, parts, blends, card)
    rows = zip(parts, how, strict=True)
    lines = tuple(InSoFar(part.item, library.name_of(part.item), part.wanted_g, part.there_g, known) for part, known in rows)
    whole = card.balance if mix.count == 1 else balance(correct.wanted(parts)) if parts else card.balance
    return Corrected(
        id=card.id,
        name=card.name,
        vessel=mix.vessel,
        diluted=card.diluted,
        serves=serves,
        total_g=mix.g,
        total_ml=mix.ml,
        lines=() if stop else lines,
        stop=stop,
        ways=ways,
        balance=whole,
        possible=not stop,
    )


def ways_of(found: Sequence[Choice], parts: Sequence[Part], blends: Blends, card: Batched) -> tuple[Way, ...]:
    """Ways on as they are shown."""
    library, mix = blends.library, card.mixes[0]
    vessel = library.house.vessels.get(mix.vessel or "")
    serve_ml = mix.ml * mix.count / card.serves
    return tuple(_way(one, parts, library, blends, serve_ml, vessel) for one in found)


def per_gram(line: BatchLine, blends: Blends) -> Composition:
    """What a gram on the scale brings: of the item, or of the weaker solution it comes in."""
    whole = blends.stuff(line.item).per_g * line.g
    if line.intermediate is None:
        return blends.stuff(line.item).per_g
    return (whole + Composition.of(water=line.intermediate.brings_water_g)) * (1.0 / line.weigh_g)


def room_of(mix: Mix, house: House) -> Room:
    """What the mix's vessel and its scale take; a mix that is weighed in portions anyway has no scale to fit."""
    vessel = house.vessels.get(mix.vessel or "")
    straight = [line for line in mix.lines if line.into == VESSEL and line.scale in house.scales]
    bears = bool(straight) and not any(line.apart for line in straight)
    scale = house.scales[straight[0].scale] if bears else None
    tare = vessel.tare_g if vessel else 0.0
    return Room(
        ml=vessel.fill_ml if vessel else math.inf,
        g=scale.capacity_g - tare if scale else math.inf,
        brim_ml=vessel.brim_ml if vessel else math.inf,
    )


def stop_reason(blends: Blends, card: Batched, items: Sequence[str]) -> str:
    """Why a mix must be discarded and not corrected; "" where nothing says so. Raises CannotAnswer for an item nobody knows."""
    lines = {line.item for line in card.mixes[0].lines}
    for item in items:
        if item == UNLABELLED:
            return "A liquid without a label went in: what is in it cannot be known."
        if item not in lines:
            reason = _strange(blends, card, item)
            if reason:
                return reason
    return ""


def _strange(blends: Blends, card: Batched, item: str) -> str:
    """Why something the spec does not have spoils the mix, if it does."""
    refuse_nameless(blends.library, item)
    stuff, name = blends.stuff(item), blends.library.name_of(item)
    new = sorted(set(caution.allergens([stuff])) - set(card.allergens))
    if new:
        unstated = new == [UNKNOWN]
        said = "allergens nobody has stated" if unstated else f"an allergen the drink does not have: {', '.join(new)}"
        return f"{name} brings {said}."
    traces = sorted(set(caution.may_contain([stuff])) - {*card.allergens, *card.may_contain})
    if traces:
        return f"{name} may contain traces the drink does not have: {', '.join(traces)}."
    at_the_glass = {line.item for line in card.service}
    return f"{name} is an acid the spec does not have." if stuff.acid_like and item not in at_the_glass else ""


def _parts(blends: Blends, mix: Mix, known: Mapping[str, float], tipped: bool, none_left: Sequence[str]) -> tuple[Part, ...]:
    """Every line of the mix with what is in of it, an item of several lines shared as they ask; then what has no line."""
    wanted = wanted_by_item(mix)
    parts: list[Part] = []
    for line in mix.lines:
        there = known.get(line.item, 0.0) * line.weigh_g / wanted[line.item]
        cup = not tipped and line.into != VESSEL
        part = Part(line.item, line.weigh_g, 0.0 if cup else there, per_gram(line, blends), there if cup else 0.0)
        parts.append(replace(part, ahead_g=0.0 if line.item in known else line.weigh_g, can_add=line.item not in none_left))
    strange = [Part(name, 0.0, grams, blends.stuff(name).per_g) for name, grams in known.items() if name not in wanted]
    return (*parts, *strange)


def _way(choice: Choice, parts: Sequence[Part], library: Library, blends: Blends, serve_ml: float, vessel: Vessel | None) -> Way:
    found = balance(choice.mix)
    serves, tare = found.ml / serve_ml, vessel.tare_g if vessel else 0.0
    return Way(
        way=choice.way,
        takes_out=_moves(parts, choice.takes_out_g, [part.there_g for part in parts], library, blends, {}),
        draws_g=choice.draws_g,
        adds=_moves(parts, choice.adds_g, choice.ends_g, library, blends, _doubts(choice, parts, blends, found.g + tare)),
        total_g=found.g,
        total_ml=found.ml,
        serves=serves,
        full_serves=full_serves(serves),
        size=choice.size,
        restores=choice.restores,
        fits_vessel=choice.fits_vessel,
        fits_scale=choice.fits_scale,
        note=_note(choice, found.ml, vessel, library),
        moved=choice.moved,
        balance=found,
    )


def _moves(
    parts: Sequence[Part],
    grams: Sequence[float],
    ends: Sequence[float],
    library: Library,
    blends: Blends,
    doubted: Mapping[int, str],
) -> tuple[Move, ...]:
    return tuple(
        _move(part.item, g, g <= _tolerance(part.item, blends) * end, library, blends, doubted.get(place, ""))
        for place, (part, g, end) in enumerate(zip(parts, grams, ends, strict=True))
        if g > _NOTHING_G
    )


def _doubts(choice: Choice, parts: Sequence[Part], blends: Blends, gross_g: float) -> Mapping[int, str]:
    """By place, what of the additions no scale can be trusted with."""
    adds = [
        ToWeigh(place, g, _tolerance(part.item, blends))
        for place, (part, g) in enumerate(zip(parts, choice.adds_g, strict=True))
        if g > _NOTHING_G
    ]
    return doubts(adds, gross_g, blends.library.house.scales)


def _move(item: str, grams: float, slight: bool, library: Library, blends: Blends, note: str) -> Move:
    density = blends.stuff(item).g_per_ml
    return Move(item, library.name_of(item), grams, grams / density if density else None, slight, note)


def _tolerance(item: str, blends: Blends) -> float:
    house = blends.library.house
    return house.weigh_acid if blends.stuff(item).acid_like else house.weigh


def _note(choice: Choice, ml: float, vessel: Vessel | None, library: Library) -> str:
    said = []
    if not choice.fits_vessel and vessel:
        over = f"over the {say.volume(vessel.fill_ml)} {vessel.name} is filled to by {say.volume(ml - vessel.fill_ml)}"
        said.append(over + (f", its brim is {say.volume(vessel.brim_ml)}" if ml <= vessel.brim_ml else ", and over its brim"))
    if not choice.fits_scale:
        said.append("more than the scale can show with the vessel on it")
    return "; ".join(said)
