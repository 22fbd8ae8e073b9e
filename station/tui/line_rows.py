"""The rows of a drink's lines and of what is to be known of it: a long name goes on below, as long as there is room."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from station.bar import say
from station.tui.pane import Row, broken, columns, cut, row, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from station.calc.answers import Shown

# Mark, amount, grams, and the blanks between them and the name.
_MARK, _AMOUNT, _GRAMS = 1, 11, 8
_BESIDE = _MARK + _AMOUNT + 1 + 1 + _GRAMS


def name_parts(names: Sequence[tuple[str, str]], width: int, room: int) -> list[list[str]]:
    """The lines' names, each with when it goes in ("" for with the rest), as the rows they stand in.

    They are whole; where that takes more than `room` rows a long one is cut, but none so that it looks like another.
    """
    space = max(8, width - _BESIDE)
    marked = [(name, f" ·{say.GAP}{when}" if when else "") for name, when in names]
    whole = [broken(name + mark, space) or [""] for name, mark in marked]
    if sum(map(len, whole)) <= room:
        return whole
    short = [cut(name, space - cell_len(mark)) + mark for name, mark in marked]
    return [[one] if short.count(one) == 1 else parts for one, parts in zip(short, whole, strict=True)]


def line_rows(mark: str, amount: Row, parts: Sequence[str], grams: str, width: int, style: str) -> list[Row]:
    """A line's row, and those its name goes on in."""
    first, *more = parts
    rest = columns([(first, max(8, width - _BESIDE), "<"), (grams, _GRAMS, ">")], style)
    inward = " " * (_MARK + _AMOUNT + 1)
    return [((mark or " ", style), *amount, (" ", style), *rest), *(row(inward + part, style) for part in more)]


def amount_cell(text: str, style: str) -> Row:
    """An amount as it stands."""
    return columns([(text, _AMOUNT, ">")], style)


def amount_field(text: str, unit: str) -> Row:
    """An amount as it is typed, of a long one the end, where one types; behind it the unit a bare number takes, else ""."""
    room = _AMOUNT - 1
    end = text if len(text) <= room else "…" + text[1 - room :]
    taken = cut(unit, room - len(end))
    return ((end.rjust(room - len(taken)), "field"), (" ", "cursor"), (taken, "dim"))


def in_sight(heights: Sequence[int], top: int, at: int, room: int) -> range:
    """The places whose rows fit in `room` from `top` on, which moves no more than it must to have `at` among them."""
    top = min(top, at)
    while top < at and sum(heights[top : at + 1]) > room:
        top += 1
    while top > 0 and sum(heights[top - 1 :]) <= room:
        top -= 1
    end = at + 1
    while end < len(heights) and sum(heights[top : end + 1]) <= room:
        end += 1
    return range(top, end)


def known(answer: Shown, width: int) -> list[Row]:
    """What is to be known of the drink: its dilution, its allergens, its cautions."""
    rows = _dilution(answer, width)
    rows += wrapped(f"Allergens: {say.allergens(answer.allergens)}", width, "text", "  ")
    for one in answer.cautions:
        rows += wrapped(f"{one.word}: {one.text}", width, "dim" if one.word == "NOTE" else "warn", "  ")
    return rows


def _dilution(answer: Shown, width: int) -> list[Row]:
    """The figures in a sentence of their own, so that a key that moves them moves nothing else."""
    water = answer.dilution
    initial, final = say.percent(water.fraction_of_initial, "of initial"), say.percent(water.fraction_of_final, "of final")
    basis = f"  initial: the volume before ice, final: after it; {water.source}"
    figures = wrapped(f"Dilution: {say.grams(water.water_g)} water = {initial} = {final}", width, "dim", "  ")
    return [*figures, *wrapped(basis, width, "dim", "  ")]
