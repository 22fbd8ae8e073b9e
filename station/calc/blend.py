"""What every item and stock of a library is made of: one composition a gram, found once a snapshot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from station.bar import units
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Item, Library, Line, Stock
from station.calc.measured import found_to_be
from station.calc.parts import shared
from station.calc.stuff import WATER_STUFF, Stuff, bought
from station.calc.weigh import Dose, weigh

# Less than this is nothing: rounding may leave a hair.
_NOTHING_G = 1e-9


@dataclass(frozen=True, slots=True)
class Making:
    """A stock as its lines make it: each line's dose, and the whole."""

    doses: tuple[Dose, ...]
    composition: Composition
    stuff: Stuff


@dataclass(frozen=True, slots=True)
class Blends:
    """The memo of one library's compositions. It fills as questions are asked; what it holds never changes.

    `today` only tells which calibrations are called old; None calls none so.
    """

    library: Library
    _stuffs: dict[str, Stuff] = field(default_factory=dict)
    _makings: dict[str, Making] = field(default_factory=dict)
    _busy: set[str] = field(default_factory=set)
    today: date | None = None

    def on(self, today: date | None) -> Blends:
        """The same memo as asked on that day."""
        return self if today == self.today else replace(self, today=today)

    def stuff(self, name: str) -> Stuff:
        """One gram of that item or stock. Raises CannotAnswer if it is not there or cannot be made out."""
        found = self._stuffs.get(name)
        if found is None:
            for one in _in_order(name, self.library, self._stuffs):
                found = self._stuffs[one] = self._find(one)
        assert found is not None
        return found

    def making(self, name: str) -> Making:
        """How that stock is made. Raises CannotAnswer."""
        found = self._makings.get(name)
        if found is None:
            if name in self._busy:
                raise CannotAnswer(
                    f"{name} is counted by a dispenser that was calibrated with {name}", "calibrate it with another"
                )
            self._busy.add(name)
            try:
                found = self._makings[name] = make(self.library.stocks[name], self)
            finally:
                self._busy.discard(name)
        return found

    def after(self, library: Library) -> Blends:
        """The memo for an edited library: it keeps all that the edit does not reach."""
        before = self.library
        if (library.house, library.dispensers, library.counted_ml) != (before.house, before.dispensers, before.counted_ml):
            return Blends(library, today=self.today)
        names = {*before.items, *before.stocks, *library.items, *library.stocks}
        changed = {name for name in names if _noun(before, name) is not _noun(library, name)}
        touched = reached(library, changed) | reached(before, changed)
        kept = {name: stuff for name, stuff in self._stuffs.items() if name not in touched}
        makings = {name: made for name, made in self._makings.items() if name not in touched}
        return Blends(library, kept, makings, today=self.today)

    def with_found(self, found: Mapping[str, Stuff]) -> Blends:
        """The memo with these items as they were found to be, and all that rests on them reckoned anew."""
        touched = reached(self.library, set(found))
        kept = {name: stuff for name, stuff in self._stuffs.items() if name not in touched}
        makings = {name: made for name, made in self._makings.items() if name not in touched}
        return Blends(self.library, {**kept, **found}, makings, today=self.today)

    def _find(self, name: str) -> Stuff:
        library = self.library
        if name in library.items:
            return bought(library.items[name])
        if name in library.stocks:
            return self.making(name).stuff
        if name == WATER:
            return WATER_STUFF
        raise CannotAnswer(f"there is no item or stock {name}", "see `station check`")


def make(stock: Stock, blends: Blends) -> Making:
    """A stock from its lines: their sum, less what is boiled off and held back. Raises CannotAnswer."""
    doses = tuple(_doses(stock, blends))
    stuffs = [blends.stuff(dose.item) for dose in doses]
    whole = Composition.total(stuff.per_g * dose.mass_g for stuff, dose in zip(stuffs, doses, strict=True))
    boiled = stock.evaporated * whole.mass_g
    if boiled > whole["water"]:
        raise CannotAnswer(f"{stock.name} boils off more water than it holds", f"lower `evaporated` in {stock.file}")
    whole = (whole + Composition.of(water=-boiled)) * (1.0 - stock.held_back)
    whole = whole + _strained(stock, doses, stuffs)
    if whole.mass_g <= _NOTHING_G:
        raise CannotAnswer(f"nothing is left of {stock.name}", f"check its losses in {stock.file}")
    whole, ml = found_to_be(stock, whole, blends.library.house)
    stuff = Stuff(
        per_g=whole * (1.0 / whole.mass_g),
        g_per_ml=whole.mass_g / ml,
        may_contain=frozenset(stock.may_contain).union(*(one.may_contain for one in stuffs)),
        allergens=frozenset().union(*(one.allergens for one in stuffs)),
        unknown=frozenset().union(*(one.unknown for one in stuffs)),
        acid_like=any(one.acid_like and _is_bought(blends, dose.item) for one, dose in zip(stuffs, doses, strict=True)),
        unbuffered=any(one.unbuffered for one in stuffs),
        so2_mg_per_g=sum(one.so2_mg_per_g * dose.mass_g for one, dose in zip(stuffs, doses, strict=True)) / whole.mass_g,
        so2_unstated=frozenset().union(*(one.so2_unstated for one in stuffs)),
    )
    return Making(doses, whole, stuff)


