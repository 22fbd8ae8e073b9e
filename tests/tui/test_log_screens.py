"""Stocks, today and log in the screens: who is asked once, a stock made and logged, a lot traced and discarded."""

from __future__ import annotations

import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy, in_the_evening

from station.bar.logged import USED_UP, Lot, Mark, Weighing
from station.desk.demo_log import imported
from station.desk.logging import new_uuid
from station.desk.logging_lots import gone, voided
from station.desk.opening import opened
from station.desk.receiving import Delivery, log_delivery
from station.lots.log import Log
from station.tui.app import StationApp
from station.tui.pick_list import PickList
from station.tui.tabs import Tabs


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return in_the_evening(demo_copy(tmp_path))


def words_of(app: StationApp) -> str:
    """What the screen shows, over the ends of rows."""
    return " ".join(" ".join(text_of(app)).split())


def log(library: Path) -> Log:
    return Log(library / ".station" / "log.db")


GO = {"stocks": "? stocks Enter", "prep": "? today Enter", "log": "? discard Enter"}


async def test_a_stock_is_found_made_and_logged(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, GO["stocks"])
        assert app.on.id == "stocks" and shows(app, "citric 25 % w/w")
        await press(pilot, "citric Enter")
        assert app.on.id == "make" and shows(app, "Citric solution")
        await press(pilot, "6 0 0 Space g Enter")
        assert shows(app, "makes 600 g")
        await press(pilot, "l")
        assert shows(app, "logged as lot")
        (lot,) = log(library).every(Lot)
        assert (lot.item, lot.by, lot.kind) == ("citric-25", "AB", "stock") and lot.g == pytest.approx(600.0)
        assert [row.known for row in log(library).every(Weighing)] == ["asked", "asked"]
        await press(pilot, "l")
        assert len(log(library).every(Lot)) == 1, "a second tap logs nothing"
        await press(pilot, "Esc")
        assert app.on.id == "stocks" and shows(app, "540 ml there") and shows(app, "par 400 ml")


async def test_a_stock_nobody_counted_is_not_called_empty(library: Path) -> None:
    """What is there stands in the unit of its par: 600 g at 1.11 g/ml are 540 ml."""
    stocks = "? stocks Enter"
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, stocks + " citric-25")
        assert shows(app, "not counted") and not shows(app, "0 g")
        await press(pilot, "Enter 6 0 0 Space g Enter l Esc")
        assert shows(app, "540 ml there") and not shows(app, "not counted")
        (lot,) = log(library).every(Lot)
        log(library).add(Mark(new_uuid(), lot.uuid, USED_UP, lot.made, "AB"))
        await press(pilot, "Esc " + stocks)
        assert shows(app, "none left") and not shows(app, "not counted")


async def test_a_concentrate_shows_no_card_before_its_caution_was_read(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, GO["stocks"] + " lactic Enter Enter")
        assert shows(app, "STOP") and shows(app, "Eye protection and gloves") and not shows(app, "Strength")
        await press(pilot, "l")
        assert not (library / ".station" / "log.db").exists()
        await press(pilot, "y")
        assert shows(app, "lactic 10 % w/w") and not shows(app, "I have read it")


