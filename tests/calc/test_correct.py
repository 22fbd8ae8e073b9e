"""A mis-pour mended: by hand, and for any of them."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from station.bar.composition import Composition
from station.calc.correct import (
    ADD,
    AGAIN,
    AGAIN_DRAW_OFF,
    DRAW_OFF,
    LEAVE,
    NEAREST,
    TAKE_OUT,
    Choice,
    Part,
    Room,
    choices,
    figures,
    wanted,
)

TASTE = 0.02
RUM = Composition.of(water=0.667, ethanol=0.333)
LIME = Composition.of(water=0.91, citric=0.06, fructose=0.03)
SYRUP = Composition.of(water=0.5, sucrose=0.5)
WATER = Composition.of(water=1.0)
CITRIC = Composition.of(water=0.75, citric=0.25)
CARD = {"rum": (600.0, RUM), "lime": (200.0, LIME), "syrup": (150.0, SYRUP), "water": (50.0, WATER), "citric": (10.0, CITRIC)}


def mix(cup: tuple[str, ...] = (), none_left: tuple[str, ...] = (), **there: float) -> list[Part]:
    """The card's five lines with what is there of each, in the vessel or in the cup; what is not there is to come."""
    return [
        Part(
            item,
            grams,
            0.0 if item in cup else there.get(item, 0.0),
            per_g,
            cup_g=there.get(item, 0.0) if item in cup else 0.0,
            ahead_g=0.0 if item in there else grams,
            can_add=item not in none_left,
            plain=item in ("water", "citric"),
        )
        for item, (grams, per_g) in CARD.items()
    ]


def ways(parts: list[Part], room: Room | None = None) -> dict[str, Choice]:
    return {one.way: one for one in choices(parts, room or Room(), TASTE)}


def adds(one: Choice) -> dict[str, float]:
    return {item: grams for item, grams in zip(CARD, one.adds_g, strict=False) if grams > 1e-9}


# On paper. The card: rum 600, lime 200, syrup 150, water 50, citric solution 10, together 1010 g. Rum read 620.
# 620 is 31 thirtieths of 600, so every line becomes 31/30 of itself: lime 6200/30 = 206 2/3, syrup 4650/30 = 155,
# water 1550/30 = 51 2/3, citric 310/30 = 10 1/3; together 31310/30 = 1043 2/3 g. Nothing of it was in yet, so that is
# what is added. With lime's 200 g in as well, 6 2/3 g of lime are added to it.
def test_by_hand_600_wanted_620_poured_of_five_lines() -> None:
    found = ways(mix(rum=620))[ADD]
    assert adds(found) == pytest.approx({"lime": 6200 / 30, "syrup": 155, "water": 1550 / 30, "citric": 310 / 30}, rel=1e-12)
    assert found.mix.mass_g == pytest.approx(31310 / 30, rel=1e-12)
    assert found.size == pytest.approx(31 / 30, rel=1e-12) and found.restores
    later = ways(mix(rum=620, lime=200))[ADD]
    assert adds(later) == pytest.approx({"lime": 20 / 3, "syrup": 155, "water": 1550 / 30, "citric": 310 / 30}, rel=1e-12)


# On paper, the other way: 820 g of the mix are in, 620 of them rum. Drawn off evenly until 600 g of rum are left:
# a share of 20/620 = 1/31 of it, 820/31 = 26.45 g; lime has lost 200/31 = 6.45 g, which are added again.
def test_by_hand_drawn_off_and_made_up_to_the_card() -> None:
    found = ways(mix(rum=620, lime=200))[DRAW_OFF]
    assert found.draws_g == pytest.approx(820 / 31, rel=1e-12)
    assert adds(found) == pytest.approx({"lime": 200 / 31, "syrup": 150, "water": 50, "citric": 10}, rel=1e-12)
    assert found.mix.mass_g == pytest.approx(1010, rel=1e-12) and found.size == 1.0


def test_one_thing_alone_is_taken_out_again_and_first() -> None:
    best = choices(mix(rum=620), Room(), TASTE)[0]
    assert best.way == TAKE_OUT and best.restores
    assert best.takes_out_g == pytest.approx((20, 0, 0, 0, 0))
    assert TAKE_OUT not in ways(mix(rum=620, lime=200))
    assert DRAW_OFF not in ways(mix(rum=620))


