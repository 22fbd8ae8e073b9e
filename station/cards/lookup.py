"""A whole drink at a glance: for a phone, a small pane, an index card. 40 columns, 20 lines as a rule."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from station.bar import say
from station.bar.nouns import Library
from station.calc.answers import LotUsed, Shown, ShownLine
from station.cards.layout import cut, table, wrap
from station.cards.lots import beside_files
from station.cards.text import plainly

WIDTH, ROWS = 40, 20
NO_LOTS: Mapping[str, LotUsed] = {}
# Figures in two rows, each with its unit beside it once.
_ROWS = ((("ABV", "abv", " % vol"), ("pH", "ph", "")), (("sugar", "sugar", ""), ("acid", "acid", "")))
_UNITS = "(sugar, acid as citric: g/100 ml glass)"
_STANDS = "(low, within, high: of its usual range)"
# When a line goes in, as who makes one drink reads it.
_WHEN = {"service": "per glass", "finish": "per glass, last"}


@plainly
def look_up(
    answer: Shown, library: Library, width: int = WIDTH, height: int = ROWS, lots: Mapping[str, LotUsed] = NO_LOTS
) -> list[str]:
    """Name, method and glass, lines, garnish, steps, balance, `lots` that are other than their files, and what must be known.

    Where it is over `height` it goes without blanks; where that is not enough long names are cut, if they then fit. Where one has
    to scroll anyway names are whole, and the balance stands before the steps, in sight.
    """
    loose = _rows(answer, library, width, lots)
    close, closest = ([row for row in rows if row] for rows in (loose, _rows(answer, library, width, lots, tight=True)))
    fitting = next((rows for rows in (loose, close, closest) if len(rows) <= height), None)
    return fitting or [row for row in _rows(answer, library, width, lots, steps_last=True) if row]


def _rows(
    answer: Shown, library: Library, width: int, lots: Mapping[str, LotUsed], tight: bool = False, steps_last: bool = False
) -> list[str]:
    garnish = [line for line in answer.lines if _is_garnish(line, library)]
    poured = [line for line in answer.lines if line not in garnish]
    steps = [row for place, step in enumerate(answer.steps, 1) for row in wrap(f"{place}. {step}", width)]
    figures = [*_balance(answer, width, tight), *wrap(beside_files(lots, (line.item for line in answer.lines)), width)]
    return [
        answer.name,
        *wrap(" · ".join(filter(None, (answer.method, answer.served_in, answer.ice, answer.strain))), width),
        "",
        *_lines(poured, width, tight),
        *wrap(_garnishes(garnish), width),
        "",
        *(figures + steps if steps_last else steps + figures),
        *wrap(f"Allergens: {say.allergens(answer.allergens)}", width),
        *(row for one in answer.cautions if one.word != "NOTE" for row in wrap(f"{one.word}: {one.text}", width)),
    ]


def _lines(lines: Iterable[ShownLine], width: int, tight: bool) -> list[str]:
    """Amounts and names; what does not fit goes on below, `tight` is cut. When one goes in is never cut."""
    rows = [(line.amount, line.prepared, _occasion(line)) for line in lines]
    room = width - max((len(amount) for amount, _, _ in rows), default=0) - 2
    broken = [(amount, [cut(name, room - len(when)) + when] if tight else wrap(name + when, room)) for amount, name, when in rows]
    return table([(said if not at else "", part) for said, parts in broken for at, part in enumerate(parts)], frozenset({0}))


def _occasion(line: ShownLine) -> str:
    when, comma, optional = line.occasion.partition(", ")
    return f" ({_WHEN.get(when, when)}{comma}{optional})" if when else ""


def _is_garnish(line: ShownLine, library: Library) -> bool:
    item = library.items.get(line.item)
    return item is not None and item.kind == "garnish"


def _garnishes(lines: Iterable[ShownLine]) -> str:
    said = ", ".join(f"{line.amount.removesuffix(' each')} {line.name}" for line in lines)
    return f"Garnish: {said}" if said else ""


def _balance(answer: Shown, width: int, tight: bool) -> list[str]:
    rows = [" · ".join(_figure(answer, *one) for one in row) for row in _ROWS]
    return [*rows, *wrap(_UNITS, width), *(wrap(_STANDS, width) if answer.window and not tight else [])]


def _figure(answer: Shown, name: str, figure: str, unit: str) -> str:
    value, window = answer.glass.figures[figure], answer.window.get(figure)
    text = say.ph(value, bool(answer.glass.ph_note)) if figure == "ph" else say.number(value)
    stands = f" {say.standing(value, window)}" if value is not None and window else ""
    return f"{name} {text}{unit if value is not None else ''}{stands}"
