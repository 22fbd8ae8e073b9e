"""An amount of a line the card has weighed as a weaker solution: of that one, or of the item itself."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from station.bar import say
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Library
from station.calc.batch import BatchLine, Mix
from station.desk.went_in import Given

# An amount is taken for the one of the two it is within half as much again of; they are at least five times apart.
_NEAR = 1.5


def said_of(mix: Mix, ins: Sequence[Given], library: Library) -> tuple[tuple[Given, ...], tuple[str, ...]]:
    """Each amount with what it is of, and a sentence for each that did not say so itself. Raises CannotAnswer."""
    read = [_read(mix, one, library) for one in ins]
    return tuple(one for one, _ in read), tuple(note for _, note in read if note)


def undiluted(mix: Mix, items: Set[str]) -> Mix:
    """The same mix with these items weighed as they are: their water is the batch's own again."""
    neat = [line for line in mix.lines if line.item in items and line.intermediate]
    if not neat:
        return mix
    water = sum(line.weigh_g - line.g for line in neat)
    less = max((line for line in mix.lines if line.item == WATER), key=lambda line: line.g)
    lines = [
        replace(line, weigh_g=line.g, intermediate=None)
        if line in neat
        else replace(line, weigh_g=line.weigh_g + water)
        if line is less
        else line
        for line in mix.lines
    ]
    return replace(mix, lines=tuple(lines))


def _read(mix: Mix, one: Given, library: Library) -> tuple[Given, str]:
    lines = [line for line in mix.lines if line.item == one.item]
    if not any(line.intermediate for line in lines):
        if one.let_down:
            raise CannotAnswer(f"{one.item} is not let down on this card", f"write {one.item}=… g")
        return one, ""
    if one.g is None or one.let_down is not None:
        return one, ""
    of_weaker = _near(one.g, sum(line.weigh_g for line in lines))
    if not of_weaker and not _near(one.g, sum(line.g for line in lines)):
        raise CannotAnswer(
            f"{_grams(one.g)} of {one.item} could be of it or of the weaker one this card weighs",
            f"write {one.item}={_grams(one.g)} neat, or {one.item}={_grams(one.g)} let down",
        )
    return replace(one, let_down=of_weaker), _note(one, of_weaker, lines[0], library)


def _near(grams: float, wanted: float) -> bool:
    return wanted / _NEAR <= grams <= wanted * _NEAR


def _note(one: Given, of_weaker: bool, line: BatchLine, library: Library) -> str:
    grams, name, weaker = _grams(one.g or 0.0), library.name_of(one.item), line.intermediate
    if of_weaker and weaker:
        parts = f"{say.grams(weaker.item_g)} in {say.grams(weaker.make_g)}"
        return f"{grams} {name} is read as let down with water ({parts}), as the card weighs it; if not: {one.item}={grams} neat."
    return f"{grams} {name} is read as neat, not let down with water as the card has it; if it was: {one.item}={grams} let down."


def _grams(grams: float) -> str:
    return say.grams(grams)
