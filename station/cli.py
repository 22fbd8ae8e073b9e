"""The questions for scripts: `station QUESTION … [--json]`. Turns arguments into one desk call and prints its answer."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NoReturn

from station.bar.fault import CannotAnswer

if TYPE_CHECKING:
    import argparse
    from datetime import datetime

    from station.desk.opening import Opened

DONE, SAYS_NO, USED_WRONGLY, INTERRUPTED = 0, 1, 2, 130

Answer = tuple[object, list[str]]


def run() -> NoReturn:
    """The `station` command: exits with the documented code; a closed pipe is silent."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        code = main(sys.argv[1:])
        sys.stdout.flush()
    except KeyboardInterrupt:
        code = INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = DONE
    sys.exit(code)


def main(arguments: Sequence[str]) -> int:
    """Answer one question, or open the screens. Returns the exit code."""
    try:
        match list(arguments):
            case []:
                return _screens(os.environ.get("STATION_LIBRARY", ""))
            case ["--library", folder]:
                return _screens(folder)
        asked = _parser().parse_args(arguments)
        return _screens(asked.library) if asked.question is None else _answered(asked)
    except CannotAnswer as error:
        _complain(error)
        return SAYS_NO


def _answered(asked: argparse.Namespace) -> int:
    from station.bar.amount import AmountError
    from station.desk.opening import opened

    library = opened(asked.library)
    if library.demo:
        print("station: no library of yours yet, so this is the shipped demo, read only", file=sys.stderr)
    try:
        answer, lines = asked.answer(library, asked)
    except AmountError as error:
        print(f"station: {error}", file=sys.stderr)
        return USED_WRONGLY
    if asked.json:
        from station.desk.plainly import as_json

        print(as_json(answer))
    else:
        print("\n".join(lines)) if lines else None
    return _code(asked, library, answer)


def _code(asked: argparse.Namespace, library: Opened, answer: object) -> int:
    """The exit code; faults that lie elsewhere are said, a line each, and change nothing."""
    from station.desk.checking import exit_code

    if asked.question == "check":
        return exit_code(answer)  # type: ignore[arg-type]  # check answers with faults
    for fault in library.library.faults:
        print(fault, file=sys.stderr)
    return DONE if getattr(answer, "writable", True) else SAYS_NO


def _screens(library: str) -> int:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        _parser().print_usage(sys.stderr)
        print("station: the screens need a terminal; ask a question instead, e.g. station list", file=sys.stderr)
        return USED_WRONGLY
    if os.environ.get("TERM", "dumb") == "dumb":
        print("station: this terminal cannot be painted (TERM=dumb); ask a question instead, e.g. station list", file=sys.stderr)
        return USED_WRONGLY
    from station.tui.start import start

    return start(library)


def _complain(error: CannotAnswer) -> None:
    for fault in error.faults:
        print(fault, file=sys.stderr)
    if not error.faults:
        print(f"station: {error}", file=sys.stderr)


