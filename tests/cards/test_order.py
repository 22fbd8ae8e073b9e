"""An order's sections: every figure with its unit, its basis and how it goes together with the others."""

from __future__ import annotations

import re

import pytest
from small_library import NOON, demo

from station.calc.menu import Menu
from station.cards import order as cards
from station.cards.order_sheets import mix_sheet, prep_sheet, shopping_sheet, vessel_sheets
from station.desk.ordering import find_order, ordered

LIBRARY = demo().library
MENU = Menu.of(demo())
ORDERS = sorted(LIBRARY.orders)


def section(name: str, order: str = "harvest-supper", width: int = 100) -> str:
    made = dict(cards.SECTIONS)[name](ordered(MENU, find_order(LIBRARY, order), NOON), LIBRARY, width)
    return "\n".join(made).replace("\u00a0", " ")


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("name", ["shop", "cost"])
def test_no_price_stands_without_its_currency(name: str, order: str) -> None:
    text = section(name, order)
    assert re.findall(r"\d+\.\d\d\b(?! (?:EUR|L|ml|kg|g)\b)", text) == [] and " EUR" in text


@pytest.mark.parametrize("order", ORDERS)
def test_a_row_of_the_shopping_has_one_measure(order: str) -> None:
    """What is needed, there and left over of one item is in volumes, in weights or in pieces, never mixed."""
    for line in section("shop", order, 200).splitlines():
        if " buy " in line:
            said = re.findall(r"(?:need|on hand) [\d.,]+ (\w+)|[\d.,]+ (\w+) left over", line)
            kinds = {
                ("v" if unit in {"ml", "L"} else "g" if unit in {"g", "kg"} else "n") for pair in said for unit in pair if unit
            }
            assert len(kinds) == 1, line


def test_what_is_made_stands_in_grams_and_in_volume() -> None:
    steps = [line for line in section("prep", width=200).splitlines() if re.match(r"\d+ (make|press|mix) ", line)]
    assert len(steps) > 5
    for line in steps:
        assert re.search(r"[\d ]+(\.\d+)? g = [\d.]+ (ml|L) +(start|ready) by ", line), line
        assert ("takes" in line) != ("its time is not stated" in line), line
    assert any("takes" in line for line in steps) and any("its time is not stated" in line for line in steps)


def test_the_cost_rows_say_how_they_go_together() -> None:
    """By hand: 500.55 paid and 52.62 on hand at pack prices are 497.87 in the drinks and 55.30 left."""
    answer = ordered(MENU, find_order(LIBRARY, "harvest-supper"), NOON)
    text = section("cost")
    for row in ("To pay, in whole packs", "Goes into the drinks", "Is left in packs", "of all there is"):
        assert row in text
    drinks = re.findall(r"([\d.]+) EUR for \d+ serves", text)
    assert sum(map(float, drinks)) == pytest.approx(answer.cost.used, abs=0.015)
    assert answer.cost.used + answer.cost.left_over > answer.cost.amount


def test_a_percentage_says_of_what_it_is() -> None:
    assumed = section("assumptions")
    assert re.search(r"Extra made, of expected +10 %", assumed) and re.search(r"Lost, of what is bought +0 %", assumed)
    rest = " ".join((section("vessels") + section("cost") + section("drinks")).split())
    assert "%" in rest and re.findall(r".{20}%(?! of ).{9}", rest) == []


def test_alcohol_is_said_in_grams_and_the_standard_drink_with_them() -> None:
    said = " ".join(section("ice, glasses, water").split())
    assert "Alcohol for each guest, of the drinks planned here: 35.7 g = 3.6 standard drinks of 10 g alcohol each" in said


def test_the_drinks_say_what_a_serve_takes_of_the_mix() -> None:
    assert "159 serves   100 ml a serve  15.9 L in all" in section("drinks")


@pytest.mark.parametrize("order", ORDERS)
def test_no_sheet_of_a_diluted_drink_says_to_stir_it_on_ice(order: str) -> None:
    answer = ordered(MENU, find_order(LIBRARY, order), NOON)
    for one in answer.batches:
        for sheet in (mix_sheet(answer, one, LIBRARY), *vessel_sheets(answer, one, LIBRARY)):
            assert "At the glass:" in sheet
            if one.diluted:
                assert not any(re.match(r"\d\. (Stir|Shake|Blend)", line) for line in sheet)


def test_the_drinks_say_how_many_come_of_the_guests() -> None:
    """By hand: 300 mixed less 60 counted are 240; 0.6 of them 144, a tenth more 158.4, so 159."""
    text = " ".join(section("drinks", width=80).split())
    assert "How many: 300 mixed less 60 counted are 240 to share out, 10 % of each part extra, rounded up." in text
    assert "Tin Lantern 0.6 × 240 = 144 159 made" in text and "Kettle Regatta 0.4 × 240 = 96 106 made" in text
    assert text.count("Noon Librarian") == 1  # counted: there is nothing to reckon


@pytest.mark.parametrize("order", ORDERS)
def test_no_section_and_no_sheet_names_what_it_is_of_by_its_id(order: str) -> None:
    answer = ordered(MENU, find_order(LIBRARY, order), NOON)
    sheets = [
        row
        for one in answer.batches
        for rows in (mix_sheet(answer, one, LIBRARY), *vessel_sheets(answer, one, LIBRARY))
        for row in rows
    ]
    said = "\n".join(
        [*cards.order_card(answer, LIBRARY), *prep_sheet(answer, LIBRARY), *shopping_sheet(answer, LIBRARY), *sheets]
    )
    ids = [name for name in (*LIBRARY.drinks, *LIBRARY.items, *LIBRARY.stocks) if "-" in name]
    assert [name for name in ids if re.search(rf"(?<![\w-]){name}(?![\w-])", said)] == []
