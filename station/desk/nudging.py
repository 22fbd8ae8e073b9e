"""One step more or less of an amount."""

from __future__ import annotations

from math import ceil, floor

from station.bar.amount import Amount
from station.bar.nouns import House
from station.bar.units import COUNTED, g_per, ml_per

_FALLBACK_STEP_ML = 7.5
_OUNCE_STEP = 0.25
_ROUNDING = 1e-9


def nudged(amount: Amount, steps: int, house: House) -> float:
    """The amount's number so many steps on: of the house's smallest jigger, a drop or a piece, a gram, a quarter ounce.

    It goes from whole step to whole step, at last to nothing or below. 0 for an amount without a number.
    """
    if amount.value is None:
        return 0.0
    step = _step(amount, house)
    whole = floor(amount.value / step + _ROUNDING) if steps > 0 else ceil(amount.value / step - _ROUNDING)
    return (whole + steps) * step


def _step(amount: Amount, house: House) -> float:
    if amount.unit in COUNTED or amount.measures in {"each", "part"}:
        return 1.0
    if amount.measures == "mass":
        return 1.0 / g_per(amount.unit)
    if amount.unit == "oz":
        return _OUNCE_STEP
    return min(house.jigger_ml, default=_FALLBACK_STEP_ML) / ml_per(amount.unit, house.ounce, house.spoons)
