"""A line's amount in the other units that make sense for its item, each as many grams as it was, to under half a per cent."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from station.bar import say
from station.bar.amount import Amount, rewritten, spell_number
from station.bar.fault import CannotAnswer
from station.bar.nouns import Line
from station.bar.units import COUNTED
from station.calc.blend import Blends
from station.calc.stuff import Stuff
from station.calc.weigh import weigh

# How far the grams may be off, as a fraction: a rounding finer than any pour.
MOST_OFF = 0.005
# Up to so many an amount is counted; more is a volume or a weight.
MOST_COUNTED = {"drop": 30, "dash": 10, "barspoon": 4, "spray": 10, "each": 12}
# Under which nobody measures by that volume.
LEAST = {"oz": 0.1, "cl": 0.1, "ml": 0.01}
# Fractions as jiggers are marked.
_MARKED = (2, 3, 4, 8)
_EXACT = 1e-6
# A barspoon and a dash can be halved; a drop, a spray and a piece cannot.
_HALVED = {"barspoon", "dash"}


@dataclass(frozen=True, slots=True)
class Equal:
    """An amount as it is written in one unit, and by what fraction its grams are more than they were."""

    text: str
    unit: str
    off: float

    @property
    def said(self) -> str:
        """How near it is."""
        if abs(self.off) < _EXACT:
            return "the same"
        return f"{say.number(100.0 * abs(self.off), 2)}{say.GAP}% {'more' if self.off > 0.0 else 'less'} by weight"


def equals(line: Line, blends: Blends, dispenser: str, ounce: str = "") -> tuple[Equal, ...]:
    """The line's amount as it is, then in each other unit. `dispenser` is the one it names, whatever its amount is in now.

    Raises CannotAnswer where it has no weight of its own, or none that is known.
    """
    amount = line.amount
    if amount.value is None:
        raise CannotAnswer(f"“{amount.text}” does not say how much", "type an amount")
    if amount.measures == "part":
        raise CannotAnswer("a part is a share of the others' total", "type the amount in ml or g")
    grams = _grams(line, amount.unit, blends, dispenser, ounce)
    if grams is None:
        raise CannotAnswer(f"{blends.library.name_of(line.item)} is counted, not weighed")
    others = (unit for unit in _units(blends.stuff(line.item), line, blends) if unit != amount.unit)
    found = (_in_unit(amount, grams * amount.value, unit, _per_unit(line, unit, blends, dispenser, ounce)) for unit in others)
    return (Equal(amount.text, amount.unit, 0.0), *(one for one in found if one is not None))


def _units(stuff: Stuff, line: Line, blends: Blends) -> list[str]:
    """The units that make sense for it, in the order they are gone through: from a count to grams first."""
    library = blends.library
    liquid = stuff.g_per_ml is not None
    volumes = [library.house.volume, "ml", "oz"] if liquid else []
    here = {one.unit for one in library.dispensers.values()} | library.counted_ml.keys() | {line.amount.unit}
    pieces = ["each"] if stuff.each_g is not None else []
    measured = ["g", *volumes] if line.amount.unit in COUNTED else [*volumes, "g"]
    return list(dict.fromkeys([*measured, *(unit for unit in COUNTED if unit in here), *pieces]))


def _per_unit(line: Line, unit: str, blends: Blends, dispenser: str, ounce: str) -> float | None:
    """Grams of one such unit of the line's item; None where nobody knows."""
    try:
        return _grams(line, unit, blends, dispenser, ounce)
    except CannotAnswer:
        return None


def _grams(line: Line, unit: str, blends: Blends, dispenser: str, ounce: str) -> float | None:
    """Grams of one such unit; None for pieces without a weight. Raises CannotAnswer."""
    named = blends.library.dispensers.get(dispenser)
    counts = dispenser if named is not None and named.unit == unit else ""
    one = replace(line, amount=Amount(f"1 {unit}", 1.0, unit), dispenser=counts)
    return weigh(one, blends.stuff, blends.library, ounce).g


def _in_unit(amount: Amount, grams: float, unit: str, per_unit: float | None) -> Equal | None:
    """The amount in that unit, with as few digits as will do; None where none will."""
    if not per_unit:
        return None
    exact = grams / per_unit
    for value, spelled in _spellings(exact, unit):
        if value > 0.0 and abs(value / exact - 1.0) < MOST_OFF:
            text = rewritten(replace(amount, unit=unit), value).text
            return Equal(text.replace(spell_number(value), spelled) if spelled else text, unit, value / exact - 1.0)
    return None


def _spellings(exact: float, unit: str) -> Iterator[tuple[float, str]]:
    """Numbers for it, the most sensible first, and how one is written that is no decimal: as jiggers are marked."""
    if unit in MOST_COUNTED:
        steps = 2 if unit in _HALVED else 1
        if exact < MOST_COUNTED[unit] + 0.5:
            yield round(exact * steps) / steps, ""
        return
    if exact < LEAST.get(unit, 0.0):
        return
    for parts in _MARKED if unit == "oz" else ():
        whole, over = divmod(round(exact * parts), parts)
        if over:
            yield whole + over / parts, f"{whole or ''} {over}/{parts}".strip()
    for decimals in range(5):
        yield round(exact, decimals), ""
