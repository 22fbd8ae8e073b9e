"""Amounts as a hand can pour them: sums of jigger steps, whole drops and pieces, what a scale shows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations_with_replacement

from station.bar.amount import Amount
from station.bar.nouns import House
from station.bar.units import COUNTED, g_per, ml_per

# Where the house names no jigger, or a unit has none: quarters of it, and whole millilitres (common practice, no source).
_QUARTER = 0.25
_WHOLE_ML = 1.0
_NO_SCALE_G = 0.1
_SAME = 1e-9


def around(amount: Amount, value: float, house: House, ounce: str = "") -> tuple[float, ...]:
    """The pourable numbers next under and over `value`, in the amount's unit, never 0; one where it is pourable itself.

    The amount as the spec has it can be poured: the spec does.
    """
    if amount.measures == "volume" and house.jigger_ml and amount.unit not in {"oz", "tsp", "tbsp"}:
        each = ml_per(amount.unit, ounce or house.ounce, house.spoons)
        below, above = _by_jigger(value * each, house.jigger_ml)
        found = (below / each, above / each)
    else:
        step = _step(amount, house, ounce)
        count = value / step
        found = (math.floor(count + _SAME) * step, max(1, math.ceil(count - _SAME)) * step)
    own = amount.value or 0.0
    under = max((one for one in (found[0], own) if 0.0 < one <= value + _SAME), default=None)
    over = min(one for one in (found[1], own) if one >= value - _SAME and one > 0.0)
    return (over,) if under is None or over - under <= _SAME else (under, over)


def _by_jigger(ml: float, steps: Sequence[float]) -> tuple[float, float]:
    """The sums of at most two steps next under and over; above the largest two, whole largest steps go in first."""
    largest = max(steps)
    whole = max(0, math.floor((ml - largest) / largest + _SAME)) * largest
    sums = {*steps, *(sum(pair) for pair in combinations_with_replacement(steps, 2))}
    rest = ml - whole
    below = max((one for one in sums if one <= rest + _SAME), default=0.0)
    above = min((one for one in sums if one >= rest - _SAME), default=2.0 * largest)
    return whole + below, whole + above


def _step(amount: Amount, house: House, ounce: str) -> float:
    if amount.unit in COUNTED or amount.measures == "each":
        return 1.0
    if amount.measures == "mass":
        return min((scale.readability_g for scale in house.scales.values()), default=_NO_SCALE_G) / g_per(amount.unit)
    if amount.measures == "volume" and amount.unit not in {"oz", "tsp", "tbsp", "cup", "pint", "gal"}:
        return _WHOLE_ML / ml_per(amount.unit, ounce or house.ounce, house.spoons)
    return _QUARTER
