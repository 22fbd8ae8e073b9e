"""Which lines a wish would move by itself: those that are for the figure."""

from __future__ import annotations

import pytest
from small_library import demo

from station.bar.composition import Composition
from station.calc.drink import drink
from station.calc.movers import movers

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
    assert movers(brings("tin-lantern"), figures, at) == found


def test_what_no_line_brings_moves_none() -> None:
    only_spirit = {RUM: brings("tin-lantern")[RUM]}
    assert movers(only_spirit, {"acid"}) == frozenset()
    assert movers({}, {"acid", "volume"}) == frozenset()
