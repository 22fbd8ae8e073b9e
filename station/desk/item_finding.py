"""Bought items and stocks found by what a person types, misspelt too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from station.bar.nouns import WATER, Library
from station.files.finding import Findable, holding, nearness

STOCK = "stock"


@dataclass(frozen=True, slots=True)
class FoundItem:
    """What a line can be made of: its id, its name, and its kind, a house preparation's being `stock`; `solid`: a powder."""

    id: str
    name: str
    kind: str
    solid: bool = False


def findable(library: Library) -> tuple[Findable[FoundItem], ...]:
    """All that a line can name, each with the text it is found by: name, id, kind, flavour. Water is always there."""
    kinds = {name: item.kind for name, item in library.items.items()} | dict.fromkeys(library.stocks, STOCK)
    items = {name: item.flavour for name, item in library.items.items()}
    flavours = items | {name: stock.flavour for name, stock in library.stocks.items()}
    solids = {name for name, item in library.items.items() if item.form == "solid"}
    return tuple(
        (
            f"{library.name_of(name)} {name} {kind} {flavours.get(name, '')}".casefold(),
            FoundItem(name, library.name_of(name), kind, name in solids),
        )
        for name, kind in ({WATER: WATER} | kinds).items()
    )


def found_items(among: Sequence[Findable[FoundItem]], words: str) -> tuple[FoundItem, ...]:
    """Those that hold every word, or where none does a word like each: names and ids that begin with the words first.

    Of what is as near, powders come last: they are weighed into stocks, not into glasses.
    """
    rows = holding(among, words)
    return tuple(sorted(rows, key=lambda row: (_nearness(row, words), row.solid, row.name.casefold(), row.id)))


def _nearness(row: FoundItem, words: str) -> int:
    spelled_as_id = "-".join(words.casefold().split())
    return 0 if spelled_as_id and row.id.startswith(spelled_as_id) else nearness(row.name, row.id, words)
