"""Where one is stays where it is: at another size of the terminal, and at the ends of what one scrolls."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import LEAST, PLAIN, WIDE, press, screens, shows, text_of
from small_library import demo_copy
from textual.pilot import Pilot

from station.tui.batch_view import BatchView
from station.tui.field import Card


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


async def at_sizes(pilot: Pilot[None], *sizes: tuple[int, int]) -> None:
    for size in sizes:
        await pilot.resize_terminal(*size)
        await pilot.pause()


def top(card: Card) -> str:
    """The row that stands at the card's head."""
    return "".join(text for text, _ in card.rows[card.first]).strip()


WAYS_DOWN = pytest.mark.parametrize("down", ["PageDown", "PageDown PageDown PageDown", "PageDown Down Down Down"])


@WAYS_DOWN
@pytest.mark.parametrize("other", [WIDE, PLAIN, (60, 20)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_a_card_scrolled_stands_where_it_stood_after_another_size(library: Path, down: str, other: tuple[int, int]) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, f"tin Enter b Enter {down}")
        stood = text_of(app)
        await at_sizes(pilot, other, LEAST)
        assert text_of(app) == stood


async def test_a_card_broken_for_another_width_is_read_on_from_the_same_words(library: Path) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, "tin Enter b Enter PageDown PageDown PageDown")
        for _ in range(40):
            if top(app.view(BatchView).card) != "At the glass:":
                await press(pilot, "Down")
        await at_sizes(pilot, PLAIN)
        assert top(app.view(BatchView).card) == "At the glass:"


@pytest.mark.parametrize(
    "way", ["tin Enter Down + c PageDown", "? orders Enter Enter Right Right PageDown", "tin Enter v PageDown"]
)
async def test_so_does_every_card(library: Path, way: str) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, way)
        stood = text_of(app)
        await at_sizes(pilot, WIDE, LEAST)
        assert text_of(app) == stood


async def test_a_card_in_other_units_stands_where_one_reads(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter PageDown Down Down Down Down Down")
        assert top(app.view(BatchView).card).startswith("Light rum")
        await press(pilot, "o o")
        assert shows(app, "volumes in oz") and top(app.view(BatchView).card).startswith("Light rum")


@pytest.mark.parametrize(
    ("way", "on_card"), [("PageUp", True), ("PageDown PageUp PageUp", True), ("Up", False), ("Down Up Up", False)]
)
async def test_a_page_up_stays_on_the_card_and_a_row_up_from_its_head_leads_to_the_amount(
    library: Path, way: str, on_card: bool
) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"tin Enter b Enter {way}")
        assert app.view(BatchView).on_card is on_card
        assert app.view(BatchView).card.first == 0


async def test_a_row_down_leads_from_the_amount_to_the_card_and_a_row_up_does_not(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Up PageUp")
        assert not app.view(BatchView).on_card
        await press(pilot, "Down")
        assert app.view(BatchView).on_card


async def test_a_stock_card_keeps_its_place_at_a_page_up(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? stocks Enter citric Enter Enter PageUp")
        assert app.on.on_card  # type: ignore[attr-defined]  # a MakeView


@pytest.mark.parametrize("size", [PLAIN, LEAST], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_an_order_typed_in_goes_on_being_typed_in_on_a_smaller_screen(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "? orders Enter Enter Right 1 2")
        await at_sizes(pilot, size)
        await press(pilot, "5")
        assert any(row.startswith("▸ Guests") and row.split()[-1] == "125" for row in text_of(app))
        await at_sizes(pilot, WIDE)
        assert shows(app, "← prep →") and any("▸ Guests" in row and " 125 " in row for row in text_of(app))


async def test_a_section_of_an_order_that_was_scrolled_stays_the_one_that_is_read(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "? orders Enter Enter Right PageDown")
        await at_sizes(pilot, LEAST)
        assert shows(app, "← prep →") and not shows(app, "▸ Guests")


async def test_the_fields_of_an_order_lead_on_to_its_sections_and_back(library: Path) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, "? orders Enter Enter")
        assert shows(app, "▸ Guests") and shows(app, "1 of 9")
        await press(pilot, "Right Right")
        assert shows(app, "← prep →  3 of 9")
        await press(pilot, "Left Left")
        assert shows(app, "▸ Guests") and shows(app, "1 of 9")
        await press(pilot, "Left")
        assert shows(app, "9 of 9")
