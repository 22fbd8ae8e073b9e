"""A batch rounded to what a hand can measure: jigger fills, whole or half grams, quarters of a bottle; and what that does."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from station.bar import say, units
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import ROUNDINGS, House, Library
from station.calc.balance import balance
from station.calc.mixing import Part

JIGGER, WHOLE_GRAM, HALF_GRAM, BOTTLE = ROUNDINGS
_GRAMS: Final = {WHOLE_GRAM: 1.0, HALF_GRAM: 0.5}
# A bottle is poured out by halves and quarters, as an eye can tell. Common practice, no source.
_OF_A_BOTTLE: Final = 0.25
# From this change on a line is named, whatever the figures say.
_MUCH_OF_A_LINE: Final = 0.1
_FIGURES: Final = {"acid": "acid", "sugar": "sugar", "abv": "ABV", "salt": "salt"}

# What a part becomes, g, and how it is poured if not by weight; None where it is too small for a step, and stays as it is.
Step: TypeAlias = tuple[float, str]


@dataclass(frozen=True, slots=True)
class Rounder:
    """A way of rounding, and what items are called."""

    how: str
    step: Callable[[Part], Step | None]
    name_of: Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Rounded:
    """What a rounding did: the change of each figure, as a fraction of what it was; None where it was nothing.

    `lines` are the lines that moved by more than a tenth, by name, as fractions of their amounts: bitters move no figure.
    """

    how: str
    acid: float | None
    sugar: float | None
    abv: float | None
    salt: float | None
    lines: tuple[tuple[str, float], ...] = ()


def rounder(how: str, library: Library) -> Rounder:
    """The way of that name. Raises CannotAnswer for one the house has no measures for."""
    if how == JIGGER:
        if not library.house.jigger_ml:
            raise CannotAnswer("the house has no jiggers to round to", "add [jiggers] steps to station.toml")
        return Rounder(how, lambda part: _by_jigger(part, library.house.jigger_ml), library.name_of)
    if how == BOTTLE:
        return Rounder(how, lambda part: _by_bottle(part, library), library.name_of)
    if how in _GRAMS:
        return Rounder(how, lambda part: _by_gram(part, _GRAMS[how]), library.name_of)
    raise CannotAnswer(f"“{how}” is no way of rounding", f"one of {', '.join(ROUNDINGS)}")


def rounded(parts: Sequence[Part], by: Rounder, house: House) -> tuple[tuple[Part, ...], Rounded]:
    """The parts rounded. Raises CannotAnswer past the house's taste tolerance, naming the line that is most to blame."""
    steps = [by.step(part) for part in parts]
    after = tuple(_rounded(part, step) if step else part for part, step in zip(parts, steps, strict=True))
    was = _figures(part.composition for part in parts)
    changes = _changes(was, _figures(part.composition for part in after))
    for figure, change in changes.items():
        if change is not None and abs(change) > house.taste:
            raise _past_tolerance(figure, change, parts, after, by, house)
    moved = [(by.name_of(was.dose.item), now.g / was.g - 1.0) for was, now in zip(parts, after, strict=True) if was.g]
    return after, Rounded(by.how, **changes, lines=tuple(one for one in moved if abs(one[1]) > _MUCH_OF_A_LINE))


def _rounded(part: Part, step: Step) -> Part:
    grams, poured = step
    return replace(part, g=grams, rounded=f"{poured} ({say.signed_percent(grams / part.g - 1.0)} of the line)" if poured else "")


def fills(ml: float, steps_ml: Sequence[float]) -> tuple[float, str]:
    """So many fills of one jigger and at most one of another: the nearest such sum, of the fewest fills, ml, and in words."""
    sums = [
        (count * step + more, count + bool(more), count, step, more)
        for step in steps_ml
        for more in (0.0, *steps_ml)
        if more != step and (count := max(0 if more else 1, round((ml - more) / step))) >= 0
    ]
    total, _, count, step, more = min(sums, key=lambda one: (round(abs(one[0] - ml), 6), one[1]))
    in_order = sorted([(step, count), (more, 1)], reverse=True)
    return total, " + ".join(_fills(times, of_ml) for of_ml, times in in_order if of_ml and times)


def _by_jigger(part: Part, steps_ml: Sequence[float]) -> Step | None:
    ml = part.ml
    if ml is None or ml < steps_ml[0]:
        return None
    total, said = fills(ml, steps_ml)
    return part.g * total / ml, said


def _fills(times: int, ml: float) -> str:
    return _ml(ml) if times == 1 else f"{times} × {_ml(ml)}"


def _by_gram(part: Part, step_g: float) -> Step | None:
    """Whole steps, as long as that moves the line by no more than it is weighed to."""
    grams = round(part.g / step_g) * step_g
    return (grams, "") if abs(grams - part.g) <= part.tolerance * part.g else None


def _by_bottle(part: Part, library: Library) -> Step | None:
    """Quarters of the largest bottle it is bought in."""
    bottle = max(_bottles_ml(part.dose.item, library), default=0.0)
    ml = part.ml
    if ml is None or not bottle or ml < _OF_A_BOTTLE * bottle:
        return None
    bottles = round(ml / (_OF_A_BOTTLE * bottle)) * _OF_A_BOTTLE
    return part.g * bottles * bottle / ml, f"{say.number(bottles, 6)} × {_ml(bottle)}"


def _bottles_ml(item: str, library: Library) -> list[float]:
    found, house = library.items.get(item), library.house
    sizes = [pack.size for pack in found.packs] if found else []
    return [
        (size.value or 0.0) * units.ml_per(size.unit, house.ounce, house.spoons) for size in sizes if size.measures == "volume"
    ]


def _ml(ml: float) -> str:
    return f"{say.number(ml, 4)}{say.GAP}ml"


def _figures(compositions: Iterable[Composition]) -> Mapping[str, float | None]:
    whole = Composition.total(compositions)
    found: dict[str, float | None] = {**balance(whole).figures, "salt": whole["salt"] / whole.mass_g if whole.mass_g else None}
    return {figure: found[figure] for figure in _FIGURES}


def _changes(was: Mapping[str, float | None], now: Mapping[str, float | None]) -> dict[str, float | None]:
    return {figure: (now[figure] or 0.0) / before - 1.0 if before else None for figure, before in was.items()}


def _past_tolerance(
    figure: str,
    change: float,
    parts: Sequence[Part],
    after: Sequence[Part],
    by: Rounder,
    house: House,
) -> CannotAnswer:
    """The refusal: it names the line whose rounding, all others left alone, moves the figure furthest that way."""
    before = _figures(part.composition for part in parts)
    alone = [
        _changes(before, _figures(part.composition for part in (*parts[:place], one, *parts[place + 1 :])))[figure] or 0.0
        for place, one in enumerate(after)
    ]
    worst = max(range(len(alone)), key=lambda place: alone[place] * change)
    was, now = parts[worst], after[worst]
    moved = say.percent(abs(change), f"of the {_FIGURES[figure]}")
    line = f"{by.name_of(was.dose.item)}, {say.grams(was.g)}, becomes {now.rounded or say.grams(now.g)}"
    return CannotAnswer(
        f"rounded by {by.how} it would be off by {moved}, past the {say.percent(house.taste, 'of taste')} allowed: {line}",
        "make more at once, round another way, or weigh it exactly",
    )
