"""From what is needed to what is bought: less what is on hand, more for waste and spoilage, juice as fruit by count, in packs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from station.bar.amount import Amount
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Fruit, Item, Order
from station.calc.blend import Blends
from station.calc.cost import UNKNOWN, Cost
from station.calc.estimates import Estimates
from station.calc.shop import Size, cheapest
from station.calc.weigh import grams_of

GRAMS, PIECES = "g", "each"
NO_PACK, NO_PRICE = "no pack stated", "no price stated"
# Pieces are whole; a count that is whole but for rounding is.
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Packs:
    """So many packs of one size, as the item's file spells it; each holds `holds` g or pieces."""

    count: int
    size: str
    holds: float
    price: float | None


@dataclass(frozen=True, slots=True)
class Pressing:
    """A juice and the fruit for it: g and ml to press, and how many of the fruit at the least and at the usual yield (ml each).

    Of the juice `need_g` goes into drinks and stocks, `lost_g` is waste, `on_hand_g` is there.
    """

    juice: str
    g: float
    ml: float
    need_g: float
    lost_g: float
    on_hand_g: float
    low_ml: float
    usual_ml: float
    at_low: int
    at_usual: int

    @property
    def left_over_g(self) -> float:
        """Juice that is there afterwards: only what was on hand, as no more is pressed than is needed."""
        return self.on_hand_g + self.g - self.need_g - self.lost_g


@dataclass(frozen=True, slots=True)
class Bought:
    """One item to buy. Amounts are g, or pieces where `unit` is "each": `need` goes into drinks and stocks, `lost` is waste and
    spoilage on top, `on_hand` is there; `bought` is what the packs hold, `left_over` what is there afterwards.

    `cost` is None where no pack states a price, `rate` what a used gram or piece costs, waste and all. `presses` are the juices
    that a fruit is bought for.
    """

    item: str
    name: str
    unit: str
    need: float
    need_g: float | None
    need_ml: float | None
    lost: float
    on_hand: float
    packs: tuple[Packs, ...]
    bought: float
    left_over: float
    cost: float | None
    rate: Cost
    note: str
    presses: tuple[Pressing, ...] = ()


@dataclass(frozen=True, slots=True)
class Basket:
    """All there is to buy; juice to press, g and ml by item; g of water; rates of a gram and a piece of what is used."""

    lines: tuple[Bought, ...]
    pressed: Mapping[str, Pressing]
    water_g: float
    gram: Mapping[str, Cost]
    piece: Mapping[str, Cost]


@dataclass(frozen=True, slots=True)
class Stores:
    """What items are bought in, found once for a library."""

    blends: Blends
    _sizes: dict[tuple[str, str], tuple[tuple[Amount, Size], ...]] = field(default_factory=dict)

    def sizes(self, item: str, unit: str) -> tuple[tuple[Amount, Size], ...]:
        """The item's packs as they count in that unit; one that does not say so much (a volume of powder) is left out."""
        found = self._sizes.get((item, unit))
        if found is None:
            noun = self.blends.library.items.get(item)
            packs = noun.packs if noun else ()
            held = [(pack, self.holds(pack.size, item, unit)) for pack in packs]
            found = tuple((pack.size, Size(holds, pack.price)) for pack, holds in held if holds)
            self._sizes[(item, unit)] = found
        return found

    def holds(self, amount: Amount, item: str, unit: str) -> float | None:
        """An amount of an item in that unit, None where it cannot be told."""
        if unit == PIECES and amount.measures == "each":
            return amount.value
        noun = self.blends.library.items.get(item)
        piece_g = (noun.each_g if noun else None) if unit == PIECES else 1.0
        try:
            return grams_of(amount, item, self.blends.stuff, self.blends.library) / piece_g if piece_g else None
        except CannotAnswer:
            return None


def basket(g: Mapping[str, float], pieces: Mapping[str, float], order: Order, given: Estimates, stores: Stores) -> Basket:
    """What to buy for so many grams and pieces of bought items. Raises CannotAnswer for something on hand that has no weight."""
    library = stores.blends.library
    pressed: dict[str, Pressing] = {}
    fruit: dict[str, list[Pressing]] = {}
    lines, rates = [], dict[str, Cost]()
    for item, grams in g.items():
        noun = library.items.get(item)
        if noun is not None and noun.fruit is not None:
            pressed[item] = one = _pressing(noun, noun.fruit, grams, order, given, stores)
            fruit.setdefault(noun.fruit.item, []).append(one)
        elif item != WATER:
            lines.append(_weighed(item, grams, order, given, stores))
    counted = dict(pieces) | {name: pieces.get(name, 0.0) for name in fruit}
    lines += [_counted(item, count, tuple(fruit.get(item, ())), order, given, stores) for item, count in counted.items()]
    piece = {one.item: one.rate for one in lines if one.unit == PIECES}
    gram = {one.item: one.rate for one in lines if one.unit == GRAMS}
    for juice, one in pressed.items():
        rates[juice] = _juice_rate(one, piece, g[juice], library.items[juice], given)
    return Basket(tuple(lines), pressed, g.get(WATER, 0.0), gram | rates, piece)


