"""What is printed and pinned up: a sheet for each mix, one for each vessel, the prep list, the shopping list as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from station.bar import say
from station.bar.nouns import Library
from station.bar.shown_as import volume_in
from station.calc.buying import Bought
from station.calc.filling import Filled
from station.calc.ordered import OrderBatch, Ordered
from station.cards.layout import caution_rows, table, wrap
from station.cards.order import clock, day, mixed_in, packs, prep, shopping
from station.cards.serving import at_the_glass
from station.cards.text import WIDTH, mix_lines, plainly, standard_drinks, state, until

_SIGN = "done by ____________________  at __________"
# A cell that begins so is a formula to a spreadsheet.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_HEAD = (
    *("item", "name", "unit", "need", "need_ml", "waste", "on_hand", "packs", "bought", "left_over", "cost", "currency"),
    *("at_low_yield", "at_usual_yield", "note"),
)


@plainly
def mix_sheet(answer: Ordered, one: OrderBatch, library: Library) -> list[str]:
    """What to weigh for a drink, in sequence, with running readings and scales; then where it goes."""
    return [
        f"{one.name} · {state(one.diluted)}{' · for the FREEZER' if one.for_freezer else ''}",
        f"{answer.name}, {day(answer.starts)} · {say.number(one.serves, 9)} serves · {volume_in(library.house, one.total_ml)}",
        *wrap(f"Start by {clock(answer.ready)}: {mixed_in(one, library)}", WIDTH),
        *(line for mix in one.mixes for line in mix_lines(mix, library, WIDTH)),
        "",
        *_fill_sheet(one, library),
        "",
        *at_the_glass(one.serving, one.service, library, WIDTH),
        "",
        *_foot(answer, one, library),
        *caution_rows((told for told in answer.cautions if told.code == "permission"), WIDTH),
        "",
        _SIGN,
    ]


@plainly
def vessel_sheet(answer: Ordered, one: OrderBatch, fill: Filled, place: int, library: Library) -> list[str]:
    """The sheet that hangs on the `place`th vessel of a drink."""
    whole, serves = sum(each.count for each in one.fills), one.serves * fill.ml / one.total_ml
    volume = volume_in(library.house, fill.ml)
    return [
        f"{one.name} · {state(one.diluted)}{' · for the FREEZER' if one.for_freezer else ''}",
        f"{library.house.vessels[fill.vessel].name}, {place} of {whole} · {answer.name}, {day(answer.starts)}",
        "",
        f"{volume} = {say.grams(fill.g)}, {say.grams(fill.gross_g)} with the vessel, about {say.number(serves)} serves",
        "",
        *at_the_glass(one.serving, one.service, library, WIDTH, whole=False),
        "",
        *_foot(answer, one, library),
        "",
        _SIGN,
    ]


def vessel_sheets(answer: Ordered, one: OrderBatch, library: Library) -> list[list[str]]:
    """A sheet for each vessel of a drink."""
    fills = [fill for fill in one.fills for _ in range(fill.count)]
    return [vessel_sheet(answer, one, fill, place, library) for place, fill in enumerate(fills, 1)]


@plainly
def prep_sheet(answer: Ordered, library: Library) -> list[str]:
    """The prep list, each stock with its lines."""
    lines = [f"{answer.name}, {day(answer.starts)} · prep list", "", *prep(answer, library, WIDTH)]
    for stock in answer.stocks:
        rows = [(library.name_of(dose.item), say.grams(dose.g)) for dose in stock.doses]
        lost = f", {say.grams(stock.lost_g)} of what goes in is lost" if stock.lost_g > 0.05 else ""
        size = f"{say.grams(stock.g)} = {volume_in(library.house, stock.ml)}"
        lines += ["", *wrap(f"{library.name_of(stock.id)}: {size}{lost}", WIDTH), *table(rows, right=frozenset({1}))]
    return lines


@plainly
def shopping_sheet(answer: Ordered, library: Library) -> list[str]:
    """The shopping list to take along."""
    return [f"{answer.name}, {day(answer.starts)} · shopping", "", *shopping(answer, library, WIDTH)]


def shopping_csv(answer: Ordered) -> str:
    """The shopping list for a spreadsheet: no cell is a formula, numbers are plain, a cell not known is empty."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(_HEAD)
    writer.writerows(_csv_row(one, answer.cost.currency) for one in answer.shop)
    return out.getvalue()


def _csv_row(one: Bought, currency: str) -> Iterator[str]:
    at_low = sum(press.at_low for press in one.presses) if one.presses else None
    at_usual = sum(press.at_usual for press in one.presses) if one.presses else None
    yield from (_cell(one.item), _cell(one.name), one.unit)
    yield from map(_figure, (one.need, one.need_ml, one.lost, one.on_hand))
    yield _cell(packs(one))
    yield from map(_figure, (one.bought, one.left_over, one.cost))
    yield _cell(currency)
    yield from map(_figure, (at_low, at_usual))
    yield _cell(one.note)


def _cell(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    clean = say.plain(text).replace(say.GAP, " ")
    return f"'{clean}" if clean.lstrip().startswith(_FORMULA) else clean


def _figure(value: float | None) -> str:
    return "" if value is None else f"{value:.4f}".rstrip("0").rstrip(".")


def _fill_sheet(one: OrderBatch, library: Library) -> Sequence[str]:
    """Vessels in the order they are filled, each tared first, with what is poured in all by then."""
    rows, poured, place = [], 0.0, 0
    for fill in one.fills:
        scale = library.house.scales.get(fill.scale)
        step = scale.readability_g if scale else None
        for _ in range(fill.count):
            place, poured = place + 1, poured + fill.g
            name = library.house.vessels[fill.vessel].name
            reads, gross = f"reads {say.grams(fill.g, step)}", f"{say.grams(fill.gross_g, step)} with it"
            rows.append(
                (f"{place} {name}", reads, gross, scale.name if scale else "no scale", f"{say.grams(poured)} so far", "[ ]")
            )
    return (
        ["Fill out by weight, each vessel tared:", *table(rows, right=frozenset({1, 2, 4}))] if rows else ["No vessel to fill."]
    )


def _foot(answer: Ordered, one: OrderBatch, library: Library) -> list[str]:
    traces = [f"May contain traces of: {', '.join(one.may_contain)}"] if one.may_contain else []
    return [
        f"Allergens: {say.allergens(one.allergens)}",
        *traces,
        f"Alcohol: {say.number(one.standard_drinks)} {standard_drinks(library.house)} a serve",
        f"Use by: {until(one.use_by, library.house)}",
        *caution_rows((told for told in answer.cautions if told.about == one.id), WIDTH),
    ]
