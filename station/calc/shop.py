"""Which packs to buy: the cheapest that together hold what is wanted, exactly the cheapest."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

# Amounts are written to four decimals, so packs and needs are whole numbers of these.
_GRAIN = 1e-4
# A need is a sum of many grams, a cost of a few prices: what differs by less does not differ.
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Size:
    """A pack as it counts: what it holds, in g or pieces, and its price."""

    holds: float
    price: float | None


def cheapest(need: float, sizes: Sequence[Size]) -> tuple[int, ...]:
    """How many of each size to buy so that they hold `need` at the least cost, and of equal cost with the least over.

    Sizes without a price are bought only where none has one: then as few packs as will do. ValueError without sizes.
    """
    if not sizes:
        raise ValueError("there is no pack to buy")
    counts = [0] * len(sizes)
    if need > _SLACK:
        priced = [place for place, one in enumerate(sizes) if one.price is not None] or list(range(len(sizes)))
        for place, count in zip(priced, _Search([sizes[place] for place in priced]).best(need), strict=True):
            counts[place] = count
    return tuple(counts)


@dataclass(slots=True)
class _Search:
    """Depth first over how often each size is bought; the size that is cheapest by content fills up what is left.

    A branch ends where even its rest at that size's rate would cost more than the best choice so far. No other size is bought
    as often as would make a multiple of that one: it would do as well.
    """

    sizes: Sequence[Size]
    grains: list[int] = field(init=False)
    prices: list[float] = field(init=False)
    filler: int = field(init=False)
    found: tuple[float, int] = (math.inf, 0)
    counts: dict[int, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.grains = [max(1, round(one.holds / _GRAIN)) for one in self.sizes]
        self.prices = [1.0 if one.price is None else one.price for one in self.sizes]
        self.filler = min(
            range(len(self.sizes)), key=lambda place: (self.prices[place] / self.grains[place], -self.grains[place])
        )

    def best(self, need: float) -> list[int]:
        wanted = math.ceil(need / _GRAIN * (1.0 - _SLACK))
        others = [place for place in range(len(self.sizes)) if place != self.filler]
        self._fill(others, wanted, 0.0, {})
        return [self.counts.get(place, 0) for place in range(len(self.sizes))]

    def _fill(self, others: list[int], wanted: int, spent: float, counts: dict[int, int]) -> None:
        if not others:
            self._weigh(wanted, spent, counts)
            return
        place, *rest = others
        most = self.grains[self.filler] // math.gcd(self.grains[place], self.grains[self.filler])
        for count in range(most):
            left, cost = wanted - count * self.grains[place], spent + count * self.prices[place]
            if self._too_dear(left, cost):
                break
            self._fill(rest, left, cost, {**counts, place: count})
            if left <= 0:
                break

    def _too_dear(self, left: int, cost: float) -> bool:
        least = cost + max(left, 0) * self.prices[self.filler] / self.grains[self.filler]
        best, over = self.found
        return least > best * (1.0 - _SLACK if over == 0 else 1.0 + _SLACK)

    def _weigh(self, wanted: int, spent: float, counts: dict[int, int]) -> None:
        fill = max(0, -(-wanted // self.grains[self.filler]))
        cost, over = spent + fill * self.prices[self.filler], fill * self.grains[self.filler] - wanted
        dearer = cost > self.found[0] * (1.0 + _SLACK)
        if cost < self.found[0] * (1.0 - _SLACK) or (not dearer and over < self.found[1]):
            self.found, self.counts = (cost, over), {**counts, self.filler: fill}
