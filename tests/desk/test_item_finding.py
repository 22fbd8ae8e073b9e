"""Items and stocks are found by what a person types, misspelt too."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_library import demo, open_small

from station.desk.item_finding import FoundItem, findable, found_items

DEMO = findable(demo().library)


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("lime", "lime-coin"),
        ("lime ju", "lime-juice"),
        ("rum", "rum-aged"),
        ("rum li", "rum-light"),
        ("citric-25", "citric-25"),
        ("sol citric", "citric-25"),
        ("grapfruit", "grapefruit-juice"),
        ("maraschnio", "maraschino-liqueur"),
        ("water", "water"),
        ("syrup 1", "syrup-1-1"),
        ("citirc", "citric-25"),
    ],
)
def test_the_first_found_is_what_was_meant(words: str, first: str) -> None:
    assert first in [one.id for one in found_items(DEMO, words)][:2]


def test_names_that_begin_with_the_words_come_first() -> None:
    names = [one.name for one in found_items(DEMO, "lemon")]
    assert names == sorted(names, key=lambda name: not name.startswith("Lemon"))


def test_without_words_there_is_everything_by_name() -> None:
    library = demo().library
    found = found_items(DEMO, "")
    assert {one.id for one in found} == {*library.items, *library.stocks, "water"}
    liquids = [one.name.casefold() for one in found if not one.solid]
    assert liquids == sorted(liquids) and not any(one.solid for one in found[: len(liquids)])


def test_nothing_like_it_is_nothing() -> None:
    assert found_items(DEMO, "zzzzqx") == ()


def test_water_is_there_where_no_file_declares_it_and_stocks_are_called_stocks(tmp_path: Path) -> None:
    library = open_small(tmp_path).library
    found = {one.id: one for one in found_items(findable(library), "")}
    assert "water" not in library.items and found["water"] == FoundItem("water", "water", "water")
    assert found["citric-25"].kind == "stock" and found["spirit"].kind == "spirit"
