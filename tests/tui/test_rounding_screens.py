"""A batch rounded on the screen, and its pour taken up where it was left."""

from __future__ import annotations

from pathlib import Path

from screens import PLAIN, press, screens, shows
from small_library import demo_copy

from station.tui.app import StationApp
from station.tui.batch_view import BatchView


def on(app: StationApp) -> BatchView:
    assert isinstance(app.on, BatchView)
    return app.on


def batch_card(app: StationApp) -> str:
    return " ".join("".join(text for text, _ in row).replace("\u00a0", " ").strip() for row in on(app).card.rows)


async def test_r_rounds_one_way_after_the_other_and_says_what_it_did(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path), PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter r")
        assert "Rounded by jigger: acid" in batch_card(app) and "15 × 60 ml" in batch_card(app)
        await press(pilot, "r")
        assert "Rounded by whole g: acid" in batch_card(app)
        await press(pilot, "r r r")
        assert "Rounded" not in batch_card(app) and on(app).rounding == ""


async def test_a_rounding_past_the_taste_says_which_line(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path), PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b 1 . 3 Enter r")
        assert "past the 2 % of taste allowed" in batch_card(app) and on(app).answer is None
        await press(pilot, "r r r r")
        assert on(app).answer is not None


async def test_a_rounded_pour_is_taken_up_rounded(tmp_path: Path) -> None:
    library = demo_copy(tmp_path)
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter r p Space")
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b")
        assert on(app).rounding == "jigger" and shows(app, "left a pour, lines confirmed: 1")
        await press(pilot, "Enter p")
        assert shows(app, "Taken up again: 1 of")


async def test_the_sources_say_how_far_off_one_drink_is(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path)) as (app, pilot):
        await press(pilot, "tin Enter a a")
        text = " ".join(" ".join("".join(text for text, _ in row) for row in app.main.balance.rows).split())
        assert "How far off" in text and "acid ± 0.028" in text


async def test_where_a_rounding_is_refused_nothing_is_offered_that_needs_a_card(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path), PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b 1 . 3 Enter")
        assert shows(app, "p pour")
        await press(pilot, "r")
        assert "No card: rounded by jigger" in batch_card(app)
        assert not shows(app, "p pour") and shows(app, "r whole g")
        await press(pilot, "p Enter")
        assert on(app).answer is None
        await press(pilot, "r r r r")
        assert shows(app, "p pour")


async def test_coming_back_to_the_amount_the_first_key_replaces_it(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path), PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b 4 0 Enter Tab 5")
        assert on(app).target.text == "5"
        await press(pilot, "0 Enter")
        assert on(app).target.text == "50"
        await pilot.click(on(app).target)
        await press(pilot, "6")
        assert on(app).target.text == "6" and not on(app).on_card


async def test_another_amount_is_read_from_the_head_of_its_card(tmp_path: Path) -> None:
    async with screens(demo_copy(tmp_path), PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter PageDown")
        assert on(app).card.first == 10 and not shows(app, "UNDILUTED")
        await press(pilot, "Tab 4")
        assert on(app).card.first == 0 and shows(app, "UNDILUTED")
        await press(pilot, "Enter PageDown Tab Right")
        assert on(app).card.first == 0 and shows(app, "UNDILUTED")
