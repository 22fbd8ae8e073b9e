"""Every % has its basis beside it, and what is from memory says what was not checked."""

from __future__ import annotations

import re

import pytest
from small_library import NOON, demo

from station.calc.batch import Target
from station.cards.text import batch_card, shown
from station.desk.batching import batched
from station.desk.look import show

LIBRARY = demo().library
DRINKS = sorted(LIBRARY.drinks)
# What a % may be of: a weight or volume basis, a named whole, ABV, or the limits and readings of a scale.
BASIS = r"(?:w/w|w/v|vol\b|of\b|ABV|ABV:)"


def said(lines: list[str]) -> str:
    return " ".join(" ".join(lines).replace("\u00a0", " ").split())


@pytest.mark.parametrize("name", DRINKS)
def test_no_percentage_of_a_card_is_bare(name: str) -> None:
    cards = (shown(show(demo(), name), LIBRARY), batch_card(batched(demo(), name, Target(serves=12), None, NOON), LIBRARY))
    for card in cards:
        assert re.findall(rf".{{0,30}}\d %(?! {BASIS}).{{0,20}}", said(card)) == []


def test_dilution_is_of_the_volume_before_and_after_the_ice() -> None:
    text = said(shown(show(demo(), "tin-lantern"), LIBRARY))
    assert "Dilution: 53.8 g water = 53.9 % of the volume before ice = 35 % of the volume after it" in text


def test_what_the_acid_is_stands_on_the_card_in_words() -> None:
    text = said(shown(show(demo(), "tin-lantern"), LIBRARY))
    assert "Acid: all that a titration finds (TA: base is added up to pH 8.2), counted as if it were all citric acid." in text


@pytest.mark.parametrize("name", [*LIBRARY.items, *LIBRARY.stocks])
def test_no_name_holds_a_bare_percentage_and_memory_says_what_was_not_checked(name: str) -> None:
    noun = LIBRARY.items.get(name) or LIBRARY.stocks[name]
    assert re.findall(rf"%(?! {BASIS})", noun.name.replace("\u00a0", " ")) == []
    assert re.findall(r"from memory(?!, (?:not checked|no label checked))", getattr(noun, "source", "")) == []


def test_the_windows_say_it_too() -> None:
    for window in LIBRARY.windows.values():
        if "from memory" in window.source:
            assert "not checked in the book" in window.source
