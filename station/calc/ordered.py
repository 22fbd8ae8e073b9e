"""The answer to `order`: frozen, its fields the JSON's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from station.bar.cautions import Caution
from station.calc.balance import Balance
from station.calc.batch import ServiceLine
from station.calc.buying import Bought
from station.calc.cost import Cost
from station.calc.explode import ToMake
from station.calc.filling import Filled
from station.calc.mixing import Mix
from station.calc.plan import Planned
from station.calc.prep import Step
from station.calc.serving import Serving


@dataclass(frozen=True, slots=True)
class ListedOrder:
    """An order as it is listed."""

    id: str
    name: str
    date: date
    guests: int


@dataclass(frozen=True, slots=True)
class Assumed:
    """One assumption: the order's key, what it is called, its value as a file spells it, whether the order says it itself."""

    key: str
    label: str
    value: str
    said: bool
    about: str


@dataclass(frozen=True, slots=True)
class Cold:
    """A batch in the freezer: its temperature, where ice first forms, the part of the water that is ice, and how much more room
    the whole takes then, in % of it. None where that is not known."""

    freezer_c: float
    freezing_c: float | None
    ice_share: float | None
    swells_pct: float | None

    @property
    def stays_liquid(self) -> bool | None:
        """Whether no ice forms; None where that is not known."""
        return None if self.freezing_c is None else self.freezing_c <= self.freezer_c


@dataclass(frozen=True, slots=True)
class OrderBatch:
    """One drink of an order: mixes to weigh (none where all of it is made at the glass), vessels to fill, what is added at the
    glass. `cost` is of one serve, `cost_share` its part of the price; `standard_drinks` are in one serve."""

    id: str
    name: str
    glass_kind: str
    expected: float
    serves: int
    diluted: bool
    for_freezer: bool
    water_g: float
    total_ml: float
    total_g: float
    spec_revision: str
    glass: Balance
    mixes: tuple[Mix, ...]
    fills: tuple[Filled, ...]
    service: tuple[ServiceLine, ...]
    finish: tuple[str, ...]
    cold: Cold | None
    allergens: tuple[str, ...]
    may_contain: tuple[str, ...]
    standard_drinks: float
    cost: Cost
    price: float | None
    cost_share: float | None
    use_by: datetime | None
    serving: Serving


@dataclass(frozen=True, slots=True)
class OrderCost:
    """What the shopping costs; not `complete` where a price is missing: then at least that. `used` is what the drinks take."""

    amount: float
    currency: str
    complete: bool
    per_guest: float
    used: float
    left_over: float


@dataclass(frozen=True, slots=True)
class Beside:
    """What an event needs besides its drinks: kg of ice from and to, L of drinking water, glasses, and of each kind of glass."""

    ice_kg: tuple[float, float]
    water_l: float
    glasses: int
    glasses_by_kind: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Masses:
    """Where every gram goes. Into the house: bought in packs, pressed or cut from fruit, on hand, water from the tap. Out of it:
    in the glasses (ice melt not counted), held back for tasting, lost in making stocks, poured away of rinses, wasted, left
    over."""

    bought_g: float
    pressed_g: float
    on_hand_g: float
    water_g: float
    in_glasses_g: float
    held_back_g: float
    lost_in_making_g: float
    poured_away_g: float
    wasted_g: float
    left_over_g: float


@dataclass(frozen=True, slots=True)
class Ordered:
    """The answer to `order`. `drinks` are all that are expected, None where nobody said how many a guest takes; `shared` those
    that shares divide once the counted ones are off, None where all are counted; `pours` the drinks as the order names them."""

    id: str
    name: str
    date: date
    guests: int
    notes: str
    invented: bool
    revision: str
    starts: datetime
    ready: datetime
    ends: datetime
    assumptions: tuple[Assumed, ...]
    drinks: float | None
    mixed: float
    other: float | None
    shared: float | None
    overage: float
    pours: tuple[Planned, ...]
    without_alcohol: int
    serves: Mapping[str, int]
    batches: tuple[OrderBatch, ...]
    stocks: tuple[ToMake, ...]
    prep: tuple[Step, ...]
    shop: tuple[Bought, ...]
    cost: OrderCost
    beside: Beside
    standard_drinks_per_guest: float
    allergens: Mapping[str, tuple[str, ...]]
    may_contain: Mapping[str, tuple[str, ...]]
    masses: Masses
    cautions: tuple[Caution, ...]
