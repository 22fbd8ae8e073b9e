"""A large order of invented drinks, made in memory: so many drinks, stocks four deep, items."""

from __future__ import annotations

from datetime import date
from random import Random

from station.bar.amount import parse_amount
from station.bar.nouns import Fruit, House, Item, Library, Line, Order, OrderPour, Pack, Scale, Spec, Stock, Vessel
from station.bar.quantity import given, keeps

DEPTH = 4
METHODS = ("shake", "stir", "build")


def big_order(drinks: int = 40, stocks: int = 30, items: int = 300, lines: int = 8) -> tuple[Library, Order]:
    """A library and an order of all its drinks. The same numbers make the same ones."""
    random = Random(40)
    bought = {f"item-{place}": _item(place) for place in range(items)}
    made: dict[str, Stock] = {}
    for place in range(stocks):
        level = place * DEPTH // stocks
        below = [name for name, one in made.items() if int(one.notes) == level - 1]
        made[f"stock-{place}"] = _stock(place, level, [*random.sample(sorted(bought), lines - len(below[:3])), *below[:3]])
    specs = {f"drink-{place}": _spec(place, random.sample([*bought, *made], lines)) for place in range(drinks)}
    vessels = {name: Vessel(name, name, 1100.0 * fill, 1000.0 * fill, 900.0, 99) for name, fill in (("tub", 18.0), ("jug", 1.5))}
    scales = {"fine": Scale("fine", "Fine", 200.0, 0.01), "floor": Scale("floor", "Floor", 30_000.0, 5.0)}
    house = House(scales=scales, vessels=vessels, timezone="Europe/Lisbon")
    pours = tuple(OrderPour(name, serves=100 + place) for place, name in enumerate(specs))
    order = Order(
        "big", "Big", date(2027, 6, 12), 300, pours, hours=5.0, on_hand={"item-1": given("2 l"), "stock-0": given("90 g")}
    )
    return Library("", "r", house, items=bought, stocks=made, drinks=specs, orders={"big": order}), order


def _item(place: int) -> Item:
    kinds = ({"abv_pct": 40.0}, {"brix": 50.0}, {"per_100_ml": {"fructose": 3.0, "citric": 2.0}}, {"abv_pct": 18.0})
    packs = (Pack(given("700 ml"), 17.5), Pack(given("1 l"), 23.0))
    fruit = Fruit(f"item-{place + 1}", 22.0, 30.0) if place % 100 == 50 else None
    said = kinds[place % len(kinds)]
    return Item(f"item-{place}", f"Item {place}", "spirit", allergens=(), packs=packs, fruit=fruit, **said)  # type: ignore[arg-type]


def _stock(place: int, level: int, items: list[str]) -> Stock:
    lines = tuple(Line(item, parse_amount(f"{20 + number} g")) for number, item in enumerate(items))
    return Stock(f"stock-{place}", f"Stock {place}", lines, held_back=0.02, keeps=keeps("9 days"), notes=str(level))


def _spec(place: int, items: list[str]) -> Spec:
    lines = tuple(Line(item, parse_amount(f"{6 + 4 * number} ml")) for number, item in enumerate(items))
    return Spec(f"drink-{place}", f"Drink {place}", METHODS[place % 3], lines, revision=str(place), glass="coupe")
