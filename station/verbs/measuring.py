"""Measuring: convert, calibrate."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from station.bar.amount import AmountError
from station.bar.dates import parse_date
from station.verbs.asking import Answer, Question, now, number

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened


def declare(question: Question) -> None:
    """Declare this group's questions."""
    _convert_arguments(question("convert", "an amount of an item in every other unit, with its basis", _convert))
    _calibrate_arguments(question("calibrate", "what a dispenser holds: first shown, then written", _calibrate))


def _convert(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import calibration
    from station.desk.asked import house_day
    from station.desk.converting import convert

    blends = library.blends.on(house_day(now(), library.library.house))
    answer = convert(blends, asked.amount, asked.item, asked.dispenser, asked.whole, asked.parts)
    return answer, calibration.converted(answer)


def _calibrate(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import calibration
    from station.desk.calibrating import Given, calibrated, considered

    given = Given(
        dispenser=asked.dispenser,
        item=asked.item,
        count=asked.count,
        reads=tuple(asked.reads),
        running=asked.running,
        without_first=asked.without_first,
        by=asked.by,
        day=asked.date,
        name=asked.name,
        unit=asked.unit,
        anyway=asked.anyway,
    )
    answer = (calibrated if asked.write else considered)(library, given, now())
    return answer, [*calibration.calibrated(answer), *([] if asked.write else ["", "--write keeps it"])]


def _convert_arguments(convert: argparse.ArgumentParser) -> None:
    convert.add_argument("amount", metavar='"2 drops"')
    convert.add_argument("item", metavar="ITEM")
    convert.add_argument("--with", dest="dispenser", default="", metavar="DISPENSER", help="which one counts it")
    convert.add_argument(
        "--in", dest="whole", default="", metavar='"1.5 l"', help="the batch it is a part of, by volume or weight"
    )
    convert.add_argument("--parts", type=number, default=0.0, metavar="N", help="how many parts that batch has, for 3 parts")


def _calibrate_arguments(calibrate: argparse.ArgumentParser) -> None:
    from station.bar.units import COUNTED

    calibrate.add_argument("dispenser", metavar="DISPENSER")
    calibrate.add_argument("item", metavar="ITEM", help="the liquid that was weighed")
    calibrate.add_argument("--count", type=int, required=True, metavar="N", help="drops, dashes or spoons in one weighing")
    calibrate.add_argument("--reads", nargs="+", required=True, metavar='"2.61 g"', help="what the scale read, one after another")
    calibrate.add_argument("--running", action="store_true", help="the display ran on: it was not zeroed between readings")
    calibrate.add_argument("--without-first", action="store_true", help="leave the first reading out, as of a short first dash")
    calibrate.add_argument("--by", default="", metavar="NAME", help="who weighed")
    calibrate.add_argument("--date", type=_date, default=None, metavar="2026-11-04", help="when; today if not given")
    calibrate.add_argument("--name", default="", help="of a dispenser that is new")
    calibrate.add_argument("--unit", choices=COUNTED, default="", help="what a dispenser that is new gives")
    calibrate.add_argument("--anyway", action="store_true", help="take what is hardly believable")
    calibrate.add_argument("--write", action="store_true", help="write what was shown")


def _date(text: str) -> date:
    import argparse

    try:
        return parse_date(text)
    except AmountError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
