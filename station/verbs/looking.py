"""Looking things up: list, show, check."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.verbs.asking import Answer, Question, now

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened


def declare(question: Question) -> None:
    """Declare this group's questions."""
    question("list", "the specs, or those that hold all the words", _list).add_argument("words", nargs="*", metavar="WORDS")
    show = question("show", "one serve of a spec: grams, dilution, balance", _show)
    show.add_argument("spec", metavar="SPEC")
    about = show.add_mutually_exclusive_group()
    about.add_argument("--card", action="store_true", help="the drink at a glance, 40 columns wide")
    about.add_argument("--sources", action="store_true", help="which line brings what of the alcohol, sugar, acid and water")
    question("check", "every fault of the library; exit 1 if one is worse than a warning", _check)


def _list(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import text

    rows = library.find(" ".join(asked.words))
    return rows, text.listed(rows)


def _show(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import lookup, sources, text
    from station.desk.asked import house_day
    from station.desk.look import show

    answer = show(library.blends.on(house_day(now(), library.library.house)), asked.spec)
    if asked.card:
        return answer, lookup.look_up(answer, library.library)
    if asked.sources:
        return answer, [answer.name, "", *sources.sources_card(answer.sources)]
    return answer, text.shown(answer, library.library)


def _check(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.desk.checking import check

    faults = check(library.blends)
    return faults, [str(fault) for fault in faults]
