"""The way to a library's log: opened when it is first needed, its troubles said in one sentence, whoever writes named."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.logged import Lot, Row
from station.desk.opening import Opened
from station.files.places import log_file, make_private, private_folder

if TYPE_CHECKING:
    from station.lots.log import Log

BY_VARIABLE = "STATION_BY"
_LONGEST_NAME = 40


def log_of(opened: Opened) -> Log:
    """The library's log, made if there is none. Raises CannotAnswer where its folder cannot be made."""
    if opened.log is None:
        from station.lots.log import Log

        if opened.look:
            raise CannotAnswer("this is a look-up: nothing is written", "log it at a station")
        if opened.demo:
            raise CannotAnswer("the demo library is read only", "start station once for a library of your own, or name one")
        try:
            make_private(private_folder(opened.folder))
        except OSError as error:
            raise CannotAnswer(f"the log cannot be written: {error.strerror}", "check the library's permissions") from None
        opened.log = Log(log_path(opened))
    return opened.log


def log_path(opened: Opened) -> Path:
    return log_file(opened.folder)


def has_log(opened: Opened) -> bool:
    """Whether anything was ever logged, and may be read: a question need not make a log to find it empty.

    A look-up never opens it: reading it writes beside it.
    """
    if opened.look:
        return False
    return opened.log.store.path.exists() if opened.log is not None else log_path(opened).exists()


def add(opened: Opened, *rows: Row) -> None:
    """All of the rows in the log, on the disk, or none. Raises CannotAnswer."""
    with told():
        log_of(opened).add(*rows)


@contextmanager
def told() -> Iterator[None]:
    """What the log refuses, as CannotAnswer."""
    from station.lots.store import LogBusy, LogUnusable

    try:
        yield
    except LogBusy as error:
        raise CannotAnswer(f"{error}: nothing was logged", "try again") from None
    except LogUnusable as error:
        raise CannotAnswer(str(error), "nothing was logged") from None
    except OSError as error:
        raise CannotAnswer(f"the log cannot be used: {error.strerror}", "nothing was logged") from None


def news(opened: Opened) -> list[str]:
    """What the log has to say that a person must hear, each once."""
    return opened.log.news() if opened.log is not None else []


def new_uuid() -> str:
    """A name no other row has."""
    return uuid4().hex


def session(opened: Opened) -> str:
    """What tells this run of the program from any other."""
    if not opened.session:
        opened.session = new_uuid()
    return opened.session


def who(opened: Opened, said: str = "") -> str:
    """Who is logging: as said now or before in this session, or the variable STATION_BY; "" where nobody is named."""
    name = " ".join(say.plain(said or opened.by or os.environ.get(BY_VARIABLE, ""), _LONGEST_NAME).split())
    if name:
        opened.by = name
    return name


def named(opened: Opened, said: str = "") -> str:
    """Who is logging. Raises AmountError where nobody is named: it is never guessed."""
    name = who(opened, said)
    if not name:
        raise AmountError(said, 0, "nobody is named", f"say who logs it: --by NAME, or {BY_VARIABLE}")
    return name


def find_lot(opened: Opened, reference: str) -> Lot:
    """The one lot whose label begins so, or that has this code of the supplier's. Raises CannotAnswer."""
    if not has_log(opened):
        raise CannotAnswer("nothing is logged yet", "log a lot first")
    with told():
        found = log_of(opened).called(reference.strip())
    if len(found) == 1:
        return found[0]
    if not found:
        raise CannotAnswer(f"there is no lot {reference}", "give what its label says, e.g. 7f3a-91c2; see station log")
    named = ", ".join(f"{lot.short} {lot.name}" for lot in found[:5])
    raise CannotAnswer(f"{reference} could be {len(found)} lots: {named}", "give more of it")
