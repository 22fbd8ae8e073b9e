"""Which amounts of named lines give the wished figures of the finished drink, the other lines as they are.

Solved on the drink in the glass, dilution and all: what ice adds follows the ABV, which follows the amounts.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.calc.acidity import ta_g
from station.calc.balance import LEAST_ACID
from station.calc.blend import Blends
from station.calc.drink import Drink, drink, fills_up
from station.calc.least_change import MET, Span, Vector, least_change
from station.science.ethanol import ETHANOL_G_PER_ML

# One figure to be solved for, out of all of them.
Level: TypeAlias = Callable[[Mapping[str, float]], float]

FIGURES = ("acid", "sugar", "ratio", "abv", "volume")

# A miss is measured against the wish, but never against less than this of the figure's own unit.
LEAST_SCALE = 0.01
# So much more of an amount, relative, tells how a wish goes with it.
NUDGE = 0.01
_MOST_TIMES, _SMALL_G = 10.0, 10.0


@dataclass(frozen=True, slots=True)
class Wish:
    """A figure of the finished drink from `low` to `high`: g/100 ml, % vol, ml, or the ratio of sugar to acid."""

    figure: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Tuning:
    """The amounts of the moving lines, each in its own unit, the drink they make, and the wishes it misses."""

    amounts: Vector
    drink: Drink
    missed: tuple[Wish, ...]


def tune(spec: Spec, blends: Blends, places: Sequence[int], wishes: Sequence[Wish]) -> Tuning:
    """The least change of the lines at `places`, each by a share of its own amount.

    Where the wishes cannot all be met: the drink that misses them least. No amount falls below 0, or grows beyond ten
    times itself, or for a dose of less to ten grams: that would be another drink. Raises CannotAnswer.
    """
    start = amounts_at(spec, places)
    demands = _demands(wishes, figures_of(drink(spec, blends).glass))

    def changed(by: Vector) -> Vector:
        found = figures_of(_glass(with_amounts(spec, places, _changed(start, by)), blends))
        return tuple(level(found) for level, _ in demands)

    lows, highs = (-1.0,) * len(start), tuple(most_times(spec, blends, place) - 1.0 for place in places)
    found = least_change(changed, [span for _, span in demands], lows, highs)
    amounts = _changed(start, found.by)
    made = drink(with_amounts(spec, places, amounts), blends)
    return Tuning(amounts, made, tuple(wish for wish in wishes if not is_met(wish, made.glass)))


def _glass(spec: Spec, blends: Blends) -> Composition:
    """The glass on the way to an answer: one that is over its washline already takes no top, and is searched on from there."""
    try:
        return drink(spec, blends).glass
    except CannotAnswer:
        untopped = tuple(line for line in spec.lines if not fills_up(line))
        if len(untopped) == len(spec.lines):
            raise
        return drink(replace(spec, lines=untopped), blends).glass


def conflict(spec: Spec, blends: Blends, places: Sequence[int], wishes: Sequence[Wish]) -> tuple[Wish, ...]:
    """The fewest wishes that cannot be met together: without any one of them the rest of these can. Raises CannotAnswer."""
    rest = list(wishes)
    for wish in wishes:
        others = [one for one in rest if one is not wish]
        if others and not can_be(spec, blends, places, others):
            rest = others
    return tuple(rest)


def can_be(spec: Spec, blends: Blends, places: Sequence[int], wishes: Sequence[Wish]) -> bool:
    """Whether these wishes can be met together."""
    try:
        return not tune(spec, blends, places, wishes).missed
    except CannotAnswer:
        return False


def amounts_at(spec: Spec, places: Sequence[int]) -> Vector:
    """The numbers of these lines' amounts."""
    return tuple(spec.lines[place].amount.value or 0.0 for place in places)


def with_amounts(spec: Spec, places: Sequence[int], amounts: Sequence[float]) -> Spec:
    """The spec with other numbers at these lines, in the units they have."""
    lines = list(spec.lines)
    for place, value in zip(places, amounts, strict=True):
        lines[place] = replace(lines[place], amount=replace(lines[place].amount, value=value))
    return replace(spec, lines=tuple(lines))


def figures_of(glass: Composition) -> Mapping[str, float]:
    """The figures a wish may speak of. The ratio is infinite without acid."""
    ml, acid = glass.volume_ml, ta_g(glass)
    per = 100.0 / ml if ml else 0.0
    return {
        "acid": acid * per,
        "sugar": glass.sugar_g * per,
        "ratio": glass.sugar_g / acid if acid else math.inf,
        "abv": glass["ethanol"] / ETHANOL_G_PER_ML * per,
        "volume": ml,
    }


def miss(wish: Wish, glass: Composition) -> float:
    """How far the drink is from a wish, relative to it: negative below, positive above, 0 where it is met.

    A ratio needs acid enough for one to be stated at all.
    """
    return miss_in(wish, figures_of(glass))


def miss_in(wish: Wish, found: Mapping[str, float]) -> float:
    """The same of the figures of a drink."""
    if wish.figure == "ratio" and found["acid"] < LEAST_ACID:
        return -1.0
    value = found[wish.figure]
    return Span(wish.low, wish.high, max(wish.high if value > wish.high else wish.low, LEAST_SCALE)).miss(value)


def straight_to(amount: float, missed: float, then: float) -> float | None:
    """The amount that meets a wish missed by `missed` and, with NUDGE of it more, by `then`, as far as it goes straight."""
    return amount * (1.0 + NUDGE * missed / (missed - then)) if missed != then else None


def is_met(wish: Wish, glass: Composition) -> bool:
    return abs(miss(wish, glass)) <= MET


def is_met_as_poured(wish: Wish, glass: Composition, taste: float) -> bool:
    """Whether a wish is met within what a hand can pour: a value as near as nobody tastes, a range all the same."""
    return near_enough(wish, miss(wish, glass), taste)


def near_enough(wish: Wish, by: float, taste: float) -> bool:
    """Whether a wish missed by so much is met all the same, poured by hand."""
    return abs(by) <= (taste if wish.low == wish.high else MET)


def most_times(spec: Spec, blends: Blends, place: int) -> float:
    """How many times itself a line may grow to."""
    grams = drink(spec, blends).poured[place].dose.mass_g
    return max(_MOST_TIMES, _SMALL_G / grams) if grams else _MOST_TIMES


def _changed(start: Sequence[float], by: Vector) -> Vector:
    return tuple(max(0.0, value * (1.0 + share)) for value, share in zip(start, by, strict=True))


def _demands(wishes: Sequence[Wish], now: Mapping[str, float]) -> list[tuple[Level, Span]]:
    """What is solved for: each figure in its span.

    A ratio is solved as the sugar over what the acid calls for, which has no pole where acid ends.
    """
    demands: list[tuple[Level, Span]] = []
    for wish in wishes:
        if wish.figure == "ratio":
            scale = max(now["sugar"], 1.0)
            demands.append((_sugar_over(wish.low), Span(0.0, math.inf, scale)))
            demands.append((_sugar_over(wish.high), Span(-math.inf, 0.0, scale)))
        else:
            demands.append((_plainly(wish.figure), Span(wish.low, wish.high, max(wish.high, LEAST_SCALE))))
    return demands


def _plainly(figure: str) -> Level:
    return lambda found: found[figure]


def _sugar_over(ratio: float) -> Level:
    return lambda found: found["sugar"] - ratio * found["acid"]
