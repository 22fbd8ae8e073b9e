"""Vessels for all drinks of an order: fewest, even, none given twice, what finds none said."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.bar.fault import CannotAnswer
from station.bar.nouns import House, Scale, Vessel
from station.calc.filling import Volume, fillings, short_of


def vessel(name: str, fill_l: float, count: int, tare_g: float = 500.0) -> Vessel:
    return Vessel(name, name.title(), fill_l * 1100.0, fill_l * 1000.0, tare_g, count)


SCALES = {"bench": Scale("bench", "Bench", 6000.0, 1.0), "floor": Scale("floor", "Floor", 30_000.0, 5.0)}
HOUSE = House(scales=SCALES, vessels={one.id: one for one in (vessel("pitcher", 1.5, 4), vessel("tub", 18.0, 2, 1400.0))})


def liters(spec: str, value: float, into: str = "") -> Volume:
    return Volume(spec, 1000.0 * value, 1000.0 * value, into)


def counts(house: House, *volumes: Volume) -> dict[str, dict[str, int]]:
    return {name: {one.vessel: one.count for one in found.fills} for name, found in fillings(volumes, house).items()}


def test_a_drink_goes_into_the_fewest_vessels_then_the_smallest() -> None:
    assert counts(HOUSE, liters("a", 1.4)) == {"a": {"pitcher": 1}}
    assert counts(HOUSE, liters("a", 1.6)) == {"a": {"tub": 1}}
    assert counts(HOUSE, liters("a", 18.0)) == {"a": {"tub": 1}}
    assert counts(HOUSE, liters("a", 19.0)) == {"a": {"tub": 1, "pitcher": 1}}
    assert counts(HOUSE, liters("a", 30.0)) == {"a": {"tub": 2}}


def test_a_vessel_given_to_one_drink_is_not_there_for_the_next() -> None:
    found = counts(HOUSE, liters("small", 2.0), liters("large", 30.0))
    assert found == {"large": {"tub": 2}, "small": {"pitcher": 2}}


def test_vessels_of_a_drink_are_filled_to_the_same_part_and_weighed_with_their_tare() -> None:
    found = fillings([liters("a", 19.5)], HOUSE)["a"]
    tub, pitcher = found.fills
    assert tub.ml / 18_000.0 == pytest.approx(pitcher.ml / 1500.0)
    assert tub.count * tub.ml + pitcher.count * pitcher.ml == pytest.approx(19_500.0)
    assert tub.gross_g == pytest.approx(tub.g + 1400.0) and tub.scale == "floor"
    assert pitcher.scale == "bench"
    assert pitcher.headspace_pct == pytest.approx(100.0 * (1.0 - pitcher.ml / 1650.0))


def test_a_tare_counts_against_the_scale() -> None:
    tight = replace(HOUSE, scales={"bench": Scale("bench", "Bench", 18_500.0, 1.0)})
    assert fillings([liters("a", 17.0)], tight)["a"].fills[0].scale == "bench"
    assert fillings([liters("a", 17.9)], tight)["a"].fills[0].scale == ""


def test_it_is_mixed_once_in_the_smallest_that_holds_it_else_in_equal_parts() -> None:
    once, parts = fillings([liters("a", 4.0)], HOUSE)["a"], fillings([liters("a", 40.0)], HOUSE)["a"]
    assert once.mix is not None and (once.mix.id, once.mixes) == ("tub", 1)
    assert parts.mix is not None and (parts.mix.id, parts.mixes) == ("tub", 3)


def test_what_finds_no_vessel_is_said_with_what_would_hold_it() -> None:
    volume = liters("a", 60.0)
    found = fillings([volume], HOUSE)["a"]
    assert found.short_ml == pytest.approx(60_000.0 - 2 * 18_000.0 - 4 * 1500.0)
    said = short_of(volume, found, HOUSE).replace("\u00a0", " ")
    assert said == "18 L of 60 L finds no vessel here: 1 × Tub more would hold it"
    assert [one.ml for one in found.fills] == pytest.approx([18_000.0, 1500.0])


def test_one_kind_can_be_asked_for() -> None:
    assert counts(HOUSE, liters("a", 3.0, "pitcher")) == {"a": {"pitcher": 2}}
    with pytest.raises(CannotAnswer, match="there is no such vessel"):
        fillings([liters("a", 3.0, "bucket")], HOUSE)


def test_without_vessels_there_is_one_mix_and_nothing_to_say() -> None:
    volume = liters("a", 3.0)
    found = fillings([volume], House())["a"]
    assert (found.mix, found.mixes, found.fills) == (None, 1, ())
    assert short_of(volume, found, House()) == ""


@given(
    st.lists(st.floats(0.05, 60.0), min_size=1, max_size=5),
    st.lists(st.tuples(st.floats(0.5, 20.0), st.integers(1, 6)), min_size=1, max_size=3),
)
def test_no_millilitre_is_lost_and_no_vessel_is_overfull_or_used_twice(
    volumes: list[float], kinds: list[tuple[float, int]]
) -> None:
    house = House(vessels={f"v{place}": vessel(f"v{place}", fill, count) for place, (fill, count) in enumerate(kinds)})
    asked = [liters(f"d{place}", value) for place, value in enumerate(volumes)]
    used: dict[str, int] = {}
    for volume in asked:
        found = fillings(asked, house)[volume.spec]
        held = sum(one.count * one.ml for one in found.fills)
        assert held + found.short_ml == pytest.approx(volume.ml, rel=1e-9)
        for one in found.fills:
            assert one.ml <= house.vessels[one.vessel].fill_ml * (1.0 + 1e-6)
            used[one.vessel] = used.get(one.vessel, 0) + one.count
    assert all(count <= house.vessels[name].count for name, count in used.items())


@given(st.floats(0.5, 80.0), st.lists(st.tuples(st.floats(0.5, 20.0), st.integers(1, 6)), min_size=1, max_size=3))
def test_no_fewer_vessels_would_hold_a_drink(volume: float, kinds: list[tuple[float, int]]) -> None:
    house = House(vessels={f"v{place}": vessel(f"v{place}", fill, count) for place, (fill, count) in enumerate(kinds)})
    found = fillings([liters("a", volume)], house)["a"]
    largest = sorted((fill for fill, count in kinds for _ in range(count)), reverse=True)
    used = sum(one.count for one in found.fills)
    if found.short_ml == 0.0:
        assert used == 1 or sum(largest[: used - 1]) < volume * (1.0 + 1e-6)
    else:
        assert used == len(largest)
