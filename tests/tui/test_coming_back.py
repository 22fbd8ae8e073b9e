"""Coming back to a view, from its keys or from further on, is not arriving there anew."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import PLAIN, WIDE, press, screens, shows, text_of
from small_library import demo_copy
from textual.pilot import Pilot

from station.bar.logged import Lot
from station.lots.log import Log
from station.tui.app import StationApp
from station.tui.lookup_view import LookupView
from station.tui.map_view import MapView
from station.tui.order_view import OrderView


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


async def test_what_the_keys_of_a_look_up_open_is_the_drink_one_had_turned_to(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? glance Enter Right Right")
        turned_to = app.view(LookupView).name_on
        await press(pilot, "? open Enter")
        document = app.main.lines.document
        assert app.on is app.main and document is not None and document.saved.id == turned_to


async def test_what_the_keys_of_the_map_open_is_the_drink_under_the_pointer(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "tin Enter m Right Right")
        pointed_at = app.view(MapView).pane.cursor
        assert pointed_at != "tin-lantern"
        await press(pilot, "? Esc")
        assert app.on.id == "map" and app.view(MapView).pane.cursor == pointed_at


async def test_a_theme_only_tried_on_is_taken_off_though_one_looked_at_the_keys(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        worn = app.theme
        await press(pilot, "? colours Enter Down ? Esc Esc")
        assert app.on is app.main and app.theme == worn


async def test_a_stock_logged_is_logged_also_after_a_look_at_the_keys_and_at_another_width(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? stocks Enter citric Enter Enter l")
        assert shows(app, "logged as lot")
        await press(pilot, "? Esc")
        await pilot.resize_terminal(70, 24)
        await press(pilot, "l")
        assert len(Log(library / ".station" / "log.db").every(Lot)) == 1


def first_row(app: StationApp) -> str:
    return "".join(text for text, _ in app.view(OrderView).card.rows[0])


async def test_a_section_of_an_order_says_at_once_which_it_is(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? orders Enter Enter Right")
        assert "of 9" in first_row(app)
        await press(pilot, "Right")
        assert "of 9" in first_row(app)


async def more_rows_said(app: StationApp, pilot: Pilot[None]) -> tuple[str, int]:
    card = app.on.query_one(".card")
    await pilot.pause()
    said = next((line.strip() for line in text_of(app) if "more rows" in line), "")
    return said, len(card.rows) - card.first - card.size.height + 1  # type: ignore[attr-defined]


@pytest.mark.parametrize("size", [WIDE, PLAIN, (120, 30)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_a_card_says_how_many_rows_more_there_are_before_it_was_ever_moved(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b")
        said, more = await more_rows_said(app, pilot)
        assert said == f"↓ {more} more rows"
