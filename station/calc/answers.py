"""The answers to the questions: frozen, their fields the JSON's. Figures are unrounded; None where undefined."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from station.bar.cautions import Caution
from station.calc.balance import Balance
from station.calc.batch import Fill, Mix, ServiceLine
from station.calc.dilution import Dilution


@dataclass(frozen=True, slots=True)
class ShownLine:
    """One line of a spec, weighed."""

    item: str
    name: str
    amount: str
    ml: float | None
    g: float | None
    g_sd: float | None
    when: str
    basis: str


@dataclass(frozen=True, slots=True)
class Shown:
    """One serve of a spec: lines, dilution, the balance before ice and in the glass, the window of its style."""

    id: str
    name: str
    method: str
    served_in: str
    ice: str
    strain: str
    steps: tuple[str, ...]
    notes: str
    lines: tuple[ShownLine, ...]
    dilution: Dilution
    before: Balance
    glass: Balance
    window: Mapping[str, tuple[float, float]]
    window_source: str
    cautions: tuple[Caution, ...]
    allergens: tuple[str, ...]
    may_contain: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Batched:
    """The answer to `batch`: totals of the whole, mixes with their weighed lines, fills, and what is added at the glass."""

    id: str
    name: str
    serves: float
    full_serves: int
    diluted: bool
    water_g: float
    total_ml: float
    total_g: float
    spec_revision: str
    limited_by: str
    for_freezer: bool
    balance: Balance
    glass: Balance
    mixes: tuple[Mix, ...]
    fills: tuple[Fill, ...]
    service: tuple[ServiceLine, ...]
    allergens: tuple[str, ...]
    may_contain: tuple[str, ...]
    cautions: tuple[Caution, ...]
    ethanol_g: float
    standard_drinks: float
    use_by: datetime | None


@dataclass(frozen=True, slots=True)
class MadeLine:
    """One line to weigh: g as bought, and grams of each acid in it where it is an acid."""

    item: str
    name: str
    g: float
    acid_g: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Label:
    """What stands on the bottle. `strength` has its basis beside every %."""

    name: str
    strength: str
    made: datetime
    use_by: datetime | None
    store: str
    allergens: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MadeStock:
    """The answer to `make`. `strength` is % w/w of each acid, `strength_wv` the same as g per 100 ml."""

    id: str
    name: str
    g: float
    ml: float
    lines: tuple[MadeLine, ...]
    method: str
    steps: tuple[str, ...]
    notes: str
    yield_note: str
    strength: Mapping[str, float]
    strength_wv: Mapping[str, float]
    salt_pct_ww: float
    brix: float
    density_g_per_ml: float
    label: Label
    cautions: tuple[Caution, ...]
