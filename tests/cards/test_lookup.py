"""The drink at a glance: whole, in twenty lines of forty columns; and where its parts come from."""

from __future__ import annotations

import pytest
from small_library import demo

from station.bar import say
from station.calc.answers import LotUsed
from station.cards.lookup import ROWS, WIDTH, look_up
from station.cards.sources import share_said, sources_card
from station.desk.look import show

DRINKS = sorted(demo().library.drinks)


@pytest.mark.parametrize("name", DRINKS)
def test_every_drink_of_the_demo_is_whole_in_twenty_lines_of_forty(name: str) -> None:
    answer = show(demo(), name)
    rows = look_up(answer, demo().library)
    assert len(rows) <= ROWS and all(len(row) <= WIDTH for row in rows)
    whole = " ".join(" ".join(rows).split())
    assert rows[0] == answer.name and answer.method in rows[1]
    for line in answer.lines:
        assert line.amount.removesuffix(" each") in whole
    for figure in ("sugar", "acid"):
        assert f"{figure} {say.number(answer.glass.figures[figure])}" in whole
    for standing in {
        say.standing(value, answer.window[key]) for key, value in answer.glass.figures.items() if key in answer.window
    }:
        assert standing in whole
    for caution in answer.cautions:
        assert caution.word == "NOTE" or f"{caution.word}: " in whole
    for allergen in answer.allergens:
        assert allergen in whole


def test_a_lot_that_is_other_than_its_file_is_said_where_the_drink_has_it() -> None:
    lot = LotUsed("lime-juice", "Lime juice, fresh", "7f3a-91c2", "", None, None, "5.2 g/100ml", 2.44, None, "", ())
    said = "By the files; a batch card takes Lime juice, fresh as measured (TA 5.2 g/100ml, pH 2.44, lot 7f3a-91c2)."
    for name, has in (("tin-lantern", True), ("ember-surveyor", False)):
        rows = look_up(show(demo(), name), demo().library, lots={"lime-juice": lot})
        assert (said in " ".join(" ".join(rows).split())) == has and all(len(row) <= WIDTH for row in rows)


@pytest.mark.parametrize("name", DRINKS)
def test_no_name_is_cut_where_one_has_to_scroll_anyway(name: str) -> None:
    answer = show(demo(), name)
    rows = look_up(answer, demo().library, WIDTH, 10)
    whole = " ".join(" ".join(rows).split())
    assert all(len(row) <= WIDTH for row in rows) and "…" not in whole
    assert all(" ".join(line.name.split()) in whole for line in answer.lines)


def test_a_glance_says_of_what_it_is_within_and_when_a_line_goes_in() -> None:
    assert "(low, within, high: of its usual range)" in look_up(show(demo(), "tin-lantern"), demo().library)
    later = [name for name in DRINKS if any(line.when == "service" for line in show(demo(), name).lines)]
    assert later
    for name in later:
        whole = " ".join(look_up(show(demo(), name), demo().library, 60, 40))
        assert "(per glass" in whole and "(service" not in whole


@pytest.mark.parametrize("width", [36, 40, 60, 78, 100])
def test_the_sources_stand_in_any_width(width: int) -> None:
    for name in DRINKS:
        found = show(demo(), name).sources
        rows = sources_card(found, width)
        assert all(len(row) <= width for row in rows)
        assert not any("…" in row for row in rows)
        whole = " ".join(rows)
        assert all(word in whole for source in found for word in say.plain(source.name).split())


def test_on_a_narrow_page_each_figure_says_what_brings_most_of_it_first() -> None:
    rows = sources_card(show(demo(), "tin-lantern").sources, 40)
    assert rows[0] == "alcohol   97 % Light rum"
    assert rows[2:4] == ["sugar     88 % Sugar syrup, 1:1 by", " " * 15 + "weight, 50 °Bx"]
    none = sources_card(show(demo(), "noon-librarian").sources, 40)
    assert none[0].split() == ["alcohol", say.NOTHING]


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (None, "–"),
        (0.0, ""),
        (1.0, "100 %"),
        (0.0999, "10 %"),
        (0.4382, "44 %"),
        (0.0994, "9.9 %"),
        (0.0004, "<0.1 %"),
        (0.001, "0.1 %"),
    ],
)
def test_a_share_is_said_as_people_read_it(share: float | None, said: str) -> None:
    assert share_said(share) == said
