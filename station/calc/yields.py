"""What one fruit gave, by the lots of its juice that say how many were pressed."""

from __future__ import annotations

from collections.abc import Iterable

from station.bar.logged import Lot
from station.bar.nouns import Library
from station.calc.lot_answers import PieceYield


def yields(lots: Iterable[Lot], library: Library) -> list[PieceYield]:
    """By juice: the mean over all that was pressed, and the leanest lot."""
    pressed: dict[str, list[tuple[float, float]]] = {}
    for lot in lots:
        if lot.ml and lot.pieces:
            pressed.setdefault(lot.item, []).append((lot.ml, lot.pieces))
    return [_yield(item, found, library) for item, found in sorted(pressed.items())]


def _yield(item: str, found: list[tuple[float, float]], library: Library) -> PieceYield:
    noun = library.items.get(item)
    fruit = noun.fruit if noun else None
    pieces = sum(count for _, count in found)
    return PieceYield(
        item=item,
        name=library.name_of(item),
        fruit=fruit.item if fruit else "",
        lots=len(found),
        pieces=pieces,
        least_ml=min(ml / count for ml, count in found),
        mean_ml=sum(ml for ml, _ in found) / pieces,
        low_ml=fruit.low_ml if fruit else None,
        usual_ml=fruit.usual_ml if fruit else None,
    )
