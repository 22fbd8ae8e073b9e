"""How many serves what is on hand allows: several limits at once, through stocks that share what they are made from.

A juice is made as a stock is, of its fruit: that is counted, and gives what it usually does.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from types import MappingProxyType

from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Spec
from station.calc.blend import Blends
from station.calc.drink import Drink, Poured
from station.calc.explode import making_order
from station.calc.making import least_g
from station.calc.mixing import at_the_glass

_NONE: Mapping[str, float] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Next:
    """With so much more of what limits now, `serves` could be made; `limited_by` would be the limit then.

    It is `more_g`, or `more_pieces` of what is counted.
    """

    more_g: float | None
    serves: float
    limited_by: str
    more_pieces: float | None = None


@dataclass(frozen=True, slots=True)
class Press:
    """A juice to press: `pieces` of the fruit at `each_ml`, its usual yield, give `ml` of it, which is `g`."""

    juice: str
    fruit: str
    pieces: float
    each_ml: float
    ml: float
    g: float


@dataclass(frozen=True, slots=True)
class TooLittle:
    """A stock of whose lines no scale here can be trusted with so little: `least_g` is the least to make of it, and `short_of`
    what there is not enough on hand of for that, "" nothing."""

    stock: str
    least_g: float
    short_of: str


@dataclass(frozen=True, slots=True)
class Allowance:
    """What is on hand makes `serves`; `limited_by` runs out first. `used_g` is of `on_hand_g`, what was said to be there, and
    `used_pieces` of `on_hand_pieces`.

    `make_g` is grams of each stock to make of its parts, in making order, `press` each juice to press, once what there was of it
    is gone. `then` is None where nothing else that is on hand would be a limit.
    """

    serves: float
    limited_by: str
    on_hand_g: Mapping[str, float]
    used_g: Mapping[str, float]
    make_g: Mapping[str, float]
    then: Next | None
    on_hand_pieces: Mapping[str, float] = field(default_factory=dict)
    used_pieces: Mapping[str, float] = field(default_factory=dict)
    press: tuple[Press, ...] = ()
    too_little: tuple[TooLittle, ...] = ()


def allowance(
    drink: Drink,
    on_hand_g: Mapping[str, float],
    blends: Blends,
    water_g: float = 0.0,
    on_hand_pieces: Mapping[str, float] = _NONE,
) -> Allowance:
    """The serves that grams and pieces on hand allow, each with `water_g` of dilution water. What is not said to be there is not
    short; of a rinse all that is poured is taken.

    A stock on hand is used first; where something it is made from is on hand too, the rest of it is made from that. Water alone
    makes no stock one that has to be made. Raises CannotAnswer for what the drink does not take, or takes in another measure.
    """
    of = _Takings(drink, on_hand_g, on_hand_pieces, blends, water_g)
    first = of.run_out(of.there)
    if not first.limit:
        raise CannotAnswer(
            f"no water goes into this batch of {drink.spec.name}", "say what else there is, or batch it with its water"
        )
    stocks = making_order((name for name in first.made_g if name in blends.library.stocks), blends.library)
    make_g = {stock: first.made_g[stock] for stock in stocks if first.made_g.get(stock, 0.0) > 0.0}
    return Allowance(
        serves=first.serves,
        limited_by=first.limit,
        on_hand_g=dict(on_hand_g),
        used_g={item: first.used.get(item, 0.0) for item in on_hand_g},
        make_g=make_g,
        then=of.then(first),
        on_hand_pieces=dict(on_hand_pieces),
        used_pieces={item: first.used.get(item, 0.0) for item in on_hand_pieces},
        press=tuple(of.pressed(juice, first.made_g[juice]) for juice in of.fruit_of if first.made_g.get(juice, 0.0) > 0.0),
        too_little=tuple(one for stock, grams in make_g.items() if (one := of.too_little(stock, grams, first)) is not None),
    )


def refusal(item: str, spec: Spec) -> tuple[str, str]:
    """Why something on hand is no limit of a drink that does not take it, and what to name instead."""
    if any(line.item == item for line in spec.lines):
        return f"{item} is optional in {spec.name}: it limits nothing", "leave it out"
    named = dict.fromkeys(line.item for line in spec.lines if not line.optional)
    return f"{item} is in no line of {spec.name}", f"its lines: {', '.join(named)}"


@dataclass(slots=True)
class _Run:
    """Serve after serve until something is gone for good; `limit` is "" where nothing ever is."""

    serves: float = 0.0
    limit: str = ""
    used: dict[str, float] = field(default_factory=dict)
    made_g: dict[str, float] = field(default_factory=dict)

    def on(self, serves: float, rates: Mapping[str, float], gone: AbstractSet[str], there: AbstractSet[str]) -> None:
        """So many serves more: a stock that is gone is made, what is there is used."""
        self.serves += serves
        for item in there - gone:
            self.used[item] = self.used.get(item, 0.0) + rates.get(item, 0.0) * serves
        for stock in gone:
            self.made_g[stock] = self.made_g.get(stock, 0.0) + rates.get(stock, 0.0) * serves


class _Takings:
    """What a serve takes of everything: grams, or pieces of what is counted, as `there` has it.

    `fruit_of` is by juice the fruit on hand; `makeable` are the stocks and juices some part of which is.
    """

    def __init__(
        self, drink: Drink, grams: Mapping[str, float], pieces: Mapping[str, float], blends: Blends, water_g: float
    ) -> None:
        self.drink, self.blends, self.pieces = drink, blends, pieces
        self.there: Mapping[str, float] = {**grams, **pieces}
        items = blends.library.items.items()
        self.fruit_of = {name: item.fruit for name, item in items if item.fruit is not None and item.fruit.item in pieces}
        self.needs = self._needs(water_g)
        self.makeable = self._makeable()
        rates = self.rates(self.makeable)
        for item in self.there:
            if not rates.get(item) and item != WATER:
                raise CannotAnswer(*refusal(item, drink.spec))

    def run_out(self, there: Mapping[str, float]) -> _Run:
        """Each stretch ends where a thing runs out: what can be made is made from there on, anything else is the limit."""
        run = _Run()
        gone = {stock for stock in self.makeable if there.get(stock, 0.0) <= 0.0}
        while True:
            rates = self.rates(gone)
            ends = {
                item: (amount - run.used.get(item, 0.0)) / rates[item]
                for item, amount in there.items()
                if item not in gone and rates.get(item)
            }
            first = min(ends, key=lambda item: ends[item], default="")
            if not first or math.isinf(ends[first]):
                return run
            run.on(ends[first], rates, gone, there.keys())
            if first not in self.makeable:
                run.limit = first
                return run
            gone.add(first)

    def then(self, first: _Run) -> Next | None:
        """What limits next where there is enough of what limits first."""
        again = self.run_out({**self.there, first.limit: math.inf})
        if not again.limit:
            return None
        more = again.used.get(first.limit, 0.0) - self.there[first.limit]
        counted = first.limit in self.pieces
        return Next(None if counted else more, again.serves, again.limit, more if counted else None)

    def too_little(self, stock: str, grams: float, run: _Run) -> TooLittle | None:
        """What is wrong with making so little of a stock; None where it can be weighed."""
        making = self.blends.making(stock)
        least = least_g(making, self.blends)
        if grams >= least:
            return None
        more: dict[str, float] = {}
        for dose in making.doses:
            self._add(more, dose.item, (least - grams) * dose.mass_g / making.composition.mass_g)
        left = {item: there - run.used.get(item, 0.0) for item, there in self.there.items()}
        return TooLittle(stock, least, next((item for item in more if more[item] > left.get(item, math.inf)), ""))

    def rates(self, made: AbstractSet[str]) -> dict[str, float]:
        """What a serve takes of everything where these stocks and juices have to be made for it."""
        rates = dict(self.needs)
        for stock in reversed(making_order(sorted(made - self.fruit_of.keys()), self.blends.library)):
            grams = rates.get(stock, 0.0)
            if stock in made and grams:
                making = self.blends.making(stock)
                for dose in making.doses:
                    self._add(rates, dose.item, grams * dose.mass_g / making.composition.mass_g)
        for juice in self.fruit_of:
            if juice in made and (grams := rates.get(juice, 0.0)):
                fruit = self.pressed(juice, grams)
                rates[fruit.fruit] = rates.get(fruit.fruit, 0.0) + fruit.pieces
        return rates

    def pressed(self, juice: str, grams: float) -> Press:
        """So much of a juice from its fruit, by the usual yield."""
        fruit, ml = self.fruit_of[juice], grams / (self.blends.stuff(juice).g_per_ml or 1.0)
        return Press(juice, fruit.item, ml / fruit.usual_ml, fruit.usual_ml, ml, grams)

    def _needs(self, water_g: float) -> dict[str, float]:
        """Of a line for the vessel as a batch takes it, of one for the glass as it is; optional lines take nothing."""
        needs: dict[str, float] = {}
        if water_g:
            self._add(needs, WATER, water_g)
        for poured in self.drink.poured:
            item, grams = poured.line.item, _grams(poured)
            if poured.line.optional:
                continue
            if grams is not None:
                self._add(needs, item, grams)
            elif item not in self.there or item in self.pieces:
                needs[item] = needs.get(item, 0.0) + (poured.line.amount.value or 0.0)
            else:
                raise CannotAnswer(f"{item} is counted in {self.drink.spec.name}", f"say how many, e.g. {item}=12 each")
        return needs

    def _add(self, rates: dict[str, float], item: str, grams: float) -> None:
        """Grams of an item more; of one on hand that is counted, pieces. Raises CannotAnswer where one's weight is not known."""
        each_g = self.blends.stuff(item).each_g if item in self.pieces else 1.0
        if not each_g:
            raise CannotAnswer(f"what one {item} weighs is not known", 'give the item e.g. each = "30 g"')
        rates[item] = rates.get(item, 0.0) + grams / each_g

    def _makeable(self) -> AbstractSet[str]:
        """The stocks and juices some part of which is on hand, however far down."""
        library = self.blends.library
        found = {*self.fruit_of}
        named: Iterable[str] = (name for name in self.needs if name in library.stocks)
        for stock in making_order(named, library):
            parts = {line.item for line in library.stocks[stock].lines} - {WATER}
            if parts & (self.there.keys() | found):
                found.add(stock)
        return found


def _grams(poured: Poured) -> float | None:
    """What a serve takes of the line; None of what is only counted."""
    dose = (poured.rinse or poured.dose) if at_the_glass(poured) else poured.in_batch
    return dose.g
