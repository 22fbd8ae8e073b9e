"""What stands on the screen after a way through it is what painting every pane anew would put there."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import LEAST, PLAIN, WIDE, press, screens, text_of
from small_library import demo_copy

from station.tui.pane import Pane

WAYS = (
    "tin Enter Down 2 4 Enter u",
    "tin Enter t 1 . 1 Enter Enter",
    "tin Enter a a a",
    "tin Enter m Right Esc",
    "tin Enter v Right Esc",
    "tin Enter c Esc Down 3 0 Enter c",
    "tin Enter b Enter PageDown Tab Right Left",
    "tin Enter v PageDown Right Left",
    "tin Enter a PageDown Down a a Down",
    "tin Enter b Enter p Space Esc Esc Esc",
    "noon Enter j Esc Down j Esc Down j",
    "tin Enter n gin Esc",
    "? log Enter Tab Tab Tab Tab Tab Tab",
    "? stocks Enter Enter Esc",
    "? orders Enter Enter Right Right Left Esc Enter",
    "? colours Enter Down Down Enter ? colours Enter",
    "tin Enter Esc noon Enter Esc salt Enter",
)


@pytest.mark.parametrize("size", [WIDE, PLAIN, LEAST], ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("way", WAYS)
async def test_nothing_of_another_size_or_moment_is_left(tmp_path: Path, size: tuple[int, int], way: str) -> None:
    async with screens(demo_copy(tmp_path), size) as (app, pilot):
        await press(pilot, way)
        stood = text_of(app)
        for pane in app.query(Pane):
            if pane.size.height:
                pane.paint()
                pane.refresh()
        await pilot.pause()
        assert text_of(app) == stood


async def test_a_turned_tablet_shows_what_its_new_size_shows(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path), WIDE) as (app, pilot):
        for width, height in ((60, 44), (120, 40), (40, 16), (80, 24), (80, 40)):
            await press(pilot, "Esc Esc tin Enter")
            await pilot.resize_terminal(width, height)
            await pilot.pause()
            stood = text_of(app)
            app.refresh(repaint=True, layout=True)
            for pane in app.query(Pane):
                pane.refresh()
            await pilot.pause()
            assert text_of(app) == stood and len(stood) == height
