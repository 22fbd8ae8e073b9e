"""A whole drink at a glance: for a phone, a small pane, an index card. 40 columns, 20 lines as a rule."""

from __future__ import annotations

from collections.abc import Iterable

from station.bar import say
from station.bar.nouns import Library
from station.calc.answers import Shown, ShownLine
from station.cards.layout import cut, table, wrap
from station.cards.text import plainly

WIDTH, ROWS = 40, 20
# Figures in two rows, each with its unit beside it once.
_ROWS = ((("ABV", "abv", " % vol"), ("pH", "ph", "")), (("sugar", "sugar", ""), ("acid", "acid", "")))
_UNITS = "(sugar, acid as citric: g/100 ml glass)"


@plainly
def look_up(answer: Shown, library: Library, width: int = WIDTH, height: int = ROWS) -> list[str]:
    """Name, method and glass, lines, garnish, steps, balance and what must be known; without blanks where it is over `height`."""
    garnish = [line for line in answer.lines if _is_garnish(line, library)]
    poured = [line for line in answer.lines if line not in garnish]
    rows = [
        answer.name,
        *wrap(" · ".join(filter(None, (answer.method, answer.served_in, answer.ice, answer.strain))), width),
        "",
        *_lines(poured, width),
        *wrap(_garnishes(garnish), width),
        "",
        *(row for place, step in enumerate(answer.steps, 1) for row in wrap(f"{place}. {step}", width)),
        *_balance(answer, width),
        *wrap(f"Allergens: {', '.join(answer.allergens) or 'none stated by the suppliers'}", width),
        *(row for one in answer.cautions if one.word != "NOTE" for row in wrap(f"{one.word}: {one.text}", width)),
    ]
    return rows if len(rows) <= height else [row for row in rows if row]


def _lines(lines: Iterable[ShownLine], width: int) -> list[str]:
    """Amounts and names, those cut to fit; when it goes in, where not with the others, is never cut."""
    rows = [(line.amount, line.prepared, f" ({line.occasion})" if line.occasion else "") for line in lines]
    room = width - max((len(amount) for amount, _, _ in rows), default=0) - 2
    return table([(amount, cut(name, room - len(when)) + when) for amount, name, when in rows], right=frozenset({0}))


def _is_garnish(line: ShownLine, library: Library) -> bool:
    item = library.items.get(line.item)
    return item is not None and item.kind == "garnish"


def _garnishes(lines: Iterable[ShownLine]) -> str:
    said = ", ".join(f"{line.amount.removesuffix(' each')} {line.name}" for line in lines)
    return f"Garnish: {said}" if said else ""


def _balance(answer: Shown, width: int) -> list[str]:
    rows = [" · ".join(_figure(answer, *one) for one in row) for row in _ROWS]
    return [*rows, *wrap(_UNITS, width)]


def _figure(answer: Shown, name: str, figure: str, unit: str) -> str:
    value, window = answer.glass.figures[figure], answer.window.get(figure)
    text = say.ph(value, bool(answer.glass.ph_note)) if figure == "ph" else say.number(value)
    stands = f" {say.standing(value, window)}" if value is not None and window else ""
    return f"{name} {text}{unit if value is not None else ''}{stands}"
