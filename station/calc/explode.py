"""What is wanted, followed through stocks in stocks down to what is bought: by mass, each stock made once.

Every stock and every line of one is met once, so it takes time in proportion to the lines.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from station.bar.nouns import Library, Stock
from station.calc.blend import Blends
from station.calc.keeping import keeps_of
from station.calc.weigh import Dose

_NOTHING: Mapping[str, float] = MappingProxyType({})
# So much of a stock is nothing to make: what taking off the stock on hand leaves by rounding.
_NOTHING_G = 1e-9


@dataclass(frozen=True, slots=True)
class ToMake:
    """A stock to make in one go: `g` and ml of it, its lines weighed, and what is lost on the way (g; the pot, the filter, the
    boil).

    `needed_g` is all that is used of it, `on_hand_g` what there is of that already.
    """

    id: str
    g: float
    ml: float
    needed_g: float
    on_hand_g: float
    doses: tuple[Dose, ...]
    lost_g: float


@dataclass(frozen=True, slots=True)
class Exploded:
    """Stocks to make, in making order, and grams of every bought item (and water) that they and the drinks take.

    Of stocks on hand `from_hand_g` is used and `spare_g` stays.
    """

    stocks: tuple[ToMake, ...]
    bought_g: Mapping[str, float]
    from_hand_g: Mapping[str, float]
    spare_g: Mapping[str, float]


def explode(
    needs_g: Mapping[str, float],
    blends: Blends,
    on_hand_g: Mapping[str, float] = _NOTHING,
    takes_h: Mapping[str, float] = _NOTHING,
) -> Exploded:
    """Grams of items and stocks that are wanted, down to bought items. What is on hand of a stock need not be made.

    `takes_h` overrides how long a stock takes to make, for the order. Raises CannotAnswer for a stock that cannot be made out.
    """
    library = blends.library
    order = making_order((name for name in needs_g if name in library.stocks), library, takes_h)
    need, made = dict(needs_g), list[ToMake]()
    from_hand, spare = dict[str, float](), dict[str, float]()
    for name in reversed(order):
        wanted, there = need.pop(name, 0.0), on_hand_g.get(name, 0.0)
        used = min(wanted, there)
        if used > 0.0:
            from_hand[name] = used
        if there > used:
            spare[name] = there - used
        if wanted - used > _NOTHING_G:
            one = _made(name, wanted, used, blends)
            made.append(one)
            for dose in one.doses:
                need[dose.item] = need.get(dose.item, 0.0) + dose.mass_g
    return Exploded(tuple(reversed(made)), need, from_hand, spare)


def making_order(names: Iterable[str], library: Library, takes_h: Mapping[str, float] = _NOTHING) -> tuple[str, ...]:
    """Those stocks and all they rest on, in the order to make them: a part before what it goes into; of those that can be
    made, the one whose making and all that waits for it takes longest first, then the one that keeps longest."""
    stocks = _resting_on(names, library)
    waiting = {name: {line.item for line in stock.lines if line.item in stocks} for name, stock in stocks.items()}
    users: dict[str, list[str]] = {name: [] for name in stocks}
    for name, parts in waiting.items():
        for part in parts:
            users[part].append(name)
    chain = _hours_to_the_end(stocks, users, waiting, takes_h)
    ready = [(-chain[name], -keeps_h(stocks[name]), name) for name, parts in waiting.items() if not parts]
    heapq.heapify(ready)
    order: list[str] = []
    while ready:
        name = heapq.heappop(ready)[2]
        order.append(name)
        for user in users[name]:
            waiting[user].discard(name)
            if not waiting[user]:
                heapq.heappush(ready, (-chain[user], -keeps_h(stocks[user]), user))
    return tuple(order)


def keeps_h(stock: Stock) -> int:
    """How many hours it keeps; none where nobody said."""
    keeps = keeps_of(stock)
    return keeps.hours if keeps else 0


def takes_hours(stock: Stock, takes_h: Mapping[str, float]) -> float:
    """How many hours making it takes: the order's word, else the stock's; none where nobody said."""
    return takes_h.get(stock.id, float(stock.takes.hours) if stock.takes else 0.0)


def _made(name: str, wanted: float, used: float, blends: Blends) -> ToMake:
    making = blends.making(name)
    factor = (wanted - used) / making.composition.mass_g
    doses = tuple(one.times(factor) for one in making.doses)
    g, lines_g = wanted - used, sum(one.mass_g for one in doses)
    return ToMake(name, g, g / (making.stuff.g_per_ml or 1.0), wanted, used, doses, lines_g - g)


def _resting_on(names: Iterable[str], library: Library) -> dict[str, Stock]:
    found: dict[str, Stock] = {}
    front = list(names)
    while front:
        name = front.pop()
        if name in library.stocks and name not in found:
            found[name] = library.stocks[name]
            front += [line.item for line in found[name].lines]
    return found


def _hours_to_the_end(
    stocks: Mapping[str, Stock],
    users: Mapping[str, list[str]],
    parts: Mapping[str, set[str]],
    takes_h: Mapping[str, float],
) -> dict[str, float]:
    """For each stock the hours from starting it until the last thing made with it is done: users before their parts."""
    left = {name: len(users[name]) for name in stocks}
    front = [name for name, count in left.items() if not count]
    hours: dict[str, float] = {}
    for name in front:
        after = max((hours[user] for user in users[name]), default=0.0)
        hours[name] = after + takes_hours(stocks[name], takes_h)
        for part in parts[name]:
            left[part] -= 1
            if not left[part]:
                front.append(part)
    return hours
