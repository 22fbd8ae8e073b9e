"""An order's assumptions one by one, each as a file would spell it: what the order says, and what is taken where it is silent."""

from __future__ import annotations

from collections.abc import Iterator

from station.bar import say
from station.bar.nouns import Library, Order
from station.calc.estimates import drinks_an_hour, estimates
from station.calc.ordered import Assumed

_COMMON = "an estimate: common practice, no source"
_ESTIMATE = "an estimate of the house's"
_OVERAGE = "% of the serves that are expected by their part; those given as a number get nothing extra"
_WASTE = "% of the weight bought: what stays in bottles and on tools"
_SHARE = "part of the mixed drinks, once those given as a number are off; extra comes on top"
_FRUIT = "low or usual: which of the two yields of its file a fruit is bought at"
_GARNISH = "% of the pieces that go on glasses, bought on top; 15 % is common practice, no source"


def assumed(order: Order, library: Library) -> tuple[Assumed, ...]:
    """Every assumption, in the order a person goes through them."""
    return (*_event(order), *_drinks(order), *_pours(order, library), *_stores(order, library), *_service(order))


def _event(order: Order) -> Iterator[Assumed]:
    given = estimates(order)
    yield Assumed("date", "Date", order.date.isoformat(), True, "as agreed")
    yield Assumed("guests", "Guests", str(order.guests), True, "as agreed")
    yield _one("starts", "Starts", given.starts, order.starts is not None)
    yield _one("hours", "Hours", _number(given.hours), order.hours is not None)
    yield _one("ready", "Ready before the start", str(given.ready), order.ready is not None)


def _drinks(order: Order) -> Iterator[Assumed]:
    given = estimates(order)
    if order.drinks_per_guest is None:
        first, per_hour = drinks_an_hour(order)
        yield _one("first_hour", "First hour, drinks a guest", _number(first), order.first_hour is not None)
        yield _one("per_hour", "Later hours, drinks a guest", _number(per_hour), order.per_hour is not None)
    each = "" if given.drinks is None else _number(given.drinks)
    said = order.drinks_per_guest is not None
    yield Assumed(
        "drinks_per_guest", "Drinks a guest in all", each, said, _ESTIMATE if said else "from the hours above; or say it here"
    )
    yield _one("mixed_share", "Mixed, part of all drinks", _number(order.mixed_share), True)
    yield Assumed("overage", "Extra made, of expected", _percent(order.overage), True, _OVERAGE)
    if order.shares:
        yield _one("shares", "Shares are", order.shares, True)


def _pours(order: Order, library: Library) -> Iterator[Assumed]:
    for place, one in enumerate(order.pours):
        drink = library.drinks.get(one.spec)
        name = drink.name if drink else one.spec
        if one.serves is not None:
            yield Assumed(f"pours.{place}.serves", f"{name}, serves", str(one.serves), True, "counted: nothing extra is made")
        else:
            yield Assumed(f"pours.{place}.share", f"{name}, part of mixed", _number(one.share or 0.0), True, _SHARE)


def _stores(order: Order, library: Library) -> Iterator[Assumed]:
    given = estimates(order)
    yield Assumed("waste", "Lost, of what is bought", _percent(order.waste), True, _WASTE)
    yield Assumed("fruit", "Juice a fruit gives", given.fruit, order.fruit is not None, _FRUIT)
    said = order.garnish_spoilage is not None
    yield Assumed("garnish_spoilage", "Extra garnish, of used", _percent(given.garnish_spoilage), said, _GARNISH)
    for item, amount in order.on_hand.items():
        about = f"counted; its id is {item}"
        yield Assumed(f"on_hand.{item}", f"On hand: {library.name_of(item)}", amount.text, True, about)
    for item, keeps in order.lead.items():
        about = f"{_ESTIMATE}; its id is {item}"
        yield Assumed(f"lead.{item}", f"Lead time: {library.name_of(item)}", str(keeps), True, about)


def _service(order: Order) -> Iterator[Assumed]:
    given = estimates(order)
    low, high = given.ice_g
    ice = f"{low:g} g" if low == high else f"{low:g} to {high:g} g"
    yield _one("ice_per_guest", "Ice a guest", ice, order.ice_per_guest_g is not None)
    yield _one("water_per_guest", "Water a guest", f"{given.water_ml:g} ml", order.water_per_guest_ml is not None)
    yield _one("glasses_per_guest", "Glasses a guest", _number(given.glasses), order.glasses_per_guest is not None)


def _one(key: str, label: str, value: str, said: bool) -> Assumed:
    return Assumed(key, label, value, said, _ESTIMATE if said else _COMMON)


def _number(value: float) -> str:
    return f"{value:.6g}"


def _percent(fraction: float) -> str:
    return say.number(100.0 * fraction, 6) + " %"
