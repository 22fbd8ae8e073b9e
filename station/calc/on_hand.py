"""How many serves what is on hand allows: several limits at once, through stocks that share what they are made from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

from station.bar.fault import CannotAnswer
from station.calc.blend import Blends
from station.calc.drink import Drink
from station.calc.explode import making_order


@dataclass(frozen=True, slots=True)
class Next:
    """With `more_g` more of what limits now, `serves` could be made; `limited_by` would be the limit then."""

    more_g: float
    serves: float
    limited_by: str


@dataclass(frozen=True, slots=True)
class Allowance:
    """What is on hand makes `serves`; `limited_by` runs out first. `used_g` is of `on_hand_g`, what was said to be there.

    `make_g` is grams of each stock to make of its parts, once what there was of it is gone. `then` is None where nothing
    else that is on hand would be a limit.
    """

    serves: float
    limited_by: str
    on_hand_g: Mapping[str, float]
    used_g: Mapping[str, float]
    make_g: Mapping[str, float]
    then: Next | None


def allowance(drink: Drink, on_hand_g: Mapping[str, float], blends: Blends) -> Allowance:
    """The serves that grams on hand allow. What is not said to be there is not short.

    A stock on hand is used first; where something it is made from is on hand too, the rest of it is made from that.
    Raises CannotAnswer for something on hand that the drink does not take.
    """
    needs = _needs(drink)
    makeable = _makeable(needs, on_hand_g, blends)
    takes = _rates(needs, makeable, blends)
    for item in on_hand_g:
        if not takes.get(item):
            raise CannotAnswer(f"{item} is weighed in no line of {drink.spec.name}", "name one of its lines")
    first = _run_out(needs, on_hand_g, makeable, blends)
    again = _run_out(needs, {**on_hand_g, first.limit: math.inf}, makeable, blends)
    more = again.used_g.get(first.limit, 0.0) - on_hand_g[first.limit]
    return Allowance(
        serves=first.serves,
        limited_by=first.limit,
        on_hand_g=dict(on_hand_g),
        used_g=first.used_g,
        make_g={stock: grams for stock, grams in first.made_g.items() if grams > 0.0},
        then=Next(more, again.serves, again.limit) if again.limit else None,
    )


@dataclass(slots=True)
class _Run:
    """Serve after serve until something is gone for good; `limit` is "" where nothing ever is."""

    serves: float = 0.0
    limit: str = ""
    used_g: dict[str, float] = field(default_factory=dict)
    made_g: dict[str, float] = field(default_factory=dict)

    def on(self, serves: float, rates: Mapping[str, float], gone: AbstractSet[str], there: AbstractSet[str]) -> None:
        """So many serves more: a stock that is gone is made, what is there is used."""
        self.serves += serves
        for item in there - gone:
            self.used_g[item] = self.used_g.get(item, 0.0) + rates.get(item, 0.0) * serves
        for stock in gone:
            self.made_g[stock] = self.made_g.get(stock, 0.0) + rates.get(stock, 0.0) * serves


def _run_out(needs: Mapping[str, float], on_hand_g: Mapping[str, float], makeable: AbstractSet[str], blends: Blends) -> _Run:
    """Each stretch ends where a thing runs out: a stock that can be made is made from there on, anything else is the limit."""
    run = _Run()
    gone = {stock for stock in makeable if on_hand_g.get(stock, 0.0) <= 0.0}
    while True:
        rates = _rates(needs, gone, blends)
        ends = {
            item: (grams - run.used_g.get(item, 0.0)) / rates[item]
            for item, grams in on_hand_g.items()
            if item not in gone and rates.get(item)
        }
        first = min(ends, key=lambda item: ends[item], default="")
        if not first or math.isinf(ends[first]):
            return run
        run.on(ends[first], rates, gone, on_hand_g.keys())
        if first not in makeable:
            run.limit = first
            return run
        gone.add(first)


def _needs(drink: Drink) -> dict[str, float]:
    """Grams a serve takes of each item: of a line for the vessel as a batch takes it, of one for the glass as it is."""
    needs: dict[str, float] = {}
    for poured in drink.poured:
        dose = poured.in_batch if poured.line.when == "batch" else poured.dose
        if dose.mass_g and not poured.line.optional:
            needs[poured.line.item] = needs.get(poured.line.item, 0.0) + dose.mass_g
    return needs


def _makeable(needs: Mapping[str, float], on_hand_g: Mapping[str, float], blends: Blends) -> AbstractSet[str]:
    """The stocks some part of which is on hand, however far down."""
    library = blends.library
    makeable: set[str] = set()
    for stock in making_order((name for name in needs if name in library.stocks), library):
        if any(line.item in on_hand_g or line.item in makeable for line in library.stocks[stock].lines):
            makeable.add(stock)
    return makeable


def _rates(needs: Mapping[str, float], made: AbstractSet[str], blends: Blends) -> dict[str, float]:
    """Grams a serve takes of everything, where these stocks have to be made for it."""
    rates = dict(needs)
    for stock in reversed(making_order(sorted(made), blends.library)):
        grams = rates.get(stock, 0.0)
        if stock in made and grams:
            making = blends.making(stock)
            for dose in making.doses:
                rates[dose.item] = rates.get(dose.item, 0.0) + grams * dose.mass_g / making.composition.mass_g
    return rates