def test_left_as_it_is_it_says_what_moved() -> None:
    left = ways(mix(rum=620))[LEAVE]
    assert not left.restores
    was, now = figures(wanted(mix())), figures(left.mix)
    assert left.moved["abv"] == pytest.approx(now["abv"] / was["abv"] - 1.0)
    # By hand: the same acid in 1030 g rather than 1010 g, and rum is lighter than the mix, so a little more than 20 in 1030.
    assert left.moved["acid"] == pytest.approx(-20 / 1030, abs=0.0015)


def test_within_taste_leaving_it_comes_first_over_it_last() -> None:
    assert choices(mix(rum=605, lime=200), Room(), TASTE)[0].way == LEAVE
    assert choices(mix(rum=640, lime=200), Room(), TASTE)[-1].way == LEAVE


def test_a_line_that_moves_no_figure_is_still_tasted() -> None:
    """Bitters at half as much again: no figure moves by two hundredths, and leaving it is not the first thing to do."""
    bitters = Part("bitters", 10.0, 15.0, RUM)
    best = choices([*mix(rum=600, lime=200), bitters], Room(), TASTE)
    assert best[-1].way == LEAVE and best[-1].within(TASTE)


def test_salt_is_a_figure() -> None:
    saline = Part("saline", 10.0, 11.0, Composition.of(water=0.8, salt=0.2))
    left = ways([*mix(rum=600, lime=200), saline])[LEAVE]
    assert left.moved["salt"] == pytest.approx(0.1, abs=0.002) and not left.within(TASTE)


def test_too_little_is_made_up() -> None:
    found = ways(mix(rum=500, lime=200, syrup=150, water=50, citric=10))[ADD]
    assert adds(found) == pytest.approx({"rum": 100.0})
    assert found.size == 1.0


def test_what_does_not_fit_comes_after_what_does() -> None:
    card = wanted(mix())
    room = Room(ml=card.volume_ml, brim_ml=2 * card.volume_ml)
    order = [one.way for one in choices(mix(rum=640, lime=200), room, TASTE)]
    assert order == [DRAW_OFF, ADD, LEAVE]
    found = ways(mix(rum=640, lime=200), room)
    assert not found[ADD].fits_vessel and found[ADD].fits_scale and found[DRAW_OFF].fits
    heavy = ways(mix(rum=640, lime=200), Room(g=card.mass_g + 1.0))
    assert heavy[ADD].fits_vessel and not heavy[ADD].fits_scale


def test_a_fill_may_be_passed_by_a_hand_but_never_the_brim() -> None:
    card = wanted(mix())
    assert ways(mix(rum=610, lime=200), Room(ml=card.volume_ml, brim_ml=2 * card.volume_ml))[ADD].fits
    assert not ways(mix(rum=610, lime=200), Room(ml=card.volume_ml, brim_ml=1.001 * card.volume_ml))[ADD].fits


def test_a_cup_that_is_not_tipped_in_is_weighed_again() -> None:
    parts = mix(cup=("water", "citric"), water=50, citric=15)
    best = choices(parts, Room(ml=wanted(parts).volume_ml), TASTE)[0]
    assert best.way == AGAIN and best.size == 1.0
    assert best.takes_out_g == pytest.approx((0, 0, 0, 50, 15))
    assert best.adds_g == pytest.approx((600, 200, 150, 50, 10))
    assert AGAIN not in ways(mix(water=50, citric=15))


def test_a_cup_stays_as_it_is_when_the_vessel_is_drawn_off() -> None:
    found = ways(mix(cup=("citric",), citric=10, rum=620, lime=200))[DRAW_OFF]
    assert found.draws_g == pytest.approx(820 / 31)
    assert adds(found) == pytest.approx({"lime": 200 / 31, "syrup": 150, "water": 50})


def test_a_bottle_that_ran_out_makes_the_batch_smaller() -> None:
    found = ways(mix(none_left=("lime",), lime=160))[ADD]
    assert found.size == pytest.approx(0.8)
    assert adds(found) == pytest.approx({"rum": 480, "syrup": 120, "water": 40, "citric": 8})


def test_where_nothing_restores_it_the_nearest_is_given_and_what_differs() -> None:
    parts = mix(none_left=("lime",), rum=660, lime=200)
    found = ways(parts)
    assert ADD not in found and DRAW_OFF not in found
    nearest = found[NEAREST]
    assert not nearest.restores
    assert nearest.adds_g[1] == 0.0
    assert max(abs(by or 0.0) for by in nearest.moved.values()) < max(abs(by or 0.0) for by in found[LEAVE].moved.values())
    assert nearest.within(1.25 * TASTE)  # What is tasted is not grown for the last half of a hundredth.


