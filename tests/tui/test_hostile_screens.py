"""Text meant to do harm, on every screen that can be reached: what is painted is readable text, and no key of it is a command."""

from __future__ import annotations

import random
import time
from collections.abc import Sequence
from pathlib import Path

import pytest
from hostile import TEXTS, harmless, litter, poison
from library_state import bytes_in
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens
from small_library import demo_copy
from textual.pilot import Pilot

from station.tui.app import StationApp
from station.tui.places import PLACES

NEVER = {"app.leave"}


def painted(app: StationApp) -> str:
    """All text on the screen, a line a row."""
    return "\n".join("".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips())


def sound(app: StationApp, after: str) -> None:
    text = painted(app)
    assert app.is_running and harmless(text), (after, [line for line in text.splitlines() if not harmless(line)])
    assert app.boundary.failures == 0, after
    assert all(len(line) <= app.size.width * 4 for line in text.splitlines()), after


async def base(app: StationApp, pilot: Pilot[None], row: int) -> None:
    """The spec of that row open, whatever was on."""
    app.start_over()
    app.main.specs.find()
    app.main.specs.move(-1000)
    app.main.specs.move(row)
    app.main.specs.take()
    await pilot.pause()


async def walk(app: StationApp, pilot: Pilot[None], row: int, share: float) -> int:
    """Run that share of the actions of the open spec and of where each leads; how many screens were seen."""
    rng = random.Random(row)
    await base(app, pilot, row)
    sound(app, "opened")
    seen = 0
    for place in range(len(app._offers())):
        await base(app, pilot, row)
        first = await run(app, pilot, place)
        for further in range(len(app._offers()) if first else 0):
            if rng.random() < share:
                await base(app, pilot, row)
                await run(app, pilot, place)
                seen += bool(await run(app, pilot, further))
    return seen


async def run(app: StationApp, pilot: Pilot[None], place: int) -> bool:
    offers = app._offers()
    if place >= len(offers) or offers[place][0].id in NEVER or not offers[place][0].run:
        return False
    action, act = offers[place]
    app.guarded(lambda: act(action))
    await pilot.pause()
    sound(app, action.id)
    return True


async def test_actions_of_screens_paint_readable_text(tmp_path: Path) -> None:
    async with screens(poison(demo_copy(tmp_path)), PLAIN) as (app, pilot):
        assert await walk(app, pilot, 16, 0.15) > 10


@pytest.mark.long
@pytest.mark.parametrize("size", [WIDE, LEAST])
async def test_every_action_of_every_screen_paints_readable_text(tmp_path: Path, size: tuple[int, int]) -> None:
    async with screens(poison(demo_copy(tmp_path)), size) as (app, pilot):
        for row in range(18):
            assert await walk(app, pilot, row, 1.0) > 20


@pytest.mark.parametrize("size", [WIDE, SMALL])
async def test_every_place_paints_readable_text(tmp_path: Path, size: tuple[int, int]) -> None:
    async with screens(poison(demo_copy(tmp_path)), size) as (app, pilot):
        for place in PLACES:
            app.guarded(lambda place=place: app.put_on(app.view(place.kind())))  # type: ignore[misc]
            await pilot.pause()
            sound(app, place.id)
            for key in ("down", "enter", "escape"):
                await pilot.press(key)
                await pilot.pause()
                sound(app, f"{place.id} {key}")


async def test_files_that_are_no_files_are_listed_and_opened_as_faults(tmp_path: Path) -> None:
    library = demo_copy(tmp_path)
    litter(library, tmp_path)
    async with screens(library, WIDE) as (app, pilot):
        for row in range(len(app.main.specs.found)):
            await base(app, pilot, row)
            sound(app, f"row {row}")
            assert "Secret Of Another House" not in painted(app) and "root:" not in painted(app)


async def pasted(tmp_path: Path, texts: Sequence[str]) -> None:
    library = demo_copy(tmp_path)
    before = bytes_in(library)
    async with screens(library, PLAIN) as (app, pilot):
        for keys in ("", "tin Enter Enter", "tin Enter b", "tin Enter j", "?"):
            for text in texts:
                app.start_over()
                await press(pilot, keys) if keys else None
                began = time.process_time()
                app.guarded(lambda text=text: app.on.paste(text))  # type: ignore[misc]
                await pilot.pause()
                assert time.process_time() - began < 3.0, (keys, text[:40])
                sound(app, f"{keys} {text[:40]!r}")
    assert bytes_in(library) == before


async def test_hostile_text_pasted_into_a_field_stays_text(tmp_path: Path) -> None:
    await pasted(tmp_path, ["\x1b]52;c;!\x07 \u202e[/]", "y" * 100_000])


@pytest.mark.long
async def test_all_of_it_does(tmp_path: Path) -> None:
    await pasted(tmp_path, TEXTS)
