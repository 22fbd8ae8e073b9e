"""The answers about lots: frozen, their fields the JSON's. Figures are unrounded; None where undefined."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from station.bar.logged import Mark, Measurement, Weighing
from station.calc.answers import BoughtAcid
from station.calc.balance import Balance


@dataclass(frozen=True, slots=True)
class LotRow:
    """A lot as lists say it. `lot` is what its label says; `left_g` None where nobody said how much there was.

    `off_plan` says what a pour left off the card, "" nothing; `of_edit` that its card was of an edit nobody had saved.
    """

    lot: str
    uuid: str
    kind: str
    item: str
    name: str
    made: datetime
    by: str
    use_by: datetime | None
    g: float | None
    left_g: float | None
    diluted: bool | None
    half_made: bool
    store: str
    code: str
    allergens: tuple[str, ...] | None
    off_plan: str = ""
    of_edit: bool = False


@dataclass(frozen=True, slots=True)
class Moved:
    """A drink's glass by its files, and with the lots as they were measured."""

    id: str
    name: str
    before: Balance
    after: Balance


@dataclass(frozen=True, slots=True)
class LotToSpec:
    """What a litre of a lot takes to be as its file says: acid as bought, or water; and what that is then."""

    acids: tuple[BoughtAcid, ...]
    acid_g: float
    water_g: float
    result: Balance


@dataclass(frozen=True, slots=True)
class LotLogged:
    """The answer to `lot`: TA g per 100 ml as citric to pH 8.2, by its file and as measured; None where nothing was measured."""

    row: LotRow
    ta: str
    ph: float | None
    brix: float | None
    temp_c: float | None
    spec_g_per_100ml: float | None
    measured_g_per_100ml: float | None
    to_spec: LotToSpec | None
    moved: tuple[Moved, ...]
    ml_per_piece: float | None
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LogEntry:
    """One thing that was logged: when, what it was in a word or two, the lot it is about, its grams (None: nobody said).

    `detail` says more in words. `void`: the entry was taken back later and counts no more.
    """

    at: datetime
    what: str
    name: str
    lot: str
    uuid: str
    g: float | None
    by: str
    detail: str
    void: bool


@dataclass(frozen=True, slots=True)
class TracedLot:
    """A lot a trace met, how many makings away, and the grams that went from the one to the other."""

    row: LotRow
    steps: int
    g: float


@dataclass(frozen=True, slots=True)
class Traced:
    """The answer to `log trace`: what the lot went into, what went into it, and every row that speaks of it.

    `unknown` names what went in from no lot anybody named; `revision` and `text` are of the spec it was made by.
    """

    row: LotRow
    went_into: tuple[TracedLot, ...]
    made_of: tuple[TracedLot, ...]
    unknown: tuple[str, ...]
    weighings: tuple[Weighing, ...]
    measurements: tuple[Measurement, ...]
    marks: tuple[Mark, ...]
    revision: str
    text: str


@dataclass(frozen=True, slots=True)
class Discards:
    """The answer to `log discard`: what is over, and what ends with this service day."""

    over: tuple[LotRow, ...]
    ends_today: tuple[LotRow, ...]


@dataclass(frozen=True, slots=True)
class PieceYield:
    """What one fruit gave, by the log, beside what the item's file says, ml."""

    item: str
    name: str
    fruit: str
    lots: int
    pieces: float
    least_ml: float
    mean_ml: float
    low_ml: float | None
    usual_ml: float | None


@dataclass(frozen=True, slots=True)
class Prep:
    """One thing to make, or to buy or press: `needed_g` is par and what other makings take, `on_hand_g` what is there in date.

    `cap` says what held it down, "" nothing. `pieces` is how many fruit that takes, as one gives as a rule and at the least.
    """

    item: str
    name: str
    par_g: float
    needed_g: float
    on_hand_g: float
    g: float
    ml: float | None
    cap: str
    use_by: datetime | None
    store: str
    lots: tuple[str, ...]
    unmeasured: tuple[str, ...]
    pieces: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class PrepList:
    """The answer to `prep`: what to make, in making order, then what to buy or press, for one service day."""

    day: date
    make: tuple[Prep, ...]
    get: tuple[Prep, ...]
    notes: tuple[str, ...]
