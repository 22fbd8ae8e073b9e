"""Themes are chosen by looking at them."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows
from small_library import demo_copy

from station.tui.app import StationApp


def ground(app: StationApp) -> str:
    """The colour under the first cell of the screen, and under a cell no pane paints."""
    strip = app.screen._compositor.render_strips()[0]
    style = next(iter(strip)).style
    assert style is not None and style.bgcolor is not None
    return style.bgcolor.name


@pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL, LEAST])
async def test_arrows_try_a_theme_on_escape_goes_back_and_enter_stays(tmp_path: Path, size: tuple[int, int]) -> None:
    async with screens(demo_copy(tmp_path), size) as (app, pilot):
        assert ground(app) == "#14120f"
        await press(pilot, "? colours Enter")
        assert shows(app, "▸ dark-bar")
        await press(pilot, "Down")
        assert ground(app) == "#f7f4ec" and shows(app, "dark ink on paper")
        await press(pilot, "Esc")
        assert ground(app) == "#14120f" and app.on.id == "main"
        await press(pilot, "? colours Enter Down Down Enter")
        assert ground(app) == "#000000" and app.on.id == "main"
        assert shows(app, 'theme = "high-contrast" in')
        await press(pilot, "? colours Enter")
        assert shows(app, "▸ high-contrast")


async def test_a_tap_tries_one_on_and_a_faulty_one_says_what_is_wrong(tmp_path: Path) -> None:
    library = demo_copy(tmp_path)
    (library / "themes").mkdir()
    (library / "themes" / "cellar.toml").write_text('about = "[red]x[/]"\n', encoding="utf-8")
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? colours Enter")
        await pilot.click("#themes", offset=(5, 3))
        await pilot.pause()
        assert ground(app) == "#f7f4ec"
        await pilot.click("#themes", offset=(5, 7))
        await pilot.pause()
        assert shows(app, "cellar × faulty") and shows(app, "accent is missing")
        assert ground(app) == "#14120f"


async def test_every_cell_wears_the_new_theme(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path), WIDE) as (app, pilot):
        await press(pilot, "tin Enter ? colours Enter Down Enter")
        grounds = {
            segment.style.bgcolor.name
            for strip in app.screen._compositor.render_strips()
            for segment in strip
            if segment.style and segment.style.bgcolor
        }
        assert grounds - {"#e3ddcf"} == {"#f7f4ec", "#1f4e79"}
