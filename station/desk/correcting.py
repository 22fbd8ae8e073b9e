"""A mis-pour mended: what a person says is in the vessel, and the ways on from there."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from station.bar import say
from station.bar.cautions import UNKNOWN
from station.bar.composition import ACIDS, COMPONENTS, Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, House, Library, Vessel
from station.calc import caution, correct
from station.calc.answers import Batched
from station.calc.backwards import Corrected, InSoFar, Move, OffCard, Way
from station.calc.balance import balance
from station.calc.batch import BatchLine, Mix, full_serves
from station.calc.blend import Blends
from station.calc.mispour import A_TENTH, NOTHING_G, Choice, Part, Room, off_by
from station.calc.scales import VESSEL, ToWeigh, doubts
from station.desk.let_down import said_of, undiluted
from station.desk.went_in import (
    NOT_YET,
    UNLABELLED,
    Given,
    how_known,
    item_called,
    known_grams,
    refuse_nameless,
    wanted_by_item,
    with_tipped,
)

_PLAIN_KINDS = frozenset({"acid", "salt", "sugar", "water"})
_PLAIN = frozenset({"water", "sucrose", "salt", *ACIDS})


def corrected(
    blends: Blends, card: Batched, ins: Sequence[Given], reading_g: float | None, tipped: bool, none_left: Sequence[str] = ()
) -> Corrected:
    """The ways on with the first mix of that card. `tipped`: what was weighed in a cup is in the vessel already.

    `reading_g` is what the scale reads of the vessel's net content, or of the cup's where the unknown line is in one.
    Raises CannotAnswer.
    """
    mix, none_left = card.mixes[0], [item_called(text, blends.library) for text in none_left]
    for item in none_left:
        if item not in {line.item for line in mix.lines} | {WATER}:
            raise CannotAnswer(f"{item} is in no line of this card", "name one of its lines")
    stop = stop_reason(blends, card, [one.item for one in ins])
    if stop:
        return answer(blends, card, (), {}, stop=stop)
    ins, notes = said_of(mix, ins, blends.library)
    ins = with_tipped(mix, ins) if tipped else ins
    known = known_grams(blends.library, mix, ins, reading_g, tipped)
    as_said = undiluted(mix, {one.item for one in ins if one.let_down is False})
    parts = _parts(blends, as_said, known, tipped, none_left)
    return answer(blends, replace(card, mixes=(as_said, *card.mixes[1:])), parts, how_known(ins), notes)


def answer(
    blends: Blends, card: Batched, parts: Sequence[Part], how: Mapping[str, str], notes: tuple[str, ...] = (), stop: str = ""
) -> Corrected:
    """The ways on for what is in, by line of the card's first mix and then what it has no line for; how by item."""
    library, mix = blends.library, card.mixes[0]
    serves = card.serves / mix.count
    found = () if stop else correct.choices(parts, room_of(mix, library.house), library.house.taste)
    whole = card.balance if mix.count == 1 else balance(correct.wanted(parts)) if parts else card.balance
    return Corrected(
        id=card.id,
        name=card.name,
        vessel=mix.vessel,
        diluted=card.diluted,
        serves=serves,
        total_g=mix.g,
        total_ml=mix.ml,
        lines=tuple(_so_far(part, place, mix, library, how) for place, part in enumerate(parts) if part.wanted_g or part.there_g),
        stop=stop,
        ways=ways_of(found, parts, blends, card),
        balance=whole,
        possible=not stop,
        notes=notes,
    )


def _so_far(part: Part, place: int, mix: Mix, library: Library, how: Mapping[str, str]) -> InSoFar:
    own = of_item(mix, place)
    return InSoFar(
        item=part.item,
        name=library.name_of(part.item),
        wanted_g=part.wanted_g,
        in_g=part.there_g,
        known=how.get(part.item, NOT_YET),
        let_down=is_let_down(mix, place),
        wanted_of_item_g=part.wanted_g * own,
        in_of_item_g=part.there_g * own,
    )


def is_let_down(mix: Mix, place: int) -> bool:
    """Whether the part at that place is weighed as a weaker solution."""
    return place < len(mix.lines) and mix.lines[place].intermediate is not None


def of_item(mix: Mix, place: int) -> float:
    """Grams of the item itself in a gram of the part at that place."""
    return mix.lines[place].g / mix.lines[place].weigh_g if is_let_down(mix, place) else 1.0


def ways_of(found: Sequence[Choice], parts: Sequence[Part], blends: Blends, card: Batched) -> tuple[Way, ...]:
    """Ways on as they are shown."""
    library, mix = blends.library, card.mixes[0]
    vessel = library.house.vessels.get(mix.vessel or "")
    serve_ml = mix.ml * mix.count / card.serves
    return tuple(_way(one, parts, mix, blends, serve_ml, vessel) for one in found)


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
    """Every line of the mix with what is in of it, an item of several lines shared as they ask; then what has no line.

    Water is at hand in any case.
    """
    wanted = wanted_by_item(mix)
    parts: list[Part] = []
    for line in mix.lines:
        there = known.get(line.item, 0.0) * line.weigh_g / wanted[line.item]
        cup = not tipped and line.into != VESSEL
        part = Part(line.item, line.weigh_g, 0.0 if cup else there, per_gram(line, blends), there if cup else 0.0)
        part = replace(part, can_add=line.item not in none_left, plain=is_plain(line.item, blends))
        parts.append(replace(part, ahead_g=0.0 if line.item in known else line.weigh_g))
    strange = [name for name in dict.fromkeys((*known, WATER)) if name not in wanted]
    return (*parts, *(_strange_part(name, known.get(name, 0.0), blends, none_left) for name in strange))


