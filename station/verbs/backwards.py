"""The questions asked backwards: correct, tune."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.verbs.asking import Answer, Question, now
from station.verbs.making import target_arguments, target_asked

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened


def declare(question: Question) -> None:
    """Declare this group's questions."""
    _correct_arguments(question("correct", "a mis-pour: what can still be done with the mix", _correct))
    tune = question("tune", "amounts of some lines that give wished figures in the glass", _tune)
    tune.add_argument("spec", metavar="SPEC")
    tune.add_argument("--move", action="append", default=[], metavar="ITEM,ITEM", help="the lines that may move")
    tune.add_argument(
        "--want",
        action="append",
        default=[],
        metavar='"acid=0.85 g/100ml"',
        help="acid, sugar, ratio, abv or volume; `acid=within` is its window",
    )


def _correct(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import backwards
    from station.desk.batching import batched
    from station.desk.correcting import corrected
    from station.desk.went_in import given, net_reading

    card = batched(library.blends, asked.spec, target_asked(library, asked), asked.water, now(), asked.round)
    ins = [given(text, library.blends) for text in asked.ins]
    reading = net_reading(asked.reading, asked.gross, card, library.library, ins, asked.tipped)
    answer = corrected(library.blends, card, ins, reading, asked.tipped, asked.none_left)
    return answer, backwards.corrected(answer, library.library)


def _tune(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import backwards
    from station.desk.tuning import tuned

    items = [item.strip() for some in asked.move for item in some.split(",") if item.strip()]
    answer = tuned(library.blends, asked.spec, items, asked.want)
    return answer, backwards.tuned(answer)


def _correct_arguments(correct: argparse.ArgumentParser) -> None:
    correct.add_argument("spec", metavar="SPEC")
    target_arguments(correct)
    correct.add_argument(
        "--in",
        dest="ins",
        action="append",
        required=True,
        metavar='"ITEM=620 g"',
        help="what went in so far; ITEM alone as the card asked, ITEM=? where only the scale knows; of a dose the card lets "
        "down with water, “2 g let down” or “2 g neat”",
    )
    reading = correct.add_mutually_exclusive_group()
    reading.add_argument("--reading", default="", metavar='"1240 g"', help="what the scale reads, the vessel tared")
    reading.add_argument("--gross", default="", metavar='"1880 g"', help="what the scale reads with the vessel on it, not tared")
    tipped = "the cup of small doses is in the vessel already, as asked unless --in says otherwise"
    correct.add_argument("--tipped", action="store_true", help=tipped)
    correct.add_argument("--none-left", action="append", default=[], metavar="ITEM", help="there is no more of this")
