"""The questions for scripts: `station QUESTION … [--json]`. Turns arguments into one desk call and prints its answer."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING, NoReturn

from station.bar.fault import CannotAnswer

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened
    from station.verbs.asking import Answering

DONE, SAYS_NO, USED_WRONGLY, INTERRUPTED = 0, 1, 2, 130

# The modules of `station.verbs`, in the order the questions are listed.
GROUPS = ("looking", "making", "acids", "shelf", "balancing")


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


def _parser() -> argparse.ArgumentParser:
    import argparse

    parser = argparse.ArgumentParser(
        prog="station",
        description="Drink specs finished with weighed food acids: drops to grams, batches by weight, acid and sugar in balance.",
        epilog="Without a question, opens the screens.",
    )
    parser.add_argument("--library", metavar="DIR", default=os.environ.get("STATION_LIBRARY", ""), help="the library's folder")
    questions = parser.add_subparsers(dest="question", metavar="QUESTION")

    def question(name: str, about: str, answer: Answering) -> argparse.ArgumentParser:
        one = questions.add_parser(name, help=about, description=about)
        one.add_argument("--json", action="store_true", help="one JSON document on stdout")
        one.add_argument("--library", metavar="DIR", default=argparse.SUPPRESS, help="the library's folder")
        one.set_defaults(answer=answer)
        return one

    for group in GROUPS:
        import_module(f"station.verbs.{group}").declare(question)
    return parser
