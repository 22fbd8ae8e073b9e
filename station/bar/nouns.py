"""The nouns of a bar. All frozen: a change makes a new one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType

from station.bar.amount import Amount
from station.bar.fault import Fault
from station.bar.quantity import Acidity, Keeps, StatedDilution

METHODS = ("shake", "stir", "build", "blend", "carbonate", "none")
WHENS = ("batch", "service", "finish")
KINDS = (
    *("spirit", "wine", "liqueur", "bitters", "juice", "syrup", "sugar", "acid", "salt", "water"),
    *("soda", "egg", "dairy", "herb", "garnish", "other"),
)
STORES = ("room", "fridge", "freezer")
BATCHES = ("diluted", "undiluted", "freezer")
SHARES = ("of mixed", "proportional")
YIELDS = ("low", "usual")
ACIDITIES = ("citric to pH 8.2", "malic to pH 8.2", "tartaric to pH 7.0", "tartaric to pH 8.2")
FIGURES = ("abv", "sugar", "acid", "ratio", "ph")
ROUNDINGS = ("jigger", "whole g", "half g", "bottle")
WATER = "water"


@dataclass(frozen=True, slots=True)
class Scale:
    """An instrument that weighs: capacity and readability in g; `repeatability_g` is found by weighing again, 0 if unknown."""

    id: str
    name: str
    capacity_g: float
    readability_g: float
    repeatability_g: float = 0.0


@dataclass(frozen=True, slots=True)
class Vessel:
    """A pitcher, bottle, keg or tub: brim volume and working fill in ml, tare in g, how many there are."""

    id: str
    name: str
    brim_ml: float
    fill_ml: float
    tare_g: float
    count: int


@dataclass(frozen=True, slots=True)
class House:
    """What this bar's text means, how it is shown, and what it measures with."""

    name: str = ""
    ounce: str = "us"
    spoons: str = "us"
    timezone: str = "UTC"
    day_ends: str = "05:00"
    volume: str = "ml"
    acidity: str = "citric to pH 8.2"
    currency: str = ""
    standard_drink_g: float = 10.0
    freezer_c: float = -18.0
    theme: str = ""
    weigh: float = 0.02
    weigh_acid: float = 0.01
    taste: float = 0.02
    jigger_ml: tuple[float, ...] = ()
    scales: Mapping[str, Scale] = field(default_factory=dict)
    vessels: Mapping[str, Vessel] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Calibration:
    """`count` drops, dashes or spoons of one liquid, weighed as many times as there are readings (g)."""

    item: str
    date: date
    count: int
    reads_g: tuple[float, ...]
    by: str = ""


@dataclass(frozen=True, slots=True)
class Dispenser:
    """A dropper, dasher, barspoon or sprayer of this station."""

    id: str
    name: str
    unit: str
    calibrations: tuple[Calibration, ...] = ()


@dataclass(frozen=True, slots=True)
class Window:
    """The range of each balance figure in which one style of drink usually falls, by one author."""

    id: str
    figures: Mapping[str, tuple[float, float]]
    source: str


@dataclass(frozen=True, slots=True)
class Line:
    """One item and its amount in a spec or a stock.

    `batch_amount` is what a serve takes of it in a batch, where that is given another way (grams for drops). `hold_back` is the
    fraction a batch leaves out, to be added by taste. Of a rinse, `poured` goes in the glass and `kept` stays there.
    """

    item: str
    amount: Amount
    dispenser: str = ""
    when: str = "batch"
    strained: bool = False
    optional: bool = False
    hold_back: float = 0.0
    batch_amount: Amount | None = None
    poured: Amount | None = None
    kept: Amount | None = None
    prep: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Pack:
    """A size the item is bought in, and its price in the house's currency."""

    size: Amount
    price: float | None = None


@dataclass(frozen=True, slots=True)
class Fruit:
    """What a juice is pressed from: an item bought by count, and the juice one gives, at the least and as a rule, ml."""

    item: str
    low_ml: float
    usual_ml: float


@dataclass(frozen=True, slots=True)
class Measured:
    """What a making was found to be, by instruments: it overrides the model, and the difference is shown."""

    abv_pct: float | None = None
    brix: float | None = None
    ta: Acidity | None = None
    ph: float | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """A bought ingredient. Shares are g per 100 ml of liquid at 20 °C or per 100 g as bought; `allergens` None = unknown."""

    id: str
    name: str
    kind: str
    file: str = ""
    form: str = "liquid"
    abv_pct: float | None = None
    brix: float | None = None
    ta: Acidity | None = None
    ph: float | None = None
    acid_split: Mapping[str, float] = field(default_factory=dict)
    per_100_ml: Mapping[str, float] = field(default_factory=dict)
    per_100_g: Mapping[str, float] = field(default_factory=dict)
    density_g_per_ml: float | None = None
    bulk_g_per_ml: float | None = None
    each_g: float | None = None
    allergens: tuple[str, ...] | None = None
    may_contain: tuple[str, ...] = ()
    sulphites_mg_per_l: float | None = None
    carbonated: bool = False
    packs: tuple[Pack, ...] = ()
    keeps: Keeps | None = None
    keeps_in: Mapping[str, Keeps] = field(default_factory=dict)
    store: str = "room"
    par: Amount | None = None
    fruit: Fruit | None = None
    flavour: str = ""
    cautions: tuple[str, ...] = ()
    source: str = ""
    notes: str = ""
    invented: bool = False