def _doses(stock: Stock, blends: Blends) -> list[Dose]:
    """Each line weighed; a `to` line makes the others up to its mass or volume, with itself."""
    lines = shared(stock.lines, stock.total)
    doses = [_weighed(line, stock, blends) for line in lines if line.amount.role != "to"]
    for place, line in enumerate(lines):
        if line.amount.role == "to":
            filler = blends.stuff(line.item)
            rest = Composition.total(blends.stuff(dose.item).per_g * dose.mass_g for dose in doses)
            grams = _made_up(line.amount.value or 0.0, line.amount.unit, rest, filler, stock, blends)
            doses.insert(
                place, Dose(line.item, grams, grams / filler.g_per_ml if filler.g_per_ml else None, "made up to the total")
            )
    return doses


def _weighed(line: Line, stock: Stock, blends: Blends) -> Dose:
    dose = weigh(line, blends.stuff, blends.library)
    if dose.g is None:
        raise CannotAnswer(f"{line.item} in {stock.name} has no weight", f"write g in {stock.file}")
    return dose


def _made_up(value: float, unit: str, rest: Composition, filler: Stuff, stock: Stock, blends: Blends) -> float:
    house = blends.library.house
    if units.MEASURES.get(unit) == "mass":
        grams = value * units.g_per(unit) - rest.mass_g
    elif units.MEASURES.get(unit) == "volume":
        target = value * units.ml_per(unit, house.ounce, house.spoons)
        grams = _filling(target, rest, filler)
    else:
        raise CannotAnswer(f"{stock.name} is made up to no mass or volume", f"write e.g. to 1 l in {stock.file}")
    if grams < 0.0:
        raise CannotAnswer(f"{stock.name} holds more than it is made up to", f"raise the total in {stock.file}")
    return grams


def _filling(target_ml: float, rest: Composition, filler: Stuff) -> float:
    """Grams of filler that bring the rest to that volume, by bisection."""
    if rest.volume_ml > target_ml:
        return -1.0
    low, high = 0.0, 3.0 * target_ml
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if (rest + filler.per_g * middle).volume_ml < target_ml else (low, middle)
    return 0.5 * (low + high)


def _strained(stock: Stock, doses: tuple[Dose, ...], stuffs: list[Stuff]) -> Composition:
    """What straining takes out again: the fat and the undissolved solids of the lines that say so."""
    by_item = {line.item for line in stock.lines if line.strained}
    out = [stuff.per_g * dose.mass_g for dose, stuff in zip(doses, stuffs, strict=True) if dose.item in by_item]
    solids = {name: -sum(one[name] for one in out) for name in ("fat", "other")}
    return Composition.of(solids) * (1.0 - stock.held_back)


def _is_bought(blends: Blends, name: str) -> bool:
    return name in blends.library.items


def _noun(library: Library, name: str) -> Item | Stock | None:
    return library.items.get(name) or library.stocks.get(name)


def _rests_on(stock: Stock, library: Library) -> set[str]:
    """What a stock's figures come from: its lines' items, and the liquids a dispenser that counts one was calibrated with."""
    items = {line.item for line in stock.lines}
    units = {line.amount.unit for line in stock.lines if line.amount.measures == "counted"}
    dispensers = [one for one in library.dispensers.values() if one.unit in units]
    return items | {calibration.item for one in dispensers for calibration in one.calibrations}


def _in_order(name: str, library: Library, known: dict[str, Stuff]) -> list[str]:
    """That id and every stock it rests on that is not known yet, what is rested on first; never deep in the call stack."""
    order: list[str] = []
    met = {name}
    trail = [(name, iter(sorted(_needs(name, library))))]
    while trail:
        here, needs = trail[-1]
        need = next(needs, None)
        if need is None:
            order.append(here)
            trail.pop()
        elif need in library.stocks and need not in met and need not in known:
            met.add(need)
            trail.append((need, iter(sorted(_needs(need, library)))))
    return order


def _needs(name: str, library: Library) -> set[str]:
    return {line.item for line in library.stocks[name].lines} if name in library.stocks else set()


def reached(library: Library, changed: set[str]) -> set[str]:
    """The changed ids and every stock that rests on one of them, however far."""
    users: dict[str, set[str]] = {}
    for name, stock in library.stocks.items():
        for item in _rests_on(stock, library):
            users.setdefault(item, set()).add(name)
    found, front = set(changed), set(changed)
    while front:
        front = {user for name in front for user in users.get(name, ())} - found
        found |= front
    return found
