"""A card as text in a file, to print or to send: in `.station/cards/`, under a name that says what and when."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from station.bar.fault import CannotAnswer
from station.desk.opening import Opened
from station.files.places import make_private, private_folder


def kept_card(opened: Opened, name: str, lines: Sequence[str], now: datetime) -> str:
    """Where the card was written. `name` is an id. Raises CannotAnswer where nothing can be written."""
    private = private_folder(opened.folder)
    path = private / "cards" / f"{name}-{now.strftime('%Y%m%d-%H%M%S')}.txt"
    try:
        make_private(private)
        path.parent.mkdir(exist_ok=True)
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    except OSError as error:
        raise CannotAnswer(f"the card cannot be written: {error.strerror}", "print it by station batch") from None
    return str(path)
