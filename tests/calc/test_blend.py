"""Stocks made of stocks, and the memo that outlives an edit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import NOON, open_small, read_small, stock

from station.bar.amount import parse_amount
from station.bar.fault import CannotAnswer
from station.bar.nouns import Calibration, Dispenser, House, Item, Library, Line, Stock
from station.calc.balance import balance
from station.calc.blend import Blends
from station.calc.making import Yield
from station.desk.checking import check
from station.desk.making import made


def blends(folder: Path, **stocks: str) -> Blends:
    files = {f"stocks/{name.replace('_', '-')}.toml": text for name, text in stocks.items()}
    library = read_small(folder, files)
    assert library.faults == ()
    return Blends(library)


def test_a_stock_is_the_sum_of_its_lines(tmp_path: Path) -> None:
    per_g = Blends(read_small(tmp_path)).stuff("citric-25").per_g
    assert (per_g["citric"], per_g["water"]) == pytest.approx((0.25, 0.75))


def test_a_stock_of_stocks_is_followed_to_its_bought_items(tmp_path: Path) -> None:
    found = blends(tmp_path, half=stock("citric-25: 100 g", "water: 100 g"), quarter=stock("half: 1 kg", "water: 1 kg"))
    assert found.stuff("quarter").per_g["citric"] == pytest.approx(0.25 / 4)


def test_what_boils_off_is_water(tmp_path: Path) -> None:
    found = blends(tmp_path, thick=stock("syrup: 100 g", more='evaporated = "20 %"'))
    assert found.stuff("thick").per_g["sucrose"] == pytest.approx(50 / 80)
    assert found.making("thick").composition.mass_g == pytest.approx(80.0)


def test_what_is_held_back_takes_a_share_of_everything(tmp_path: Path) -> None:
    found = blends(tmp_path, less=stock("syrup: 100 g", more='held_back = "10 %"'))
    assert found.stuff("less").per_g["sucrose"] == pytest.approx(0.5)
    assert found.making("less").composition.mass_g == pytest.approx(90.0)


def test_a_strained_line_leaves_its_solids_and_keeps_what_dissolved(tmp_path: Path) -> None:
    leaf = '[leaf]\nname = "Leaf"\nkind = "herb"\nform = "solid"\nper_100_g = { citric = 10 }\nallergens = ["celery"]\n'
    library = read_small(
        tmp_path, {"ingredients/leaf.toml": leaf, "stocks/tea.toml": stock("water: 90 g", "leaf: 10 g | strained = true")}
    )
    found = Blends(library)
    making = found.making("tea")
    assert making.composition["other"] == pytest.approx(0.0, abs=1e-12)
    assert making.composition["citric"] == pytest.approx(1.0)
    assert found.stuff("tea").allergens == {"celery"}


def test_fat_stays_in_the_cloth_with_the_solids(tmp_path: Path) -> None:
    milk = '[milk]\nname = "Milk"\nkind = "dairy"\nper_100_g = { lactose = 5, fat = 3, other = 4 }\n'
    files = {"ingredients/milk.toml": milk, "stocks/whey.toml": stock("water: 50 g", "milk: 50 g | strained = true")}
    whole = Blends(read_small(tmp_path, files)).making("whey").composition
    assert (whole["fat"], whole["other"]) == pytest.approx((0.0, 0.0), abs=1e-12)
    assert whole.mass_g == pytest.approx(100.0 - 1.5 - 2.0)


@pytest.mark.parametrize(("amount", "figure"), [("to 1 l", "ml"), ("to 1 kg", "g")])
def test_a_stock_is_made_up_to_a_total(amount: str, figure: str, tmp_path: Path) -> None:
    making = blends(tmp_path, saline=stock(f"water: {amount}", "sugar: 200 g")).making("saline")
    assert getattr(balance(making.composition), figure) == pytest.approx(1000.0, rel=1e-9)
    assert [dose.item for dose in making.doses] == ["water", "sugar"]


# "Make up to" and "add to" part by what the solute fills (common practice knows the trap): 200 g sugar in water to 1 l.
def test_making_up_to_is_not_adding_to(tmp_path: Path) -> None:
    found = blends(tmp_path, up=stock("water: to 1 l", "sugar: 200 g"), to=stock("water: 1 l", "sugar: 200 g"))
    up, to = (balance(found.making(name).composition).sugar_g_per_100ml or 0.0 for name in ("up", "to"))
    assert up == pytest.approx(20.0, rel=1e-9)
    # SPS-4: 200 g sugar add some 124 ml to their litre of water.
    assert to == pytest.approx(20.0 / 1.124, rel=0.002)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (stock("sugar: 2 kg", "water: to 1 l"), "A Stock holds more than it is made up to (raise the total in stocks/bad.toml)"),
        (stock("sugar: 2 kg", "water: to 1 kg"), "A Stock holds more than it is made up to (raise the total in stocks/bad.toml)"),
        (
            stock("sugar: 1 kg", "water: to 3 drops"),
            "A Stock is made up to no mass or volume (write e.g. to 1 l in stocks/bad.toml)",
        ),
        (
            stock("syrup: 100 g", more='evaporated = "60 %"'),
            "A Stock boils off more water than it holds (lower `evaporated` in stocks/bad.toml)",
        ),
        (stock("twist: 1 each", "water: 10 g"), "twist in A Stock has no weight (write g in stocks/bad.toml)"),
        (stock("water: top", "sugar: 1 g"), "“top” of water does not say how much (write e.g. top 60 ml)"),
    ],
)
def test_a_stock_that_cannot_be_made_says_why(text: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(CannotAnswer) as refused:
        blends(tmp_path, bad=text).stuff("bad")
    assert str(refused.value) == said


LEAF = '[leaf]\nname = "Leaf"\nkind = "herb"\nform = "solid"\nallergens = []\n'


# A stock of which nothing is left has no strength: one sentence, no traceback, and the rest of the library goes on.
@pytest.mark.parametrize(
    "text",
    [
        stock("water: 10 g", more='held_back = "100 %"'),
        stock("water: 10 g", more='held_back = "150 %"'),
        stock("water: 10 g", more='evaporated = "100 %"'),
        stock("leaf: 10 g | strained = true"),
    ],
    ids=["all held back", "more than all", "boiled dry", "all strained out"],
)
def test_a_stock_of_nothing_is_told_not_crashed_on(text: str, tmp_path: Path) -> None:
    library = read_small(tmp_path, {"stocks/bad.toml": text, "ingredients/leaf.toml": LEAF})
    told = [fault for fault in check(Blends(library)) if fault.file == "stocks/bad.toml"]
    assert told and all(fault.severity == "error" for fault in told)


def test_an_unknown_item_is_said(tmp_path: Path) -> None:
    with pytest.raises(CannotAnswer, match=r"^there is no item or stock gone \(see `station check`\)$"):
        Blends(read_small(tmp_path)).stuff("gone")


def test_water_needs_no_file(tmp_path: Path) -> None:
    assert Blends(read_small(tmp_path)).stuff("water").per_g["water"] == 1.0


def test_making_twice_is_reckoned_once(tmp_path: Path) -> None:
    found = Blends(read_small(tmp_path))
    assert found.stuff("citric-25") is found.stuff("citric-25")
    assert found.making("citric-25") is found.making("citric-25")
    assert made(found, "citric-25", Yield(), NOON).g == pytest.approx(400.0)


# The library the memo is tried on: two spirits, sugar, acid, and stocks that rest on one another; `b` and `e` are counted.
ITEMS = {
    "gin": Item("gin", "gin", "spirit", abv_pct=40.0, allergens=()),
    "rum": Item("rum", "rum", "spirit", abv_pct=50.0),
    "sugar": Item("sugar", "sugar", "sugar", form="solid", per_100_g={"sucrose": 100.0}, allergens=()),
    "acid": Item("acid", "acid", "acid", form="solid", per_100_g={"citric": 100.0}, allergens=("sulphites",)),
}


def stock_of(name: str, **lines: str) -> Stock:
    return Stock(name, name, tuple(Line(item, parse_amount(amount)) for item, amount in lines.items()))


STOCKS = {
    "a": stock_of("a", water="300 g", acid="100 g"),
    "b": stock_of("b", gin="100 ml", a="5 drops"),
    "c": stock_of("c", b="50 g", sugar="50 g"),
    "d": stock_of("d", rum="10 ml", sugar="20 g"),
    "e": stock_of("e", rum="3 dashes", water="20 g"),
}
DROPPER = Dispenser("dropper", "dropper", "drop", (Calibration("rum", date(2026, 1, 1), 50, (1.0,)),))
LIBRARY = Library("", "0", House(), items=ITEMS, stocks=STOCKS, dispensers={"dropper": DROPPER}, counted_ml={"dash": 0.6})


def with_item(library: Library, item: Item) -> Library:
    return replace(library, items={**library.items, item.id: item})


def with_stock(library: Library, name: str, made_of: Stock) -> Library:
    return replace(library, stocks={**library.stocks, name: made_of})


def without(known: Mapping[str, object], name: str) -> dict[str, object]:
    return {key: one for key, one in known.items() if key != name}


edits = st.one_of(
    st.builds(lambda abv: lambda lib: with_item(lib, replace(ITEMS["gin"], abv_pct=abv)), st.floats(20, 60)),
    st.builds(lambda abv: lambda lib: with_item(lib, replace(ITEMS["rum"], abv_pct=abv)), st.floats(20, 60)),
    st.builds(lambda g: lambda lib: with_stock(lib, "a", stock_of("a", water="300 g", acid=f"{g} g")), st.integers(1, 200)),
    st.builds(lambda n: lambda lib: with_stock(lib, "b", stock_of("b", gin="100 ml", a=f"{n} drops")), st.integers(1, 50)),
    st.builds(lambda n: lambda lib: with_stock(lib, "e", stock_of("e", rum=f"{n} dashes", water="20 g")), st.integers(1, 50)),
    st.builds(lambda ml: lambda lib: replace(lib, counted_ml={"dash": ml}), st.floats(0.3, 1.2)),
    st.builds(lambda ounce: lambda lib: replace(lib, house=replace(lib.house, ounce=ounce)), st.sampled_from(["us", "imperial"])),
    st.builds(
        lambda g: (
            lambda lib: replace(
                lib, dispensers={"dropper": replace(DROPPER, calibrations=(Calibration("rum", date(2026, 1, 1), 50, (g,)),))}
            )
        ),
        st.floats(0.5, 3.0),
    ),
    st.sampled_from(list(STOCKS)).map(lambda name: lambda lib: replace(lib, stocks=without(lib.stocks, name))),
    st.sampled_from(list(ITEMS)).map(lambda name: lambda lib: replace(lib, items=without(lib.items, name))),
    st.just(lambda lib: replace(lib, items=ITEMS, stocks=STOCKS)),
)


def everything(found: Blends) -> dict[str, object]:
    """Every item and stock, or the sentence that says why not."""
    answers: dict[str, object] = {}
    for name in (*ITEMS, *STOCKS):
        try:
            answers[name] = found.stuff(name)
        except CannotAnswer as refused:
            answers[name] = str(refused)
    return answers


@given(st.lists(edits, min_size=1, max_size=5))
@settings(max_examples=100, deadline=None)
def test_after_any_edits_the_memo_says_what_a_fresh_one_says(many: list) -> None:  # type: ignore[type-arg]
    library, kept = LIBRARY, Blends(LIBRARY)
    for edit in many:
        everything(kept)
        library = edit(library)
        kept = kept.after(library)
        assert everything(kept) == everything(Blends(library))


@pytest.mark.parametrize(
    ("edit", "same"),
    [
        (lambda lib: with_item(lib, replace(ITEMS["sugar"], allergens=None)), {"gin", "rum", "acid", "a", "b", "e"}),
        (lambda lib: with_stock(lib, "c", stock_of("c", b="10 g")), {"gin", "rum", "sugar", "acid", "a", "b", "d", "e"}),
        (lambda lib: with_item(lib, replace(ITEMS["acid"], allergens=())), {"gin", "rum", "sugar", "d", "e"}),
        (lambda lib: replace(lib, revision="1"), {*ITEMS, *STOCKS}),
    ],
    ids=["sugar", "a stock nothing rests on", "acid", "nothing"],
)
def test_what_an_edit_does_not_reach_is_the_same_object(edit: object, same: set[str]) -> None:
    before = Blends(LIBRARY)
    was = everything(before)
    now = everything(before.after(edit(LIBRARY)))  # type: ignore[operator]
    assert {name for name in was if was[name] is now[name]} == same


# What is edited need not be named by the stock that counts with it: a dash goes by the house's default, a drop of one liquid
# by a calibration made with another.
@pytest.mark.parametrize(
    ("edit", "stock"),
    [
        (lambda lib: replace(lib, counted_ml={"dash": 1.0}), "e"),
        (lambda lib: with_item(lib, replace(ITEMS["rum"], abv_pct=20.0)), "b"),
    ],
    ids=["the house's default dash", "the liquid a dropper was calibrated with"],
)
def test_an_edit_reaches_what_is_counted_by_it(edit: object, stock: str) -> None:
    before = Blends(LIBRARY)
    everything(before)
    library = edit(LIBRARY)  # type: ignore[operator]
    assert Blends(library).stuff(stock) != before.stuff(stock), "this edit changes nothing: the test is no test"
    assert before.after(library).stuff(stock) == Blends(library).stuff(stock)


def test_an_edited_memo_leaves_the_old_one_as_it_was() -> None:
    before = Blends(LIBRARY)
    was = everything(before)
    everything(before.after(with_item(LIBRARY, replace(ITEMS["gin"], abv_pct=20.0))))
    assert everything(before) == was


def test_a_snapshot_read_again_keeps_what_was_reckoned(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    was = opened.blends.stuff("spirit"), opened.blends.stuff("citric-25")
    assert not opened.reread()
    (tmp_path / "drinks" / "sour.toml").unlink()
    assert opened.reread()
    assert (opened.blends.stuff("spirit"), opened.blends.stuff("citric-25")) == was
    assert opened.blends.stuff("citric-25") is was[1]
