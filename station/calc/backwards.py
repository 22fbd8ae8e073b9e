"""The answers to the questions asked backwards: a mis-pour corrected, a drink tuned. Frozen, their fields the JSON's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from station.bar.cautions import Caution
from station.calc.balance import Balance


@dataclass(frozen=True, slots=True)
class InSoFar:
    """One line of a mix: what the card wants, what is in, and how that is known (as asked, as read, by the scale, not yet).

    Where it is weighed `let_down` with water its grams are of that weaker solution, those `of_item` of the item itself.
    """

    item: str
    name: str
    wanted_g: float
    in_g: float
    known: str
    let_down: bool
    wanted_of_item_g: float
    in_of_item_g: float


@dataclass(frozen=True, slots=True)
class Move:
    """So much of one thing, in or out. `slight`: without it the line is still within its weighing tolerance; `note`: what its
    scale cannot be trusted with. Where it is `let_down` with water, `g` is of that weaker solution; `of_item_g` of the item."""

    item: str
    name: str
    g: float
    ml: float | None
    slight: bool
    note: str
    let_down: bool
    of_item_g: float


@dataclass(frozen=True, slots=True)
class OffCard:
    """A line that does not end as the card has it; `by` is what its share of the mix by weight is off, relative (None: new)."""

    item: str
    name: str
    wanted_g: float
    ends_g: float
    by: float | None


@dataclass(frozen=True, slots=True)
class Way:
    """One way on from a mis-pour, and what it ends in.

    `draws_g` is of the stirred mix, before anything is added. `balance` is of the mix in the vessel; `moved` each figure's
    relative change against the card, None where the card has none. `size` is the whole over the card's where every
    proportion is the card's, else None. `note` says what does not fit, and by how much; `off` are the lines that do not end as
    the card has them, by more than their weighing may miss.
    """

    way: str
    takes_out: tuple[Move, ...]
    draws_g: float
    adds: tuple[Move, ...]
    total_g: float
    total_ml: float
    serves: float
    full_serves: int
    size: float | None
    restores: bool
    fits_vessel: bool
    fits_scale: bool
    note: str
    moved: Mapping[str, float | None]
    balance: Balance
    off: tuple[OffCard, ...]


@dataclass(frozen=True, slots=True)
class Corrected:
    """The answer to `correct`: what is in, and the ways on, best first; none where `stop` says to discard it.

    Of several equal mixes it speaks of one: `serves`, `total_g` and `total_ml` are that one's as the card has it. `notes` say how
    an amount was read that could be of two things.
    """

    id: str
    name: str
    vessel: str | None
    diluted: bool
    serves: float
    total_g: float
    total_ml: float
    lines: tuple[InSoFar, ...]
    stop: str
    ways: tuple[Way, ...]
    balance: Balance
    possible: bool
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TunedLine:
    """A line that moves: its amount as it was, as it would be exactly, and as it can be poured, in its unit and in g."""

    item: str
    name: str
    unit: str
    was: float
    exact: float
    pourable: float
    was_text: str
    exact_text: str
    pourable_text: str
    exact_g: float
    pourable_g: float


@dataclass(frozen=True, slots=True)
class Wished:
    """A figure as it was wished, and what it was, is exactly, and is as poured. `met` speaks of the exact drink, `met_as_poured`
    of the poured one: a value within the taste tolerance, a range as it is.

    `rounding` is what pouring does to it, relative to the exact figure. `finer` is the item of a line that would meet it as
    poured if it might move, too, and `finer_name` its name; "" for none.
    """

    figure: str
    low: float
    high: float
    was: float | None
    exact: float | None
    pourable: float | None
    met: bool
    met_as_poured: bool
    rounding: float | None
    finer: str = ""
    finer_name: str = ""


@dataclass(frozen=True, slots=True)
class OutOfRange:
    """A figure nobody wished that stood in its usual range, `low` to `high`, and does not any more, exactly or as poured."""

    figure: str
    low: float
    high: float
    was: float
    exact: float
    pourable: float
    out_exactly: bool
    out_as_poured: bool


@dataclass(frozen=True, slots=True)
class Tuned:
    """The answer to `tune`. Where not every wish can be met, `conflict` names the fewest that cannot be met together.

    The lines are then those of the nearest drink.
    """

    id: str
    name: str
    possible: bool
    conflict: tuple[str, ...]
    why: str
    wishes: tuple[Wished, ...]
    lines: tuple[TunedLine, ...]
    before: Balance
    exact: Balance
    pourable: Balance
    out_of_range: tuple[OutOfRange, ...]
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]
