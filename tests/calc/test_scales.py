"""Which scale weighs what, and what its display reads."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from station.bar.nouns import Scale
from station.calc.scales import VESSEL, ToWeigh, smallest_g, weighings

FINE = Scale("fine", "Fine scale", 200.0, 0.01)
BENCH = Scale("bench", "Bench scale", 6_000.0, 1.0)
FLOOR = Scale("floor", "Floor scale", 30_000.0, 5.0)
SCALES = {one.id: one for one in (FINE, BENCH, FLOOR)}

doses = st.lists(
    st.tuples(st.one_of(st.floats(0.001, 5.0), st.floats(5.0, 500.0), st.floats(500.0, 8_000.0)), st.sampled_from([0.01, 0.02])),
    min_size=1,
    max_size=8,
).map(lambda rows: [ToWeigh(key, grams, tolerance) for key, (grams, tolerance) in enumerate(rows)])
houses = st.sampled_from([(FINE, BENCH, FLOOR), (FINE, BENCH), (FINE, FLOOR), (BENCH, FLOOR), (BENCH,), (FINE,)])
tares = st.sampled_from([0.0, 640.0, 1_400.0])
quick = settings(max_examples=100, deadline=None)


# USP <41> at a tolerance t: 2 · 0.41 d / t. 41 readabilities for 2 %, 82 for 1 %.
@pytest.mark.parametrize(
    ("scale", "tolerance", "grams"), [(FINE, 0.02, 0.41), (FINE, 0.01, 0.82), (BENCH, 0.02, 41.0), (FLOOR, 0.01, 410.0)]
)
def test_the_least_a_scale_is_trusted_with(scale: Scale, tolerance: float, grams: float) -> None:
    assert smallest_g(scale, tolerance) == pytest.approx(grams)


@given(doses, tares, houses)
@quick
def test_every_dose_is_weighed_once_and_all_of_it(to_weigh: list[ToWeigh], tare: float, scales: tuple[Scale, ...]) -> None:
    placed = weighings(to_weigh, tare, {one.id: one for one in scales})
    assert sorted(one.key for one in placed) == [dose.key for dose in to_weigh]


@given(doses, tares, houses)
@quick
def test_the_display_reads_the_running_sum_of_its_cup_or_vessel(
    to_weigh: list[ToWeigh], tare: float, scales: tuple[Scale, ...]
) -> None:
    placed = weighings(to_weigh, tare, {one.id: one for one in scales})
    grams = {dose.key: dose.g for dose in to_weigh}
    for _, group in groupby(placed, key=lambda one: one.into):
        total = 0.0
        for one in group:
            if one.apart:
                assert one.times * one.reads_g == pytest.approx(grams[one.key], rel=1e-12)
                continue
            assert one.reads_g > total
            total += grams[one.key]
            assert one.reads_g == pytest.approx(total, rel=1e-12)


@given(doses, tares, houses)
@example([ToWeigh(0, 300.0, 0.01), ToWeigh(1, 8_000.0, 0.02)], 1_400.0, (FINE, BENCH, FLOOR))
@example([ToWeigh(0, 204.0, 0.02), ToWeigh(1, 8_000.0, 0.02)], 1_400.0, (FINE, BENCH, FLOOR))
@example([ToWeigh(0, 300.0, 0.01), ToWeigh(1, 8_000.0, 0.02)], 1_400.0, (FINE, FLOOR))
@quick
def test_no_scale_is_loaded_over_its_capacity_unless_the_card_says_so(
    to_weigh: list[ToWeigh], tare: float, scales: tuple[Scale, ...]
) -> None:
    known = {one.id: one for one in scales}
    for one in weighings(to_weigh, tare, known):
        gross = one.reads_g + (tare if one.into == VESSEL and not one.apart else 0.0)
        assert gross <= known[one.scale].capacity_g, (one, gross)


# A dose of 300 g of acid is too small for the floor scale and too large for the pocket scale; the bench scale weighs it.
def test_a_dose_between_two_scales_is_weighed_on_the_third() -> None:
    placed = weighings([ToWeigh(0, 300.0, 0.01), ToWeigh(1, 8_000.0, 0.02)], 1_400.0, SCALES)
    small = next(one for one in placed if one.key == 0)
    assert (small.scale, small.note) == ("bench", "")


@given(doses, tares, houses)
@quick
def test_every_dose_is_over_the_smallest_weighing_or_the_card_says_so(
    to_weigh: list[ToWeigh], tare: float, scales: tuple[Scale, ...]
) -> None:
    known = {one.id: one for one in scales}
    by_key = {dose.key: dose for dose in to_weigh}
    for one in weighings(to_weigh, tare, known):
        dose = by_key[one.key]
        assert dose.g >= smallest_g(known[one.scale], dose.tolerance) or one.note


@given(doses, tares, houses)
@quick
def test_a_doubt_is_only_said_where_no_scale_here_would_do(
    to_weigh: list[ToWeigh], tare: float, scales: tuple[Scale, ...]
) -> None:
    known = {one.id: one for one in scales}
    by_key = {dose.key: dose for dose in to_weigh}
    gross = sum(dose.g for dose in to_weigh) + tare
    for one in weighings(to_weigh, tare, known):
        dose = by_key[one.key]
        able = [scale for scale in scales if smallest_g(scale, dose.tolerance) <= dose.g <= scale.capacity_g]
        if one.note and gross <= max(scale.capacity_g for scale in scales):
            assert not able, (one, able)


def test_the_cup_comes_first_and_the_vessel_from_the_largest_down() -> None:
    grams = [3.0, 800.0, 0.5, 400.0]
    placed = weighings([ToWeigh(key, one, 0.02) for key, one in enumerate(grams)], 640.0, SCALES)
    assert [(one.key, one.into, one.scale) for one in placed] == [
        (0, "cup", "fine"),
        (2, "cup", "fine"),
        (1, "vessel", "bench"),
        (3, "vessel", "bench"),
    ]


def test_a_full_cup_is_followed_by_another() -> None:
    placed = weighings([ToWeigh(key, 40.0, 0.02) for key in range(7)] + [ToWeigh(7, 5_000.0, 0.02)], 0.0, SCALES)
    assert [one.into for one in placed] == ["cup"] * 5 + ["cup 2"] * 2 + ["vessel"]
    assert placed[5].reads_g == pytest.approx(40.0)


def test_the_vessels_tare_counts_against_the_scale() -> None:
    to_weigh = [ToWeigh(0, 5_500.0, 0.02)]
    assert weighings(to_weigh, 400.0, SCALES)[0].scale == "bench"
    assert weighings(to_weigh, 640.0, SCALES)[0].scale == "floor"


def test_what_the_scale_bears_no_more_with_its_vessel_is_weighed_in_a_jug() -> None:
    placed = weighings([ToWeigh(0, 5_500.0, 0.02), ToWeigh(1, 500.0, 0.02)], 400.0, {"bench": BENCH})
    note = "vessel and mix are over the 6000\u00a0g of Bench scale: weigh it in a tared jug"
    assert [(one.reads_g, one.apart, one.note) for one in placed] == [(5_500.0, False, ""), (500.0, True, note)]


# 13 kg over a capacity of 6: each portion leaves a fifth of it for the jug, so 4.8 kg at most, three times.
def test_a_line_over_a_capacity_is_weighed_in_equal_portions() -> None:
    placed = weighings([ToWeigh(0, 13_000.0, 0.02)], 0.0, {"bench": BENCH})
    assert (placed[0].times, placed[0].reads_g) == (3, pytest.approx(13_000.0 / 3))
    assert placed[0].note.endswith("weigh it in a tared jug, 3 times 4333\u00a0g")


# 300 g of acid to 1 % is under the 410 g of the floor scale and over the pocket scale: in two cups of 150 g it sees them.
def test_a_dose_between_two_scales_is_weighed_in_portions_on_the_finer() -> None:
    placed = weighings([ToWeigh(0, 300.0, 0.01), ToWeigh(1, 8_000.0, 0.02)], 1_400.0, {"fine": FINE, "floor": FLOOR})
    small = next(one for one in placed if one.key == 0)
    assert (small.scale, small.times, small.reads_g, small.apart) == ("fine", 2, pytest.approx(150.0), True)


# USP <41>: the repeatability found by weighing counts where it is worse than 0.41 of the readability.
def test_a_scale_found_to_repeat_badly_is_trusted_with_less() -> None:
    assert smallest_g(replace(FINE, repeatability_g=0.01), 0.01) == pytest.approx(2.0)
    assert smallest_g(replace(FINE, repeatability_g=0.001), 0.01) == pytest.approx(0.82)


def test_a_dose_no_scale_sees_is_said() -> None:
    note = weighings([ToWeigh(0, 0.3, 0.01), ToWeigh(1, 500.0, 0.02)], 0.0, SCALES)[0].note
    assert note.replace("\u00a0", " ") == (
        "under 0.82 g, the least Fine scale can be trusted with to 1 % of the dose: make more at once, or weigh a weaker solution"
    )


def test_a_house_without_a_scale_still_gets_its_grams() -> None:
    placed = weighings([ToWeigh(0, 5.0, 0.02), ToWeigh(1, 500.0, 0.02)], 0.0, {})
    assert [(one.reads_g, one.scale, one.note) for one in placed] == [
        (500.0, "", "no scale in station.toml"),
        (505.0, "", "no scale in station.toml"),
    ]
