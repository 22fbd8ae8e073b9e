"""What was made: lot, log, prep, label."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.verbs.asking import Answer, Question, now, number, refuse, who

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened


def declare(question: Question) -> None:
    """Declare this group's questions."""
    _lot_arguments(question("lot", "a delivery measured: what it does to the drinks, what brings it to spec", _lot))
    _log_arguments(question("log", "all that was logged, what is in date, what to discard, where a lot went", _log))
    prep = question("prep", "what to make for a service day: par, less what is there in date", _prep)
    prep.add_argument("--date", default="", metavar="2026-12-01", help="a service day; without it today's")
    label = question("label", "labels of stocks about to be made, or of lots", _label)
    label.add_argument("of", nargs="+", metavar="STOCK|LOT")
    label.add_argument("--svg", default="", metavar="FILE", help="the sheet as a picture, into this file")
    label.add_argument("--html", default="", metavar="FILE", help="the sheet as a page to print, into this file")


def _lot(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.lots import delivered
    from station.desk.receiving import Delivery, received

    said = Delivery(
        *(asked.item, asked.ta, asked.ph, asked.brix, asked.temp, asked.amount),
        *(asked.pieces, asked.made, asked.use_by, asked.code, asked.of),
    )
    answer = received(library, said, who(library, asked), now())
    return answer, delivered(answer, library.library.house)


def _prep(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.lots import prepared
    from station.desk.preparing import prepared as reckoned

    answer = reckoned(library, asked.date, now())
    return answer, prepared(answer, library.library.house)


def _label(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.desk.labelling import labels, sheet, written

    answer = labels(library, asked.of, now())
    if asked.svg or asked.html:
        files = written(library, answer, asked.svg, asked.html)
        return answer, [f"written: {file}" for file in files]
    return answer, sheet(library, answer)


def _log(library: Opened, asked: argparse.Namespace) -> Answer:
    for option, questions in _ONLY_FOR.items():
        if getattr(asked, option) and asked.what not in questions:
            refuse(f"log {asked.what} takes no --{option}", f"it belongs to log {' and log '.join(questions)}")
    return _ASKED[asked.what](library, asked)


def _everything(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.lots import everything
    from station.desk import log_questions

    rows = log_questions.everything(library)
    return rows, everything(rows)


def _in_date(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.lots import in_date
    from station.desk import log_questions

    rows = log_questions.in_date(library, now())
    return rows, in_date(rows, library.library.house)


def _discard(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.lots import discards
    from station.desk import log_questions

    answer = log_questions.discards(library, now())
    return answer, discards(answer, library.library.house)


def _trace(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.lots import traced
    from station.desk import log_questions

    answer = log_questions.trace(library, _named(asked))
    return answer, traced(answer, library.library)


def _deviations(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.lots import deviations
    from station.desk import log_questions

    rows = log_questions.deviations(library)
    return rows, deviations(rows, library.library)


def _yields(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.lots import yields
    from station.desk import fruit_yields, log_questions

    rows = log_questions.yields(library)
    files = fruit_yields.written(library, rows) if asked.write else []
    return rows, [*yields(rows), *(f"written: {file}" for file in files)]


def _gone(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards.lots import in_date
    from station.desk.logging_lots import gone

    used = asked.what == "used-up"
    row = gone(library, _named(asked), who(library, asked), now(), asked.amount, asked.why, used)
    return row, [f"{asked.what}: {row.name}, lot {row.lot}"] if row.left_g is None else in_date([row], library.library.house)


def _void(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.desk.logging_lots import voided

    answer = voided(library, _named(asked), who(library, asked), now(), asked.why)
    return answer, [f"void from now on: {answer.what}"]


def _demo(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.desk.demo_log import imported

    answer = imported(library, now())
    added = f"{answer.lots} invented lots and {answer.weighings} invented weighings are in the log, as of a month that ended now"
    return answer, [added if answer.lots else "the invented month is in the log already", *answer.left_out]


_ASKED = {
    "in-date": _in_date,
    "all": _everything,
    "discard": _discard,
    "trace": _trace,
    "deviations": _deviations,
    "yields": _yields,
    "discarded": _gone,
    "used-up": _gone,
    "void": _void,
    "import-demo": _demo,
}

# What is given with another question than these would be given for nothing.
_ONLY_FOR = {"amount": ("discarded",), "why": ("discarded", "used-up", "void"), "write": ("yields",)}


def _named(asked: argparse.Namespace) -> str:
    if not asked.lot:
        refuse(f"log {asked.what} of which lot?", "give what its label says, e.g. 7f3a-91c2")
    return str(asked.lot)


def _lot_arguments(lot: argparse.ArgumentParser) -> None:
    lot.add_argument("item", metavar="ITEM")
    lot.add_argument("--ta", default="", metavar='"5.2 g/100ml"', help="titrated; as citric to pH 8.2 unless it says otherwise")
    lot.add_argument("--ph", type=number, default=None, help="by a meter")
    lot.add_argument("--brix", type=number, default=None, help="by a refractometer, at 20 °C")
    lot.add_argument("--temp", type=number, default=None, metavar="°C", help="its temperature")
    lot.add_argument("--amount", default="", metavar='"2 l"', help="how much there is of it")
    lot.add_argument("--pieces", type=number, default=None, metavar="N", help="how many fruit it was pressed from")
    lot.add_argument("--made", default="", metavar='"2026-11-25 16:30"', help="when it was made or came; without it now")
    lot.add_argument("--use-by", default="", metavar="2026-12-01", help="the supplier's date")
    lot.add_argument("--code", default="", help="the supplier's own lot")
    lot.add_argument("--of", default="", metavar="LOT", help="a lot that is in the log already, measured again")
    lot.add_argument("--by", default="", metavar="NAME", help="who logs it; without it STATION_BY")


def _log_arguments(log: argparse.ArgumentParser) -> None:
    log.add_argument("what", nargs="?", choices=tuple(_ASKED), default="in-date")
    log.add_argument("lot", nargs="?", default="", metavar="LOT", help="what its label says, or the supplier's code")
    log.add_argument("--amount", default="", metavar='"300 g"', help="discarded: so much of it; without it all")
    log.add_argument("--why", default="", help="discarded, used-up, void: the reason")
    log.add_argument("--by", default="", metavar="NAME", help="who logs it; without it STATION_BY")
    log.add_argument("--write", action="store_true", help="yields: write them into the items' files")