def test_what_the_card_has_no_line_for_is_never_restored() -> None:
    strange = Part("vodka", 0.0, 30.0, RUM)
    found = ways([*mix(rum=600), strange])
    assert set(found) == {LEAVE, NEAREST}
    assert found[NEAREST].within(TASTE + 1e-3)


def test_what_came_first_and_alone_is_all_taken_out() -> None:
    strange = Part("vodka", 0.0, 30.0, RUM)
    out = ways([*mix(), strange])[TAKE_OUT]
    assert out.takes_out_g[-1] == 30.0 and out.restores


def test_nearest_keeps_within_the_vessel() -> None:
    card = wanted(mix())
    room = Room(ml=card.volume_ml, brim_ml=card.volume_ml)
    nearest = ways([*mix(rum=600), Part("vodka", 0.0, 60.0, RUM)], room)[NEAREST]
    assert nearest.fits


def test_a_mix_as_the_card_has_it_is_left() -> None:
    best = choices(mix(rum=600, lime=200), Room(), TASTE)[0]
    assert best.way == LEAVE and best.restores
    assert set(best.moved.values()) == {0.0}


def test_a_figure_the_card_has_none_of_is_none_where_it_comes_in() -> None:
    parts = [Part("rum", 600.0, 600.0, RUM), Part("lime", 0.0, 5.0, LIME)]
    assert ways(parts)[LEAVE].moved["acid"] is None
    assert not ways(parts)[LEAVE].within(1.0)


pours = st.lists(
    st.tuples(st.floats(0.5, 2000.0), st.one_of(st.just(0.0), st.floats(0.05, 3.0)), st.booleans()), min_size=2, max_size=8
)
KINDS = (RUM, LIME, SYRUP, WATER, CITRIC)


def random_parts(drawn: list[tuple[float, float, bool]]) -> list[Part]:
    return [
        Part(
            f"line-{place}",
            grams,
            0.0 if cup else grams * share,
            KINDS[place % len(KINDS)],
            cup_g=grams * share if cup else 0.0,
            ahead_g=0.0 if share else grams,
        )
        for place, (grams, share, cup) in enumerate(drawn)
    ]


@given(pours)
def test_whatever_was_poured_wrong_every_proportion_is_restored(drawn: list[tuple[float, float, bool]]) -> None:
    parts = random_parts(drawn)
    for one in choices(parts, Room(), TASTE):
        if one.way in {ADD, DRAW_OFF, AGAIN, TAKE_OUT, AGAIN_DRAW_OFF}:
            assert one.size is not None
            for part, end in zip(parts, one.ends_g, strict=True):
                assert end == pytest.approx(one.size * part.wanted_g, rel=1e-9)
            left = [part.there_g - one.draws_g * part.in_g / sum(each.in_g for each in parts) for part in parts if part.in_g]
            assert all(g >= -1e-9 for g in left)
            assert all(out <= part.there_g * (1.0 + 1e-12) for part, out in zip(parts, one.takes_out_g, strict=True))


@given(pours)
def test_additions_alone_are_always_there_and_never_ask_to_remove_anything(drawn: list[tuple[float, float, bool]]) -> None:
    parts = random_parts(drawn)
    found = ways(parts)[ADD]
    assert all(grams >= 0.0 for grams in found.adds_g)
    assert not any(found.takes_out_g) and found.draws_g == 0.0
    assert all(end >= part.there_g * (1.0 - 1e-12) for part, end in zip(parts, found.ends_g, strict=True))


@given(pours)
def test_additions_are_the_smallest(drawn: list[tuple[float, float, bool]]) -> None:
    """A hair less of the whole, and some line would hold more than its share, or the card would not be reached."""
    parts = random_parts(drawn)
    size = ways(parts)[ADD].size
    assert size == pytest.approx(max(1.0, *(part.share for part in parts)), rel=1e-12)


@given(pours, st.floats(0.3, 3.0))
@settings(deadline=None)
def test_every_way_keeps_what_is_said_of_mass(drawn: list[tuple[float, float, bool]], fill: float) -> None:
    parts = random_parts(drawn)
    there = sum(part.there_g for part in parts)
    for one in choices(parts, Room(ml=fill * wanted(parts).volume_ml), TASTE):
        goes = sum(one.adds_g) - sum(one.takes_out_g) - one.draws_g
        assert one.mix.mass_g == pytest.approx(there + goes, rel=1e-9)
        assert math.isfinite(one.mix.volume_ml) and min(one.adds_g) >= 0.0


