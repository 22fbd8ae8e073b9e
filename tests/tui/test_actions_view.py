"""All keys and actions of a place, found by typing."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy

from station.desk.demo_log import imported
from station.desk.opening import opened
from station.tui.app import StationApp
from station.tui.elsewhere import ELSEWHERE, Elsewhere
from station.tui.key_bar import key_name
from station.tui.places import PLACES

SIZES = pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL, LEAST], ids=["120x40", "80x24", "60x20", "40x16"])


@SIZES
async def test_a_question_mark_shows_the_keys_here_and_the_places_there_are(tmp_path: Path, size: tuple[int, int]) -> None:
    async with screens(demo_copy(tmp_path), size) as (app, pilot):
        await press(pilot, "tin Enter ?")
        assert app.on.id == "actions"
        rows = text_of(app)
        assert len(rows) == size[1] and all(len(row) <= size[0] for row in rows)
        assert shows(app, "b        batch") and "? keys" in rows[-1]
        await press(pilot, "go")
        assert all(shows(app, place.label[: size[0] - 20]) for place in PLACES)
        await press(pilot, "Esc")
        assert app.on is app.main


async def test_words_find_an_action_and_enter_does_it_where_one_was(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path)) as (app, pilot):
        await press(pilot, "tin Enter Down ? more Enter")
        document = app.main.lines.document
        assert app.on is app.main and document is not None
        assert document.unsaved and document.at == 1


async def test_a_tap_does_what_its_row_says(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path), PLAIN) as (app, pilot):
        await press(pilot, "tin Enter ?")
        row = next(place for place, text in enumerate(text_of(app)) if " batch" in text)
        await pilot.click(offset=(12, row))
        await pilot.pause()
        assert app.on.id == "batch"


async def test_words_that_name_nothing_do_nothing(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path)) as (app, pilot):
        await press(pilot, "? zzzz Enter Down")
        assert shows(app, "nothing here is called that") and app.on.id == "actions"
        await press(pilot, "? Esc")
        assert app.on is app.main


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.id)
async def test_every_place_can_be_gone_to_and_left(tmp_path: Path, place: object) -> None:
    async with screens(demo_copy(tmp_path), LEAST) as (app, pilot):
        await press(pilot, "? go")
        for _ in range(PLACES.index(place)):  # type: ignore[arg-type]  # parametrize types it object
            await press(pilot, "Down")
        await press(pilot, "Enter")
        assert isinstance(app.on, place.kind())  # type: ignore[attr-defined]
        rows = text_of(app)
        assert len(rows) == LEAST[1] and all(len(row) <= LEAST[0] for row in rows)


async def test_what_is_done_elsewhere_is_found_from_the_list_and_the_way_is_said(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path), LEAST) as (app, pilot):
        await press(pilot, "? pour")
        assert shows(app, "pour a batch") and shows(app, "open a drink, then b, Enter, p")
        await press(pilot, "Enter")
        assert app.on is app.main and shows(app, "open a drink, then b, Enter, p")


@pytest.mark.parametrize("one", ELSEWHERE, ids=lambda one: one.action)
async def test_every_way_leads_where_it_says(tmp_path: Path, one: Elsewhere) -> None:
    library = demo_copy(tmp_path)
    imported(opened(str(library)), datetime.now(UTC))
    place = next(place for place in PLACES if place.id == one.start)
    async with screens(library) as (app, pilot):
        if one.start == "drinks":
            await press(pilot, "tin Enter")
        else:
            app.put_on(app.view(place.kind()))
            await pilot.pause()
        assert set(one.keys[:-1]) <= {"Enter"} or one.keys[:-1] in {("b", "Enter"), ("b", "Enter", "p"), ("Tab",)}
        for key in one.keys[:-1]:
            await press(pilot, key)
        there = {action.id: action for action, _ in app._offers()}
        assert one.action in there and there[one.action].writes <= one.writes
        assert one.keys[-1] in {key_name(there[one.action]), "→"}


async def test_log_finds_the_log_before_what_else_has_to_do_with_it(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path)) as (app, pilot):
        await press(pilot, "? log")
        assert text_of(app)[3] == "▸          go to log: everything, in date, discard, trace"
        await press(pilot, "Enter")
        assert app.on.id == "log" and text_of(app)[1].startswith("Log ▸everything")


async def test_a_look_up_offers_no_way_to_write(tmp_path: Path) -> None:
    app = StationApp(opened(str(demo_copy(tmp_path)), look=True))
    async with app.run_test(size=PLAIN) as pilot:
        await pilot.pause()
        await press(pilot, "? save")
        assert shows(app, "nothing here is called that")
        await press(pilot, "Esc ? pour")
        assert shows(app, "pour a batch")
