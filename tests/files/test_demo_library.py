"""The demo library: it is sound, it is said to be invented, and its drinks sit where their style usually falls."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from station.bar.nouns import METHODS, Spec
from station.bar.say import standing
from station.calc.balance import balance
from station.calc.batch import Target
from station.calc.blend import Blends
from station.desk.batching import batched
from station.desk.checking import check
from station.desk.look import show
from station.desk.plainly import as_json
from station.files.places import shipped
from station.files.reader import read_library

FOLDER = shipped("specs")
LIBRARY = read_library(FOLDER)
BLENDS = Blends(LIBRARY)
DRINKS = sorted(LIBRARY.drinks)
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
DROP_OR_DASH = re.compile(r"\b(drops?|dash(es)?)\b", re.IGNORECASE)

# Drinks that mean to stand outside their window, each with the reason its notes give.
OUTSIDE: dict[str, str] = {}


def counted(spec: Spec) -> set[str]:
    return {line.amount.unit for line in spec.lines if line.amount.unit in {"drop", "dash"}}


def test_check_finds_nothing() -> None:
    assert [str(fault) for fault in check(BLENDS)] == []


def test_it_is_large_enough_to_judge_the_tool_by() -> None:
    assert len(LIBRARY.items) >= 28
    assert len(LIBRARY.stocks) >= 8
    assert len(LIBRARY.drinks) >= 14
    assert sum(bool(counted(spec)) for spec in LIBRARY.drinks.values()) >= 6


def test_every_method_and_every_style_has_a_drink() -> None:
    styles = Counter(spec.style for spec in LIBRARY.drinks.values())
    assert {spec.method for spec in LIBRARY.drinks.values()} == set(METHODS) - {"none"}
    assert set(styles) == set(LIBRARY.windows)
    assert (styles["shaken"], styles["stirred"], styles["egg-white"]) == (5, 3, 2)
    assert [spec.id for spec in LIBRARY.drinks.values() if spec.batch == "freezer"] == ["winter-turnstile"]


@pytest.mark.parametrize("name", DRINKS)
def test_every_figure_of_the_glass_is_in_its_window(name: str) -> None:
    spec, glass = LIBRARY.drinks[name], show(BLENDS, name).glass
    window = LIBRARY.windows[spec.style]
    values = {figure: value for figure, value in glass.figures.items() if figure in window.figures and value is not None}
    assert set(values) == set(window.figures), "a figure of the window is undefined for this drink"
    outside = {figure: value for figure, value in values.items() if standing(value, window.figures[figure]) != "within"}
    assert bool(outside) == (name in OUTSIDE), outside


@pytest.mark.parametrize("target", [Target(serves=6), Target(vessel="pitcher")], ids=["six", "pitcher"])
@pytest.mark.parametrize("name", DRINKS)
def test_no_batch_card_shows_a_drop_or_a_dash_but_at_the_glass(name: str, target: Target) -> None:
    card = batched(BLENDS, name, target, None, NOON)
    per_glass = tuple(replace(one, each="") for one in card.service)
    assert DROP_OR_DASH.findall(as_json(replace(card, service=per_glass))) == []


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


def test_sharp_orange_juice_meets_the_acidity_of_lime() -> None:
    sharp, lime = (balance(BLENDS.stuff(name).per_g).acid_g_per_100ml for name in ("orange-sharp", "lime-juice"))
    assert sharp == pytest.approx(lime, rel=0.02)


def test_a_bare_ratio_never_stands_without_its_basis() -> None:
    texts = [text for one in LIBRARY.stocks.values() for text in (one.name, one.notes, one.method)]
    ratios = [text for text in texts if re.search(r"\d\s*:\s*\d", text)]
    assert ratios, "no stock here is named by a ratio"
    assert [text for text in ratios if "by weight" not in text] == []


def test_every_item_and_every_window_has_a_source() -> None:
    assert [item.id for item in LIBRARY.items.values() if not item.source.strip()] == []
    assert [window.id for window in LIBRARY.windows.values() if not window.source.strip()] == []


def test_some_allergens_are_unknown_on_purpose_and_strained_ones_stay() -> None:
    unknown = {item.id for item in LIBRARY.items.values() if item.allergens is None}
    assert unknown == {"aromatic-bitters", "herbal-liqueur", "tartaric-acid"}
    assert "?" in show(BLENDS, "slow-semaphore").allergens
    assert "sesame" in show(BLENDS, "copper-almanac").allergens


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