@given(pours)
def test_a_corrected_mix_has_nothing_left_to_correct(drawn: list[tuple[float, float, bool]]) -> None:
    parts = random_parts(drawn)
    found = ways(parts)[ADD]
    assert found.size is not None
    mended = [
        replace(part, wanted_g=part.wanted_g * found.size, in_g=end, cup_g=0.0, ahead_g=0.0)
        for part, end in zip(parts, found.ends_g, strict=True)
    ]
    again = choices(mended, Room(), TASTE)[0]
    assert again.way == LEAVE and again.restores


def test_what_a_cup_holds_of_a_line_counts_when_the_vessel_is_drawn_off() -> None:
    """By hand: 200 g of lime wanted, 190 in the vessel and 20 in the cup: of the 190, 180 may stay, of all the rest as much."""
    rum, lime, *rest = mix(rum=600, lime=190)
    found = {one.way: one for one in choices([rum, replace(lime, cup_g=20.0), *rest], Room(), TASTE)}[DRAW_OFF]
    assert found.draws_g == pytest.approx(790 * 10 / 190)
    assert found.ends_g == pytest.approx([part.wanted_g for part in mix()], rel=1e-12)


@given(
    st.lists(st.one_of(st.just(0.0), st.floats(0.2, 3.0)), min_size=5, max_size=5),
    st.sets(st.sampled_from(list(CARD)), min_size=1),
    st.floats(300.0, 2500.0),
)
@settings(max_examples=150, deadline=None)
def test_lines_there_is_no_more_of_are_held_where_they_are_and_every_way_is_still_found(
    shares: list[float], none_left: set[str], room_g: float
) -> None:
    there = {item: share * CARD[item][0] for item, share in zip(CARD, shares, strict=True) if share}
    for one in choices(mix(none_left=tuple(none_left), **there), Room(room_g, 2.0 * room_g, 2.5 * room_g), TASTE):
        added = zip(CARD, one.adds_g, strict=False)
        assert all(grams <= 1e-9 * CARD[item][0] for item, grams in added if item in none_left), one.way


def test_a_batch_of_which_nothing_is_left_is_as_it_is() -> None:
    found = ways(mix(none_left=tuple(CARD), rum=700, lime=200, syrup=150, water=50, citric=10))
    assert set(found) <= {LEAVE, NEAREST, DRAW_OFF, AGAIN}
    assert all(one.adds_g == () or max(one.adds_g) == 0.0 for one in found.values())


def test_of_what_there_is_none_left_nothing_is_added_by_leaving_it_either() -> None:
    found = ways(mix(none_left=("lime",), rum=720))
    assert set(found) == {NEAREST, LEAVE}
    assert adds(found[LEAVE]) == {"syrup": 150, "water": 50, "citric": 10}
    assert found[NEAREST].adds_g[1] == 0.0


# On paper: 620 g of rum stand alone in the vessel, of the citric solution only 6 of 10 g in the cup. 20 g of rum go out and
# 4 g of citric solution in, beside what has not been weighed yet.
def test_by_hand_taken_out_and_what_another_line_is_short_of_brought_up() -> None:
    best = choices(mix(cup=("citric",), rum=620, citric=6), Room(), TASTE)[0]
    assert best.way == TAKE_OUT and best.size == 1.0
    assert best.takes_out_g == pytest.approx((20, 0, 0, 0, 0), abs=1e-12)
    assert adds(best) == pytest.approx({"lime": 200, "syrup": 150, "water": 50, "citric": 4})


# On paper: a cup of 12 g of citric solution, 2 too many, cannot be mended alone by taking out where lime and rum are mixed in the
# vessel with 630 of 600 g of rum: all grows to 21/20, so of the citric solution 12 - 10.5 = 1.5 g go out.
def test_by_hand_taken_out_only_down_to_what_the_rest_must_grow_to() -> None:
    out = ways(mix(cup=("citric",), rum=630, lime=200, citric=12))[TAKE_OUT]
    assert out.size == pytest.approx(1.05)
    assert out.takes_out_g == pytest.approx((0, 0, 0, 0, 1.5), abs=1e-9)
    assert adds(out) == pytest.approx({"lime": 10, "syrup": 157.5, "water": 52.5})


