"""What can be done in other places than the one that is on: what it is called, and the way there key by key (tests go each)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

_DRINK: Final = "drinks"
_CARD: Final = ("b", "Enter")


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """`action` is the id of the key that does it, the last of `keys`; `start` the place (places.PLACES) where the way begins.

    A way that begins at the drinks begins in an open one. One that only `writes` is not there in a look-up.
    """

    action: str
    label: str
    start: str
    keys: tuple[str, ...]
    writes: bool = False

    @property
    def way(self) -> str:
        """How to get there, in words."""
        begun = "open a drink" if self.start == _DRINK else f"go to {self.start}"
        return f"{begun}, then {', '.join(self.keys)}"


ELSEWHERE: Final = (
    Elsewhere("lines.batch", "batch: grams for vessels, serves, litres", _DRINK, ("b",)),
    Elsewhere("batch.pour", "pour a batch step by step", _DRINK, (*_CARD, "p")),
    Elsewhere("pour.other", "wrong bottle in a pour: mend it or discard it", _DRINK, (*_CARD, "p", "w")),
    Elsewhere("batch.water", "batch with its water in, or without", _DRINK, (*_CARD, "w")),
    Elsewhere("batch.round", "round a batch: jigger, whole grams", _DRINK, (*_CARD, "r")),
    Elsewhere("batch.units", "batch card in ml or oz", _DRINK, (*_CARD, "o")),
    Elsewhere("batch.keep", "batch card to a file", _DRINK, (*_CARD, "t"), writes=True),
    Elsewhere("lines.new", "new line in a drink", _DRINK, ("n",), writes=True),
    Elsewhere("lines.item", "other item in a line", _DRINK, ("i",), writes=True),
    Elsewhere("lines.remove", "take a line out", _DRINK, ("x",), writes=True),
    Elsewhere("lines.when", "when a line goes in: batch, service, finish", _DRINK, ("w",), writes=True),
    Elsewhere("lines.unit", "equal amount in another unit", _DRINK, ("e",), writes=True),
    Elsewhere("lines.save", "save a drink", _DRINK, ("s",), writes=True),
    Elsewhere("lines.undo", "undo an edit of a drink", _DRINK, ("u",), writes=True),
    Elsewhere("lines.acid", "sources and acids of a drink's balance", _DRINK, ("a",)),
    Elsewhere("lines.juice", "adjust a juice to another's acid", _DRINK, ("j",)),
    Elsewhere("lines.calibrate", "calibrate what counts a line", _DRINK, ("k",), writes=True),
    Elsewhere("main.tune", "tune acid, sugar, ABV of a drink", _DRINK, ("t",)),
    Elsewhere("balance.grab", "set a figure of a drink's balance", _DRINK, ("Tab", "Enter")),
    Elsewhere("main.compare", "compare a drink with another", _DRINK, ("c",)),
    Elsewhere("main.map", "map of a drink among the others", _DRINK, ("m",)),
    Elsewhere("main.look-up", "look up a drink at a glance", _DRINK, ("v",)),
    Elsewhere("main.units", "units: amounts of a drink in ml, oz, g", _DRINK, ("o",)),
    Elsewhere("make.log", "make a stock and log it as made", "stocks", ("Enter", "Enter", "l"), writes=True),
    Elsewhere("make.keep", "card of a stock to a file", "stocks", ("Enter", "Enter", "t"), writes=True),
    Elsewhere("prep.keep", "prep list to a file", "prep", ("^t",), writes=True),
    Elsewhere("log.discard", "throw a lot away: it was discarded", "log", ("^d",), writes=True),
    Elsewhere("log.label", "label of a lot to a file", "log", ("^t",), writes=True),
    Elsewhere("order.next", "shopping and prep of an order", "orders", ("Enter", "→")),
    Elsewhere("order.files", "sheets of an order to files", "orders", ("Enter", "t"), writes=True),
    Elsewhere("order.save", "save an order", "orders", ("Enter", "s"), writes=True),
)