def _strange_part(item: str, grams: float, blends: Blends, none_left: Sequence[str]) -> Part:
    return Part(item, 0.0, grams, blends.stuff(item).per_g, can_add=item not in none_left, plain=is_plain(item, blends))


def is_plain(item: str, blends: Blends) -> bool:
    """Whether nothing of it is tasted but what the figures count: water, an acid, salt or white sugar, or made of these only."""
    library = blends.library
    if item == WATER:
        return True
    if item in library.items:
        parts = [name for name, grams in zip(COMPONENTS, blends.stuff(item).per_g.amounts, strict=True) if grams]
        return library.items[item].kind in _PLAIN_KINDS and set(parts) <= _PLAIN
    return all(is_plain(line.item, blends) for line in library.stocks[item].lines)


def _way(choice: Choice, parts: Sequence[Part], mix: Mix, blends: Blends, serve_ml: float, vessel: Vessel | None) -> Way:
    found = balance(choice.mix)
    serves, tare = found.ml / serve_ml, vessel.tare_g if vessel else 0.0
    return Way(
        way=choice.way,
        takes_out=_moves(parts, choice.takes_out_g, [part.there_g for part in parts], mix, blends, {}),
        draws_g=choice.draws_g,
        adds=_moves(parts, choice.adds_g, choice.ends_g, mix, blends, _doubts(choice, parts, blends, found.g + tare)),
        total_g=found.g,
        total_ml=found.ml,
        serves=serves,
        full_serves=full_serves(serves),
        size=choice.size,
        restores=choice.restores,
        fits_vessel=choice.fits_vessel,
        fits_scale=choice.fits_scale,
        note=_note(choice, found.ml, vessel),
        moved=choice.moved,
        balance=found,
        off=_off(choice, parts, blends),
    )


def _off(choice: Choice, parts: Sequence[Part], blends: Blends) -> tuple[OffCard, ...]:
    if choice.restores:
        return ()
    return tuple(
        OffCard(part.item, blends.library.name_of(part.item), part.wanted_g, end, by)
        for part, end, by in zip(parts, choice.ends_g, off_by(parts, choice.ends_g), strict=True)
        if abs(end - part.wanted_g) > _tolerance(part.item, blends) * part.wanted_g + NOTHING_G or abs(by or 0.0) >= A_TENTH
    )


def _moves(
    parts: Sequence[Part],
    grams: Sequence[float],
    ends: Sequence[float],
    mix: Mix,
    blends: Blends,
    doubted: Mapping[int, str],
) -> tuple[Move, ...]:
    return tuple(
        _move(part, g, g <= _tolerance(part.item, blends) * end, place, mix, blends, doubted.get(place, ""))
        for place, (part, g, end) in enumerate(zip(parts, grams, ends, strict=True))
        if g > NOTHING_G
    )


def _doubts(choice: Choice, parts: Sequence[Part], blends: Blends, gross_g: float) -> Mapping[int, str]:
    """By place, what of the additions no scale can be trusted with."""
    adds = [
        ToWeigh(place, g, _tolerance(part.item, blends))
        for place, (part, g) in enumerate(zip(parts, choice.adds_g, strict=True))
        if g > NOTHING_G
    ]
    return doubts(adds, gross_g, blends.library.house.scales)


def _move(part: Part, grams: float, slight: bool, place: int, mix: Mix, blends: Blends, note: str) -> Move:
    density, weaker = blends.stuff(part.item).g_per_ml, is_let_down(mix, place)
    ml = (part.per_g * grams).volume_ml if weaker else grams / density if density else None
    name = blends.library.name_of(part.item)
    return Move(part.item, name, grams, ml, slight, note, weaker, grams * of_item(mix, place))


def _tolerance(item: str, blends: Blends) -> float:
    house = blends.library.house
    return house.weigh_acid if blends.stuff(item).acid_like else house.weigh


def _note(choice: Choice, ml: float, vessel: Vessel | None) -> str:
    said = []
    if not choice.fits_vessel and vessel:
        over = f"{say.volume(ml - vessel.fill_ml)} over the {vessel.name}'s fill of {say.volume(vessel.fill_ml)}"
        brim = f"its brim is {say.volume(vessel.brim_ml)}"
        said.append(f"{over}; {brim}" if ml <= vessel.brim_ml else f"{over}, and over its brim of {say.volume(vessel.brim_ml)}")
    if not choice.fits_scale:
        said.append("more than the scale can show with the vessel on it")
    return "; ".join(said)
