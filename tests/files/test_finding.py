"""Rows found by words, misspelt ones too."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from station.bar.listed import Listed
from station.files.finding import found
from station.files.index import Entry, made

NAMES = ("Copper Kettle", "Quiet Harbour", "Harbour Bell", "Gasket Fizz", "Marmalade Brace")


def entry(name: str, more: str = "", retired: bool = False) -> Entry:
    own = name.casefold().replace(" ", "-")
    row = Listed(own, name, "shake", "", (), False)
    return Entry((0, 0, 0), "", row, f"{own} {name} {more}".casefold(), (), retired)


DRINKS = [*(entry(name, "citric-25 citric solution") for name in NAMES), entry("Retired Harbour", retired=True)]
BAR = made("", "", 0, DRINKS)


def names(words: str) -> list[str]:
    return [row.name for row in found(BAR, words)]


def test_a_name_that_begins_with_the_words_comes_before_one_that_holds_them() -> None:
    assert names("har") == ["Harbour Bell", "Quiet Harbour"]


def test_a_word_with_a_letter_wrong_or_two_swapped_or_one_missing_still_finds() -> None:
    assert names("gaskit") == ["Gasket Fizz"]
    assert names("marmlade") == ["Marmalade Brace"]
    assert names("cpoper") == ["Copper Kettle"]
    assert names("harbor") == ["Harbour Bell", "Quiet Harbour"]


def test_an_item_misspelt_finds_the_drinks_it_is_in() -> None:
    assert names("citirc") == sorted(NAMES)
    assert names("citirc quiet") == ["Quiet Harbour"]


def test_while_a_misspelt_word_is_being_typed_what_it_begins_is_found() -> None:
    assert names("mramal") == ["Marmalade Brace"]


def test_what_is_held_as_written_is_never_joined_by_what_is_only_like_it() -> None:
    assert names("quiet") == ["Quiet Harbour"]


def test_short_or_strange_words_find_nothing() -> None:
    assert names("xq") == [] and names("zzzzzz") == []


@given(st.text(max_size=40))
def test_any_words_give_rows_that_stand_in_the_list_and_never_a_retired_one(words: str) -> None:
    assert set(names(words)) <= set(NAMES)
