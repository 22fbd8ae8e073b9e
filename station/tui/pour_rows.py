"""The pour view's rows: a step in large figures, the ways on from a mis-pour, the end."""

from __future__ import annotations

from collections.abc import Sequence

from station.bar import say
from station.bar.nouns import Library
from station.calc.answers import Batched
from station.calc.backwards import Way
from station.calc.correct import LEAVE
from station.cards.backwards import does, ends, moved, short
from station.cards.text import state, until
from station.desk.open_pour import OpenPour
from station.desk.pouring import Step
from station.tui.figures import HEIGHT, large
from station.tui.pane import Row, columns, row, wrapped


def head(pour: OpenPour) -> list[Row]:
    """The drink, DILUTED or UNDILUTED, how far one is, how many serves it will be."""
    answer = pour.answer
    line = "done" if pour.over else f"line {pour.pour.done + (not pour.missed)} of {pour.total}"
    serves = f"{say.number(answer.full_serves, 6)} full serves"
    if abs(pour.pour.size - 1.0) > 1e-6:
        serves = f"{say.number(pour.pour.size * answer.serves / answer.mixes[0].count, 4)} serves now"
    return [((f"{answer.name}  ", "strong"), (state(answer.diluted), "accent")), row(f"{line} · {serves}"), row()]


def step_rows(steps: Sequence[Step], typing: str, width: int, height: int) -> list[Row]:
    """The step; where the screen is low only the reading is large. What is typed stands in the reading's place."""
    step, low = steps[0], height < 2 * HEIGHT + 11
    rows: list[Row] = [row(step.title, "strong")]
    if low:
        rows.append(row(f"{step.does} {step.amount} {step.into}"))
    else:
        rows += [row(f"{step.does}, {step.into}:", "dim"), *_big(step.amount, width)]
    if typing:
        asked = row(f"it should read {step.reads}; it reads:", "dim")
        rows += [row(), asked, *_big(f"{typing} g", width), row("Enter takes it as read, Esc forgets it", "dim")]
    else:
        rows += [row(), row(f"until {step.scale} reads:", "dim"), *_big(step.reads, width)]
    rows += wrapped(step.note, width, "warn")
    following = steps[1] if len(steps) > 1 else None
    return [*rows, row(), row(f"then: {following.title} {following.amount}" if following else "then: done", "dim")]


def way_rows(pour: OpenPour, at: int, width: int) -> list[Row]:
    """What missed, the ways on with their keys, and what the one at hand does."""
    rows = [*wrapped(pour.missed, width, "strong", "  "), row()]
    for number, way in enumerate(pour.ways):
        style = "chosen" if number == at else "text"
        serves = say.number(way.serves, 4)
        serves = f"{serves} serves" if way.fits_vessel and way.fits_scale else f"{serves}, too full"
        rows.append(columns([(f"{number + 1}", 2, ">"), (short(way), max(width - 20, 10), "<"), (serves, 16, ">")], style))
    return [*rows, row(), *_detail(pour.ways[at], width)]


def end_rows(answer: Batched, library: Library, width: int) -> list[Row]:
    rows = [row("All lines are in. Turn it over before the first pour.", "strong"), row()]
    fills = [one for one in answer.fills if one.count > answer.mixes[0].count]
    rows += [row(f"Fill {one.count} × {library.house.vessels[one.vessel].name}: {say.grams(one.g)} each") for one in fills]
    rows += [row(f"{one.when}: {library.name_of(one.item)}, {one.each} a glass") for one in answer.service]
    rows += [row(f"use by {until(answer.use_by, library.house)}"), row()]
    for one in answer.cautions:
        rows += wrapped(f"{one.word}: {one.text}", width, "dim" if one.word == "NOTE" else "warn", "  ")
    return rows


def foot(answer: Batched, width: int) -> list[Row]:
    allergens = ", ".join(answer.allergens) or "none stated by the suppliers"
    return wrapped(f"Allergens: {allergens} · {say.number(answer.standard_drinks)} standard drinks in it", width, "text", "  ")


def _detail(way: Way, width: int) -> list[Row]:
    said = [(does(way), "text"), (ends(way), "dim"), (moved(way.moved), "dim")]
    if way.way == LEAVE:
        # What counts of leaving it is what moves; on a low screen only the first rows are seen.
        said = said[::-1]
    return [
        *(part for text, style in said for part in wrapped(text, width, style, "  ")),
        *wrapped(f"does not fit: {way.note}" if way.note else "", width, "warn", "  "),
    ]


def _big(text: str, width: int) -> list[Row]:
    return [row(line, "accent") for line in large(text, width)]
