"""How many of each drink an order comes to: guests, drinks a guest, the mixed ones among them, shares, overage."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from station.bar import say
from station.bar.fault import CannotAnswer
from station.bar.nouns import SHARES, Order, OrderPour
from station.calc.estimates import Estimates

OF_MIXED, PROPORTIONAL = SHARES
# 450 and its tenth more is 495, not 496 for a rounding in the last bit.
_SLACK = 1e-9
# Shares written to three decimals, as thirds are, sum to 1 well enough.
_SUM_SLACK = 0.0015


@dataclass(frozen=True, slots=True)
class Planned:
    """One drink: how many are expected to be asked for, how many are made, and its part of the drinks that are shared out (None:
    it was counted)."""

    spec: str
    expected: float
    serves: int
    share: float | None


@dataclass(frozen=True, slots=True)
class Served:
    """All drinks expected (None: nobody said how many a guest takes), the mixed ones among them, those not planned here; those
    that shares divide (None where all are counted)."""

    drinks: float | None
    mixed: float
    other: float | None
    shared: float | None
    pours: tuple[Planned, ...]


def served(order: Order, given: Estimates) -> Served:
    """The drinks of an order. A number of serves comes off the mixed drinks first and is made as it is; shares are of what is
    left, and get the overage on top. Raises CannotAnswer where shares cannot be turned into drinks."""
    if order.guests < 1:
        raise CannotAnswer(f"{order.name} is for no guests", "say how many come")
    shared = [one for one in order.pours if one.share is not None]
    counted = sum(one.serves or 0 for one in order.pours)
    drinks = None if given.drinks is None else given.drinks * order.guests
    if drinks is None and shared:
        raise CannotAnswer(f"{order.name} shares out drinks and does not say how many", "add hours, or drinks_per_guest")
    mixed = float(counted) if drinks is None else drinks * given.mixed_share
    left = _left(order, shared, mixed, counted)
    whole = _whole(order, shared, left)
    pours = tuple(_planned(one, whole, left, given.overage) for one in order.pours)
    planned = sum(one.expected for one in pours)
    other = None if drinks is None else max(0.0, drinks - planned)
    return Served(drinks, planned, other, left if shared else None, pours)


def serves_by_spec(plan: Served) -> Mapping[str, int]:
    """Serves of each drink, however often it is named."""
    serves: dict[str, int] = {}
    for one in plan.pours:
        serves[one.spec] = serves.get(one.spec, 0) + one.serves
    return serves


def _left(order: Order, shared: list[OrderPour], mixed: float, counted: int) -> float:
    """Mixed drinks that the shares divide."""
    if shared and counted >= mixed:
        raise CannotAnswer(
            f"the {say.number(counted, 6)} counted serves of {order.name} leave nothing of its {say.number(mixed, 6)} mixed "
            "drinks to share out",
            "count fewer, or expect more drinks",
        )
    return mixed - counted


def _whole(order: Order, shared: list[OrderPour], left: float) -> float:
    """What the shares are divided by. Where they do not sum to 1 both readings are said, and the order must choose."""
    total = sum(one.share or 0.0 for one in shared)
    if not shared or abs(total - 1.0) <= _SUM_SLACK:
        return total
    if total <= 0.0:
        raise CannotAnswer(f"the shares of {order.name} are all 0", "say what part of the mixed drinks each is")
    if order.shares:
        return total if order.shares == PROPORTIONAL else 1.0
    over = total * left - left
    rest = f"{say.number(-over, 6)} of them not planned" if over < 0.0 else f"{say.number(over, 6)} more than there are"
    raise CannotAnswer(
        f"the shares of {order.name} sum to {say.number(total, 4)}. Of the {say.number(left, 6)} mixed drinks they are "
        f"{say.number(total * left, 6)}, {rest}; as proportions they are all {say.number(left, 6)}",
        f"make them sum to 1, or write shares = “{OF_MIXED}” or shares = “{PROPORTIONAL}”",
    )


def _planned(one: OrderPour, whole: float, left: float, overage: float) -> Planned:
    if one.serves is not None:
        return Planned(one.spec, float(one.serves), one.serves, None)
    share = (one.share or 0.0) / whole
    expected = share * left
    return Planned(one.spec, expected, math.ceil(expected * (1.0 + overage) - _SLACK * max(1.0, expected)), share)
