"""The pour view: a reading typed as one sees it, the ways on a key each, undone, resumed; at every size."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy

from station.tui.app import StationApp
from station.tui.pour_view import PourView

SIZES = pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL, LEAST], ids=lambda size: f"{size[0]}x{size[1]}")
TO_THE_LIME = "tin Enter b Enter p Space Space Space"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


@pytest.fixture(autouse=True)
def no_bounce(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("station.tui.pour_view.TAP_SECONDS", 0.0)


def size_of(app: StationApp) -> float:
    assert isinstance(app.on, PourView) and app.on.pour is not None
    return app.on.pour.pour.size


@SIZES
async def test_a_mis_pour_is_typed_and_corrected_and_the_rest_follows(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, TO_THE_LIME)
        assert shows(app, "line 4 of 7")
        await press(pilot, "1 2 7 5")
        assert shows(app, "it should read 1202 g")
        await press(pilot, "Enter")
        assert "Lime juice, fresh: 423 g in, 350 g wanted" in " ".join(" ".join(text_of(app)).split())
        assert shows(app, "1 draw off, add") and shows(app, "2 add the rest") and shows(app, "3 leave it")
        assert all(len(line) <= size[0] for line in text_of(app))
        await press(pilot, "1")
        assert shows(app, "Draw off the mix") and shows(app, "line 5 of 9")
        await press(pilot, "Back")
        assert shows(app, "3 leave it")
        await press(pilot, "Back")
        assert shows(app, "line 4 of 7") and not shows(app, "leave it")


async def test_the_way_at_hand_says_what_it_does_and_enter_takes_it(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 6 0 Enter")
        await press(pilot, "Down")
        assert shows(app, "does not fit: over the 1.5 L Pitcher is filled to")
        await press(pilot, "Down Up Enter")
        assert size_of(app) > 1.0
        assert shows(app, "serves now")


async def test_a_digit_that_is_no_way_does_nothing(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 7 5 Enter 9 0")
        assert shows(app, "3 leave it")


async def test_a_tap_on_a_way_takes_it(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 7 5 Enter")
        row = next(y for y, line in enumerate(text_of(app)) if "3 leave it" in line)
        await pilot.click("#pour-pane", offset=(5, 0))
        await pilot.pause()
        assert shows(app, "3 leave it")
        await pilot.click("#pour-pane", offset=(5, row - 2))
        await pilot.pause()
        assert shows(app, "line 5 of 7") and shows(app, "Sugar syrup")


async def test_killed_in_the_middle_of_a_question_it_is_asked_again(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 7 5 Enter")
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        assert shows(app, "Taken up again: 4 of 7 lines were confirmed.")
        assert shows(app, "Lime juice, fresh: 423 g in, 350 g wanted")
        await press(pilot, "1")
        assert shows(app, "Draw off the mix")


async def test_what_is_typed_can_be_forgotten_and_rubbed_out(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 Back Back")
        assert shows(app, "until Bench scale reads:")
        await press(pilot, "1 2 3 Esc")
        assert shows(app, "until Bench scale reads:") and app.on.id == "pour"


async def test_a_reading_that_cannot_be_is_said_and_stays_to_be_mended(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 3 0 0 Enter")
        assert shows(app, "before this line, so it cannot read less")
        assert shows(app, "it should read 1202 g")


async def test_a_scale_that_was_zeroed_is_read_from_nothing(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} z")
        assert shows(app, "read from nothing")
        await press(pilot, "3 5 1 Enter")
        assert shows(app, "line 5 of 7") and not shows(app, "leave it")
