"""A calibration key by key: choose, type what the scale reads, see what it changes, save; at every size."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy
from textual.pilot import Pilot

from station.tui.app import StationApp
from station.tui.batch_view import BatchView
from station.tui.calibrate_view import CalibrateView

SIZES = pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL, LEAST], ids=["120x40", "80x24", "60x20", "40x16"])
CITRIC = "? calib Enter Enter cit Enter Enter"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


def view(app: StationApp) -> CalibrateView:
    assert isinstance(app.on, CalibrateView)
    return app.on


def whole(app: StationApp) -> str:
    return " ".join(" ".join(text_of(app)).split())


def card(app: StationApp) -> str:
    return " ".join("".join(text for text, _ in row).replace("\u00a0", " ").strip() for row in view(app).card.rows)


def batch_card(app: StationApp) -> str:
    assert isinstance(app.on, BatchView)
    return " ".join("".join(text for text, _ in row).replace("\u00a0", " ").strip() for row in app.on.card.rows)


async def weigh(pilot: Pilot[None], *reads: str) -> None:
    for one in reads:
        await press(pilot, f"{one} Enter")


@SIZES
async def test_a_whole_calibration_and_the_batch_card_changes(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b")
        assert "reads 1.57 g" in batch_card(app)
        await press(pilot, f"Esc {CITRIC}")
        await weigh(pilot, "2.91", "2.88", "2.96")
        assert len(text_of(app)) == size[1] and all(len(row) <= size[0] for row in text_of(app))
        assert "One drop: 0.0583 g" in card(app) and "Tin Lantern" in card(app) and "0.105 g → 0.117 g" in card(app)
        await press(pilot, "Enter s")
        assert shows(app, "saved: a drop is 0.0583 g")
        await press(pilot, "Esc b")
        assert "reads 1.75 g" in batch_card(app) and "reads 1.57 g" not in batch_card(app)
    assert 'reads = ["2.91 g", "2.88 g", "2.96 g"]' in (library / "measures.toml").read_text()


async def test_the_line_one_stands_on_is_what_is_calibrated(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter Down Down Down k")
        assert (view(app).sheet.dispenser, view(app).sheet.item) == ("barspoon", "maraschino-liqueur")
        assert shows(app, "Twisted barspoon") and shows(app, "Maraschino liqueur")
        await weigh(pilot, "27.1", "27.4")
        assert "One barspoon: 2.73 g" in card(app)


async def test_after_saving_the_lines_one_goes_back_to_weigh_by_it(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter Down Down Down Down k")
        await weigh(pilot, "5.22", "5.24")
        await press(pilot, "Enter s Esc")
        assert app.on is app.main and shows(app, "0.209 g")


async def test_arrows_choose_and_letters_find(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? calib Enter dash Right Left")
        assert view(app).sheet.dispenser == "dasher-small" and shows(app, "How many     20")
        await press(pilot, "bars")
        assert view(app).sheet.dispenser == "barspoon" and shows(app, "→ Twisted barspoon")
        await press(pilot, "Enter zzz")
        assert shows(app, "nothing is called that")


async def test_what_is_no_weight_stays_typed_and_is_said(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{CITRIC} 2x Enter")
        assert shows(app, "is no unit here") and view(app).sheet.reads == [] and view(app).sheet.typing == "2x"
        await press(pilot, "Back Back 0 Enter")
        assert shows(app, "the amount is zero") and view(app).sheet.reads == []


async def test_a_kilogram_is_asked_about_and_taken_anyway(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{CITRIC} 2 Space kg Enter")
        assert "CHECK reading 1, 2000 g for 50, is 40 g a drop" in card(app) and "k, takes it anyway" in card(app)
        await press(pilot, "Tab s")
        assert shows(app, "40 g a drop") and "2000" not in (library / "measures.toml").read_text()
        await press(pilot, "k")
        assert "One drop: 40 g" in card(app)


async def test_a_reading_that_goes_down_is_refused_where_the_display_runs_on(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, CITRIC)
        await weigh(pilot, "2.61", "5.19")
        await press(pilot, "Tab z")
        assert "3 × 50" not in card(app) and "2.61 g, 2.58 g" in card(app)
        await press(pilot, "Tab 5.1 Enter")
        assert shows(app, "is not over the one before, 5.19 g")
        assert view(app).sheet.reads == ["2.61", "5.19"]


async def test_the_first_dash_can_be_left_out(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? calib Enter dash Enter arom Enter 1 Enter")
        await weigh(pilot, "0.4", "0.8", "0.81")
        assert "about half of the next" in card(app)
        await press(pilot, "Tab f")
        assert "2 × 1 dash, from zero: 0.8 g, 0.81 g" in card(app)


async def test_rubbing_where_nothing_is_typed_takes_the_last_reading_back(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, CITRIC)
        await weigh(pilot, "2.61", "2.85")
        await press(pilot, "Back Back 8 Enter")
        assert view(app).sheet.reads == ["2.61", "2.88"]


async def test_readings_outlive_the_screen_and_the_program(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, CITRIC)
        await weigh(pilot, "2.61", "2.58")
        await press(pilot, "2.6 Esc")
        assert app.on is app.main
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? calib Enter")
        assert view(app).sheet.reads == ["2.61", "2.58"] and view(app).sheet.typing == "2.6"
        assert shows(app, "Readings that were kept: 2") and shows(app, "Citric solution")
        await press(pilot, "6 Enter Enter s")
        assert shows(app, "saved: a drop is")
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? calib Enter")
        assert view(app).sheet.reads == []


async def test_a_house_without_a_dispenser_is_told_how_to_add_one(library: Path) -> None:
    (library / "measures.toml").unlink()
    for path in (library / "drinks").glob("*.toml"):
        path.write_text("\n".join(line for line in path.read_text().splitlines() if not line.startswith("with =")))
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? calib Enter Enter Enter Enter 2.6 Enter")
        assert "there is no dispenser" in whole(app).lower()


async def test_a_tap_on_a_field_goes_there(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? calib Enter")
        await pilot.click(offset=(15, 4))
        await pilot.pause()
        await press(pilot, "2.6 Enter")
        assert view(app).sheet.reads == ["2.6"]


async def test_beside_a_line_without_an_amount_no_other_line_is_taken_for_the_chosen_one(library: Path) -> None:
    async with screens(library, (120, 40)) as (app, pilot):
        await press(pilot, "tin Enter")
        document = app.main.lines.document
        assert document is not None
        document.add(0, "gin")
        app.main.lines.at = len(document.lines) - 1
        app.main.lines.ask_calibrate()
        await pilot.pause()
        assert app.on.id == "main" and app.boundary.failures == 0
        assert shows(app, "amount")


@SIZES
async def test_before_any_reading_what_a_drop_weighs_today_stands_there(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "? calib Enter Enter malic Enter Enter")
        said = card(app)
        assert (
            "one drop of Malic solution, 20 % w/w is 0.0524 g ±" in said
            and "never weighed with this; with Citric solution" in said
        )
        assert shows(app, "Until now one drop")


async def test_lines_of_another_liquid_say_why_they_move(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "? calib Enter Enter malic Enter Enter")
        await weigh(pilot, "2.9", "2.88")
        said = " ".join(card(app).split())
        assert "Tartaric solution, 20 % w/w (no drop of it was weighed, so it goes by this dispenser's newest weighing" in said
        await press(pilot, "Tab")
        assert "z not zeroed between" in text_of(app)[-1] and "f leave the first out" in text_of(app)[-1]
        await press(pilot, "z f")
        assert "z zeroed each time" in text_of(app)[-1] and "f count the first too" in text_of(app)[-1]
