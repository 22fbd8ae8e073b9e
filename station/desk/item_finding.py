"""Bought items and stocks found by what a person types, misspelt too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from station.bar.nouns import WATER, Library
from station.files.finding import Findable, holding, nearness

STOCK = "stock"


@dataclass(frozen=True, slots=True)
class FoundItem:
    """What a line can be made of: its id, its name, and its kind, a house preparation's being `stock`."""

    id: str
    name: str
    kind: str


def findable(library: Library) -> tuple[Findable[FoundItem], ...]:
    """All that a line can name, each with the text it is found by: name, id, kind, flavour. Water is always there."""
    kinds = {name: item.kind for name, item in library.items.items()} | dict.fromkeys(library.stocks, STOCK)
    items = {name: item.flavour for name, item in library.items.items()}
    flavours = items | {name: stock.flavour for name, stock in library.stocks.items()}
    return tuple(
        (
            f"{library.name_of(name)} {name} {kind} {flavours.get(name, '')}".casefold(),
            FoundItem(name, library.name_of(name), kind),
        )
        for name, kind in ({WATER: WATER} | kinds).items()
    )


def found_items(among: Sequence[Findable[FoundItem]], words: str) -> tuple[FoundItem, ...]:
    """Those that hold every word, or where none does a word like each: names that begin with the words first."""
    rows = holding(among, words)
    return tuple(sorted(rows, key=lambda row: (nearness(row.name, row.id, words), row.name.casefold(), row.id)))
