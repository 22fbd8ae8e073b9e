"""Events: order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.verbs.asking import Answer, Question, now, refuse

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened


def declare(question: Question) -> None:
    """Declare this group's questions."""
    order = question(
        "order", "an event: drinks, prep list, vessels, shopping, ice, cost; without ORDER the orders there are", _order
    )
    order.add_argument("order", metavar="ORDER", nargs="?", default="")
    order.add_argument("--guests", type=int, metavar="N", help="for so many guests, in place of the order's")
    order.add_argument(
        "--out", default="", metavar="FOLDER", help="write it there: sheets to print, shopping as CSV, all as JSON"
    )


def _order(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.calc.menu import Menu
    from station.cards import order as cards
    from station.desk.exporting import export
    from station.desk.ordering import find_order, listed, ordered, with_guests

    if not asked.order:
        if asked.out or asked.guests is not None:
            refuse(f"{'--out' if asked.out else '--guests'} of which order?", "name one: station order lists them")
        rows = listed(library.library)
        return rows, cards.listed(rows)
    order = find_order(library.library, asked.order)
    if asked.guests is not None:
        order = with_guests(order, asked.guests)
    answer = ordered(Menu.of(library.blends), order, now())
    if not asked.out:
        return answer, cards.order_card(answer, library.library)
    written = export(answer, library.library, asked.out)
    return answer, list(written)
