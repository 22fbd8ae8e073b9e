"""Shares of a glass by line: they come to one, and each is the line's own grams over all."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_library import demo, drink, open_small

from station.bar.composition import COMPONENTS, Composition
from station.calc.sources import ICE, PARTS, sources
from station.desk.look import show, sound_drink

grams = st.floats(0.0, 500.0)
liquids = st.lists(grams, min_size=len(COMPONENTS) - 1, max_size=len(COMPONENTS) - 1).map(lambda one: Composition((*one, 0.0)))


@given(st.lists(liquids, max_size=6))
def test_the_shares_of_what_is_there_come_to_one(parts: list[Composition]) -> None:
    found = sources((f"item-{place}", "", part) for place, part in enumerate(parts))
    for part in PARTS:
        shares = [getattr(one, part) for one in found]
        assert all(share is None for share in shares) or sum(shares) == pytest.approx(1.0)


@pytest.mark.parametrize("name", sorted(demo().library.drinks))
def test_the_demo_s_shares_are_of_what_is_in_the_glass(name: str) -> None:
    made = sound_drink(demo(), demo().library.drinks[name])
    shown = show(demo(), name)
    parts = {
        "ethanol": lambda one: one["ethanol"],
        "sugar": lambda one: sum(one[sugar] for sugar in ("sucrose", "glucose", "fructose", "lactose", "maltose")),
        "acid": lambda one: sum(one.acids.values()),
        "water": lambda one: one["water"],
    }
    lines = [poured for poured in made.poured if poured.composition.mass_g > 0.0]
    assert [one.item for one in shown.sources[: len(lines)]] == [poured.line.item for poured in lines]
    for source, poured in zip(shown.sources, lines, strict=False):
        for part, of in parts.items():
            whole = of(made.glass)
            assert getattr(source, part) == (pytest.approx(of(poured.composition) / whole) if whole else None)
    found = {one.item: one for one in shown.sources}
    if made.dilution.water_g:
        assert found[ICE].water == pytest.approx(made.dilution.water_g / made.glass["water"])


def test_by_hand_two_lines_of_equal_strength_share_by_their_volume() -> None:
    """30 and 90 ml of the same spirit, no ice: a quarter and three quarters of everything."""
    found = sources([("a", "A", Composition.of(water=30, ethanol=10)), ("b", "B", Composition.of(water=90, ethanol=30))])
    assert [(one.ethanol, one.water, one.volume) for one in found] == [
        pytest.approx((0.25, 0.25, 0.25)),
        pytest.approx((0.75, 0.75, 0.75)),
    ]
    assert [(one.sugar, one.acid) for one in found] == [(None, None), (None, None)]


def test_a_garnish_and_an_optional_line_bring_nothing(tmp_path: object) -> None:
    from pathlib import Path

    assert isinstance(tmp_path, Path)
    text = drink("none", "spirit: 60 ml", "syrup: 10 ml | optional = true", 'twist: 1 each | when = "finish"')
    opened = open_small(tmp_path, {"drinks/one.toml": text})
    assert [one.item for one in show(opened.blends, "one").sources] == ["spirit"]
