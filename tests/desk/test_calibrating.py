"""A dispenser calibrated: figures, what looks wrong, what it changes, and the file."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from small_library import MEASURES, NOON, drink, open_small, stock

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.calibrating import FIRST_DASH, Calibrated
from station.desk.batching import batched, target_of
from station.desk.calibrating import Given, calibrated, considered
from station.desk.look import show
from station.desk.opening import Opened

DASHER = '\n# dashes, the first left out\n[dispensers.dasher]\nname = "Dasher"  # small\nunit = "dash"\n'
BITTERS = drink("stir", "spirit: 60 ml", "syrup: 2 dashes")


def library(folder: Path, **files: str) -> Opened:
    more = {"measures.toml": MEASURES + DASHER, "drinks/bitter.toml": BITTERS}
    return open_small(folder, {**more, **files})


def given(*reads: str, **more: Any) -> Given:
    return Given(**{"dispenser": "dropper", "item": "citric-25", "count": 50, "reads": reads, **more})


def ask(opened: Opened, *reads: str, **more: Any) -> Calibrated:
    return considered(opened, given(*reads, **more), NOON)


def refused(opened: Opened, *reads: str, **more: Any) -> str:
    with pytest.raises((CannotAnswer, AmountError)) as no:
        ask(opened, *reads, **more)
    return str(no.value)


# By hand: mean 2.9167 g of 50, s = 0.04041 g.
def test_readings_become_a_drop_its_scatter_and_the_error_of_the_mean(tmp_path: Path) -> None:
    one = ask(library(tmp_path), "2.91 g", "2,88 g", "2.96")
    assert one.reads_g == (2.91, 2.88, 2.96)
    assert (one.mean_g, one.spread_g) == (pytest.approx(2.91667 / 50, rel=1e-5), pytest.approx(0.04041, abs=1e-5))
    assert one.scatter_g == pytest.approx(0.04041 / 50**0.5, abs=1e-6)
    assert one.mean_sd_g == pytest.approx(0.04041 / (50 * 3**0.5), abs=1e-7)
    assert (one.was_g, one.was_basis) == (pytest.approx(7.85 / 150), "Dropper, 3 weighings, 4 Nov 2026")
    assert (one.date, one.written) == (date(2026, 11, 25), False)


def test_it_shows_what_it_changes_before_anything_is_written(tmp_path: Path) -> None:
    opened = library(tmp_path)
    before = (tmp_path / "measures.toml").read_bytes()
    one = ask(opened, "5.22 g", "5.24 g")
    assert [(change.id, change.item) for change in one.changes] == [("sour", "citric-25")]
    change = one.changes[0]
    assert change.was_g is not None and change.was is not None
    assert (change.was_g, change.now_g) == (pytest.approx(2 * 7.85 / 150), pytest.approx(2 * 5.23 / 50))
    assert change.now.acid_g_per_100ml > change.was.acid_g_per_100ml
    assert (tmp_path / "measures.toml").read_bytes() == before
    shown = show(opened.blends, "sour").glass
    assert (change.was.acid_g_per_100ml, change.was.abv_pct) == (shown.acid_g_per_100ml, shown.abv_pct)


def test_written_it_is_what_the_batch_is_weighed_by_and_every_other_byte_stays(tmp_path: Path) -> None:
    opened = library(tmp_path)
    before = (tmp_path / "measures.toml").read_text()
    promised = ask(opened, "5.22 g", "5.24 g").changes[0].now_g
    one = calibrated(opened, given("5.22 g", "5.24 g", by="Odalind"), NOON)
    after = (tmp_path / "measures.toml").read_text()
    block = '[[dispensers.dropper.calibrations]]\nitem = "citric-25"\ndate = 2026-11-25\nby = "Odalind"\ncount = 50\n'
    block += 'reads = ["5.22 g", "5.24 g"]\n'
    assert one.written and after.count(block) == 1
    assert after.replace(block, "").split() == before.split()
    card = batched(opened.blends, "sour", target_of(opened.library, opened.blends, serves=10), None, NOON)
    line = next(line for line in card.mixes[0].lines if line.item == "citric-25")
    assert line.g == pytest.approx(10 * promised)
    assert line.basis == "Dropper, 2 weighings, 25 Nov 2026"


def test_it_can_be_written_twice_on_one_day_and_the_later_counts(tmp_path: Path) -> None:
    opened = library(tmp_path)
    calibrated(opened, given("2.50 g", "2.52 g"), NOON)
    again = calibrated(opened, given("3.00 g", "3.02 g"), NOON)
    assert again.remarks == ("there is one of this day already: both are kept, the later counts",)
    assert len(opened.library.dispensers["dropper"].calibrations) == 3
    assert show(opened.blends, "sour").lines[3].g == pytest.approx(2 * 3.01 / 50)


def test_an_older_one_is_kept_and_does_not_count(tmp_path: Path) -> None:
    one = ask(library(tmp_path), "5 g", "5.1 g", day=date(2026, 10, 1))
    assert one.remarks == ("there is a newer one: this is kept, the newer counts",)
    assert one.changes == ()


def test_the_first_dispenser_of_a_house_makes_the_file(tmp_path: Path) -> None:
    plain = {"drinks/sour.toml": drink("none", "citric-25: 4 drops"), "drinks/bitter.toml": BITTERS}
    opened = open_small(tmp_path, plain, without=("measures.toml",))
    more = {"dispenser": "dropper-blue", "name": "Blue dropper", "unit": "drop"}
    assert ask(opened, "2.5 g", **more).was_basis.startswith("built-in dropper figure")
    calibrated(opened, given("2.5 g", "2.6 g", **more), NOON)
    assert opened.library.dispensers["dropper-blue"].name == "Blue dropper"
    assert show(opened.blends, "sour").lines[0].basis == "Blue dropper, 2 weighings, 25 Nov 2026"


# A display that runs on is taken apart; one that falls cannot be such a display.
def test_a_display_that_runs_on_is_taken_apart(tmp_path: Path) -> None:
    one = ask(library(tmp_path), "2.61 g", "5.19 g", "7.85 g", running=True)
    assert one.reads_g == pytest.approx((2.61, 2.58, 2.66))


@pytest.mark.parametrize("last", ["5.10 g", "5.19 g"])
def test_a_running_display_that_does_not_rise_is_refused(last: str, tmp_path: Path) -> None:
    said = refused(library(tmp_path), "2.61 g", "5.19 g", last, running=True)
    assert said.startswith("reading 3, 5.1") and "is not over the one before, 5.19 g" in said


def test_readings_that_look_like_a_running_display_are_asked_about(tmp_path: Path) -> None:
    opened = library(tmp_path)
    assert "never zeroed" in refused(opened, "2.61 g", "5.19 g", "7.85 g")
    assert len(ask(opened, "2.61 g", "5.19 g", "7.85 g", anyway=True).reads_g) == 3


# The first dash is often half of the next: it can be left out, and where it is not that is said.
def test_a_short_first_dash_is_said_and_can_be_left_out(tmp_path: Path) -> None:
    opened, more = library(tmp_path), {"dispenser": "dasher", "item": "syrup", "count": 1}
    with_it = ask(opened, "0.40", "0.80", "0.81", "0.79", **more)
    assert FIRST_DASH in with_it.remarks
    assert [one.replace("\u00a0", " ") for one in with_it.remarks[1:]] == ["the first reading is 50 % of the others’ mean"]
    without = ask(opened, "0.40", "0.80", "0.81", "0.79", without_first=True, **more)
    assert (without.reads_g, without.remarks) == ((0.80, 0.81, 0.79), (FIRST_DASH,))
    running = ask(opened, "0.40", "1.20", "2.01", "2.80", running=True, without_first=True, **more)
    assert running.reads_g == pytest.approx((0.80, 0.81, 0.79))


# Grubbs' test: of six readings the furthest is outlying beyond 1.887 standard deviations.
def test_an_outlier_is_shown_and_kept(tmp_path: Path) -> None:
    one = ask(library(tmp_path), "2.61", "2.60", "2.62", "2.61", "3.20", "2.60")
    assert (one.outlier, len(one.reads_g)) == (5, 6)
    assert one.mean_g == pytest.approx((2.61 + 2.60 + 2.62 + 2.61 + 3.20 + 2.60) / 300)
    assert ask(library(tmp_path), "2.61", "2.60", "2.62", "2.61", "2.60").outlier is None


def test_a_kilogram_typed_for_a_gram_is_caught_and_can_be_overridden(tmp_path: Path) -> None:
    opened = library(tmp_path)
    said = refused(opened, "2.61 kg", "2.58 kg")
    assert said.startswith("reading 1, 2610 g for 50, is 52.2 g a drop; 0.005 to 0.2 g is believable")
    assert ask(opened, "2.61 kg", "2.58 kg", anyway=True).mean_g == pytest.approx(51.9)


@pytest.mark.parametrize(
    ("reads", "more", "said"),
    [
        (("2.6 g",), {"count": 0}, "0 counts weigh nothing (say how many went into one weighing)"),
        (("2.6 g",), {"count": 5000}, "5000 counts in one weighing are more than 1000 (weigh fewer at once)"),
        (("0 g",), {}, "the amount is zero (write how much goes in, e.g. 22.5 ml)"),
        (("-2.6 g",), {}, "an amount cannot be below zero (write a positive number, e.g. 22.5 ml)"),
        (("2.6 ml",), {}, "“2.6 ml” is no weight (type what the scale reads, e.g. 2.61 g)"),
        ((), {}, "there is no reading (type what the scale reads, e.g. 2.61 g)"),
        (("2.6 g",), {"without_first": True}, "there is no reading (type what the scale reads, e.g. 2.61 g)"),
        (("2.6 g",), {"day": date(2026, 11, 26)}, "26 Nov 2026 is yet to come (give the day it was weighed)"),
        (("2.6 g",), {"item": "citric-2"}, "there is no item or stock citric-2 (did you mean citric-25?)"),
        (
            ("2.6 g",),
            {"item": "gone"},
            "there is no item or stock gone (put it on the shelf first; station check says what has a fault)",
        ),
        (("2.6 g",), {"item": "sugar"}, "Sugar is no liquid: a drop of it is nothing (calibrate with a liquid)"),
        (("2.6 g",), {"dispenser": "droper"}, "there is no dispenser droper (did you mean dropper?)"),
        (
            ("2.6 g",),
            {"dispenser": "x"},
            "there is no dispenser x (a new one needs a name and a unit: drop, dash, barspoon, spray)",
        ),
        (("2.6 g",), {"unit": "dash"}, "Dropper gives a drop, not a dash (choose another id for a new dispenser)"),
        (
            ("2.6 g",),
            {"dispenser": "X y", "name": "X", "unit": "drop"},
            "“X y” is no id (lower-case letters and digits, words joined by -)",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(reads: tuple[str, ...], more: dict[str, Any], said: str, tmp_path: Path) -> None:
    assert refused(library(tmp_path), *reads, **more) == said


# The day is the bar's: at half past midnight in Lisbon on the 26th it is still the 25th in New York.
def test_the_day_is_the_bars_own(tmp_path: Path) -> None:
    west = 'format = 1\n[reads]\ntimezone = "America/New_York"\n'
    late = NOON.replace(day=26, hour=1)
    assert considered(library(tmp_path, **{"station.toml": west}), given("2.6 g"), late).date == date(2026, 11, 25)


# A stock counted by the dropper changes, and so does what is made of it.
def test_a_stock_made_by_drops_carries_the_change_on(tmp_path: Path) -> None:
    blend = stock("water: 100 g", "citric-25: 20 drops")
    files = {"stocks/blend.toml": blend, "drinks/d.toml": drink("none", "blend: 30 ml", "spirit: 10 ml")}
    one = ask(library(tmp_path, **files), "5.22 g", "5.24 g")
    assert ("d", "blend") in {(change.id, change.item) for change in one.changes}


def test_a_drink_that_could_not_be_weighed_now_can(tmp_path: Path) -> None:
    opened = library(tmp_path, **{"drinks/b.toml": drink("none", "syrup: 1 barspoon")})
    more = {"dispenser": "spoon", "item": "syrup", "count": 10, "name": "Spoon", "unit": "barspoon"}
    one = ask(opened, "31 g", "32 g", **more)
    change = next(change for change in one.changes if change.id == "b")
    assert (change.was_g, change.was, change.now_g) == (None, None, pytest.approx(3.15))
    assert (one.was_g, one.was_basis) == (None, "")


def test_the_demo_is_never_written(tmp_path: Path) -> None:
    opened = library(tmp_path)
    opened.demo = True
    with pytest.raises(CannotAnswer, match="read only"):
        calibrated(opened, given("2.6 g"), NOON)