def _list(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import text

    rows = library.find(" ".join(asked.words))
    return rows, text.listed(rows)


def _show(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import text
    from station.desk.look import show

    answer = show(library.blends, asked.spec)
    return answer, text.shown(answer, library.library.house)


def _batch(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import text
    from station.desk.batching import batched, target_of

    target = target_of(library.library, library.blends, asked.serves, asked.volume, asked.vessel, asked.on_hand, asked.into)
    answer = batched(library.blends, asked.spec, target, asked.water, _now())
    return answer, text.batch_card(answer, library.library)


def _make(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import text
    from station.desk.making import made, yield_of

    wanted = yield_of(library.blends, asked.amount, asked.vessel, asked.on_hand)
    answer = made(library.blends, asked.stock, wanted, _now(), asked.acknowledge)
    return answer, text.making_card(answer, library.library.house)


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


def _check(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.desk.checking import check

    faults = check(library.blends)
    return faults, [str(fault) for fault in faults]


def _new(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.shelving import lines_of, new_drink, new_stock, titled

    said = {"name": asked.name or titled(asked.id), "method": asked.method, "glass": asked.glass, "style": asked.style}
    data = {**{key: value for key, value in said.items() if value}, "lines": lines_of(asked.line)}
    answer = (new_stock if asked.stock else new_drink)(library, asked.id, data)
    return answer, shelf.shelved(answer)


def _copy(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.shelving import duplicate, kind_of

    answer = duplicate(library, asked.kind or kind_of(library, asked.id), asked.id, asked.new, asked.name)
    return answer, shelf.shelved(answer)


def _rename(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.renaming import rename
    from station.desk.shelving import kind_of

    answer = rename(library, asked.kind or kind_of(library, asked.id), asked.id, asked.new)
    return answer, shelf.shelved(answer)


def _retire(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.shelving import retire, unretire

    answer = (unretire if asked.undo else retire)(library, asked.id)
    return answer, shelf.shelved(answer)


def _import(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.importing import imported

    answer = imported(library, asked.file, asked.write)
    known = (*library.library.items, *library.library.stocks, "water")
    return answer, shelf.import_plan(answer, {name: library.library.name_of(name) for name in known})


def _migrate(library: Opened, asked: argparse.Namespace) -> Answer:
    from station.cards import shelf
    from station.desk.migrating import migrated

    answer = migrated(library, asked.ounce, asked.spoons, asked.write)
    return answer, shelf.migration(answer)


def _now() -> datetime:
    from datetime import UTC, datetime

    return datetime.now(UTC)


def _number(text: str) -> float:
    import argparse

    from station.bar.amount import AmountError, parse_number

    try:
        return float(text)
    except ValueError:
        pass
    try:
        return parse_number(text)
    except AmountError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _parser() -> argparse.ArgumentParser:
    import argparse

    parser = argparse.ArgumentParser(
        prog="station",
        description="Drink specs finished with weighed food acids: drops to grams, batches by weight, acid and sugar in balance.",
        epilog="Without a question, opens the screens.",
    )
    parser.add_argument("--library", metavar="DIR", default=os.environ.get("STATION_LIBRARY", ""), help="the library's folder")
    questions = parser.add_subparsers(dest="question", metavar="QUESTION")

    def question(name: str, about: str, answer: Callable[[Opened, argparse.Namespace], Answer]) -> argparse.ArgumentParser:
        one = questions.add_parser(name, help=about, description=about)
        one.add_argument("--json", action="store_true", help="one JSON document on stdout")
        one.add_argument("--library", metavar="DIR", default=argparse.SUPPRESS, help="the library's folder")
        one.set_defaults(answer=answer)
        return one

    question("list", "the specs, or those that hold all the words", _list).add_argument("words", nargs="*", metavar="WORDS")
    question("show", "one serve of a spec: grams, dilution, balance", _show).add_argument("spec", metavar="SPEC")
    _batch_arguments(question("batch", "a batch by weight: a card to weigh from", _batch))
    _make_arguments(question("make", "a stock by weight, with its label", _make))
    _acid_arguments(question)
    question("check", "every fault of the library; exit 1 if one is worse than a warning", _check)
    _new_arguments(question("new", "a new drink, or a new stock", _new))
    copy = question("copy", "a copy of a drink, stock or item, to change", _copy)
    _two_ids(copy)
    copy.add_argument("--name", default="", help="its name; without one its id makes it")
    _two_ids(question("rename", "another id; every reference to it follows", _rename))
    retire = question("retire", "a drink off the list; its file stays", _retire)
    retire.add_argument("id", metavar="SPEC")
    retire.add_argument("--undo", action="store_true", help="back on the list")
    sheet = question("import", "drinks from a sheet: drink, item, amount, method, glass; first shown, then written", _import)
    sheet.add_argument("file", metavar="FILE.csv", help="- for standard input")
    sheet.add_argument("--write", action="store_true", help="write what was shown")
    _migrate_arguments(question("migrate", "stored amounts in another ounce or other spoons, rewritten to match", _migrate))
    return parser


def _batch_arguments(batch: argparse.ArgumentParser) -> None:
    batch.add_argument("spec", metavar="SPEC")
    target = batch.add_mutually_exclusive_group(required=True)
    target.add_argument("--serves", type=_number, metavar="N", help="how many serves")
    target.add_argument("--volume", default="", metavar='"1.5 l"', help="a total volume, with its dilution water if there is any")
    target.add_argument("--vessel", default="", metavar="ID", help="one vessel at its working fill")
    target.add_argument("--on-hand", action="append", default=[], metavar="ITEM=AMOUNT", help="what there is of an item")
    batch.add_argument("--into", default="", metavar="ID", help="the vessels it is filled out into")
    water = batch.add_mutually_exclusive_group()
    water.add_argument("--water", action="store_true", default=None, help="DILUTED: its water goes into the vessel")
    water.add_argument("--no-water", dest="water", action="store_false", help="UNDILUTED: ice in the glass brings the water")


def _acid_arguments(question: Callable[..., argparse.ArgumentParser]) -> None:
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


def _make_arguments(make: argparse.ArgumentParser) -> None:
    make.add_argument("stock", metavar="STOCK")
    size = make.add_mutually_exclusive_group()
    size.add_argument("--amount", default="", metavar='"500 g"', help="how much to make, by mass or volume")
    size.add_argument("--vessel", default="", metavar="ID", help="one vessel at its working fill")
    size.add_argument("--on-hand", default="", metavar="ITEM=AMOUNT", help="what is left of one of its lines")
    make.add_argument("--acknowledge", action="store_true", help="the caution for a concentrate has been read")


def _new_arguments(new: argparse.ArgumentParser) -> None:
    new.add_argument("id", metavar="ID")
    new.add_argument("--line", action="append", required=True, metavar="ITEM=AMOUNT", help="one line; say it again for the next")
    new.add_argument("--name", default="", help="its name; without one its id makes it")
    new.add_argument("--method", default="", help="how the drink is made: shake, stir, build, …")
    new.add_argument("--glass", default="")
    new.add_argument("--style", default="", metavar="WINDOW", help="which window its balance is held against")
    new.add_argument("--stock", action="store_true", help="a house stock, not a drink")


def _two_ids(one: argparse.ArgumentParser) -> None:
    from station.desk.shelving import KINDS

    one.add_argument("id", metavar="ID")
    one.add_argument("new", metavar="NEW_ID")
    one.add_argument("--kind", choices=KINDS, default="", help="which, where two kinds share the id")


def _migrate_arguments(migrate: argparse.ArgumentParser) -> None:
    from station.bar.units import OUNCES, SPOONS

    migrate.add_argument("--ounce", choices=OUNCES, default="", help="what oz, cup, pint and gal are to mean")
    migrate.add_argument("--spoons", choices=SPOONS, default="", help="what tsp and tbsp are to mean")
    migrate.add_argument("--write", action="store_true", help="write what was shown, after a copy of the library")
