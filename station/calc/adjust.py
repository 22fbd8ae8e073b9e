"""One juice brought to another's acidity, and a juice line replaced by acid, sugar and water at equal figures."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from station.bar import say
from station.bar.composition import ACIDS, Composition
from station.bar.fault import CannotAnswer
from station.bar.quantity import Acidity
from station.calc.acidity import ta_g
from station.calc.stuff import Stuff
from station.science import titration

# By acid, what brings one gram of it.
Sources: TypeAlias = Mapping[str, Composition]
PURE: Sources = {name: Composition.of({name: 1.0}) for name in ACIDS}

# More acid than this on a litre is no juice any more, g.
MOST_G_PER_L = 400.0
_TA_TOLERANCE = 1e-10
_SAME_TA = 1e-6
# Grams per gram of a source, under which it is no source.
_LEAST_SOURCE = 1e-3
_ROUNDS = 60


@dataclass(frozen=True, slots=True)
class Adjusted:
    """So much juice and so much of each acid (g, pure), and the liquid they make."""

    juice_g: float
    juice_ml: float
    acids_g: Mapping[str, float]
    liquid: Composition


def add_to(juice: Stuff, juice_g: float, wanted: Acidity, parts: Mapping[str, float], sources: Sources = PURE) -> Adjusted:
    """Acids added to that juice until what it becomes titrates as wanted. Raises CannotAnswer.

    `sources`: what brings one gram of each acid as it is bought, water and all.
    """
    if juice.g_per_ml is None:
        raise CannotAnswer("a powder has no acidity per 100 ml", "adjust a liquid")
    start = juice.per_g * juice_g
    whole = sum(parts.values())
    one = Composition.total(sources[name] * (part / whole) for name, part in parts.items())
    has, asked = _per_100(start, wanted), wanted.g_per_100_ml
    if abs(has - asked) <= _SAME_TA * asked:
        return Adjusted(juice_g, juice_g / juice.g_per_ml, {}, start)
    if has > asked:
        raise CannotAnswer(
            f"it titrates at {say.number(has)} g/100 ml as {wanted.acid} already, over {say.number(asked)}",
            "acid only adds; ask for more, or dilute with water",
        )
    grams = _root(lambda g: _per_100(start + one * g, wanted) - asked, MOST_G_PER_L * start.volume_ml / 1000.0, asked)
    acids = {name: grams * part / whole for name, part in parts.items()}
    return Adjusted(juice_g, juice_g / juice.g_per_ml, acids, start + one * grams)


def make_up_to(juice: Stuff, ml: float, wanted: Acidity, parts: Mapping[str, float], sources: Sources = PURE) -> Adjusted:
    """Juice and acids that together make `ml` of the wanted acidity. Raises CannotAnswer."""
    kilogram = add_to(juice, 1000.0, wanted, parts, sources)
    factor = ml / kilogram.liquid.volume_ml
    acids = {name: grams * factor for name, grams in kilogram.acids_g.items()}
    return Adjusted(kilogram.juice_g * factor, kilogram.juice_ml * factor, acids, kilogram.liquid * factor)


def parts_towards(juice: Stuff, other: Stuff) -> dict[str, float]:
    """The acids, by mass, that bring a juice's kinds towards another's: what the other has more of, at equal sums."""
    here, there = juice.per_g.acids, other.per_g.acids
    lacking = {name: grams - here.get(name, 0.0) for name, grams in there.items()}
    wanted = {name: grams for name, grams in lacking.items() if grams > 0.0}
    return wanted or {"citric": 1.0}


def alike(one: Mapping[str, float], other: Mapping[str, float]) -> float | None:
    """How far two liquids' acids are of the same kinds: the share by mass in common, 0 to 1; None where one has none."""
    sums = sum(one.values()), sum(other.values())
    if not all(sums):
        return None
    return sum(min(one.get(name, 0.0) / sums[0], other.get(name, 0.0) / sums[1]) for name in {*one, *other})


@dataclass(frozen=True, slots=True)
class Stand:
    """What stands in for a juice: grams of an acid stock, of a syrup and of water."""

    acid_g: float
    sugar_g: float
    water_g: float
    liquid: Composition


def stand_in(juice: Composition, acid: Stuff, sugar: Stuff | None) -> Stand:
    """Acid, sugar and water with the juice's TA, sugar and volume. Raises CannotAnswer where a source is too weak for that."""
    wanted_ta, wanted_sugar, ml = ta_g(juice), juice.sugar_g, juice.volume_ml
    if ta_g(acid.per_g) < _LEAST_SOURCE:
        raise CannotAnswer("what is named for the acid brings none", "name an acid or an acid stock")
    if sugar is not None and sugar.per_g.sugar_g < _LEAST_SOURCE:
        raise CannotAnswer("what is named for the sugar brings none", "name a syrup")
    acid_g = wanted_ta / ta_g(acid.per_g)
    sugar_g = water_g = 0.0
    liquid = Composition()
    for _ in range(_ROUNDS):
        if sugar is not None:
            sugar_g = max(0.0, wanted_sugar - acid.per_g.sugar_g * acid_g) / sugar.per_g.sugar_g
        solids = acid.per_g * acid_g + (sugar.per_g * sugar_g if sugar else Composition())
        water_g = _water_to(ml, solids)
        liquid = solids + Composition.of(water=water_g)
        found = ta_g(liquid)
        if abs(found - wanted_ta) <= _TA_TOLERANCE * max(wanted_ta, 1.0):
            break
        acid_g *= wanted_ta / found
    return Stand(acid_g, sugar_g, water_g, liquid)


def _water_to(ml: float, solids: Composition) -> float:
    water = ml - solids.volume_ml
    if water < -1e-9 * ml:
        raise CannotAnswer(
            f"acid and syrup alone would be {say.volume(solids.volume_ml)}, the line is {say.volume(ml)}",
            "name a stronger source",
        )
    for _ in range(8):
        water += ml - (solids + Composition.of(water=max(water, 0.0))).volume_ml
    return max(water, 0.0)


def _per_100(liquid: Composition, wanted: Acidity) -> float:
    """TA per 100 ml, in the acid and to the end point it is wanted in."""
    return 100.0 * ta_g(liquid, wanted.acid, wanted.end_ph or titration.END_PH) / liquid.volume_ml


def _root(excess: Callable[[float], float], high: float, scale: float) -> float:
    """Where `excess`, rising from 0 up, meets zero, by halving and secants. Raises CannotAnswer if it does not under `high`."""
    low, below, above = 0.0, excess(0.0), excess(high)
    if above < 0.0:
        raise CannotAnswer("so much acid is no juice any more", "ask for a lower acidity")
    for step in range(_ROUNDS):
        middle = 0.5 * (low + high) if step % 3 == 2 else low - below * (high - low) / (above - below)
        value = excess(middle)
        if abs(value) <= _TA_TOLERANCE * scale:
            return middle
        low, below, high, above = (middle, value, high, above) if value < 0.0 else (low, below, middle, value)
    return 0.5 * (low + high)
