"""The demo library: it is sound, it is said to be invented, and its drinks sit where their style usually falls."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from station.bar.fault import CannotAnswer
from station.bar.nouns import KINDS, METHODS, WHENS, Spec
from station.bar.say import standing
from station.calc.balance import balance
from station.calc.batch import Target
from station.calc.blend import Blends
from station.calc.making import Yield
from station.desk.batching import batched
from station.desk.checking import check
from station.desk.look import show
from station.desk.making import made
from station.desk.plainly import as_json
from station.files.places import shipped
from station.files.reader import read_library

FOLDER = shipped("specs")
LIBRARY = read_library(FOLDER)
BLENDS = Blends(LIBRARY)
DRINKS, STOCKS = sorted(LIBRARY.drinks), sorted(LIBRARY.stocks)
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
DROP_OR_DASH = re.compile(r"\b(drops?|dash(es)?)\b", re.IGNORECASE)

# Drinks that mean to stand outside their window: their notes say so, and why.
OUTSIDE = {"stern-invigilator": {"acid": "high"}}
# What a card of a batch may warn of, and the word by which the drink's own notes explain it.
EXPLAINED = {
    "egg": "",
    "house": "",
    "permission": "",
    "tartrate-unknown": "",
    "acid-unbuffered": "",
    "tartrate": "tartar",
    "allergen-unknown": "asked",
}
# A source is a published one, or says that it is none.
SOURCED = re.compile(r"USDA|Codex|FDA|Penniston|Karadeniz|Krueger|White et al|from memory|common practice, no source|^water\b")
CONCENTRATES = {"lactic-10", "phosphoric-5"}


def counted(spec: Spec) -> set[str]:
    return {line.amount.unit for line in spec.lines if line.amount.unit in {"drop", "dash"}}


def test_check_finds_nothing() -> None:
    assert [str(fault) for fault in check(BLENDS)] == []


def test_it_is_large_enough_to_judge_the_tool_by() -> None:
    assert len(LIBRARY.items) >= 60
    assert len(LIBRARY.stocks) >= 20
    assert len(LIBRARY.drinks) >= 24
    assert sum(bool(counted(spec)) for spec in LIBRARY.drinks.values()) >= 20
    assert {kind for item in LIBRARY.items.values() for kind in [item.kind]} == set(KINDS) - {"syrup"}


def test_every_method_and_every_style_has_a_drink() -> None:
    styles = Counter(spec.style for spec in LIBRARY.drinks.values())
    assert {spec.method for spec in LIBRARY.drinks.values()} == set(METHODS)
    assert set(styles) == set(LIBRARY.windows)
    assert {style: styles[style] for style in ("shaken", "stirred", "long", "low", "no-alcohol")} == {
        "shaken": 7,
        "stirred": 5,
        "long": 4,
        "low": 3,
        "no-alcohol": 3,
    }
    cold = {spec.id: show(BLENDS, spec.id).glass.freezing_c for spec in LIBRARY.drinks.values() if spec.batch == "freezer"}
    assert set(cold) == {"winter-turnstile", "attic-glacier"}
    assert all(t_c is not None and t_c < -12.0 for t_c in cold.values()), "their notes say a freezer at -12 °C"


def test_every_way_of_saying_an_amount_is_in_some_drink() -> None:
    lines = [line for spec in LIBRARY.drinks.values() for line in spec.lines]
    assert {line.amount.role for line in lines} == {"", "top", "float", "rinse"}
    assert {line.amount.unit for line in lines} >= {"ml", "cl", "oz", "g", "drop", "dash", "barspoon", "spray", "part", "each"}
    assert {line.when for line in lines} == set(WHENS)
    assert any(line.optional for line in lines) and any(line.hold_back for line in lines)
    assert any(line.poured and line.kept for line in lines)
    assert any(line.amount.value is None and line.amount.role == "top" for line in lines)
    assert {spec.ounce for spec in LIBRARY.drinks.values()} == {"", "30 ml"}


def test_foam_without_egg_milk_that_was_strained_and_bases_that_are_split() -> None:
    assert "egg" not in show(BLENDS, "velvet-ordinance").allergens
    assert "aquafaba" in {line.item for line in LIBRARY.drinks["velvet-ordinance"].lines}
    assert show(BLENDS, "lighthouse-dairy").allergens == ("milk",)
    for name in (name for name in DRINKS if "split base" in LIBRARY.drinks[name].tags):
        items = [LIBRARY.items.get(line.item) for line in LIBRARY.drinks[name].lines if line.when == "batch"]
        assert sum(item is not None and item.kind == "spirit" for item in items) == 2, name


@pytest.mark.parametrize("name", DRINKS)
def test_every_figure_of_the_glass_is_in_its_window_or_the_notes_say_why(name: str) -> None:
    spec, glass = LIBRARY.drinks[name], show(BLENDS, name).glass
    window = LIBRARY.windows[spec.style]
    values = {figure: value for figure, value in glass.figures.items() if figure in window.figures and value is not None}
    assert set(values) == set(window.figures), "a figure of the window is undefined for this drink"
    stands = {figure: standing(value, window.figures[figure]) for figure, value in values.items()}
    assert {figure: where for figure, where in stands.items() if where != "within"} == OUTSIDE.get(name, {})
    assert ("on purpose" in spec.notes) == (name in OUTSIDE)


@pytest.mark.parametrize("name", DRINKS)
def test_every_drink_fills_a_pitcher_and_what_its_card_warns_of_is_explained(name: str) -> None:
    spec, card = LIBRARY.drinks[name], batched(BLENDS, name, Target(vessel="pitcher"), None, NOON)
    assert card.full_serves >= 7
    for one in card.cautions:
        assert EXPLAINED[one.code] in spec.notes
    notes = [line.note for mix in card.mixes for line in mix.lines if line.note]
    assert len(notes) == sum(line.hold_back > 0 for line in spec.lines), notes


@pytest.mark.parametrize("name", DRINKS)
def test_every_drink_is_filled_in_as_a_bar_would(name: str) -> None:
    spec = LIBRARY.drinks[name]
    assert spec.glass and spec.steps and spec.tags and spec.notes and spec.tuned_by and spec.tuned_on and spec.price
    assert spec.invented
    assert bool(spec.strain) == (spec.method in {"shake", "stir"} and spec.batch != "freezer")
    assert all(len(step) <= 100 for step in spec.steps)


@pytest.mark.parametrize("target", [Target(serves=6), Target(vessel="pitcher")], ids=["six", "pitcher"])
@pytest.mark.parametrize("name", DRINKS)
def test_no_batch_card_shows_a_drop_or_a_dash_but_at_the_glass(name: str, target: Target) -> None:
    card = batched(BLENDS, name, target, None, NOON)
    per_glass = tuple(replace(one, each="") for one in card.service)
    served = replace(card.serving, steps=())  # at the glass, too
    assert DROP_OR_DASH.findall(as_json(replace(card, service=per_glass, serving=served))) == []


def test_a_counted_line_becomes_grams_in_a_batch() -> None:
    card = batched(BLENDS, "tin-lantern", Target(serves=15), None, NOON)
    citric = next(line for line in card.mixes[0].lines if line.item == "citric-25")
    per_drop = (2.61 + 2.58 + 2.66) / 3 / 50
    assert citric.g == pytest.approx(15 * 2 * per_drop, rel=1e-12)


@pytest.mark.parametrize(
    ("stock", "component", "pct_ww"),
    [
        ("citric-25", "citric", 25.0),
        ("malic-20", "malic", 20.0),
        ("tartaric-20", "tartaric", 20.0),
        ("lactic-10", "lactic", 10.0),
        ("phosphoric-5", "phosphoric", 5.0),
        ("ascorbic-4", "ascorbic", 4.0),
        ("saline-20", "salt", 20.0),
        ("syrup-1-1", "sucrose", 50.0),
        ("syrup-2-1", "sucrose", 200.0 / 3.0),
        ("demerara-2-1", "sucrose", 66.0),
        ("gum-syrup", "sucrose", 60.0),
        ("gum-syrup", "other", 4.0),
    ],
)
def test_a_stock_is_as_strong_as_its_name_says(stock: str, component: str, pct_ww: float) -> None:
    assert 100.0 * BLENDS.stuff(stock).per_g[component] == pytest.approx(pct_ww, rel=1e-9)


@pytest.mark.parametrize("stock", ["orange-sharp", "stretched-lime"])
def test_what_stands_in_for_lime_meets_its_acidity(stock: str) -> None:
    sharp, lime = (balance(BLENDS.stuff(name).per_g).acid_g_per_100ml for name in (stock, "lime-juice"))
    assert sharp == pytest.approx(lime, rel=0.02)


@pytest.mark.parametrize("name", STOCKS)
def test_every_stock_can_be_made_and_a_concentrate_only_when_acknowledged(name: str) -> None:
    stock = LIBRARY.stocks[name]
    assert stock.keeps and stock.par and stock.method and stock.invented
    assert made(BLENDS, name, Yield(g=500.0), NOON, acknowledged=True).g == pytest.approx(500.0)
    if name in CONCENTRATES:
        with pytest.raises(CannotAnswer, match="corrosive concentrate"):
            made(BLENDS, name, Yield(g=500.0), NOON)
    else:
        made(BLENDS, name, Yield(g=500.0), NOON)


def test_every_acid_has_a_stock_and_none_is_a_concentrate() -> None:
    for acid in ("citric", "malic", "tartaric", "lactic", "phosphoric", "ascorbic"):
        assert any(BLENDS.stuff(name).per_g[acid] >= 0.04 for name in STOCKS), acid
    assert all(BLENDS.stuff(name).per_g["phosphoric"] <= 0.10 for name in STOCKS)
    assert all(BLENDS.stuff(name).per_g["lactic"] <= 0.20 for name in STOCKS)


def test_a_stock_that_outlives_a_juice_in_it_says_why() -> None:
    for stock in LIBRARY.stocks.values():
        items = [LIBRARY.items[line.item] for line in stock.lines if line.item in LIBRARY.items]
        juices = [item.keeps for item in items if item.kind == "juice"]
        outlives = [keeps for keeps in juices if keeps and stock.keeps and keeps.hours < stock.keeps.hours]
        assert bool(stock.keeps_reason) == bool(outlives), stock.id


def test_a_bare_ratio_never_stands_without_its_basis() -> None:
    texts = [text for one in LIBRARY.stocks.values() for text in (one.name, one.notes, one.method)]
    ratios = [text for text in texts if re.search(r"\d\s*:\s*\d", text)]
    assert ratios, "no stock here is named by a ratio"
    assert [text for text in ratios if "by weight" not in text] == []


def test_every_item_and_every_window_has_a_source() -> None:
    assert [item.id for item in LIBRARY.items.values() if not SOURCED.search(item.source)] == []
    assert [window.id for window in LIBRARY.windows.values() if not window.source.strip()] == []


def test_every_item_has_a_pack_with_its_price_and_every_file_says_they_are_invented() -> None:
    for item in LIBRARY.items.values():
        assert item.packs or item.fruit, f"{item.id} is neither bought nor pressed"
        assert None not in {pack.price for pack in item.packs}, item.id
    for file in {item.file for item in LIBRARY.items.values()}:
        assert re.search(r"rices are invented", (FOLDER / file).read_text(encoding="utf-8")), file


def test_nothing_is_kept_that_nothing_is_made_of() -> None:
    lines = [line.item for one in (*LIBRARY.drinks.values(), *LIBRARY.stocks.values()) for line in one.lines]
    pressed = [item.fruit.item for item in LIBRARY.items.values() if item.fruit]
    assert {*LIBRARY.items, *LIBRARY.stocks} - {*lines, *pressed} == set()


def test_fresh_juices_are_pressed_from_fruit_bought_by_count() -> None:
    fruits = {item.id: LIBRARY.items[item.fruit.item] for item in LIBRARY.items.values() if item.fruit}
    assert set(fruits) == {"lime-juice", "lemon-juice", "orange-juice", "grapefruit-juice"}
    assert {pack.size.unit for fruit in fruits.values() for pack in fruit.packs} == {"each"}


def test_allergens_are_stated_but_for_one_item_and_that_one_shows_in_its_drink() -> None:
    assert {item.id for item in LIBRARY.items.values() if item.allergens is None} == {"herbal-liqueur"}
    assert [name for name in DRINKS if "?" in show(BLENDS, name).allergens] == ["paper-anvil"]
    assert "sesame" in show(BLENDS, "copper-almanac").allergens
    found = {allergen for name in DRINKS for allergen in show(BLENDS, name).allergens}
    assert found == {"?", "celery", "egg", "milk", "nuts", "sesame", "sulphites"}


def test_what_the_station_measures_with() -> None:
    assert (len(LIBRARY.house.vessels), len(LIBRARY.house.scales)) == (6, 3)
    assert Counter(one.unit for one in LIBRARY.dispensers.values()) == {"drop": 2, "dash": 1, "barspoon": 1, "spray": 1}
    assert all(one.calibrations for one in LIBRARY.dispensers.values())
    red = LIBRARY.dispensers["dropper-red"].calibrations
    assert len([one for one in red if one.item == "citric-25"]) == 2 and len({one.item for one in red}) == 2


def test_there_is_an_order_for_three_hundred() -> None:
    fair = LIBRARY.orders["lamp-fair"]
    assert (fair.guests, fair.hours, fair.first_hour, fair.per_hour) == (300, 5.0, 2.0, 1.0)
    assert sum(pour.share or 0.0 for pour in fair.pours) == pytest.approx(1.0)
    assert set(LIBRARY.orders) == {"harvest-supper", "lamp-fair"}


def test_nothing_but_toml_is_in_the_folder() -> None:
    assert {path.suffix for path in FOLDER.rglob("*") if path.is_file() and ".station" not in path.parts} == {".toml"}


def test_the_library_and_every_drink_are_said_to_be_invented() -> None:
    house = (FOLDER / "station.toml").read_text(encoding="utf-8")
    assert "invented" in house.partition("format")[0]
    for name in DRINKS:
        text = (FOLDER / LIBRARY.drinks[name].file).read_text(encoding="utf-8")
        assert text.startswith("# Invented"), name


def test_no_two_drinks_share_a_name_and_one_is_found_by_its_first_letter() -> None:
    names = [spec.name for spec in LIBRARY.drinks.values()]
    assert len(set(names)) == len(names)
    assert [name for name in names if name.startswith("T")] == ["Tin Lantern"]


def test_every_drink_says_what_it_tastes_like() -> None:
    assert [spec.id for spec in LIBRARY.drinks.values() if not 20 <= len(spec.notes) <= 160] == []
