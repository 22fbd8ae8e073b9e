"""Orders for tests: a small library with drinks that use every way of taking something, and orders at random."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from hypothesis import strategies as st
from small_library import demo

from station.bar.nouns import Order, OrderPour
from station.bar.quantity import given
from station.calc.menu import Menu
from station.calc.ordered import Ordered
from station.desk.ordering import ordered

NOW = datetime(2027, 5, 1, 12, tzinfo=UTC)
DAY = date(2027, 9, 18)
SUPPER = Order("supper", "Supper", DAY, 120, (OrderPour("tin-lantern", share=1.0),), hours=4.0, mixed_share=0.5)

_ON_HAND = {
    **dict.fromkeys(("rum-light", "lime-juice", "gin-dry", "syrup-1-1", "tea-gin"), ("1.5 l", "300 ml", "40 l")),
    **dict.fromkeys(("citric-acid", "sugar", "citric-25"), ("400 g", "12 kg")),
    **dict.fromkeys(("lime-coin", "lemon-twist", "lime"), ("10 each", "3000 each")),
}


def menu() -> Menu:
    return Menu.of(demo())


def answered(order: Order, now: datetime = NOW) -> Ordered:
    return ordered(menu(), order, now)


def of(*specs: str, **said: object) -> Order:
    """Supper with an equal share of these drinks, and what is said besides."""
    pours = tuple(OrderPour(spec, share=1.0 / len(specs)) for spec in specs)
    return replace(SUPPER, pours=pours, **said)  # type: ignore[arg-type]


@st.composite
def orders(draw: st.DrawFn) -> Order:
    """An order of the demo's drinks: counts and shares, things on hand, losses of every kind."""
    specs = draw(st.lists(st.sampled_from(sorted(demo().library.drinks)), min_size=1, max_size=5, unique=True))
    pours = tuple(OrderPour(spec, serves=draw(st.integers(1, 400)), batch=draw(_BATCH)) for spec in specs)
    return replace(
        SUPPER,
        pours=pours,
        on_hand={name: given(draw(st.sampled_from(amounts))) for name, amounts in _ON_HAND.items() if draw(st.booleans())},
        waste=draw(st.sampled_from([0.0, 0.03, 0.2])),
        garnish_spoilage=draw(st.sampled_from([None, 0.0, 0.3])),
        fruit=draw(st.sampled_from([None, "low", "usual"])),
    )


_BATCH = st.sampled_from(["", "diluted", "undiluted"])
