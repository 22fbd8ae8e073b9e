"""Which lines a wish would move by itself: those that are for the figure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_library import demo

from station.bar.composition import Composition
from station.calc.drink import drink
from station.calc.movers import chiefly, is_for, movers

RUM, LIME, SYRUP, LIQUEUR, CITRIC, SALINE = range(6)


def brings(name: str) -> dict[int, Composition]:
    found = drink(demo().library.drinks[name], demo())
    return {place: line.composition for place, line in enumerate(found.poured) if line.counts}


@pytest.mark.parametrize(
    ("figures", "at", "found"),
    [
        ({"acid"}, RUM, {LIME}),
        ({"acid"}, CITRIC, {CITRIC}),
        ({"sugar"}, RUM, {SYRUP}),
        ({"sugar"}, LIME, {SYRUP}),
        ({"sugar"}, LIQUEUR, {LIQUEUR}),
        ({"abv"}, LIME, {RUM}),
        ({"ratio"}, RUM, {SYRUP}),
        ({"ratio"}, LIME, {LIME}),
        ({"ratio", "sugar"}, RUM, {SYRUP, LIME}),
        ({"ratio", "acid"}, LIME, {SYRUP, LIME}),
        ({"ratio", "sugar", "acid"}, -1, {SYRUP, LIME}),
        ({"acid", "abv"}, SALINE, {LIME, RUM}),
        ({"volume"}, SALINE, {RUM, LIME, SYRUP, LIQUEUR, CITRIC, SALINE}),
        (set(), RUM, set()),
    ],
)
def test_a_figure_is_set_by_the_line_one_stands_on_if_it_is_for_it_else_by_the_one_that_brings_most(
    figures: set[str], at: int, found: set[int]
) -> None:
    assert movers(brings("tin-lantern"), figures, at) == (frozenset(found),)


DOSED = frozenset({LIQUEUR, CITRIC, SALINE})


@pytest.mark.parametrize(
    ("figures", "at", "found"),
    [
        ({"acid"}, RUM, [{CITRIC}, {LIME}, {LIME, CITRIC}]),
        ({"acid"}, SYRUP, [{CITRIC}, {LIME}, {LIME, CITRIC}]),
        ({"acid"}, LIME, [{LIME}]),
        ({"acid"}, CITRIC, [{CITRIC}]),
        ({"acid", "sugar"}, RUM, [{SYRUP, CITRIC}, {SYRUP, LIME}, {SYRUP, LIME, CITRIC}]),
        ({"acid", "ratio"}, RUM, [{SYRUP, CITRIC}, {SYRUP, LIME}, {SYRUP, LIME, CITRIC}]),
        ({"sugar"}, RUM, [{SYRUP}]),
        ({"sugar", "ratio"}, RUM, [{SYRUP, LIME}]),
        ({"acid", "volume"}, RUM, [set(range(6))]),
        ({"abv"}, LIME, [{RUM}]),
    ],
)
def test_acid_is_first_tried_by_the_drops_for_it_then_by_the_juice_then_by_both(
    figures: set[str], at: int, found: list[set[int]]
) -> None:
    assert movers(brings("tin-lantern"), figures, at, DOSED) == tuple(map(frozenset, found))


def test_a_dose_that_is_the_most_acid_line_anyway_is_one_suggestion() -> None:
    assert movers(brings("glass-commuter"), {"acid"}, 0, {4}) == (frozenset({4}),)


@given(
    figures=st.sets(st.sampled_from(["acid", "sugar", "ratio", "abv", "volume"])),
    at=st.integers(-1, 6),
    dosed=st.sets(st.integers(0, 6)),
)
def test_the_suggestions_are_lines_that_can_move_each_once_and_the_rule_is_among_them(
    figures: set[str], at: int, dosed: set[int]
) -> None:
    lines = brings("tin-lantern")
    found = movers(lines, figures, at, dosed)
    assert len(set(found)) == len(found) and all(one <= lines.keys() for one in found)
    assert movers(lines, figures, at) == found[:2][-1:]


@pytest.mark.parametrize(
    ("place", "own"), [(RUM, "abv"), (LIME, "acid"), (SYRUP, "sugar"), (LIQUEUR, "sugar"), (CITRIC, "acid"), (SALINE, "")]
)
def test_a_line_is_for_the_figure_it_brings_most_of(place: int, own: str) -> None:
    liquid = brings("tin-lantern")[place]
    assert chiefly(liquid) == own
    sides = {"sugar": {"sugar", "ratio"}, "acid": {"acid", "ratio"}, "abv": {"abv"}}
    assert {one for one in ("acid", "sugar", "ratio", "abv") if is_for(one, liquid)} == sides.get(own, set())
    assert is_for("volume", liquid)


def test_what_no_line_brings_moves_none() -> None:
    only_spirit = {RUM: brings("tin-lantern")[RUM]}
    assert movers(only_spirit, {"acid"}) == (frozenset(),)
    assert movers({}, {"acid", "volume"}) == (frozenset(),)
