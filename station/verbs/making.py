"""Making by weight: batch, make."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.verbs.asking import Answer, Question, now, number, who

if TYPE_CHECKING:
    import argparse

    from station.calc.batch import Target
    from station.desk.opening import Opened


def declare(question: Question) -> None:
    """Declare this group's questions."""
    _batch_arguments(question("batch", "a batch by weight: a card to weigh from", _batch))
    _make_arguments(question("make", "a stock by weight, with its label", _make))


def _batch(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import text
    from station.desk.batching import batched
    from station.desk.on_shelf import shelf_of

    target = target_asked(library, asked)
    moment = now()
    shelf = shelf_of(library, moment)
    answer = batched(library.blends, asked.spec, target, asked.water, moment, asked.round, shelf)
    return answer, text.batch_card(answer, library.library)


def _make(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.making import making_card
    from station.desk.logging_lots import logged
    from station.desk.making import made, yield_of
    from station.desk.on_shelf import shelf_of

    wanted = yield_of(library.blends, asked.amount, asked.vessel, asked.on_hand)
    moment = now()
    shelf = shelf_of(library, moment)
    answer = made(library.blends, asked.stock, wanted, moment, asked.acknowledge, shelf)
    if asked.log or asked.read:
        answer = logged(library, answer, shelf, who(library, asked), moment, asked.read)
    return answer, making_card(answer, library.library.house)


def _batch_arguments(batch: argparse.ArgumentParser) -> None:
    batch.add_argument("spec", metavar="SPEC")
    target_arguments(batch)


def target_asked(library: Opened, asked: argparse.Namespace) -> Target:
    """What these arguments make a batch to. Raises AmountError, CannotAnswer."""
    from station.desk.batching import target_of
    from station.desk.look import find_spec

    spec = find_spec(library.library, asked.spec)
    given = (asked.serves, asked.volume, asked.vessel, asked.on_hand, asked.into)
    return target_of(library.library, library.blends, *given, spec)


def target_arguments(batch: argparse.ArgumentParser) -> None:
    """What a batch is made to, and whether its water goes in."""
    from station.bar.nouns import ROUNDINGS

    target = batch.add_mutually_exclusive_group(required=True)
    target.add_argument("--serves", type=number, metavar="N", help="how many serves")
    target.add_argument("--volume", default="", metavar='"1.5 l"', help="a total volume, with its dilution water if there is any")
    target.add_argument("--vessel", default="", metavar="ID", help="one vessel at its working fill")
    on_hand = "what there is of an item, or of several with commas between them; may be said again"
    target.add_argument("--on-hand", action="append", default=[], metavar="ITEM=AMOUNT", help=on_hand)
    batch.add_argument("--into", default="", metavar="ID", help="the vessels it is filled out into")
    batch.add_argument("--round", choices=ROUNDINGS, default="", help="to what a hand can measure; says what that does")
    water = batch.add_mutually_exclusive_group()
    water.add_argument("--water", action="store_true", default=None, help="DILUTED: its water goes into the vessel")
    water.add_argument("--no-water", dest="water", action="store_false", help="UNDILUTED: ice in the glass brings the water")


def _make_arguments(make: argparse.ArgumentParser) -> None:
    make.add_argument("stock", metavar="STOCK")
    size = make.add_mutually_exclusive_group()
    size.add_argument("--amount", default="", metavar='"500 g"', help="how much to make, by mass or volume")
    size.add_argument("--vessel", default="", metavar="ID", help="one vessel at its working fill")
    size.add_argument("--on-hand", default="", metavar="ITEM=AMOUNT", help="what is left of one of its lines")
    make.add_argument("--log", action="store_true", help="it is made: log it, weighed as asked but for what --read says")
    make.add_argument("--read", action="append", default=[], metavar="ITEM=AMOUNT", help="what the scale read; logs it")
    make.add_argument("--by", default="", metavar="NAME", help="who made it; without it STATION_BY")
    make.add_argument("--acknowledge", action="store_true", help="the caution for a concentrate has been read")
