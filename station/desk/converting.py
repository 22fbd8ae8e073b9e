"""Any amount of any item in the other units, as people ask for it."""

from __future__ import annotations

from station.bar.amount import Amount, AmountError, parse_amount, rewritten
from station.bar.fault import CannotAnswer
from station.bar.quantity import QuantityError, mass_or_volume
from station.calc.blend import Blends
from station.calc.converting import Converted, converted


def convert(blends: Blends, text: str, item: str, dispenser: str = "", whole: str = "", parts: float = 0.0) -> Converted:
    """`text` of that item in every unit. `whole` is a batch it is a part of; `parts` how many parts that batch has.

    Raises AmountError for what is no amount, CannotAnswer for an item or dispenser that is not there or cannot be weighed.
    """
    library, of = blends.library, _whole(whole) if whole else None
    if dispenser and dispenser not in library.dispensers:
        raise CannotAnswer(f"there is no dispenser {dispenser}", f"one of {', '.join(library.dispensers) or 'none'}")
    amount = parse_amount(text)
    if amount.role or amount.value is None:
        raise AmountError(text, 0, f"“{text.strip()}” says when it goes in", "give a number and a unit, e.g. 2 drops")
    if dispenser and library.dispensers[dispenser].unit != amount.unit:
        unit = library.dispensers[dispenser].unit
        raise CannotAnswer(f"{dispenser} gives a {unit}, the amount is in {amount.unit}", f"give it in {unit}s, or name another")
    if amount.measures == "part":
        amount = _part(amount, of, parts)
    return converted(blends, item, amount, dispenser, of)


def _whole(text: str) -> Amount:
    try:
        return mass_or_volume(text)
    except QuantityError as error:
        raise AmountError(text, 0, error.reason, "give the batch's volume or weight, e.g. 1.5 l") from None


def _part(amount: Amount, whole: Amount | None, parts: float) -> Amount:
    """So many parts of a batch, as a volume or a weight of it."""
    if whole is None or not parts > 0.0:
        raise CannotAnswer(f"“{amount.text}”: parts of what?", "give the batch and how many parts it has: --in, --parts")
    return rewritten(whole, (whole.value or 0.0) * (amount.value or 0.0) / parts)
