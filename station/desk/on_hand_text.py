"""What is on hand, as people write it: `lime-juice=400 ml, Dry gin=1,5 l; lime=40 each`."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from difflib import get_close_matches

from station.bar.amount import Amount, AmountError, parse_amount
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Library, Line, Spec
from station.calc.blend import Blends
from station.calc.explode import making_order
from station.calc.on_hand import refusal
from station.calc.weigh import weigh
from station.desk.asked import some
from station.files.finding import holding

# What parts two things. A comma between two digits is a decimal mark.
_PART = re.compile(r";|,(?!(?<=\d,)\d)")
# So many are offered of what might be meant.
_MOST_OFFERED = 3


def on_hand_of(texts: Sequence[str], blends: Blends, spec: Spec | None) -> tuple[dict[str, float], dict[str, float]]:
    """Grams of what is weighed and pieces of what is counted, by id, as `spec` calls its lines and what they are made of.

    Raises AmountError for what is no amount, CannotAnswer for what is not there, or not in the drink.
    """
    found: dict[str, dict[str, float]] = {"g": {}, "each": {}}
    for name, text in (pair for one in texts for pair in _pairs(one)):
        item = _called(name, blends.library, spec)
        amount, unit = _amount(name, item, text, blends)
        if any(item in there for other, there in found.items() if other != unit):
            raise CannotAnswer(f"{name} on hand is both weighed and counted", "say all of it one way")
        found[unit][item] = found[unit].get(item, 0.0) + amount
    return found["g"], found["each"]


def _pairs(text: str) -> Iterator[tuple[str, str]]:
    """Each thing's name and amount, in a list with commas or semicolons: a name may hold some, too."""
    name, *rest = text.split("=")
    for place, words in enumerate(rest):
        amount, *after = _PART.split(words, maxsplit=1)
        if not name.strip(" ,;"):
            raise AmountError(text, 0, f"“{text.strip()}” does not name what is on hand", "write e.g. lime-juice=400 ml")
        yield " ".join(name.strip(" ,;").split()), amount.strip()
        name = after[0] if after else ""
        if not after and place < len(rest) - 1:
            raise AmountError(text, 0, f"“{words.strip()}” is more than an amount", "put a comma between two things")
    if name.strip(" ,;"):
        raise AmountError(text, 0, f"“{name.strip(' ,;')}” names no amount", "write e.g. lime-juice=400 ml")


def _called(name: str, library: Library, spec: Spec | None) -> str:
    """The id of what is called so: by its id, or by its name, whole or up to a comma, where the drink takes only one such."""
    known = [*library.items, *library.stocks, WATER]
    among = list(dict.fromkeys(known)) if spec is None else _taken(spec, library)
    found = called(name, among, library)
    if len(found) > 1:
        raise CannotAnswer(f"“{name}” could be {_offered(found, library)}", "write the id")
    if found or spec is None:
        return found[0] if found else name
    said, lines = refusal(name, spec)
    if name in known:
        raise CannotAnswer(said, lines)
    near = _near(name, among, library)
    raise CannotAnswer(f"there is no “{name}” in {spec.name}", f"did you mean {_offered(near, library)}?" if near else lines)


def _taken(spec: Spec, library: Library) -> list[str]:
    """What a drink takes: its lines, what those are made of, what is pressed for them, and water."""
    named = list(dict.fromkeys(line.item for line in spec.lines))
    stocks = making_order((name for name in named if name in library.stocks), library)
    parts = dict.fromkeys([*named, *stocks, *(line.item for name in stocks for line in library.stocks[name].lines)])
    fruit = [item.fruit.item for name in parts if (item := library.items.get(name)) is not None and item.fruit is not None]
    return list(dict.fromkeys([*parts, *fruit, WATER]))


def called(name: str, among: Sequence[str], library: Library) -> list[str]:
    """Those of that id, or else of that name."""
    return [name] if name in among else [item for item in among if name.casefold() in names_of(item, library)]


def names_of(item: str, library: Library) -> set[str]:
    """What an item may be called: by its id, or by its name, whole or up to a comma; in small letters."""
    name = library.name_of(item).casefold()
    return {item, item.replace("-", " "), name, name.partition(",")[0].strip()}


def _near(name: str, among: Sequence[str], library: Library) -> list[str]:
    """Those that hold the words, also misspelt; else the one whose id or name is most like it."""
    rows = [(f"{library.name_of(item)} {item}".casefold(), item) for item in among]
    if found := holding(rows, name):
        return found[:_MOST_OFFERED]
    by_name = {one: item for item in among for one in names_of(item, library)}
    return [by_name[one] for one in get_close_matches(name.casefold(), by_name, n=1, cutoff=0.6)]


def _offered(items: Sequence[str], library: Library) -> str:
    return " or ".join(item if library.name_of(item) == item else f"{item} ({library.name_of(item)})" for item in items)


def _amount(name: str, item: str, text: str, blends: Blends) -> tuple[float, str]:
    """How much there is and in which unit: pieces of fruit to press and of what has no weight, grams of everything else."""
    fruit = any(one.fruit is not None and one.fruit.item == item for one in blends.library.items.values())
    stuff = blends.stuff(item)
    amount = _read(name, text, by_the_piece=fruit or stuff.each_g is not None or not stuff.in_liquid)
    if amount.measures == "each" and fruit:
        return amount.value or 0.0, "each"
    grams = weigh(Line(item, amount), blends.stuff, blends.library).g
    if grams is None:
        return amount.value or 0.0, "each"
    return (grams / stuff.each_g, "each") if fruit and stuff.each_g else (grams, "g")


def _read(name: str, text: str, by_the_piece: bool) -> Amount:
    """The amount. Raises AmountError, which says of what, and CannotAnswer for a written zero."""
    try:
        amount = some(text, f"{name} on hand", "drink")
    except AmountError as error:
        remedy = error.remedy
        with suppress(AmountError):  # with a unit it is one
            parse_amount(text, "each")
            remedy = f"say which, e.g. {text} each" if by_the_piece else remedy
        said = f"“{text}” of {name} on hand: {error.reason}" if text else f"{name} on hand: {error.reason}"
        raise AmountError(text, error.start, said, remedy) from None
    if amount.role:
        raise AmountError(text, 0, f"“{text}” of {name} on hand says when it goes in, not how much", "write e.g. 400 ml")
    return amount
