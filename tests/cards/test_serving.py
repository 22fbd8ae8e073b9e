"""What a batch card tells whoever pours it out: how much a serve is, and what is still to be done to it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from small_library import NOON, demo

from station.calc.answers import Batched
from station.calc.batch import Target
from station.cards.serving import at_the_glass, portion
from station.cards.text import WIDTH, batch_card
from station.desk.batching import batched

LIBRARY = demo().library
DRINKS = sorted(LIBRARY.drinks)


def card(name: str, target: Target | None = None, water: bool | None = None) -> Batched:
    return batched(demo(), name, target or Target(serves=12), water, NOON)


def glass(name: str, water: bool | None = None, width: int = WIDTH) -> str:
    answer = card(name, water=water)
    return "\n".join(at_the_glass(answer.serving, answer.service, LIBRARY, width)).replace("\u00a0", " ")


def whole(answer: Batched, width: int = WIDTH) -> str:
    return "\n".join(batch_card(answer, LIBRARY, width)).replace("\u00a0", " ")


@pytest.mark.parametrize("water", [True, False])
@pytest.mark.parametrize("name", DRINKS)
def test_the_portions_are_the_whole(name: str, water: bool) -> None:
    for answer in (card(name, water=water), card(name, Target(vessel="pitcher"), water)):
        assert answer.serving.ml * answer.serves == pytest.approx(answer.total_ml)
        assert answer.serving.g * answer.serves == pytest.approx(answer.total_g)
        assert answer.serving.diluted is water and answer.serving.glass_ml == answer.glass.ml


def test_a_shaken_drink_without_its_water_is_shaken_at_the_glass() -> None:
    assert glass("tin-lantern").splitlines() == [
        "At the glass:",
        "Pour 100 ml a serve, shake it on ice.",
        "Glass: coupe, fine-strained.",
        "Finished: 154 ml, ice and garnish not counted.",
        "1. Shake hard, 12 s.",
        "Lime coin  1 a serve  finish  have ready 12 pieces",
    ]


def test_a_diluted_one_is_poured_cold_and_its_stirring_is_marked_as_done() -> None:
    said = glass("cedar-postmark")
    assert "Pour 114 ml a serve, cold, do not stir it on ice: its water is in." in said
    assert "1. (not on ice, its water is in) Stir on ice" in said and "\n2. Strain over the cube" in said


def test_one_for_the_freezer_comes_straight_from_it() -> None:
    said = glass("winter-turnstile")
    assert "straight from the freezer, do not stir it on ice" in said and "(not on ice" not in said


@pytest.mark.parametrize("name", DRINKS)
def test_no_diluted_batch_is_told_to_be_shaken_or_stirred_on_ice(name: str) -> None:
    for line in glass(name, water=True).splitlines():
        assert not re.match(r"(\d\. )?(Shake|Stir|Blend)\b", line), line
        assert "shake it on ice" not in line.replace("do not shake it on ice", "")


@pytest.mark.parametrize("name", DRINKS)
def test_no_step_of_the_demo_says_another_portion_than_the_card(name: str) -> None:
    for step in LIBRARY.drinks[name].steps:
        assert re.findall(r"\d m[lL]\b", step) == []


def test_the_portion_is_in_the_houses_unit() -> None:
    ounces = replace(LIBRARY.house, volume="oz")
    assert portion(card("tin-lantern").serving, ounces).replace("\u00a0", " ") == "3.39 oz = 102 g a serve, before ice"


@pytest.mark.parametrize(
    ("target", "head", "said"),
    [
        (Target(vessel="pitcher"), "UNDILUTED · 15 full serves", "1.5 L = 1525 g in all"),
        (Target(serves=10.5), "UNDILUTED · 10 full serves", "1.05 L = 1069 g in all (10.5 serves)"),
    ],
)
def test_serves_are_said_twice_only_where_they_are_not_whole(target: Target, head: str, said: str) -> None:
    lines = whole(card("tin-lantern", target)).splitlines()
    assert (lines[1], lines[3]) == (head, said)


def test_the_lines_of_several_mixes_are_said_to_be_of_one() -> None:
    """30 bottles of 720 ml are 21.6 l, over the 18 l a tub takes: two mixes."""
    for width in (40, WIDTH):
        text = " ".join(whole(card("tin-lantern", Target(volume_ml=30 * 720.0, into="bottle")), width).split())
        assert re.search(r"Mix 2 equal mixes, each in .*? g each The lines are of one mix: weigh it 2 times\. ", text), text
    assert "of one mix" not in whole(card("tin-lantern", Target(vessel="pitcher")))


def test_a_card_of_an_edit_says_so_in_its_head() -> None:
    made = card("tin-lantern")
    assert "NOT SAVED" not in whole(made)
    for revision in ("edited from 1234", "not saved yet"):
        head = whole(replace(made, spec_revision=revision), 40).split("\n\n")[0].splitlines()
        assert head == ["Tin Lantern", "UNDILUTED · 12 full serves", "NOT SAVED: this card is of the edit as", "  it stands."]


def test_a_doubt_that_is_much_of_its_line_is_put_in_relation_to_the_mix() -> None:
    """42 g of liqueur that may be 6.3 g off are under half a percent of the pitcher: by hand 6.3 / 1525."""
    text = " ".join(whole(card("tin-lantern", Target(vessel="pitcher"))).split())
    assert "± 6.3 g = 15 % of the line, 0.42 % of the whole mix by weight" in text
    assert "± 0.019 g Then" in text  # 0.8 % of its line: nothing to relate


@pytest.mark.parametrize("width", [40, 60, WIDTH])
def test_each_figure_stands_beside_its_doubt(width: int) -> None:
    text = " ".join(whole(card("tin-lantern", Target(vessel="pitcher")), width).split())
    for figure in ("16.1 ± 0.19", "16.1 ± 0.016", "6.82 ± 0.23", "0.893 ± 0.028"):
        assert figure in text


def test_alcohol_is_in_standard_drinks_whose_grams_are_said() -> None:
    assert "standard drinks of 10 g alcohol each" in whole(card("tin-lantern"))


def test_a_count_nobody_weighed_with_this_liquid_says_so_in_words() -> None:
    text = " ".join(whole(card("tin-lantern")).split())
    assert "Twisted barspoon, never weighed with this; with Water, filtered (3 weighings, 28 Oct 2026), same volume taken" in text
    assert "carried over" not in text
