"""An event: how many drinks, what to make and when, in which vessels, what to buy, what it costs, what to be careful of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import PurePosixPath

from station.bar import say
from station.bar.cautions import Caution, caution
from station.bar.fault import CannotAnswer
from station.bar.nouns import Library, Order
from station.calc import order_caution as told
from station.calc import tally
from station.calc.assumptions import assumed
from station.calc.blend import Blends
from station.calc.buying import Basket, basket
from station.calc.cost import UNKNOWN, Cost, of_serve, per_gram, total
from station.calc.estimates import Estimates, estimates
from station.calc.explode import Exploded, explode
from station.calc.filling import Filling, fillings, short_of
from station.calc.menu import Menu, at_each_glass, mixes
from station.calc.ordered import ListedOrder, OrderBatch, OrderCost, Ordered
from station.calc.plan import Planned, Served, served, serves_by_spec
from station.calc.prep import Step, Times, steps, times
from station.calc.serving import serving
from station.calc.shelf_life import fresh_until, made_of
from station.calc.tally import OrderedDrink
from station.calc.weigh import grams_of
from station.desk.asked import house_day
from station.desk.look import find_spec, nearest

MOST_GUESTS = 1_000_000
# Of a drink with less nobody says that it holds alcohol (% vol; common practice, rules differ).
_NO_ALCOHOL_ABV = 0.5


def find_order(library: Library, name: str) -> Order:
    """The order of that id. Raises CannotAnswer with its faults, or with the nearest id."""
    if name in library.orders:
        return library.orders[name]
    faults = library.faults_of(f"orders/{name}.toml")
    if faults:
        raise CannotAnswer(f"{name} has a fault", "mend its file first", faults)
    raise CannotAnswer(f"there is no order {name}", nearest(name, library.orders, "see `station order`"))


def listed(library: Library) -> tuple[ListedOrder, ...]:
    """The orders there are, by date."""
    rows = (ListedOrder(one.id, one.name, one.date, one.guests) for one in library.orders.values())
    return tuple(sorted(rows, key=lambda one: (one.date, one.id)))


def faulty_orders(library: Library) -> tuple[str, ...]:
    """Orders whose file cannot be used, by id."""
    files = {fault.file for fault in library.faults if fault.severity == "error" and fault.file.startswith("orders/")}
    return tuple(sorted(name for name in (PurePosixPath(file).stem for file in files) if name not in library.orders))


def with_guests(order: Order, guests: int) -> Order:
    """The same order for other guests. Raises CannotAnswer for none, or for more than a town."""
    if not 1 <= guests <= MOST_GUESTS:
        raise CannotAnswer(f"{say.number(guests, 9)} guests is no event", f"give 1 to {say.number(MOST_GUESTS, 9)}")
    return replace(order, guests=guests)


@dataclass(frozen=True, slots=True)
class _Work:
    """An order under way: each of its answers is made of these."""

    order: Order
    given: Estimates
    plan: Served
    drinks: tuple[OrderedDrink, ...]
    out: Exploded
    bought: Basket
    when: Times
    vessels: Mapping[str, Filling]
    costs: Mapping[str, Cost]
    blends: Blends

    @property
    def library(self) -> Library:
        return self.blends.library

    @property
    def standard_drinks_per_guest(self) -> float:
        return tally.ethanol_g(self.drinks) / self.library.house.standard_drink_g / self.order.guests


def ordered(menu: Menu, order: Order, now: datetime) -> Ordered:
    """The whole answer for an order as it stands, saved or not. Raises CannotAnswer."""
    work = _work(menu, order)
    batches, prep = tuple(_batch(one, work) for one in work.drinks), _prep(work)
    plan, when, drinks = work.plan, work.when, work.drinks
    return Ordered(
        id=order.id,
        name=order.name,
        date=order.date,
        guests=order.guests,
        notes=order.notes,
        invented=order.invented,
        revision=work.library.revision,
        starts=when.start,
        ready=when.ready,
        ends=when.end,
        assumptions=assumed(order, work.library),
        drinks=plan.drinks,
        mixed=plan.mixed,
        other=plan.other,
        shared=plan.shared,
        overage=work.given.overage,
        pours=plan.pours,
        without_alcohol=sum(one.serves for one in drinks if (one.one.glass.abv_pct or 0.0) < _NO_ALCOHOL_ABV),
        serves=serves_by_spec(plan),
        batches=batches,
        stocks=work.out.stocks,
        prep=prep,
        shop=work.bought.lines,
        cost=_cost(work),
        beside=tally.beside(drinks, plan.drinks or plan.mixed, order.guests, work.given),
        standard_drinks_per_guest=work.standard_drinks_per_guest,
        allergens={one.spec.id: one.one.allergens for one in drinks},
        may_contain={one.spec.id: one.one.may_contain for one in drinks},
        masses=tally.masses(drinks, work.out, work.bought),
        cautions=tuple(_cautions(work, batches, prep, now)),
    )


def _work(menu: Menu, order: Order) -> _Work:
    blends, given = menu.blends, estimates(order)
    plan = served(order, given)
    drinks = tuple(one for one in _drinks(menu, order, plan) if one.serves)
    lead_h = {name: float(keeps.hours) for name, keeps in order.lead.items()}
    out = explode(tally.grams(drinks), blends, _stocks_on_hand(order, blends), lead_h)
    bought = basket(out.bought_g, tally.pieces(drinks), order, given, menu.stores)
    vessels = fillings([one.volume for one in drinks if one.one.mix_ml > 0.0], blends.library.house)
    when = times(order.date, given, blends.library.house)
    return _Work(order, given, plan, drinks, out, bought, when, vessels, _costs(drinks, bought, blends), blends)


def _drinks(menu: Menu, order: Order, plan: Served) -> list[OrderedDrink]:
    """Each drink once: of one named twice the serves are added up, and it is batched as it is first said."""
    found: dict[str, OrderedDrink] = {}
    for pour, planned in zip(order.pours, plan.pours, strict=True):
        before = found.get(pour.spec)
        if before is None:
            spec = find_spec(menu.blends.library, pour.spec)
            found[pour.spec] = OrderedDrink(spec, pour, menu.serve(spec, pour), planned)
        else:
            expected, serves = before.plan.expected + planned.expected, before.serves + planned.serves
            found[pour.spec] = replace(before, plan=Planned(pour.spec, expected, serves, None))
    return list(found.values())


def _stocks_on_hand(order: Order, blends: Blends) -> dict[str, float]:
    library = blends.library
    stocks = {name: amount for name, amount in order.on_hand.items() if name in library.stocks}
    return {name: grams_of(amount, name, blends.stuff, library) for name, amount in stocks.items()}


def _costs(drinks: Sequence[OrderedDrink], bought: Basket, blends: Blends) -> dict[str, Cost]:
    """What one serve of each drink costs."""
    gram = per_gram(bought.gram, {item for one in drinks for item in one.one.takes.g}, blends)
    return {one.spec.id: of_serve(one.one.takes, gram, bought.piece) for one in drinks}


def _batch(one: OrderedDrink, work: _Work) -> OrderBatch:
    library, serve, price, cost = work.library, one.one, one.spec.price, work.costs[one.spec.id]
    filling, volume = work.vessels.get(one.spec.id), one.volume
    parts = [poured.line.item for poured in serve.drink.poured if poured.line.when == "batch"]
    ready, day_ends = work.when.ready, work.when.day_ends
    return OrderBatch(
        id=one.spec.id,
        name=one.spec.name,
        glass_kind=one.spec.glass,
        expected=one.plan.expected,
        serves=one.serves,
        diluted=serve.diluted,
        for_freezer=serve.for_freezer,
        water_g=serve.water_g * one.serves,
        total_ml=volume.ml,
        total_g=volume.g,
        spec_revision=one.spec.revision,
        glass=serve.glass,
        mixes=mixes(serve, one.serves, filling.mix, filling.mixes, work.blends) if filling else (),
        fills=filling.fills if filling else (),
        service=at_each_glass(serve, one.serves),
        finish=one.spec.steps,
        cold=serve.cold,
        allergens=serve.allergens,
        may_contain=serve.may_contain,
        standard_drinks=serve.glass.ethanol_g / library.house.standard_drink_g,
        cost=cost,
        price=price,
        cost_share=cost.amount / price if price else None,
        use_by=made_of(ready, None, (fresh_until(library, part, ready, day_ends) for part in parts), day_ends),
        serving=serving(serve.drink.spec, serve.mix_ml, serve.mix.mass_g, serve.glass.ml, serve.diluted),
    )


def _prep(work: _Work) -> tuple[Step, ...]:
    mixing = [one.mixing for one in work.drinks if one.one.mix_ml > 0.0]
    taken = {item for one in work.drinks for item in (*one.one.takes.g, *one.one.takes.pieces)}
    pressed = {name: (one.g, one.ml) for name, one in work.bought.pressed.items() if one.g > 0.0}
    return steps(work.out.stocks, pressed, mixing, taken, work.order.lead, work.library, work.when)


def _cost(work: _Work) -> OrderCost:
    lines = work.bought.lines
    paid = total(UNKNOWN if one.cost is None else Cost(one.cost, complete=True) for one in lines)
    used = total(work.costs[one.spec.id].times(one.serves) for one in work.drinks)
    left = total(one.rate.times(one.left_over) for one in lines if one.rate.complete)
    currency, guests = work.library.house.currency, work.order.guests
    return OrderCost(paid.amount, currency, paid.complete, paid.amount / guests, used.amount, left.amount)


def _cautions(work: _Work, batches: Sequence[OrderBatch], prep: Sequence[Step], now: datetime) -> Iterator[Caution]:
    order, library = work.order, work.library
    if order.date < house_day(now, library.house):
        yield caution("order-past", date=f"{order.date.day} {order.date:%b %Y}")
    unshared = (work.plan.drinks or 0.0) * order.mixed_share - work.plan.mixed
    if unshared > 0.5:
        yield caution("order-unshared", count=say.number(unshared, 6))
    yield from told.of_batches(batches, _shorts(work), library)
    yield from told.of_mixing(batches, library)
    yield from told.of_steps(prep, library)
    yield from told.of_shopping(work.bought.lines)
    yield from told.of_drinks(one.one.cautions for one in work.drinks)
    yield from told.of_alcohol(work.standard_drinks_per_guest, work.given.hours, library)
    yield caution("permission")


def _shorts(work: _Work) -> list[str]:
    """Of each drink what finds no vessel, in one sentence, or nothing."""
    found = ((one, work.vessels.get(one.spec.id)) for one in work.drinks)
    return [short_of(one.volume, filling, work.library.house) if filling else "" for one, filling in found]