async def test_who_it_is_is_asked_once_a_session_and_never_guessed(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("STATION_BY")
    monkeypatch.setattr("station.tui.pour_view.TAP_SECONDS", 0.0)
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        assert app.on.id == "who" and shows(app, "Who is it?")
        await press(pilot, "Enter")
        assert app.on.id == "who" and shows(app, "A name or initials first.")
        await press(pilot, "Esc")
        assert app.on.id == "batch"
        await press(pilot, "p C D Enter")
        assert app.on.id == "pour"
        await press(pilot, "Space Esc p Space")
        assert [row.by for row in log(library).every(Weighing)] == ["CD", "CD"]


async def test_today_says_what_to_make_and_leads_to_its_card(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, GO["prep"])
        assert app.on.id == "prep" and shows(app, "To make for") and shows(app, "1. ")
        await press(pilot, "gum Enter")
        assert app.on.id == "make" and shows(app, "Gum syrup") and shows(app, "makes ")
        await press(pilot, "Esc Back Back Back get Space lime Enter")
        assert app.on.id == "delivery" and shows(app, "Lime juice, fresh")
        await press(pilot, "ta=5.2 Space amount=1.5 Space l Space pieces=52")
        assert shows(app, "TA: 5.2 g/100ml") and shows(app, "pressed from: 52 pieces")
        await press(pilot, "Enter")
        assert shows(app, "logged as lot") and shows(app, "To each litre add") and shows(app, "one fruit gave 28.8 ml")
        (lot,) = log(library).every(Lot)
        assert (lot.item, lot.pieces, lot.by) == ("lime-juice", 52.0, "AB")
        await press(pilot, "Enter")
        assert len(log(library).every(Lot)) == 1, "a second tap logs nothing"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("lime-juce", "did you mean lime-juice?"),
        ("lime-juice ta=sour", "is no acidity"),
        ("lime-juice tea=5", "tea is not known here"),
        ("lime-juice ph=", "ph says nothing yet"),
        ("lime-juice ph=x", "no number here"),
    ],
)
async def test_a_delivery_that_cannot_be_read_is_said_and_not_logged(typed: str, said: str, library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? delivery Enter " + typed.replace(" ", " Space ") + " Enter")
        assert shows(app, said) and not (library / ".station" / "log.db").exists()


async def test_the_log_is_empty_then_has_an_invented_month_to_trace_and_discard(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, GO["log"])
        assert app.on.id == "log" and shows(app, "nothing of that is logged")
        assert not (library / ".station" / "log.db").exists()
        await press(pilot, "? invented Enter")
        assert shows(app, "invented lots are in the log")
        await press(pilot, "Tab half Enter")
        assert shows(app, "Salt Ferry  lot") and shows(app, "It was made of:")
        await press(pilot, "Esc")
        assert shows(app, "HALF MADE, begun") and shows(app, "to be 1523 g") and not shows(app, "left")
        await press(pilot, "^d")
        assert shows(app, "^d again throws all of it away: Salt Ferry, lot ") and shows(app, "HALF MADE")
        await press(pilot, "^d")
        assert shows(app, "discarded: Salt Ferry") and not shows(app, "HALF MADE")
        await press(pilot, "Tab")
        assert shows(app, "Past its use-by, or ends tonight")
        await press(pilot, "Tab")
        assert shows(app, "Marek") and shows(app, "mean")
        await press(pilot, "Tab")
        assert shows(app, "mean a piece")


@pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL, LEAST])
async def test_each_place_fits_and_its_keys_stand_at_the_bottom(size: tuple[int, int], library: Path) -> None:
    imported(opened(str(library)), datetime.now(UTC))
    for place in GO.values():
        async with screens(library, size) as (app, pilot):
            await press(pilot, place)
            rows = text_of(app)
            assert all(len(row) <= size[0] for row in rows) and len(rows) == size[1]
            assert "Esc back" in rows[-1] or "Esc" in rows[-1]
            assert sum(bool(row.strip()) for row in rows) >= min(size[1] - 4, 10)
            await press(pilot, "Down Enter")
            assert all(len(row) <= size[0] for row in text_of(app))


async def test_a_pour_names_who_has_it_open(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("station.tui.pour_view.TAP_SECONDS", 0.0)
    async with screens(library, PLAIN) as (one, pilot):
        await press(pilot, "tin Enter b Enter p Space")
        assert one.on.id == "pour"
        async with screens(library, PLAIN) as (other, other_pilot):
            await press(other_pilot, "tin Enter b")
            assert shows(other, "AB left a pour, lines confirmed: 1.")
            await press(other_pilot, "Enter p")
            assert shows(other, "AB has it open since")
            await press(other_pilot, "Space")
        await press(pilot, "Space")
        assert shows(one, "AB confirmed this line at") and shows(one, "line 3 of 6")
    assert len(log(library).every(Weighing)) == 2


async def test_a_pour_takes_from_the_lots_and_a_finished_one_is_a_whole_lot(
    library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("station.tui.pour_view.TAP_SECONDS", 0.0)
    juice, _ = log_delivery(opened(str(library)), Delivery("lime-juice", ta="5.2 g/100ml"), "CD", datetime.now(UTC))
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter PageDown PageDown PageDown")
        assert shows(app, f"lot {juice.short}")
        await press(pilot, "p Space Space Space Space Space Space Space")
        assert shows(app, "All lines are in.")
        assert [mark.kind for mark in log(library).every(Mark)] == ["held", "finished"]
        await press(pilot, "Back")
        assert shows(app, "Tip the cup in")
        await press(pilot, "Space")
        assert shows(app, "All lines are in.")
    parts = {row.item: row.part for row in log(library).every(Weighing)}
    assert len(parts) == 6 and parts["lime-juice"] == juice.uuid


async def test_a_log_that_cannot_be_read_is_said_and_the_screens_stand(library: Path) -> None:
    (library / ".station").mkdir()
    (library / ".station" / "log.db").write_bytes(b"no database" * 1000)
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b")
        assert shows(app, "the log was damaged and is set aside whole") and shows(app, "Tin Lantern")
    assert list((library / ".station").glob("log-damaged-*.db"))


def test_nothing_of_the_log_is_imported_before_the_first_frame() -> None:
    """By the command line's import, and by the modules of the first screens."""
    for module in ("station.cli", "station.tui.app"):
        code = f"import sys; import {module}; print([n for n in ('sqlite3', 'station.lots.log', 'uuid') if n in sys.modules])"
        found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
        assert "sqlite3" not in found.stdout and "station.lots" not in found.stdout, (module, found.stdout)


@pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL, LEAST])
async def test_everything_that_was_logged_is_one_list_words_find_in(size: tuple[int, int], library: Path) -> None:
    shelf = opened(str(library))
    now = datetime.now(UTC)
    kept, _ = log_delivery(shelf, Delivery("lime-juice", ta="5.2 g/100ml", amount="1 l"), "CD", now - timedelta(hours=2))
    wrong, _ = log_delivery(shelf, Delivery("lemon-juice"), "CD", now - timedelta(hours=1))
    gone(shelf, kept.short, "EF", now, "300 g", "cloudy")
    voided(shelf, wrong.short, "EF", now, "typed twice")
    async with screens(library, size) as (app, pilot):
        await press(pilot, "? log Enter")
        assert "Log" in text_of(app)[1]
        pane = app.on.active_pane
        assert isinstance(pane, PickList)
        named = [row.split(":")[0].strip("▸ ") for row in text_of(app)[3 : 3 + 2 * len(pane.in_sight()) : 2]]
        happened = ["taken back", "discarded", "came in (taken back later)", "measured", "came in"]
        assert len(named) >= 4 and named[: len(happened)] == happened[: len(named)]
        assert shows(app, "300 g")
        await press(pilot, "cloudy")
        assert shows(app, "discarded: Lime juice, fresh") and not shows(app, "came in")
        await press(pilot, "Enter")
        assert shows(app, f"Lime juice, fresh  lot {kept.short}")
        await press(pilot, "Esc")
        await pilot.click(app.on.query_one(Tabs), offset=(text_of(app)[1].index("in date"), 0))  # type: ignore[arg-type]
        await pilot.pause()
        assert "▸in date" in text_of(app)[1] and shows(app, "left") and not shows(app, "discarded:")


