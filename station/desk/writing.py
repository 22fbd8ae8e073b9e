"""The way from a question that changes the library to its files: refused in one sentence, or made as a whole and read again."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from station.bar.fault import CannotAnswer
from station.desk.opening import Opened
from station.files.edit import EditRefused
from station.files.save import Busy, Change, ChangedOnDisk, NotWritable, OutsideLibrary, save, save_all
from station.files.source import Source, read_source


def ready(opened: Opened) -> None:
    """Take in what is on the disk now. Raises CannotAnswer for a library that is never written."""
    try:
        opened.reread()
    except OSError as error:
        raise CannotAnswer(f"{opened.folder} cannot be read: {error.strerror}", "check its permissions") from None
    if opened.look:
        raise CannotAnswer("this is a look-up: nothing is written")
    if opened.demo:
        raise CannotAnswer("the demo library is read only", "start station once for a library of your own, or name one")
    if opened.read_only:
        raise CannotAnswer("this library is of a newer format and read only", "update the program")


def source_of(opened: Opened, file: str) -> Source:
    """That file as it stands on the disk. Raises CannotAnswer with its faults."""
    source = read_source(opened.folder, file)
    if source.faults:
        raise CannotAnswer(f"{file} cannot be read", "mend it first", source.faults)
    return source


def make(opened: Opened, changes: Sequence[Change]) -> None:
    """Make all the changes, or none, and read the library again. Raises CannotAnswer."""
    with in_one_sentence():
        save_all(opened.folder, changes)
    opened.reread()


def save_edit(opened: Opened, file: str, digest: str, edit: Callable[[str], str]) -> None:
    """Put an open document's edit into the file as it was begun on (`digest`). Raises CannotAnswer; the edit stays a draft."""
    try:
        source = opened.reader.source(file)
    except KeyError:
        raise CannotAnswer(f"{file} is gone", "your edit is kept as a draft") from None
    if source.digest != digest:
        raise CannotAnswer(f"{file} was changed by another program", "open it again; your edit is kept as a draft")
    with in_one_sentence("not saved", "the edit is kept as a draft"):
        save(opened.folder, file, edit(source.text), digest)


@contextmanager
def in_one_sentence(outcome: str = "nothing was changed", remedy: str = "") -> Iterator[None]:
    """What an edit or the disk refuses, as CannotAnswer."""
    try:
        yield
    except (EditRefused, ChangedOnDisk, OutsideLibrary, NotWritable, Busy) as error:
        raise CannotAnswer(f"{outcome}: {error}", remedy) from None
