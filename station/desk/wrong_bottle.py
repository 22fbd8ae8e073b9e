"""Something else went in than was asked: which line it is, and whether the mix must be discarded for it."""

from __future__ import annotations

from station.bar.composition import Composition
from station.bar.nouns import WATER, Library
from station.calc.answers import Batched
from station.calc.blend import Blends
from station.calc.mispour import NOTHING_G, Choice
from station.calc.pour import Line, Pour
from station.calc.pour_events import where_other
from station.desk.correcting import is_plain, stop_reason
from station.desk.item_finding import FoundItem, findable, found_items
from station.desk.went_in import UNLABELLED

_NO_LABEL = FoundItem(UNLABELLED, "Something without a label", "?")


def can_be_it(library: Library, pour: Pour, words: str) -> tuple[FoundItem, ...]:
    """What can have gone in by these words: the card's lines first, then everything else, what has no label among them."""
    rows = found_items(findable(library), words)
    items = [line.item for line in pour.lines]
    ours = [row for row in rows if row.id in items]
    others = [row for row in rows if row.id not in items]
    no_label = [_NO_LABEL] if all(word in _NO_LABEL.name.casefold() for word in words.casefold().split()) else []
    return (*ours, *no_label, *others)


def name_of(library: Library, item: str) -> str:
    return _NO_LABEL.name if item == UNLABELLED else library.name_of(item)


def line_of(blends: Blends, pour: Pour, item: str) -> Line:
    """The card's line of that item; else one that wants none of it, to the house's tolerance. Raises CannotAnswer."""
    found = next((line for line in pour.lines if line.item == item), None)
    if found is not None:
        return found
    library, scale = blends.library, where_other(pour).scale
    if item not in library.items and item not in library.stocks and item != WATER:
        return Line(UNLABELLED, 0.0, Composition.of(water=1.0), library.house.weigh, scale)
    stuff = blends.stuff(item)
    tolerance = library.house.weigh_acid if stuff.acid_like else library.house.weigh
    return Line(item, 0.0, stuff.per_g, tolerance, scale, is_plain(item, blends))


def stop_of(blends: Blends, answer: Batched, pour: Pour) -> str:
    """Why what is in it must be discarded and not corrected; "" where nothing says so, or where emptying a cup is enough."""
    vessel = stop_reason(blends, answer, [part.item for part in pour.parts if not part.wanted_g and part.in_g])
    if vessel or pour.off is None:
        return vessel
    cup = cup_stop_of(blends, answer, pour)
    return cup if cup and not without_strange(pour) else ""


def cup_stop_of(blends: Blends, answer: Batched, pour: Pour) -> str:
    """As `stop_of`, of what is in a cup that is not tipped in yet."""
    return stop_reason(blends, answer, [part.item for part in pour.parts if not part.wanted_g and part.cup_g])


def without_strange(pour: Pour) -> tuple[Choice, ...]:
    """The ways on that leave nothing of what the card does not have."""
    strange = [place for place, line in enumerate(pour.lines) if not line.wanted_g]
    return tuple(way for way in pour.ways if not any(way.ends_g[place] > NOTHING_G for place in strange))