async def test_two_pours_of_one_drink_that_were_left_are_told_apart(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("station.tui.pour_view.TAP_SECONDS", 0.0)
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "tin Enter b Enter p Space Esc Tab Back 2 0 Enter p Space Esc Esc Esc")
        await press(pilot, "? log Enter Tab")
        rows = [row for row in text_of(app) if "HALF MADE, begun" in row]
        assert len(rows) == 2 and len(set(rows)) == 2 and not shows(app, "left")


async def test_a_lot_past_its_use_by_says_that_it_is(library: Path) -> None:
    log_delivery(
        opened(str(library)), Delivery("lime-juice", use_by="2020-01-01", made="2019-12-30 10:00"), "CD", datetime.now(UTC)
    )
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? log Enter Tab Tab")
        assert shows(app, "PAST ITS USE-BY") and not shows(app, "OVER")


async def test_the_delivery_screen_is_called_what_it_is(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? delivery Enter")
        assert app.on.id == "delivery" and text_of(app)[1].startswith("Delivery")


async def test_a_delivery_of_nothing_but_a_name_is_asked_about_once(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? delivery Enter lime Enter")
        assert (
            shows(app, "Limes: no amount, nothing measured. Enter again logs it so")
            and not (library / ".station" / "log.db").exists()
        )
        await press(pilot, "Enter")
        assert [lot.item for lot in log(library).every(Lot)] == ["lime"]


@pytest.mark.parametrize(("ta", "asked"), [("0.6", True), ("13", True), ("5.2", False), ("7.5", False)])
async def test_a_ta_far_from_the_file_is_asked_about_once(ta: str, asked: bool, library: Path) -> None:
    """0.6 for 6 was logged at once, and the card then had that juice made twice as sour."""
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"? delivery Enter lime-juice Space ta={ta} Space amount=1l Enter")
        assert shows(app, "its file says 6. Enter again logs it so") == asked
        assert (library / ".station" / "log.db").exists() != asked
        if asked:
            await press(pilot, "Enter")
        assert [lot.item for lot in log(library).every(Lot)] == ["lime-juice"]


async def test_adjusting_a_juice_says_that_it_goes_by_the_file_where_a_lot_is_other(library: Path) -> None:
    log_delivery(opened(str(library)), Delivery("lime-juice", ta="7 g/100ml", amount="1.5 l"), "AB", datetime.now(UTC))
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter Down j")
        assert shows(app, "By the files; a batch card takes Lime juice, fresh as measured (TA 7 g/100ml")


async def test_a_drink_says_which_lot_its_card_takes_otherwise(library: Path) -> None:
    """The card reckons with the juice as measured, the drink by its file: each is right, and the drink says so."""
    log_delivery(opened(str(library)), Delivery("lime-juice", ta="5.2 g/100ml", amount="1.5 l"), "AB", datetime.now(UTC))
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter")
        assert "By the files; a batch card takes Lime juice, fresh as measured (TA 5.2 g/100ml" in words_of(app)
        await press(pilot, "3 0 v")
        assert "By the files; a batch card takes Lime juice, fresh as measured" in words_of(app)
        await press(pilot, "Esc Esc Esc")
        await press(pilot, "ember Enter")
        assert shows(app, "Ember Surveyor") and "By the files" not in words_of(app)


async def test_no_key_of_an_amount_reads_the_log(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log_delivery(opened(str(library)), Delivery("lime-juice", ta="5.2 g/100ml", amount="1.5 l"), "AB", datetime.now(UTC))
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter")
        asked: list[str] = []
        monkeypatch.setattr("station.desk.lot_rows.shelf_of", lambda *given: asked.append("read"))
        await press(pilot, "3 0 Down Down 2 0 Enter")
        assert asked == [] and "By the files" in words_of(app)