# On paper: rum 620 of 600 g with 200 g of lime in the vessel, and in the cup 15 of 10 g of citric solution beside 50 g of water.
# The cup is emptied; of the 820 g a share of 20/620 = 1/31 goes, 26.45 g, with 200/31 = 6.45 g of the lime.
def test_by_hand_cup_and_vessel_both_over() -> None:
    parts = mix(cup=("water", "citric"), rum=620, lime=200, water=50, citric=15)
    room = Room(ml=wanted(parts).volume_ml, brim_ml=wanted(parts).volume_ml)
    best = choices(parts, room, TASTE)[0]
    assert best.way == AGAIN_DRAW_OFF and best.fits and best.size == pytest.approx(1.0)
    assert best.takes_out_g == pytest.approx((0, 0, 0, 50, 15))
    assert best.draws_g == pytest.approx(820 / 31)
    assert adds(best) == pytest.approx({"lime": 200 / 31, "syrup": 150, "water": 50, "citric": 10})


def test_cup_over_and_one_thing_alone_over_in_the_vessel_both_go_back() -> None:
    best = ways(mix(cup=("water", "citric"), rum=620, water=50, citric=15))[AGAIN_DRAW_OFF]
    assert best.takes_out_g == pytest.approx((20, 0, 0, 50, 15), abs=1e-9) and best.draws_g == 0.0
    assert adds(best) == pytest.approx({"lime": 200, "syrup": 150, "water": 50, "citric": 10})


def test_a_line_is_not_dropped_for_a_hundredth_of_a_figure() -> None:
    """A tenth too little lime and no more of it: acid and water make up for it, and what is tasted of the others stays."""
    found = ways(mix(none_left=("lime",), rum=600, lime=180))[NEAREST]
    assert found.within(TASTE)
    assert found.ends_g[2] == pytest.approx(150, rel=0.05)


# On paper: rich syrup is two thirds sugar. 112.5 g of it for the 150 g that are half sugar bring the same 75 g, and 37.5 g of
# water less: with these the mix is the card's. Water counts a little itself, so it stops where nobody tastes the rest.
def test_by_hand_water_makes_up_for_a_syrup_that_was_too_rich() -> None:
    rich = Part("rich", 0.0, 112.5, Composition.of(water=1 / 3, sucrose=2 / 3))
    there = mix(none_left=("rum", "lime", "syrup", "citric"), rum=600, lime=200, citric=10)
    parts = [*(one for one in there if one.item != "water"), rich]
    with_water = ways([*parts, Part("water", 0.0, 0.0, WATER)])[NEAREST]
    assert with_water.adds_g[-1] == pytest.approx(37.5, rel=0.1) and with_water.within(TASTE / 4)
    without = ways(parts)[NEAREST]
    assert max(without.adds_g) == 0.0 and not without.within(0.03)


def test_to_come_near_some_is_drawn_off_where_there_is_no_room() -> None:
    card = wanted(mix())
    room = Room(ml=card.volume_ml, brim_ml=card.volume_ml)
    parts = [*mix(rum=600, lime=200), Part("vodka", 0.0, 90.0, RUM)]
    drawn = ways(parts, room)[NEAREST]
    assert drawn.draws_g > 0.0 and drawn.fits
    # No fraction of what comes near in a larger vessel, added to what is in, is as near as drawing off first.
    left = next(one for one in choices(parts, room, TASTE) if one.way == LEAVE)
    by = [max(abs(one or 0.0) for one in found.moved.values()) for found in (left, drawn)]
    assert by[1] < by[0]


def test_one_thing_alone_is_taken_out_not_drawn_to_come_near() -> None:
    card = wanted(mix())
    room = Room(ml=card.volume_ml, brim_ml=card.volume_ml)
    found = ways(mix(none_left=("lime",), rum=800), room)[NEAREST]
    assert found.draws_g == 0.0 and found.takes_out_g[0] > 0.0 and found.fits


def test_where_nothing_is_in_and_nothing_left_nothing_is_made() -> None:
    found = ways(mix(none_left=tuple(CARD)), Room(1000.0, 1000.0, 1200.0))
    assert set(found) == {NEAREST, LEAVE} and all(max(one.adds_g) == 0.0 for one in found.values())


def test_an_overfull_vessel_is_drawn_off_to_come_near() -> None:
    parts = [*mix(none_left=("lime",), rum=900, lime=200), Part("vodka", 0.0, 50.0, RUM)]
    there = sum((one.per_g * one.there_g for one in parts), Composition()).volume_ml
    found = ways(parts, Room(0.9 * there, 0.9 * there, 1.2 * there))[NEAREST]
    assert found.draws_g > 0.0 and found.fits