def on_hand(order: Order, item: str, unit: str, stores: Stores) -> float:
    """What there is of it, by the order. Raises CannotAnswer where its amount cannot be told in that unit."""
    amount = order.on_hand.get(item)
    if amount is None:
        return 0.0
    held = stores.holds(amount, item, unit)
    if held is None:
        wanted = "a count, e.g. 12 each" if unit == PIECES else "grams"
        raise CannotAnswer(f"“{amount.text}” of {item} on hand does not say how much is there", f"write {wanted} in {order.file}")
    return held


def _pressing(noun: Item, fruit: Fruit, grams: float, order: Order, given: Estimates, stores: Stores) -> Pressing:
    """The fruit for a juice: for what is needed, with its waste, less the juice that is there."""
    there, lost = on_hand(order, noun.id, GRAMS, stores), grams * given.waste / (1.0 - given.waste)
    short = max(0.0, grams + lost - there)
    ml = short / (stores.blends.stuff(noun.id).g_per_ml or 1.0)
    low, usual = fruit.low_ml, fruit.usual_ml
    return Pressing(noun.id, short, ml, grams, lost, there, low, usual, _whole(ml / low), _whole(ml / usual))


def _weighed(item: str, grams: float, order: Order, given: Estimates, stores: Stores) -> Bought:
    stuff = stores.blends.stuff(item)
    lost = grams * (given.waste / (1.0 - given.waste) if stuff.in_liquid else given.garnish_spoilage)
    ml = grams / stuff.g_per_ml if stuff.g_per_ml else None
    return _line(item, GRAMS, (grams, grams, ml, lost), (), order, stores)


def _counted(item: str, count: float, presses: tuple[Pressing, ...], order: Order, given: Estimates, stores: Stores) -> Bought:
    """A garnish, or fruit: pieces as garnish, and what is pressed at the yield it is bought at."""
    pressed = sum(_fruits(one, given) for one in presses)
    return _line(item, PIECES, (count + pressed, None, None, count * given.garnish_spoilage), presses, order, stores)


def _fruits(one: Pressing, given: Estimates) -> float:
    return one.ml / (one.low_ml if given.fruit == "low" else one.usual_ml)


def _line(
    item: str,
    unit: str,
    needs: tuple[float, float | None, float | None, float],
    presses: tuple[Pressing, ...],
    order: Order,
    stores: Stores,
) -> Bought:
    need, need_g, need_ml, lost = needs
    there = on_hand(order, item, unit, stores)
    short = max(0.0, need + lost - there)
    sizes = stores.sizes(item, unit)
    if sizes:
        counts = cheapest(short, [size for _, size in sizes])
        packs = tuple(
            Packs(count, text.text, size.holds, size.price) for count, (text, size) in zip(counts, sizes, strict=True) if count
        )
        bought = sum(one.count * one.holds for one in packs)
    else:
        packs, bought = (), float(_whole(short)) if unit == PIECES else short
    cost, note = _cost(packs, bought, sizes)
    name = stores.blends.library.name_of(item)
    left = there + bought - need - lost
    rate = _rate(cost, bought, sizes).times((need + lost) / need if need else 1.0)
    return Bought(item, name, unit, need, need_g, need_ml, lost, there, packs, bought, left, cost, rate, note, presses)


def _cost(packs: tuple[Packs, ...], bought: float, sizes: tuple[tuple[Amount, Size], ...]) -> tuple[float | None, str]:
    if not sizes:
        return (None, NO_PACK) if bought else (0.0, "")
    if any(one.price is None for one in packs):
        return None, NO_PRICE
    return sum(one.count * (one.price or 0.0) for one in packs), ""


def _rate(cost: float | None, bought: float, sizes: tuple[tuple[Amount, Size], ...]) -> Cost:
    """What a gram or piece costs: as it is bought; of what is all there already, by the cheapest pack."""
    if cost is not None and bought:
        return Cost(cost / bought, complete=True)
    rates = [size.price / size.holds for _, size in sizes if size.price is not None]
    return Cost(min(rates), complete=True) if rates and not bought else UNKNOWN


def _juice_rate(one: Pressing, piece: Mapping[str, Cost], grams: float, noun: Item, given: Estimates) -> Cost:
    if noun.fruit is None or not grams or not one.g:
        return UNKNOWN
    return piece.get(noun.fruit.item, UNKNOWN).times(_fruits(one, given) / grams)


def _whole(count: float) -> int:
    return math.ceil(count * (1.0 - _SLACK))
