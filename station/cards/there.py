"""What is on hand, as a card says it: how far each goes, what is to be made of it, what to have more of."""

from __future__ import annotations

from station.bar import say
from station.bar.nouns import Library
from station.calc.on_hand import Allowance
from station.cards.layout import wrap


def on_hand(there: Allowance | None, library: Library, width: int) -> list[str]:
    """Lines under a card's totals; none where nothing was said to be there."""
    if there is None:
        return []
    used = "; ".join(_used(item, grams, there, library) for item, grams in there.on_hand_g.items())
    return [line for text in (f"On hand: {used}.", _make(there, library), _then(there, library)) for line in wrap(text, width)]


def _used(item: str, grams: float, there: Allowance, library: Library) -> str:
    left = grams - there.used_g.get(item, 0.0)
    name = library.name_of(item)
    return f"{name} all {say.grams(grams)}" if left <= 1e-6 * grams else f"{name} {say.grams(grams)}, {say.grams(left)} stays"


def _make(there: Allowance, library: Library) -> str:
    made = ", ".join(f"{say.grams(grams)} {library.name_of(stock)}" for stock, grams in there.make_g.items())
    return f"To make first: {made}." if made else ""


def _then(there: Allowance, library: Library) -> str:
    name = library.name_of(there.limited_by)
    if there.then is None:
        return f"{name} is the limit, and the only one."
    verb = "made" if there.limited_by in library.stocks else "at hand"
    more, serves = say.grams(there.then.more_g), say.number(there.then.serves, 4)
    return (
        f"{name} is the limit. With {more} more of it {verb}: {serves} serves, then {library.name_of(there.then.limited_by)} is."
    )
