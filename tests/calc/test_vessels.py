"""Fewest vessels that hold it, then even."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from station.bar.fault import CannotAnswer
from station.bar.nouns import Vessel
from station.calc.vessels import needed, plan

PITCHER = Vessel("pitcher", "Pitcher", 1_800.0, 1_500.0, 640.0, 4)
BOTTLE = Vessel("bottle", "Bottle", 770.0, 720.0, 560.0, 12)
TUB = Vessel("tub", "Tub", 20_000.0, 18_000.0, 1_400.0, 2)
HOUSE = {one.id: one for one in (PITCHER, BOTTLE, TUB)}
some_vessels = st.lists(st.sampled_from(list(HOUSE.values())), min_size=1, unique_by=lambda one: one.id)
volumes = st.floats(1.0, 60_000.0)
quick = settings(max_examples=100, deadline=None)


@given(volumes, some_vessels, st.booleans())
@quick
def test_no_vessel_is_filled_over_its_fill_and_none_is_missing(total: float, vessels: list[Vessel], ask: bool) -> None:
    try:
        made = plan(total, {one.id: one for one in vessels}, vessels[0] if ask else None)
    except CannotAnswer:
        assert total > min(
            (one.fill_ml * one.count for one in vessels[:1]) if ask else [max(one.fill_ml * one.count for one in vessels)]
        )
        return
    assert made.into is not None and made.mix is not None
    assert made.fills <= made.into.count
    assert total / made.fills <= made.into.fill_ml * (1.0 + 1e-9)
    assert total / made.mixes <= made.mix.fill_ml * (1.0 + 1e-9)
    if ask:
        assert made.into == vessels[0]


@given(volumes, some_vessels)
@quick
def test_one_vessel_fewer_would_not_hold_it(total: float, vessels: list[Vessel]) -> None:
    try:
        made = plan(total, {one.id: one for one in vessels})
    except CannotAnswer:
        return
    assert made.into is not None
    assert made.fills == needed(total, made.into)
    assert made.fills == 1 or total > (made.fills - 1) * made.into.fill_ml * (1.0 - 1e-6)


@pytest.mark.parametrize(
    ("total", "into", "fills", "mix", "mixes"),
    [
        (1_500.0, "pitcher", 1, "pitcher", 1),
        (700.0, "bottle", 1, "bottle", 1),
        (900.0, "pitcher", 1, "pitcher", 1),
        (1_501.0, "pitcher", 2, "tub", 1),
        (9_000.0, "tub", 1, "tub", 1),
        (36_000.0, "tub", 2, "tub", 2),
    ],
)
def test_the_house_picks(total: float, into: str, fills: int, mix: str, mixes: int) -> None:
    made = plan(total, HOUSE)
    assert made.into is not None and made.mix is not None
    assert (made.into.id, made.fills, made.mix.id, made.mixes) == (into, fills, mix, mixes)


def test_a_batch_is_mixed_once_and_filled_out_into_what_was_asked_for() -> None:
    made = plan(7_000.0, HOUSE, BOTTLE)
    assert (made.mix, made.mixes, made.into, made.fills) == (TUB, 1, BOTTLE, 10)


def test_a_fill_met_exactly_spills_into_no_second_vessel() -> None:
    assert needed(1_500.0 * (1.0 + 1e-12), PITCHER) == 1
    assert needed(1_500.1, PITCHER) == 2


def test_a_house_without_vessels_mixes_it_all_the_same() -> None:
    made = plan(5_000.0, {})
    assert (made.mix, made.mixes, made.into, made.fills) == (None, 1, None, 0)


def test_more_than_there_are_vessels_of_that_kind_is_refused() -> None:
    with pytest.raises(CannotAnswer) as refused:
        plan(7_000.0, HOUSE, PITCHER)
    assert str(refused.value).replace("\u00a0", " ") == (
        "7 L fills 5 × Pitcher and there are 4 (ask for less, or add vessels to station.toml)"
    )


def test_more_than_any_vessels_hold_is_refused() -> None:
    with pytest.raises(CannotAnswer) as refused:
        plan(37_000.0, HOUSE)
    assert str(refused.value).replace("\u00a0", " ") == (
        "no vessel here holds 37 L: the most is 2 × Tub of 18 L (ask for less, or add a vessel to station.toml)"
    )
