"""The answers to the questions: frozen, their fields the JSON's. Figures are unrounded; None where undefined."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from station.bar.cautions import Caution
from station.calc.balance import Balance
from station.calc.batch import Fill, Mix, ServiceLine
from station.calc.dilution import Dilution
from station.calc.on_hand import Allowance
from station.calc.rounding import Rounded
from station.calc.serving import Serving
from station.calc.sources import Source
from station.calc.spread import Spread
from station.calc.sulphites import Sulphites


@dataclass(frozen=True, slots=True)
class ShownLine:
    """One line of a spec, weighed. `g_sd` is the standard uncertainty of its grams as it is poured or counted for one drink."""

    item: str
    name: str
    amount: str
    ml: float | None
    g: float | None
    g_sd: float | None
    when: str
    basis: str
    optional: bool = False
    prep: str = ""
    note: str = ""

    @property
    def occasion(self) -> str:
        """When it goes in, where that is not with the others, and whether it must."""
        said = ("" if self.when == "batch" else self.when, "optional" if self.optional else "")
        return ", ".join(part for part in said if part)

    @property
    def prepared(self) -> str:
        """Its name, with what is done to it first."""
        return f"{self.name}, {self.prep}" if self.prep else self.name


@dataclass(frozen=True, slots=True)
class Shown:
    """One serve of a spec: lines, dilution, the balance before ice and in the glass, the window of its style.

    `acids` is g per 100 ml of the glass by kind, `acid_from` each line's share of the acid by mass; `sour_as_citric` is g
    citric per 100 ml that would count as sour (Neta et al. 2007, an estimate). `ta_in_house_basis` is g per 100 ml in the house's
    own acid to its own end point, None where that is citric to pH 8.2. `sources` are each line's shares of the glass,
    `glass_sd` the standard uncertainties of the glass.
    """

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
    glass_sd: Spread | None
    acids: Mapping[str, float]
    acid_from: Mapping[str, float]
    sour_as_citric: float | None
    ta_in_house_basis: float | None
    window: Mapping[str, tuple[float, float]]
    window_source: str
    cautions: tuple[Caution, ...]
    allergens: tuple[str, ...]
    may_contain: tuple[str, ...]
    standard_drinks: float
    sulphites: Sulphites | None
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, slots=True)
class LotUsed:
    """A lot a card takes from: the TA it was measured at, as written ("" never), by whom, and what could not be used of that."""

    item: str
    name: str
    lot: str
    uuid: str
    use_by: datetime | None
    left_g: float | None
    ta: str
    ph: float | None
    measured_at: datetime | None
    measured_by: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Batched:
    """The answer to `batch`: totals of the whole, mixes with their weighed lines, fills, and what is added at the glass.

    `lots` is what it takes from; where one was measured, `glass_by_files` is the glass as it would be without that.
    `glass_sd` are standard uncertainties of a glass from this batch, `one_drink_sd` of one poured and counted by itself.
    `serving` is how much of it one serve is, and how that is finished.
    """

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
    on_hand: Allowance | None
    for_freezer: bool
    balance: Balance
    glass: Balance
    glass_sd: Spread | None
    one_drink_sd: Spread | None
    rounded: Rounded | None
    mixes: tuple[Mix, ...]
    fills: tuple[Fill, ...]
    service: tuple[ServiceLine, ...]
    allergens: tuple[str, ...]
    may_contain: tuple[str, ...]
    cautions: tuple[Caution, ...]
    ethanol_g: float
    standard_drinks: float
    use_by: datetime | None
    ethanol_g_per_serve: float
    standard_drinks_per_serve: float
    lots: tuple[LotUsed, ...]
    glass_by_files: Balance | None
    sulphites: Sulphites | None
    serving: Serving


@dataclass(frozen=True, slots=True)
class MadeLine:
    """One line to weigh: g as bought, its standard uncertainty on the finest scale that bears it, and grams of each acid in it
    where it is an acid."""

    item: str
    name: str
    g: float
    g_sd: float
    acid_g: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Label:
    """What stands on the bottle. `strength` has its basis beside every %; `diluted` None for what was bought as it is.

    `lot` and `by` are "" where nothing is logged yet. `keeps_reason` is why it may outlive what went into it. `off_plan` says
    what a pour left off the card, `of_edit` that it was made by an edit nobody had saved.
    """

    name: str
    strength: str
    made: datetime
    use_by: datetime | None
    store: str
    allergens: tuple[str, ...]
    may_contain: tuple[str, ...] = ()
    diluted: bool | None = False
    by: str = ""
    lot: str = ""
    finishing: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    keeps_reason: str = ""
    off_plan: str = ""
    of_edit: bool = False


@dataclass(frozen=True, slots=True)
class MadeStock:
    """The answer to `make`. `strength` is % w/w of each acid, `strength_wv` the same as g per 100 ml.

    `parts` is the recipe in parts by weight, written out; `lost_g` what its lines weigh more than it comes to.
    """

    id: str
    name: str
    g: float
    ml: float
    lines: tuple[MadeLine, ...]
    parts: str
    lost_g: float
    method: str
    steps: tuple[str, ...]
    notes: str
    yield_note: str
    strength: Mapping[str, float]
    strength_wv: Mapping[str, float]
    salt_pct_ww: float
    salt_pct_wv: float
    brix: float
    sugar_pct_wv: float
    density_g_per_ml: float
    label: Label
    lots: tuple[LotUsed, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class BoughtAcid:
    """Grams as bought that bring an acid; no item where the house buys none."""

    acid: str
    item: str
    g: float | None


@dataclass(frozen=True, slots=True)
class AdjustedSize:
    """So much juice and acid, and what they make. `acids_g` is pure acid; all acid, the juice's own with it, by both bases."""

    juice_ml: float
    juice_g: float
    acids_g: Mapping[str, float]
    as_bought: tuple[BoughtAcid, ...]
    result: Balance
    acid_pct_ww: float
    acid_g_per_100ml: float


@dataclass(frozen=True, slots=True)
class AdjustedJuice:
    """The answer to `adjust`: *add to* and *make up to* are two answers. Kinds are shares of all acid by mass."""

    item: str
    name: str
    to: str
    target_g_per_100ml: float
    start: Balance
    add_to: AdjustedSize
    make_up_to: AdjustedSize
    kinds: Mapping[str, float]
    target_kinds: Mapping[str, float]
    alike: float | None


@dataclass(frozen=True, slots=True)
class StandInLine:
    """One line of what stands in for a juice."""

    item: str
    name: str
    g: float
    ml: float | None


@dataclass(frozen=True, slots=True)
class ReplacedJuice:
    """The answer to `replace`: the lines, the glass before and after, and what is lost, in words."""

    id: str
    name: str
    item: str
    lines: tuple[StandInLine, ...]
    before: Balance
    after: Balance
    kinds: Mapping[str, float]
    stand_in_kinds: Mapping[str, float]
    loses: str