@dataclass(frozen=True, slots=True)
class Stock:
    """A house preparation with its own lines: acid solution, saline, syrup, adjusted juice, infusion."""

    id: str
    name: str
    lines: tuple[Line, ...]
    file: str = ""
    total: Amount | None = None
    evaporated: float = 0.0
    held_back: float = 0.0
    measured_yield: Amount | None = None
    measured: Measured | None = None
    keeps: Keeps | None = None
    keeps_in: Mapping[str, Keeps] = field(default_factory=dict)
    keeps_reason: str = ""
    store: str = "fridge"
    takes: Keeps | None = None
    par: Amount | None = None
    method: str = ""
    steps: tuple[str, ...] = ()
    may_contain: tuple[str, ...] = ()
    flavour: str = ""
    cautions: tuple[str, ...] = ()
    source: str = ""
    notes: str = ""
    invented: bool = False


# What the revision of a spec begins with whose lines are not those of its file, or that has no file yet.
EDITED, UNWRITTEN = "edited from ", "not saved yet"
# What is said of a card, a pour and a lot of such a spec.
OF_EDIT = "of an edit not saved"


def is_of_edit(revision: str) -> bool:
    """Whether that revision is of an edit nobody saved."""
    return revision.startswith((EDITED, UNWRITTEN))


@dataclass(frozen=True, slots=True)
class Spec:
    """One drink: its lines, method, glass. `revision` names the exact text it was read from."""

    id: str
    name: str
    method: str
    lines: tuple[Line, ...]
    file: str = ""
    revision: str = ""
    glass: str = ""
    style: str = ""
    dilution: StatedDilution | None = None
    batch: str = ""
    tags: tuple[str, ...] = ()
    ounce: str = ""
    total: Amount | None = None
    washline: Amount | None = None
    ice: str = ""
    strain: str = ""
    steps: tuple[str, ...] = ()
    tuned_by: str = ""
    tuned_on: date | None = None
    price: float | None = None
    retired: bool = False
    cautions: tuple[str, ...] = ()
    source: str = ""
    notes: str = ""
    invented: bool = False


@dataclass(frozen=True, slots=True)
class OrderPour:
    """One drink of an order: its share of the mixed drinks, or a number of serves; how it is batched here, and into what."""

    spec: str
    share: float | None = None
    serves: int | None = None
    batch: str = ""
    into: str = ""


@dataclass(frozen=True, slots=True)
class Order:
    """An event: guests, drinks, amounts, date. Every figure but guests and date is an estimate of the house's.

    None: not said here, and taken as calc.estimates has it. `lead` is how long making or getting an item takes, `ready` how
    long before the start all of it stands there, `waste` the fraction of what is bought that stays in bottles and on tools.
    """

    id: str
    name: str
    date: date
    guests: int
    pours: tuple[OrderPour, ...]
    file: str = ""
    starts: str | None = None
    ready: Keeps | None = None
    hours: float | None = None
    first_hour: float | None = None
    per_hour: float | None = None
    drinks_per_guest: float | None = None
    mixed_share: float = 1.0
    shares: str = ""
    on_hand: Mapping[str, Amount] = field(default_factory=dict)
    lead: Mapping[str, Keeps] = field(default_factory=dict)
    overage: float = 0.0
    waste: float = 0.0
    fruit: str | None = None
    garnish_spoilage: float | None = None
    ice_per_guest_g: float | None = None
    water_per_guest_ml: float | None = None
    glasses_per_guest: float | None = None
    notes: str = ""
    invented: bool = False


@dataclass(frozen=True, slots=True)
class Library:
    """The folder a bar owns, as read once: an immutable snapshot. What could not be read is in `faults`, by file."""

    folder: str
    revision: str
    house: House
    items: Mapping[str, Item] = field(default_factory=lambda: MappingProxyType({}))
    stocks: Mapping[str, Stock] = field(default_factory=lambda: MappingProxyType({}))
    drinks: Mapping[str, Spec] = field(default_factory=lambda: MappingProxyType({}))
    orders: Mapping[str, Order] = field(default_factory=lambda: MappingProxyType({}))
    dispensers: Mapping[str, Dispenser] = field(default_factory=lambda: MappingProxyType({}))
    windows: Mapping[str, Window] = field(default_factory=lambda: MappingProxyType({}))
    counted_ml: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    faults: tuple[Fault, ...] = ()

    def name_of(self, item: str) -> str:
        """The name of an item or stock, its id where neither is known."""
        found = self.items.get(item) or self.stocks.get(item)
        return found.name if found else item

    def faults_of(self, file: str) -> tuple[Fault, ...]:
        return tuple(fault for fault in self.faults if fault.file == file)
