"""The balance questions: compare, map."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.verbs.asking import Answer, Question

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened


def declare(question: Question) -> None:
    """Declare this group's questions."""
    compare = question("compare", "two drinks, or two versions of one, side by side", _compare)
    compare.add_argument("left", metavar="A", help="SPEC as it is saved; SPEC@edited; SPEC@1 before the last save, SPEC@2 …")
    compare.add_argument("right", metavar="B", help="the same")
    found = question("map", "the drinks by the sugar and acid of their glass", _map)
    found.add_argument("spec", metavar="SPEC", nargs="?", default="", help="the drink asked about, with the window of its style")


def _compare(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.compared import compared_card
    from station.desk.comparing import compare

    answer = compare(library, asked.left, asked.right)
    return answer, compared_card(answer)


def _map(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.bar.glyphs import ascii_only
    from station.cards.picture import map_card
    from station.desk.mapping import library_map

    answer = library_map(library.blends, asked.spec)
    return answer, map_card(answer, plain=ascii_only())
