"""The questions for scripts: `station QUESTION … [--json]`. Turns arguments into one desk call and prints its answer."""

from __future__ import annotations

import codecs
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from types import SimpleNamespace
from typing import TYPE_CHECKING, NoReturn, cast

from station.bar import glyphs
from station.bar.fault import CannotAnswer

if TYPE_CHECKING:
    import argparse

    from station.desk.opening import Opened
    from station.verbs.asking import Answering

DONE, SAYS_NO, USED_WRONGLY, INTERRUPTED = 0, 1, 2, 130

# The modules of `station.verbs`, in the order the questions are listed.
GROUPS = ("looking", "making", "acids", "shelf", "balancing", "measuring", "backwards", "events", "logbook")


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
    glyphs.use_ascii(glyphs.wants_ascii(os.environ, sys.flags.utf8_mode == 1))
    try:
        asked = _without_question(arguments) or _parser().parse_args(arguments)
        if asked.ascii:
            glyphs.use_ascii(True)
        _speak()
        return _screens(asked) if asked.question is None else _answered(asked)
    except CannotAnswer as error:
        _complain(error)
        return SAYS_NO
    except PermissionError as error:
        print(f"station: {error.strerror}", file=sys.stderr)
        return SAYS_NO


def _without_question(arguments: Sequence[str]) -> argparse.Namespace | None:
    """The options of the screens, if these are no more than that: an argument parser would cost the start some 10 ms."""
    asked = SimpleNamespace(question=None, library=os.environ.get("STATION_LIBRARY", ""), theme="", look=False, ascii=False)
    rest = iter(arguments)
    for one in rest:
        if one in {"--look", "--ascii"}:
            setattr(asked, one[2:], True)
        elif one in {"--library", "--theme"} and (value := next(rest, "-"))[:1] != "-":
            setattr(asked, one[2:], value)
        else:
            return None
    return cast("argparse.Namespace", asked)


def _speak() -> None:
    """Where only ASCII can be shown, what is printed is that, too."""
    if glyphs.ascii_only():
        codecs.register_error("station", _in_ascii)
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, io.TextIOWrapper):
                stream.reconfigure(encoding="ascii", errors="station")


def _in_ascii(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeEncodeError)
    before = error.object[max(0, error.start - 1) : error.start]
    return glyphs.in_ascii(error.object[max(0, error.start - 1) : error.end])[len(before) :], error.end


def _answered(asked: argparse.Namespace) -> int:
    from station.bar.amount import AmountError
    from station.desk.opening import opened

    if asked.look:
        from station.files import guard

        guard.install()
    library = opened(asked.library, asked.look)
    if library.demo:
        print("station: no library of yours yet, so this is the shipped demo, read only", file=sys.stderr)
    try:
        answer, lines = asked.answer(library, asked)
    except AmountError as error:
        print(f"station: {error}", file=sys.stderr)
        return USED_WRONGLY
    for line in library.log.news() if library.log is not None else ():
        print(f"station: {line}", file=sys.stderr)
    if asked.json:
        from station.desk.plainly import as_json

        print(as_json(answer, ascii_only=glyphs.ascii_only()))
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
    return DONE if getattr(answer, "writable", True) and getattr(answer, "possible", True) else SAYS_NO


def _screens(asked: argparse.Namespace) -> int:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        _parser().print_usage(sys.stderr)
        print("station: the screens need a terminal; ask a question instead, e.g. station list", file=sys.stderr)
        return USED_WRONGLY
    if os.environ.get("TERM", "dumb") == "dumb":
        print("station: this terminal cannot be painted (TERM=dumb); ask a question instead, e.g. station list", file=sys.stderr)
        return USED_WRONGLY
    from station.tui.start import start

    return start(asked.library, asked.theme, asked.look)


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
    parser.add_argument("--theme", metavar="NAME|FILE", default="", help="the colours of the screens")
    parser.add_argument("--look", action="store_true", help="the screens to look things up in: nothing can be written")
    parser.add_argument("--ascii", action="store_true", help="no signs beyond ASCII, for fonts that have none")
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
