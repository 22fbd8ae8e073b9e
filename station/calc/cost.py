"""What things cost: a gram of a stock from its lines, a serve from what it takes. Where a price is missing it is “at least”."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from station.bar.nouns import WATER
from station.calc.blend import Blends
from station.calc.explode import making_order
from station.calc.takes import Takes


@dataclass(frozen=True, slots=True)
class Cost:
    """An amount in the house's currency; not `complete` where a price is missing: then it is at least that."""

    amount: float
    complete: bool

    def __add__(self, other: Cost) -> Cost:
        return Cost(self.amount + other.amount, self.complete and other.complete)

    def times(self, factor: float) -> Cost:
        return Cost(self.amount * factor, self.complete)


NOTHING = Cost(0.0, True)
UNKNOWN = Cost(0.0, False)


def total(costs: Iterable[Cost]) -> Cost:
    return sum(costs, NOTHING)


def per_gram(bought: Mapping[str, Cost], names: Iterable[str], blends: Blends) -> dict[str, Cost]:
    """Cost of a gram of those items and stocks, from that of a gram of every bought one. Water costs nothing; what is not in
    `bought` has no price."""
    costs = {WATER: NOTHING, **bought}
    wanted = list(names)
    for name in making_order(wanted, blends.library):
        making = blends.making(name)
        lines = total(costs.get(dose.item, UNKNOWN).times(dose.mass_g) for dose in making.doses)
        costs[name] = lines.times(1.0 / making.composition.mass_g)
    return {name: costs.get(name, UNKNOWN) for name in wanted}


def of_serve(one: Takes, gram: Mapping[str, Cost], piece: Mapping[str, Cost]) -> Cost:
    """What one serve takes, at those rates."""
    weighed = total(gram.get(item, UNKNOWN).times(grams) for item, grams in one.g.items())
    return weighed + total(piece.get(item, UNKNOWN).times(count) for item, count in one.pieces.items())
