"""The rows of the log: what was made or bought, what was weighed for it, what was measured of it, what became of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias

LOT_KINDS = ("bought", "stock", "batch")
# How a weighing is known: read off the scale, as the card asked (a tap), or estimated.
READ, ASKED, ESTIMATED = KNOWN = ("read", "asked", "estimated")
# What becomes of a lot, and of a row that was wrong (`voided`: the row is kept and counts no more).
FINISHED, USED_UP, DISCARDED, VOIDED, HELD, RELEASED, CORRECTED = MARKS = (
    *("finished", "used up", "discarded"),
    *("voided", "held", "released", "corrected"),
)


@dataclass(frozen=True, slots=True)
class Lot:
    """One thing made or bought. `item` is the id of the item, stock or drink; `text` its file as it was, named by `revision`.

    `g` and `ml` are what there was of it, None where nobody said. `target`, `water`, `rounding` and `card` say what a batch was
    asked to be.
    `allergens` None: nobody said. `pieces` is how many fruit a juice was pressed from, `code` the supplier's own.
    """

    uuid: str
    kind: str
    item: str
    name: str
    made: datetime
    by: str
    use_by: datetime | None = None
    g: float | None = None
    ml: float | None = None
    diluted: bool | None = None
    strength: str = ""
    store: str = ""
    allergens: tuple[str, ...] | None = None
    may_contain: tuple[str, ...] = ()
    finishing: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    pieces: float | None = None
    code: str = ""
    target: str = ""
    water: bool | None = None
    rounding: str = ""
    card: str = ""
    revision: str = ""
    text: str = ""

    @property
    def short(self) -> str:
        """What a label says, and what finds the lot again."""
        return short(self.uuid)


@dataclass(frozen=True, slots=True)
class Weighing:
    """One thing that went into a lot: by line of its card, from which lot (`part`, "" unknown), wanted and actual grams."""

    uuid: str
    lot: str
    line: int
    item: str
    wanted_g: float
    actual_g: float
    known: str
    at: datetime
    by: str
    part: str = ""
    scale: str = ""


@dataclass(frozen=True, slots=True)
class Measurement:
    """What instruments said of a lot: TA as it was written, pH, a refractometer's °Bx, °C."""

    uuid: str
    lot: str
    at: datetime
    by: str
    ta: str = ""
    ph: float | None = None
    brix: float | None = None
    temp_c: float | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """What became of a lot, one of MARKS: some or all of it (`g` None) gone, held by a session, or a row (`about`) void.

    Of a batch that was finished `g`, `ml` and `strength` are what it came to by its weighings, `why` says what was left off the
    card ("" nothing).
    """

    uuid: str
    lot: str
    kind: str
    at: datetime
    by: str
    about: str = ""
    g: float | None = None
    why: str = ""
    ml: float | None = None
    strength: str = ""


Row: TypeAlias = Lot | Weighing | Measurement | Mark


def short(uuid: str) -> str:
    """The first eight digits of a row's name, as a label says them."""
    return f"{uuid[:4]}-{uuid[4:8]}"
