"""The lots on the shelf that are other than their files say, beside a drink that is reckoned by the files."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from station.bar.fault import CannotAnswer
from station.tui.pane import Row, wrapped

if TYPE_CHECKING:
    from station.calc.answers import LotUsed, Shown
    from station.desk.opening import Opened


def lots_apart(opened: Opened) -> Mapping[str, LotUsed]:
    """The lots a card takes that are other than their files say; of a log that cannot be read the batch says why."""
    from station.desk.lot_rows import apart

    try:
        return apart(opened, datetime.now(UTC))
    except CannotAnswer:
        return {}


def beside_files(lots: Mapping[str, LotUsed], answer: Shown, width: int) -> list[Row]:
    """What of a drink a card takes from those lots, in words."""
    if not lots:
        return []
    from station.cards import lots as cards

    said = cards.beside_files(lots, (line.item for line in answer.lines))
    return wrapped(said, width, "warn", "  ") if said else []
