"""Two drinks or versions side by side, as text."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TypeAlias

from station.bar import say
from station.calc.answers import ShownLine
from station.calc.compared import EDITED, SAVED, Compared, ComparedFigure, ComparedLine, Side
from station.cards.layout import GAP, cut, table, wrap
from station.cards.text import WIDTH, moment, plainly

SIDE_BY_SIDE = 70
_MINUS = "−"

# Each figure's name with unit and basis, how it is said, and the word its window goes by.
_Said: TypeAlias = Callable[[float | None], str]
_FIGURES: dict[str, tuple[str, _Said, str]] = {
    "ml": ("Volume, ml", say.number, ""),
    "abv_pct": ("ABV, % vol", say.number, "abv"),
    "ethanol_g": ("Alcohol, g", say.number, ""),
    "sugar_g_per_100ml": ("Sugar, g/100 ml", say.number, "sugar"),
    "acid_g_per_100ml": ("Acid, g/100 ml", say.number, "acid"),
    "sugar_acid_ratio": ("Sugar : acid, g/g", say.number, "ratio"),
    "ph": ("pH", lambda value: say.ph(value, rough=True), "ph"),
}


@plainly
def compared_card(answer: Compared, width: int = WIDTH) -> list[str]:
    """Lines, then figures, side by side; where there is no room for that figures first, then the lines that differ."""
    wide = width >= SIDE_BY_SIDE
    left, right = f"Left: {_title(answer.left)}", f"Right: {_title(answer.right)}"
    return [
        *([f"{left}   {right}"] if len(left) + len(right) + 3 <= width else [left, right]),
        "",
        *(_wide_lines(answer, width) if wide else _figures(answer, width, wide)),
        "",
        *(_figures(answer, width, wide) if wide else _narrow_lines(answer.lines, width)),
        *wrap("Difference: right less left. In the glass, 20 °C; acid as citric to pH 8.2.", width),
    ]


def _title(side: Side) -> str:
    return f"{side.name}, {_version(side)}"


def _version(side: Side) -> str:
    if side.version in (SAVED, EDITED):
        return side.version
    return f"until {moment(datetime.fromisoformat(side.version))} UTC"


def _wide_lines(answer: Compared, width: int) -> list[str]:
    rows = [("", "left", "", "right", "", "difference")]
    rows += [(line.name, *_amount(line.left), *_amount(line.right), _difference(line)) for line in answer.lines]
    return table(rows, right=frozenset(range(1, 6)), width=width)


def _narrow_lines(lines: Iterable[ComparedLine], width: int) -> list[str]:
    """Under each item's name both amounts and the difference; then, together, the items of which both have the same."""
    rows: list[str] = []
    same: list[str] = []
    for line in lines:
        left, right = (" ".join(filter(None, _amount(one))) for one in (line.left, line.right))
        if left == right:
            same.append(f"{line.name} {left}")
        else:
            rows += [cut(line.name, width), *_further_in(f"{left} → {right}  {_difference(line)}", width)]
    return [*rows, *wrap(f"The same: {'; '.join(same)}." if same else "", width)]


def _further_in(text: str, width: int) -> list[str]:
    return [f"{GAP}{row}" for row in wrap(text, width - len(GAP))]


def _amount(line: ShownLine | None) -> tuple[str, str]:
    if line is None:
        return "none", ""
    return line.amount, say.grams(line.g) if line.g is not None else ""


def _difference(line: ComparedLine) -> str:
    """In grams; in words where both sides have the same, or what they have is only counted."""
    if line.left and line.right and line.left.amount == line.right.amount and not line.difference_g:
        return "same"
    if line.difference_g is not None:
        return signed(line.difference_g, say.grams)
    return "other" if line.left and line.right else "only left" if line.left else "only right"


def _figures(answer: Compared, width: int, wide: bool) -> list[str]:
    rows: list[tuple[str, ...]] = [("", "left", "right", "difference" if wide else "diff.")]
    rows += [_figure(one, answer, wide) for one in answer.figures]
    return table(rows, right=frozenset({1, 2, 3}), width=width)


def _figure(one: ComparedFigure, answer: Compared, wide: bool) -> tuple[str, ...]:
    name, said, window = _FIGURES[one.figure]
    sides = ((one.left, answer.left_window.get(window)), (one.right, answer.right_window.get(window)))
    texts = [said(value) + (_stands(value, edges) if wide else "") for value, edges in sides]
    return (name, *texts, _moved(one, said))


def _moved(one: ComparedFigure, said: _Said) -> str:
    """The difference; in a word where both sides read the same, a dash where either is undefined."""
    if one.difference is None:
        return say.NOTHING
    return "same" if said(one.left) == said(one.right) else signed(one.difference, _roughly(said))


def _stands(value: float | None, window: tuple[float, float] | None) -> str:
    return f" {say.standing(value, window)}" if value is not None and window else ""


def _roughly(said: _Said) -> _Said:
    """A difference is said to two figures: it is uncertain by both sides' last."""
    return (lambda value: say.number(value, 2)) if said is say.number else said


def signed(value: float, said: Callable[[float], str]) -> str:
    """A difference with its sign; what is too small to be said is 0."""
    text = said(abs(value))
    return "0" if not any(char in "123456789" for char in text) else f"{'+' if value > 0 else _MINUS}{text}"
