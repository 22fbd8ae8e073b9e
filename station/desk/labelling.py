"""Labels of stocks about to be made and of lots, on the screen or into the very file that was asked for."""

from __future__ import annotations

import stat
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from station.bar.fault import CannotAnswer
from station.calc.answers import Label
from station.calc.making import Yield
from station.cards import labels as cards
from station.desk.logging_lots import label_of
from station.desk.making import made
from station.desk.on_shelf import shelf_of
from station.desk.opening import Opened
from station.files.disk import put


def labels(opened: Opened, names: Sequence[str], now: datetime) -> list[Label]:
    """A label each: a stock's as if it were made now, a lot's as it was. Raises CannotAnswer."""
    shelf = shelf_of(opened, now)
    stocks = opened.library.stocks
    return [
        made(opened.blends, name, Yield(), now, True, shelf).label if name in stocks else label_of(opened, name) for name in names
    ]


def sheet(opened: Opened, found: Sequence[Label]) -> list[str]:
    """The labels as text, a blank row between two."""
    rows = [row for one in found for row in (*cards.label(one, opened.library.house), "")]
    return rows[:-1]


def written(opened: Opened, found: Sequence[Label], svg: str, html: str) -> list[str]:
    """The sheet in these files, and no other; which they are. Raises CannotAnswer."""
    from station.cards import sheets

    house = opened.library.house
    made_of = [(svg, sheets.svg), (html, sheets.html)]
    return [_write(Path(path), text(found, house)) for path, text in made_of if path]


def _write(path: Path, text: str) -> str:
    """One file, whole or not at all. A link, a folder or a device in its place is left alone."""
    try:
        if path.is_symlink() or (path.exists() and not stat.S_ISREG(path.stat().st_mode)):
            raise CannotAnswer(f"{path} is no plain file", "name another")
        path.parent.stat()  # a folder that is not there is not made
        put(path, text.encode())
    except OSError as error:
        raise CannotAnswer(f"{path} cannot be written: {error.strerror}", "name a file in a folder that is there") from None
    return str(path)
