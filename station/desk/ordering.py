"""An event: how many drinks, what to make and when, in which vessels, what to buy, what it costs, what to be careful of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from difflib import get_close_matches

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
from station.calc.estimates import estimates
from station.calc.explode import Exploded, explode
from station.calc.filling import Filling, fillings, short_of
from station.calc.keeping import earliest
from station.calc.menu import Menu, at_each_glass, mixes
from station.calc.ordered import OrderBatch, OrderCost, Ordered
from station.calc.plan import Planned, Served, served, serves_by_spec
from station.calc.prep import Step, Times, steps, times
from station.calc.tally import OrderedDrink
from station.calc.weigh import grams_of
from station.desk.asked import house_day
from station.desk.batching import keeps_of
from station.desk.look import find_spec

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
    near = get_close_matches(name, library.orders, n=1, cutoff=0.5)
    raise CannotAnswer(f"there is no order {name}", f"did you mean {near[0]}?" if near else "see `station order`")


def with_guests(order: Order, guests: int) -> Order:
    """The same order for other guests. Raises CannotAnswer for none, or for more than a town."""
    if not 1 <= guests <= MOST_GUESTS:
        raise CannotAnswer(f"{say.number(guests, 9)} guests is no event", f"give 1 to {say.number(MOST_GUESTS, 9)}")
    return replace(order, guests=guests)


def ordered(menu: Menu, order: Order, now: datetime) -> Ordered:
    """The whole answer for an order as it stands, saved or not. Raises CannotAnswer."""
    blends, library, given = menu.blends, menu.blends.library, estimates(order)
    plan = served(order, given)
    drinks = [one for one in _drinks(menu, order, plan) if one.serves]
    lead_h = {name: float(keeps.hours) for name, keeps in order.lead.items()}
    out = explode(tally.grams(drinks), blends, _stocks_on_hand(order, blends), lead_h)
    bought = basket(out.bought_g, tally.pieces(drinks), order, given, menu.stores)
    when = times(order.date, given, library.house)
    vessels = fillings([one.volume for one in drinks if one.one.mix_ml > 0.0], library.house)
    costs = _costs(drinks, bought, blends)
    each = tally.ethanol_g(drinks) / library.house.standard_drink_g / order.guests
    batches = tuple(_batch(one, vessels.get(one.spec.id), costs[one.spec.id], when, blends) for one in drinks)
    prep = _prep(drinks, out, bought, order, library, when)
    cautions = (
        *_of_the_day(order, plan, library, now),
        *told.of_batches(batches, _shorts(drinks, vessels, library), library),
        *told.of_steps(prep, library),
        *told.of_shopping(bought.lines),
        *told.of_drinks(one.one.cautions for one in drinks),
        *told.of_alcohol(each, given.hours, library),
        caution("permission"),
    )
    return Ordered(
        id=order.id,
        name=order.name,
        date=order.date,
        guests=order.guests,
        notes=order.notes,
        invented=order.invented,
        revision=library.revision,
        starts=when.start,
        ready=when.ready,
        ends=when.end,
        assumptions=assumed(order),
        drinks=plan.drinks,
        mixed=plan.mixed,
        other=plan.other,
        without_alcohol=sum(one.serves for one in drinks if (one.one.glass.abv_pct or 0.0) < _NO_ALCOHOL_ABV),
        serves=serves_by_spec(plan),
        batches=batches,
        stocks=out.stocks,
        prep=prep,
        shop=bought.lines,
        cost=_cost(drinks, costs, bought, order, library),
        beside=tally.beside(drinks, plan.drinks or plan.mixed, order.guests, given),
        standard_drinks_per_guest=each,
        allergens={one.spec.id: one.one.allergens for one in drinks},
        may_contain={one.spec.id: one.one.may_contain for one in drinks},
        masses=tally.masses(drinks, out, bought),
        cautions=cautions,
    )


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
            found[pour.spec] = replace(before, plan=Planned(pour.spec, expected, serves, counted=False))
    return list(found.values())


def _stocks_on_hand(order: Order, blends: Blends) -> dict[str, float]:
    library = blends.library
    stocks = {name: amount for name, amount in order.on_hand.items() if name in library.stocks}
    return {name: grams_of(amount, name, blends.stuff, library) for name, amount in stocks.items()}


def _costs(drinks: Sequence[OrderedDrink], bought: Basket, blends: Blends) -> dict[str, Cost]:
    """What one serve of each drink costs."""
    gram = per_gram(bought.gram, {item for one in drinks for item in one.one.takes.g}, blends)
    return {one.spec.id: of_serve(one.one.takes, gram, bought.piece) for one in drinks}


def _batch(one: OrderedDrink, filling: Filling | None, cost: Cost, when: Times, blends: Blends) -> OrderBatch:
    library, serve, price = blends.library, one.one, one.spec.price
    parts = [keeps_of(library, poured.line.item) for poured in serve.drink.poured if poured.line.when == "batch"]
    return OrderBatch(
        id=one.spec.id,
        name=one.spec.name,
        glass_kind=one.spec.glass,
        expected=one.plan.expected,
        serves=one.serves,
        diluted=serve.diluted,
        for_freezer=serve.for_freezer,
        water_g=serve.water_g * one.serves,
        total_ml=one.volume.ml,
        total_g=one.volume.g,
        spec_revision=one.spec.revision,
        glass=serve.glass,
        mixes=mixes(serve, one.serves, filling.mix, filling.mixes, blends) if filling else (),
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
        use_by=earliest(when.ready, parts, when.day_ends),
    )


def _prep(
    drinks: Sequence[OrderedDrink], out: Exploded, bought: Basket, order: Order, library: Library, when: Times
) -> tuple[Step, ...]:
    mixing = [one.mixing for one in drinks if one.one.mix_ml > 0.0]
    taken = {item for one in drinks for item in (*one.one.takes.g, *one.one.takes.pieces)}
    pressed = {name: (one.g, one.ml) for name, one in bought.pressed.items() if one.g > 0.0}
    return steps(out.stocks, pressed, mixing, taken, order.lead, library, when)


def _shorts(drinks: Iterable[OrderedDrink], vessels: Mapping[str, Filling], library: Library) -> list[str]:
    """Of each drink what finds no vessel, in one sentence, or nothing."""
    found = ((one, vessels.get(one.spec.id)) for one in drinks)
    return [short_of(one.volume, filling, library.house) if filling else "" for one, filling in found]


def _cost(drinks: Iterable[OrderedDrink], costs: Mapping[str, Cost], bought: Basket, order: Order, library: Library) -> OrderCost:
    paid = total(UNKNOWN if one.cost is None else Cost(one.cost, complete=True) for one in bought.lines)
    used = total(costs[one.spec.id].times(one.serves) for one in drinks)
    left = total(one.rate.times(one.left_over) for one in bought.lines if one.rate.complete)
    currency = library.house.currency
    return OrderCost(paid.amount, currency, paid.complete, paid.amount / order.guests, used.amount, left.amount)


def _of_the_day(order: Order, plan: Served, library: Library, now: datetime) -> Iterable[Caution]:
    if order.date < house_day(now, library.house):
        yield caution("order-past", date=f"{order.date.day} {order.date:%b %Y}")
    unshared = (plan.drinks or 0.0) * order.mixed_share - plan.mixed
    if unshared > 0.5:
        yield caution("order-unshared", count=say.number(unshared, 6))
