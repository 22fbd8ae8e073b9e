"""What every group of questions is made with."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from typing import TYPE_CHECKING, NoReturn, TypeAlias

from station.bar.amount import AmountError, parse_number
from station.bar.say import LONGEST_MESSAGE, plain

if TYPE_CHECKING:
    from station.desk.opening import Opened

# What a question gives back: the answer as `--json` prints it, and the lines for people.
Answer: TypeAlias = tuple[object, list[str]]
Answering: TypeAlias = "Callable[[Opened, argparse.Namespace], Answer]"
# Declares a question: its name, what it is about, what answers it.
Question: TypeAlias = Callable[[str, str, Answering], argparse.ArgumentParser]


class Parser(argparse.ArgumentParser):
    """An argument parser whose complaints are plain text, whatever was typed."""

    def error(self, message: str) -> NoReturn:
        super().error(plain(message, LONGEST_MESSAGE))


def refuse(reason: str, remedy: str) -> NoReturn:
    """What was asked cannot be meant: the command was used wrongly. Raises AmountError."""
    raise AmountError("", 0, reason, remedy)


def now() -> datetime:
    """The time a card is made."""
    return datetime.now(UTC)


def who(library: Opened, asked: argparse.Namespace) -> str:
    """Who writes: `--by`, STATION_BY, else a person at a terminal is asked once. Never guessed."""
    from station.desk.logging import who as said

    name = said(library, asked.by)
    if not name and sys.stdin.isatty() and sys.stderr.isatty():
        print("Who is logging this? ", end="", file=sys.stderr, flush=True)
        name = said(library, sys.stdin.readline().strip())
    return name


def number(text: str) -> float:
    """A count as a person writes it: `12`, `1 1/2`. For argparse, which says what is wrong."""
    try:
        return float(text)
    except ValueError:
        pass
    try:
        return parse_number(text)
    except AmountError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
