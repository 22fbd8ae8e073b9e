"""How well grams and a glass are known."""

from __future__ import annotations

from datetime import date
from math import hypot
from pathlib import Path

import pytest
from small_library import CITRIC, NOON, demo, drink, open_small

from station.calc.batch import Target
from station.calc.spread import Spread
from station.calc.unsure import Unsure
from station.desk.batching import batched
from station.desk.look import show

DROPPER = """
[dispensers.dropper]
name = "Dropper"
unit = "drop"
[[dispensers.dropper.calibrations]]
item = "{item}"
date = 2026-11-04
count = 50
reads = [{reads}]
"""
THREE = '"2.61 g", "2.58 g", "2.66 g"'


def sds(folder: Path, *lines: str, measures: str = "", house: str = "") -> list[float | None]:
    files = {"drinks/sour.toml": drink("none", *lines), "measures.toml": measures}
    opened = open_small(folder, {**files, "station.toml": house} if house else files)
    return [line.g_sd for line in show(opened.blends, "sour").lines]


# By hand: s = 0.04041 g of 50 drops; scatter of two drops √2 · s/√50 = 0.00808 g, of their mean 2 · s/(50·√3) = 0.00093 g.
def test_counted_drops_scatter_and_share_the_error_of_their_mean(tmp_path: Path) -> None:
    measures = DROPPER.format(item="citric-25", reads=THREE)
    assert sds(tmp_path, "citric-25: 2 drops", measures=measures) == [pytest.approx(hypot(0.00808, 0.00093), rel=2e-3)]


# A fill of a jigger is off by 3 %, at least by half a millilitre (common practice, no source).
@pytest.mark.parametrize(("ml", "sd_ml"), [(60, 1.8), (7.5, 0.5)])
def test_a_jigger_is_off_by_a_share_of_its_fill(ml: float, sd_ml: float, tmp_path: Path) -> None:
    assert sds(tmp_path, f"water: {ml} ml") == [pytest.approx(sd_ml * 0.998203, rel=1e-5)]


# USP <41>: 0.41 of the readability, or the repeatability found, whichever is more.
def test_a_dose_by_weight_is_as_good_as_the_finest_scale_that_bears_it(tmp_path: Path) -> None:
    house = 'format = 1\n[scales.a]\nname = "A"\ncapacity = "100 g"\nreadability = "0.01 g"\nrepeatability = "0.02 g"\n'
    house += '[scales.b]\nname = "B"\ncapacity = "5 kg"\nreadability = "1 g"\n'
    assert sds(tmp_path, "spirit: 50 g", "spirit: 500 g", house=house) == pytest.approx([0.02, 0.41])


def test_without_a_scale_a_weight_just_meets_the_houses_tolerance(tmp_path: Path) -> None:
    assert sds(tmp_path, "spirit: 50 g", house="format = 1\n") == pytest.approx([0.02 * 50 / 2])


# Three equal readings on a scale of 0.01 g do not say that the drops are all alike: 0.41 of the readability is the least spread.
def test_readings_that_agree_are_no_better_known_than_the_scale(tmp_path: Path) -> None:
    measures = DROPPER.format(item="citric-25", reads='"2.61 g", "2.61 g", "2.61 g"')
    found = sds(tmp_path, "citric-25: 1 drop", measures=measures)
    assert found == [pytest.approx(hypot(0.0041 / 50**0.5, 0.0041 / (50 * 3**0.5)), rel=1e-6)]


# USP <1101>: a dropper in use may be off by 15 %.
def test_one_weighing_tells_no_spread_and_is_taken_as_a_dropper_in_use(tmp_path: Path) -> None:
    found = sds(tmp_path, "citric-25: 1 drop", measures=DROPPER.format(item="citric-25", reads='"2.5 g"'))
    assert found == [pytest.approx(0.05 * 0.15 * hypot(1.0, 1 / 50**0.5))]


