"""What an order takes for granted where nobody said: estimates by common practice, each for the house to change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from station.bar.nouns import Order
from station.bar.quantity import Keeps

FIRST_HOUR, PER_HOUR, HOURS = 2.0, 1.0, 5.0
STARTS: Final = "18:00"
READY: Final = Keeps(2, by_the_day=False)
GARNISH_SPOILAGE: Final = 0.15
WATER_ML: Final = 500.0
GLASSES: Final = 4.0
# 1.5 and 2 lb a guest over four to five hours.
ICE_LOW_G, ICE_HIGH_G = 680.0, 907.0
FRUIT: Final = "low"


@dataclass(frozen=True, slots=True)
class Estimates:
    """An order's assumptions, each as said or as taken. `ice_g` is from, to; `drinks` is of one guest, over all the hours."""

    starts: str
    ready: Keeps
    hours: float
    drinks: float | None
    mixed_share: float
    overage: float
    waste: float
    fruit: str
    garnish_spoilage: float
    ice_g: tuple[float, float]
    water_ml: float
    glasses: float


def estimates(order: Order) -> Estimates:
    """All that is assumed. `drinks` is None where neither the order's hours nor its drinks per guest are said."""
    ice = order.ice_per_guest_g
    return Estimates(
        starts=order.starts or STARTS,
        ready=order.ready or READY,
        hours=order.hours or HOURS,
        drinks=drinks_per_guest(order),
        mixed_share=order.mixed_share,
        overage=order.overage,
        waste=order.waste,
        fruit=order.fruit or FRUIT,
        garnish_spoilage=_or(order.garnish_spoilage, GARNISH_SPOILAGE),
        ice_g=(ICE_LOW_G, ICE_HIGH_G) if ice is None else (ice, ice),
        water_ml=_or(order.water_per_guest_ml, WATER_ML),
        glasses=_or(order.glasses_per_guest, GLASSES),
    )


def drinks_per_guest(order: Order) -> float | None:
    """Drinks of one guest: as said, or so many in the first hour and so many in each after it; the part of an hour counts as
    part of its drinks. Two, then one, where only the hours are said."""
    if order.drinks_per_guest is not None:
        return order.drinks_per_guest
    if order.hours is None:
        return None
    first, after = drinks_an_hour(order)
    return first * min(order.hours, 1.0) + after * max(order.hours - 1.0, 0.0)


def drinks_an_hour(order: Order) -> tuple[float, float]:
    """Drinks of one guest in the first hour and in each after it: as said, else two and one, or all hours alike."""
    after = _or(order.per_hour, PER_HOUR)
    return _or(order.first_hour, FIRST_HOUR if order.per_hour is None else after), after


def _or(said: float | None, taken: float) -> float:
    return taken if said is None else said
