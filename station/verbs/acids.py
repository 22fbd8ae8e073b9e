"""The acid questions: adjust, replace."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.verbs.asking import Answer, Question

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened


def declare(question: Question) -> None:
    """Declare this group's questions."""
    adjust = question("adjust", "bring a juice to another's acidity with named acids", _adjust)
    adjust.add_argument("item", metavar="ITEM")
    adjust.add_argument(
        "--to", required=True, metavar='ITEM|"6.0 g/100ml"', help="a TA, as citric to pH 8.2 unless it says otherwise"
    )
    adjust.add_argument("--with", dest="parts", default="", metavar="citric=2,malic=1", help="which acids, in parts by weight")
    size = adjust.add_mutually_exclusive_group()
    size.add_argument("--yield", dest="made", default="", metavar='"1 l"', help="make it up to this volume")
    size.add_argument("--on-hand", default="", metavar="ITEM=AMOUNT", help="what there is of the juice")
    replace = question("replace", "a juice line as acid, sugar and water at equal TA, sugar and volume", _replace)
    replace.add_argument("spec", metavar="SPEC")
    replace.add_argument("item", metavar="ITEM")
    replace.add_argument("--acid", default="", metavar="STOCK", help="the acid stock; else the one nearest in kinds")
    replace.add_argument("--sugar", default="", metavar="STOCK", help="the syrup; else the plainest")


def _adjust(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import acid
    from station.desk.adjusting import adjusted, parse_parts

    parts = parse_parts(asked.parts) if asked.parts else None
    answer = adjusted(library.blends, asked.item, asked.to, parts, asked.made, asked.on_hand)
    return answer, acid.adjusted(answer, library.library)


def _replace(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import acid
    from station.desk.adjusting import replaced

    answer = replaced(library.blends, asked.spec, asked.item, asked.acid, asked.sugar)
    return answer, acid.replaced(answer, library.library)
