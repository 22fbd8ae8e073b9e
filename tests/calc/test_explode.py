"""What is wanted, down to what is bought: by mass, through stocks in stocks, each made once, in making order."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_library import demo, read_small, stock

from station.bar.composition import Composition
from station.calc.blend import Blends
from station.calc.explode import explode, making_order

DEEP = {
    "stocks/base.toml": stock("sugar: 100 g", "water: 100 g", more='keeps = "30 days"'),
    "stocks/middle.toml": stock("base: 100 g", "citric-acid: 10 g", more='keeps = "9 days"\nheld_back = "10 %"'),
    "stocks/top.toml": stock("middle: 50 g", "base: 50 g", "spirit: 100 g", more='keeps = "2 days"\ntakes = "2 days"'),
}


def deep(folder: Path) -> Blends:
    return Blends(read_small(folder, DEEP))


def test_a_stock_in_a_stock_is_made_once_for_all_that_use_it(tmp_path: Path) -> None:
    found = explode({"top": 200.0, "base": 30.0, "spirit": 5.0}, deep(tmp_path))
    made = {one.id: one for one in found.stocks}
    assert list(made) == ["base", "middle", "top"]
    # 110 g of lines make 99 g of middle, so 50 g of it take 50/99 of 100 g of base; top takes 50 g more.
    assert made["base"].g == pytest.approx(30.0 + 50.0 + 50.0 / 99.0 * 100.0)
    assert made["middle"].g == pytest.approx(50.0)
    assert made["middle"].lost_g == pytest.approx(50.0 / 99.0 * 110.0 - 50.0)
    assert found.bought_g["spirit"] == pytest.approx(105.0)
    assert found.bought_g["citric-acid"] == pytest.approx(50.0 / 99.0 * 10.0)
    assert found.bought_g["sugar"] == pytest.approx(made["base"].g / 2.0)
    assert set(found.bought_g) == {"spirit", "citric-acid", "sugar", "water"}


def test_what_is_on_hand_of_a_stock_is_not_made_and_what_it_rests_on_is_not_bought(tmp_path: Path) -> None:
    found = explode({"top": 200.0}, deep(tmp_path), {"top": 250.0})
    assert found.stocks == () and found.bought_g == {}
    assert (found.from_hand_g, found.spare_g) == ({"top": 200.0}, {"top": 50.0})
    part = explode({"top": 200.0}, deep(tmp_path), {"top": 100.0, "base": 1.0})
    assert [(one.id, one.on_hand_g) for one in part.stocks] == [("base", 1.0), ("middle", 0.0), ("top", 100.0)]
    assert part.stocks[-1].g == pytest.approx(100.0)
    assert part.bought_g["spirit"] == pytest.approx(50.0)


@given(st.dictionaries(st.sampled_from(sorted(demo().library.stocks)), st.floats(0.1, 1e6), min_size=1))
def test_no_gram_comes_or_goes_but_what_is_stated_as_lost(needs: dict[str, float]) -> None:
    found = explode(needs, demo())
    bought, lost = sum(found.bought_g.values()), sum(one.lost_g for one in found.stocks)
    assert bought - lost == pytest.approx(sum(needs.values()), rel=1e-12)


@given(st.dictionaries(st.sampled_from(sorted(demo().library.stocks)), st.floats(0.1, 1e4), min_size=1))
def test_what_is_bought_is_what_the_stocks_are_made_of(needs: dict[str, float]) -> None:
    """Substance by substance, where nothing is lost."""
    library = demo().library
    lossless = {
        name: grams
        for name, grams in needs.items()
        if not (library.stocks[name].held_back or any(line.strained for line in library.stocks[name].lines))
    }
    found = explode(lossless, demo())
    wanted = Composition.total(demo().stuff(name).per_g * grams for name, grams in lossless.items())
    bought = Composition.total(demo().stuff(name).per_g * grams for name, grams in found.bought_g.items())
    assert bought.amounts == pytest.approx(wanted.amounts or (0.0,), rel=1e-9, abs=1e-9)


def test_a_part_comes_before_what_it_goes_into_then_what_takes_longest_then_what_keeps_longest(tmp_path: Path) -> None:
    files = {
        **DEEP,
        "stocks/slow.toml": stock("spirit: 100 g", more='keeps = "1 day"\ntakes = "3 days"'),
        "stocks/lasting.toml": stock("sugar: 1 g", "water: 9 g", more='keeps = "300 days"'),
        "stocks/unsaid.toml": stock("sugar: 2 g", "water: 8 g"),
    }
    library = read_small(tmp_path, files)
    order = making_order(["unsaid", "lasting", "top", "slow"], library)
    # slow takes 3 days; base and middle wait for top, 2 days; of the rest the longest keeping first, the unsaid last.
    assert order == ("slow", "base", "middle", "top", "lasting", "unsaid")
    assert making_order(["unsaid", "lasting"], library, {"unsaid": 5.0}) == ("unsaid", "lasting")


def test_nothing_wanted_is_nothing_to_make(tmp_path: Path) -> None:
    found = explode({}, deep(tmp_path))
    assert (found.stocks, found.bought_g, found.spare_g) == ((), {}, {})
