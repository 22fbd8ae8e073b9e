"""Batches: how many, how much of each line, in which vessels, with or without water."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import NOON, demo, drink, open_small

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.calc.answers import Batched
from station.calc.batch import Batch, Target, batch
from station.calc.drink import Drink
from station.calc.drink import drink as one_serve
from station.calc.scales import VESSEL, smallest_g
from station.desk.batching import batched

LIBRARY = demo().library
HOUSE = LIBRARY.house
DRINKS = sorted(LIBRARY.drinks)
ICED = [name for name in DRINKS if LIBRARY.drinks[name].method in {"shake", "stir", "build", "blend"}]
names = st.sampled_from(DRINKS)
serves = st.floats(0.5, 400.0)
water = st.sampled_from([None, True, False])
quick = settings(max_examples=80, deadline=None)


def serve_of(name: str) -> Drink:
    return one_serve(LIBRARY.drinks[name], demo())


def made(name: str, target: Target, with_water: bool | None = None) -> Batch:
    return batch(serve_of(name), target, HOUSE, with_water)


def or_none(name: str, target: Target, with_water: bool | None = None) -> Batch | None:
    """A batch, or None where the demo has no vessels for so much."""
    try:
        return made(name, target, with_water)
    except CannotAnswer as refused:
        assert "vessel" in str(refused)
        return None


@given(names, serves, water)
@quick
def test_the_lines_are_all_of_the_mix_and_nothing_else(name: str, count: float, with_water: bool | None) -> None:
    one = or_none(name, Target(serves=count), with_water)
    if one is None:
        return
    total = math.fsum(line.g for mix in one.mixes for line in mix.lines) * one.mixes[0].count
    assert total == pytest.approx(one.mix.mass_g, rel=1e-9)
    assert math.fsum(mix.g * mix.count for mix in one.mixes) == pytest.approx(one.mix.mass_g, rel=1e-12)
    assert math.fsum(mix.ml * mix.count for mix in one.mixes) == pytest.approx(one.mix.volume_ml, rel=1e-12)


@given(names, st.floats(0.5, 40.0), st.floats(1.1, 3.0), water)
@quick
def test_a_larger_batch_is_the_same_drink(name: str, count: float, factor: float, with_water: bool | None) -> None:
    small, large = or_none(name, Target(serves=count), with_water), or_none(name, Target(serves=count * factor), with_water)
    if small is None or large is None:
        return
    assert large.mix.amounts == pytest.approx((small.mix * factor).amounts, rel=1e-9)
    assert large.water_g == pytest.approx(small.water_g * factor, rel=1e-9)
    grams = [{line.item: line.g * mix.count for mix in one.mixes for line in mix.lines} for one in (small, large)]
    assert grams[1] == pytest.approx({item: g * factor for item, g in grams[0].items()}, rel=1e-9)


@given(names, serves)
@quick
def test_the_display_goes_up_line_by_line_to_the_sum(name: str, count: float) -> None:
    one = or_none(name, Target(serves=count))
    if one is None:
        return
    for mix in one.mixes:
        totals: dict[str, float] = {}
        for line in mix.lines:
            assert line.reads_g > totals.get(line.into, 0.0)
            totals[line.into] = totals.get(line.into, 0.0) + line.weigh_g
            assert line.reads_g == pytest.approx(totals[line.into], rel=1e-12)
        assert math.fsum(totals.values()) == pytest.approx(mix.g, rel=1e-9)


@given(names, serves)
@quick
def test_no_scale_is_overloaded_and_none_is_asked_for_what_it_cannot_see(name: str, count: float) -> None:
    one = or_none(name, Target(serves=count))
    if one is None:
        return
    for mix in one.mixes:
        tare = HOUSE.vessels[mix.vessel or ""].tare_g
        for line in mix.lines:
            scale = HOUSE.scales[line.scale]
            acid_like = demo().stuff(line.item).acid_like
            tolerance = HOUSE.weigh_acid if acid_like else HOUSE.weigh
            assert line.note or line.reads_g + (tare if line.into == VESSEL else 0.0) <= scale.capacity_g
            assert line.note or line.g >= smallest_g(scale, tolerance)


@given(names, st.floats(10.0, 40_000.0), st.sampled_from(["", *HOUSE.vessels]), water)
@quick
def test_no_vessel_is_filled_over_its_fill_and_the_fills_are_the_whole(
    name: str, ml: float, into: str, with_water: bool | None
) -> None:
    one = or_none(name, Target(volume_ml=ml, into=into), with_water)
    if one is None:
        return
    for fill in one.fills:
        vessel = HOUSE.vessels[fill.vessel]
        assert fill.ml <= vessel.fill_ml * (1.0 + 1e-9) and fill.count <= vessel.count
        assert not into or fill.vessel == into
    assert math.fsum(fill.ml * fill.count for fill in one.fills) == pytest.approx(one.mix.volume_ml, rel=1e-12)
    assert math.fsum(fill.g * fill.count for fill in one.fills) == pytest.approx(one.mix.mass_g, rel=1e-12)
    for mix in one.mixes:
        assert mix.ml <= HOUSE.vessels[mix.vessel or ""].fill_ml * (1.0 + 1e-9)


@given(names, st.floats(10.0, 15_000.0), water)
@quick
def test_a_batch_to_a_volume_is_that_volume_water_and_all(name: str, ml: float, with_water: bool | None) -> None:
    one = or_none(name, Target(volume_ml=ml), with_water)
    if one is not None:
        assert one.mix.volume_ml == pytest.approx(ml, rel=1e-9)
        again = made(name, Target(serves=one.serves), with_water)
        assert again.mix.amounts == pytest.approx(one.mix.amounts, rel=1e-12)


@given(names, st.sampled_from(list(HOUSE.vessels)), water)
@quick
def test_a_batch_for_a_vessel_fills_it(name: str, vessel: str, with_water: bool | None) -> None:
    one = made(name, Target(vessel=vessel), with_water)
    assert one.mix.volume_ml == pytest.approx(HOUSE.vessels[vessel].fill_ml, rel=1e-9)
    assert [(fill.vessel, fill.count) for fill in one.fills] == [(vessel, 1)]


@given(names, serves, water)
@quick
def test_water_is_only_in_a_diluted_batch(name: str, count: float, with_water: bool | None) -> None:
    one = or_none(name, Target(serves=count), with_water)
    if one is None:
        return
    dilution = serve_of(name).dilution
    assert one.diluted == with_water if with_water is not None else True
    assert one.water_g == pytest.approx(dilution.water_g * one.serves if one.diluted else 0.0, rel=1e-9, abs=1e-12)
    water_lines = [line for mix in one.mixes for line in mix.lines if line.basis == "pre-dilution water"]
    assert bool(water_lines) == (one.water_g > 0.0)


@pytest.mark.parametrize("name", ICED)
def test_water_can_be_asked_for_and_left_out(name: str) -> None:
    wet, dry = made(name, Target(serves=10), True), made(name, Target(serves=10), False)
    assert (wet.diluted, dry.diluted, dry.water_g) == (True, False, 0.0)
    assert wet.mix.amounts == pytest.approx((dry.mix + Composition.of(water=wet.water_g)).amounts, rel=1e-9)


@pytest.mark.parametrize(
    ("method", "more", "diluted"),
    [
        ("shake", "", False),
        ("stir", "", True),
        ("build", "", False),
        ("carbonate", "", True),
        ("blend", 'dilution = "80 % of initial"', False),
        ("shake", 'batch = "diluted"', True),
        ("shake", 'batch = "freezer"', True),
        ("stir", 'batch = "undiluted"', False),
    ],
)
def test_the_spec_or_its_method_says_whether_a_batch_is_diluted(method: str, more: str, diluted: bool, tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/d.toml": drink(method, "spirit: 60 ml", "syrup: 20 ml", more=more)})
    assert batched(opened.blends, "d", Target(serves=10), None, NOON).diluted is diluted


def card(name: str, target: Target) -> Batched:
    return batched(demo(), name, target, None, NOON)


def test_fills_are_even() -> None:
    one = card("tin-lantern", Target(volume_ml=7_000.0, into="bottle"))
    assert [(mix.vessel, mix.count) for mix in one.mixes] == [("box", 1)]
    assert [(fill.vessel, fill.count, round(fill.ml)) for fill in one.fills] == [("bottle", 10, 700)]


def test_a_tub_too_small_splits_into_equal_mixes() -> None:
    one = card("tin-lantern", Target(serves=300))
    assert [(mix.vessel, mix.count) for mix in one.mixes] == [("tub", 2)]
    assert one.mixes[0].g * 2 == pytest.approx(one.total_g)


def test_serves_are_unrounded_and_full_serves_floored() -> None:
    one = card("tin-lantern", Target(serves=12.75))
    assert (one.serves, one.full_serves) == (12.75, 12)


BIG_TUB = 'format = 1\n[vessels.vat]\nname = "Vat"\nbrim = "1000 l"\nfill = "900 l"\ntare = "20 kg"\n'


# A card must not promise a glass that is not in the vat, however large the vat.
@pytest.mark.parametrize("count", [999.5, 1_000.0, 1_500.0, 4_000.0])
def test_full_serves_are_never_more_than_there_are(count: float, tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"station.toml": BIG_TUB})
    one = batched(opened.blends, "sour", Target(serves=count), None, NOON)
    assert one.full_serves == math.floor(count)


@pytest.mark.parametrize("count", [1, 15, 300, 999, 1_001, 2_000, 4_000])
def test_there_is_a_twist_for_every_serve(count: int, tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"station.toml": BIG_TUB})
    one = batched(opened.blends, "sour", Target(serves=count), None, NOON)
    assert [line.total for line in one.service] == [f"{count} pieces"]


def test_a_pitcher_that_rounds_to_fifteen_serves_holds_fifteen() -> None:
    one = card("tin-lantern", Target(vessel="pitcher"))
    assert one.serves == pytest.approx(15.0, abs=0.02)
    assert (one.full_serves, one.service[0].total) == (15, "15 pieces")


def test_an_egg_in_the_vessel_is_weighed_and_its_count_noted(tmp_path: Path) -> None:
    egg = '[egg]\nname = "Egg"\nkind = "egg"\nallergens = ["egg"]\neach = "30 g"\n'
    spec = drink("shake", "spirit: 60 ml", "egg: 1 each")
    opened = open_small(tmp_path, {"ingredients/egg.toml": egg, "drinks/d.toml": spec})
    line = next(line for line in batched(opened.blends, "d", Target(serves=12), None, NOON).mixes[0].lines if line.item == "egg")
    assert (line.g, line.note) == (pytest.approx(360.0), "about 12 pieces")


def test_what_goes_in_at_the_glass_is_out_of_the_mix_and_ready_in_full() -> None:
    one = card("green-timetable", Target(serves=20))
    items = {line.item for mix in one.mixes for line in mix.lines}
    assert "soda-water" not in items
    soda = next(line for line in one.service if line.item == "soda-water")
    assert (soda.when, soda.each, soda.total_ml) == ("finish", "top 75 ml", pytest.approx(1_500.0))


REFUSALS = [
    (Target(serves=0.0), "nothing makes no drink: the target is 0 (ask for at least one serve)"),
    (Target(serves=-1.0), "nothing makes no drink: the target is 0 (ask for at least one serve)"),
    (Target(serves=math.inf), "nothing makes no drink: the target is 0 (ask for at least one serve)"),
    (Target(volume_ml=0.0), "nothing makes no drink: the target is 0 (ask for at least one serve)"),
    (Target(serves=2e6), "2 000 000 serves is more than this tool batches (ask for less)"),
    (Target(vessel="bucket"), "there is no vessel bucket (one of pitcher, bottle, single, box, tub, keg)"),
    (Target(serves=3, into="bucket"), "there is no vessel bucket (one of pitcher, bottle, single, box, tub, keg)"),
    (
        Target(volume_ml=10_000.0, into="pitcher"),
        "10 L fills 7 × Pitcher and there are 4 (ask for less, or add vessels to station.toml)",
    ),
    (
        Target(volume_ml=50_000.0),
        "no vessel here holds 50 L: the most is 2 × Lidded tub, 20 L of 18 L (ask for less, or add a vessel to station.toml)",
    ),
]


@pytest.mark.parametrize(("target", "said"), REFUSALS)
def test_a_batch_that_cannot_be_is_refused_in_one_sentence(target: Target, said: str) -> None:
    with pytest.raises(CannotAnswer) as refused:
        made("tin-lantern", target)
    assert str(refused.value).replace("\u00a0", " ") == said


def test_a_drink_larger_than_the_vessel_is_refused(tmp_path: Path) -> None:
    cup = 'format = 1\n[vessels.cup]\nname = "Cup"\nbrim = "90 ml"\nfill = "80 ml"\ntare = "50 g"\n'
    opened = open_small(tmp_path, {"station.toml": cup})
    with pytest.raises(CannotAnswer) as refused:
        batched(opened.blends, "sour", Target(vessel="cup"), None, NOON)
    assert str(refused.value).replace("\u00a0", " ") == (
        "one serve of Plain Sour is 105 ml, Cup is filled to 80 ml: it does not hold one (take a larger vessel)"
    )


def test_a_drink_of_glass_lines_only_has_no_batch(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/d.toml": drink("build", "spirit: top 60 ml", 'twist: 1 each | when = "finish"')})
    with pytest.raises(CannotAnswer, match=r"^A Drink has nothing to batch: every line is for the glass"):
        batched(opened.blends, "d", Target(serves=3), None, NOON)


# A tolerance of nothing is a slip in station.toml: told by `check` or by the card, never a traceback in service.
def test_a_house_that_asks_for_perfection_gets_a_sentence(tmp_path: Path) -> None:
    house = 'format = 1\n[tolerance]\nweigh = "0 %"\n[scales.a]\nname = "A"\ncapacity = "6 kg"\nreadability = "1 g"\n'
    opened = open_small(tmp_path, {"station.toml": house})
    try:
        batched(opened.blends, "sour", Target(serves=3), None, NOON)
    except CannotAnswer as refused:
        assert str(refused)
    else:
        assert opened.library.faults
