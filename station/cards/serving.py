"""A batch at the glass: how much one pours of it, what is added, and what is still to be done."""

from __future__ import annotations

from collections.abc import Iterable

from station.bar import say
from station.bar.nouns import House, Library
from station.bar.shown_as import volume_in
from station.calc.batch import ServiceLine, is_whole
from station.calc.serving import Serving
from station.cards.layout import rows_or_pairs, wrap

# What is done with a serve that has no water of its own yet.
_DOES = {
    "shake": "shake it on ice",
    "stir": "stir it on ice",
    "build": "build it on ice",
    "blend": "blend it with ice",
    "carbonate": "chill and carbonate it",
    "none": "pour it as it is",
}
_ON_ICE = frozenset({"shake", "stir", "blend"})
_WHEN = {"service": "before ice"}


def serves_said(serves: float) -> str:
    """So many serves, as one number where they are whole within what a hand can tell."""
    return say.number(round(serves) if is_whole(serves) else serves, 4)


def portion(one: Serving, house: House) -> str:
    """How much of the mix one serve is, and whether its dilution water is in that; "" where nothing is mixed ahead."""
    if one.ml <= 0.0:
        return ""
    water = "its dilution water in it" if one.diluted else "before ice"
    return f"{volume_in(house, one.ml)} = {say.grams(one.g)} a serve, {water}"


def at_the_glass(one: Serving, service: Iterable[ServiceLine], library: Library, width: int, whole: bool = True) -> list[str]:
    """Who finishes a glass reads this. `whole`: of each addition also what to have ready for all serves."""
    added = [_added(line, library, whole) for line in service]
    return [
        "At the glass:",
        *(line for text in _sentences(one, library.house) for line in wrap(text, width)),
        *(line for place, step in enumerate(one.steps, 1) for line in wrap(f"{place}. {_step(step, one)}", width, "   ")),
        *rows_or_pairs(added, frozenset(), width),
    ]


def _sentences(one: Serving, house: House) -> list[str]:
    """The portion and what is done with it; into what, and how much that is in the end."""
    poured = f"pour {volume_in(house, one.ml)} a serve, " if one.ml > 0.0 else ""
    first = f"{poured}{_does(one)}."
    into = ", ".join(part for part in (one.glass, one.ice, one.strain) if part)
    end = f"Finished: {volume_in(house, one.glass_ml)}, ice and garnish not counted." if one.glass_ml > 0.0 else ""
    return [first[:1].upper() + first[1:], *([f"Glass: {into}."] if into else []), *([end] if end else [])]


def _does(one: Serving) -> str:
    if not one.diluted:
        return _DOES[one.method]
    cold = "straight from the freezer" if one.for_freezer else "cold"
    no_ice = f", do not {one.method} it on ice" if one.method in _ON_ICE else ", carbonated" if one.method == "carbonate" else ""
    return f"{cold}{no_ice}: its water is in"


def _step(step: str, one: Serving) -> str:
    """A step of the spec; one that shakes, stirs or blends is marked where the water of the ice is in the mix already."""
    first = step.split(maxsplit=1)[0].casefold().rstrip(",.:;") if step.split() else ""
    return f"(not on ice, its water is in) {step}" if one.diluted and one.method in _ON_ICE and first == one.method else step


def _added(line: ServiceLine, library: Library, whole: bool) -> tuple[str, ...]:
    when, comma, optional = line.when.partition(", ")
    said = f"{_WHEN.get(when, when)}{comma}{optional}"
    ready = (f"have ready {line.total}",) if whole else ()
    return (library.name_of(line.item), f"{line.each.removesuffix(' each')} a serve", said, *ready)