def test_a_figure_carried_over_is_known_worse_than_one_weighed(tmp_path: Path) -> None:
    weighed = sds(tmp_path / "a", "citric-25: 5 drops", measures=DROPPER.format(item="citric-25", reads=THREE))
    carried = sds(tmp_path / "b", "citric-25: 5 drops", measures=DROPPER.format(item="water", reads=THREE))
    built_in = sds(tmp_path / "c", "citric-25: 5 drops")
    assert weighed[0] < carried[0] < built_in[0]  # type: ignore[operator]  # none is None: a drop has its grams


# Two lines counted with one dropper err together: one of 8 drops is the same doubt as two of 4, but for the scatter.
def test_lines_of_one_calibration_err_together(tmp_path: Path) -> None:
    measures = DROPPER.format(item="citric-25", reads=THREE) + '[defaults]\ndash = "0.6 ml"\n'
    files = {
        "measures.toml": measures,
        "stocks/citric-25.toml": CITRIC,
        "drinks/one.toml": drink("none", "water: 100 g", "citric-25: 8 dashes"),
        "drinks/two.toml": drink("none", "water: 100 g", "citric-25: 4 dashes", "citric-25: 4 dashes"),
    }
    opened = open_small(tmp_path, files)
    one, two = (show(opened.blends, name).glass_sd for name in ("one", "two"))
    assert one is not None and two is not None
    assert two.acid_g_per_100ml == pytest.approx(one.acid_g_per_100ml, rel=1e-3)


def test_a_weighing_takes_the_scatter_away_and_leaves_what_came_with_the_calibration() -> None:
    counted = Unsure(0.008, (("dropper", 0.001),))
    assert counted.weighed(100.0, 0.004) == Unsure(0.004, (("dropper", 0.1),))
    assert counted.sd_g == pytest.approx(hypot(0.008, 0.001))


# 40 serves: the mean of two drops errs by 40 · 0.00093 g; the pocket scale adds 0.41 · 0.01 g.
def test_a_batch_line_keeps_the_error_of_the_calibration() -> None:
    card = batched(demo(), "tin-lantern", Target(serves=40), None, NOON)
    line = next(line for line in card.mixes[0].lines if line.item == "citric-25")
    assert line.g_sd == pytest.approx(hypot(40 * 2 * 0.04041 / (50 * 3**0.5), 0.0041), rel=2e-3)
    assert 0.0 < line.g_sd < 0.02 * line.g


@pytest.mark.parametrize("name", [*demo().library.drinks])
def test_a_weighed_batch_is_known_no_worse_than_one_drink(name: str) -> None:
    card = batched(demo(), name, Target(serves=15), None, NOON)
    one, many = card.one_drink_sd, card.glass_sd
    assert one is not None and many is not None
    for figure in Spread.__slots__:
        assert 0.0 <= getattr(many, figure) <= getattr(one, figure) + 1e-12


@pytest.mark.parametrize(("day", "old"), [((2026, 12, 5), False), ((2026, 12, 6), True)])
def test_a_calibration_is_called_old_after_31_days(day: tuple[int, int, int], old: bool) -> None:
    line = show(demo().on(date(*day)), "tin-lantern").lines[4]
    assert line.basis == "Red-cap dropper, 3 weighings, 4 Nov 2026" + (", old (over 31 days)" if old else "")


def test_no_day_calls_nothing_old() -> None:
    assert "old" not in show(demo().on(None), "tin-lantern").lines[4].basis


# Two on one day: the later one in the file is what the person wrote last.
def test_of_two_calibrations_of_one_day_the_later_written_counts(tmp_path: Path) -> None:
    twice = DROPPER.format(item="citric-25", reads='"2.5 g"')
    twice += '[[dispensers.dropper.calibrations]]\nitem = "citric-25"\ndate = 2026-11-04\ncount = 50\nreads = ["3 g"]\n'
    opened = open_small(tmp_path, {"measures.toml": twice, "drinks/sour.toml": drink("none", "citric-25: 1 drop")})
    assert show(opened.blends, "sour").lines[0].g == pytest.approx(0.06)
