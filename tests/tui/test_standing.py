"""Where one stands in a card that is made anew: figures move, rows come and go, another width breaks it elsewhere."""

from __future__ import annotations

import textwrap

from station.tui.field import Card
from station.tui.pane import Row, row
from station.tui.standing import Stand

NAMES = [f"{one} {other}" for one in ("Light", "Dark", "Dry", "Sour", "Old") for other in ("rum", "gin", "rye", "wine", "beer")]


def shop(each: int, *names: str) -> list[Row]:
    """Two rows an item, as a shopping list has them."""
    return [one for name in names for one in (row(name), row(f"  need {each} ml · buy {each // 700 + 1} × 700 ml"))]


def text(rows: list[Row], place: int) -> str:
    return rows[place][0][0]


def test_the_item_stays_though_every_figure_is_another() -> None:
    before, after = shop(150, *NAMES), shop(2950, *NAMES)
    assert [Stand(before, place, 60).among(after, 60) for place in range(len(before))] == list(range(len(before)))


def test_the_item_is_found_again_below_what_came_in_above_it() -> None:
    before, after = shop(150, *NAMES), shop(175, "Verjus", "Salt", *NAMES)
    for place in range(0, len(before), 2):
        assert text(after, Stand(before, place, 60).among(after, 60)) == text(before, place)


def test_an_item_that_is_gone_leaves_the_place() -> None:
    before, after = shop(150, *NAMES), shop(150, *NAMES[:10], *NAMES[11:])
    assert Stand(before, 20, 60).among(after, 60) == 20


def test_a_card_that_cannot_be_made_for_a_moment_loses_nothing() -> None:
    before = shop(150, *NAMES)
    stand = Stand(before, 20, 60)
    assert stand.among([row("40 se is no amount")], 60) == 20 and stand.among(before, 60) == 20


def test_blank_rows_at_the_head_stay_there() -> None:
    before = [row("Head"), row(), row(), row("Rum 5 g"), row("Gin 6 g")]
    assert Stand(before, 1, 60).among([row("Head"), row("More"), *before[1:]], 60) == 2


def test_at_another_width_the_same_words_are_first() -> None:
    before = shop(150, *NAMES)
    narrow = [row(part) for one in before for part in textwrap.wrap(one[0][0], 12)]
    for place in range(0, len(before), 2):
        assert text(narrow, Stand(before, place, 60).among(narrow, 30)) == text(before, place)


def test_a_card_that_has_no_size_yet_is_scrolled_to_its_last_row_and_put_up_anew() -> None:
    card = Card()
    card.stand([row("one"), row("two")])
    assert card.scroll_by(10) and card.first == 1
    card.stand([row("three"), row("four"), row("five")])
    assert card.first == 1
