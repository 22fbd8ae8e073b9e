"""An order on the screen: found, changed in place, everything moving with each key, kept and saved; at every size."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy
from textual.pilot import Pilot

from station.tui.app import StationApp
from station.tui.order_view import OrderView
from station.tui.orders_view import OrdersView

SIZES = pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL, LEAST], ids=lambda size: f"{size[0]}x{size[1]}")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


def whole(app: StationApp) -> str:
    return " ".join(" ".join(text_of(app)).split())


def order_file(library: Path) -> Path:
    return library / "orders" / "harvest-supper.toml"


async def on_order(app: StationApp, pilot: Pilot[None]) -> OrderView:
    """From the drinks to the order of the demo, by the search over all actions."""
    await press(pilot, "? orders Enter Enter")
    assert app.on.id == "order"
    return app.view(OrderView)


@SIZES
async def test_an_order_is_three_keys_and_a_word_away_and_fits(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await on_order(app, pilot)
        assert shows(app, "Harvest supper") and shows(app, "Guests")
        assert "600 drinks expected, 300 of them mixed (325 made)" in whole(app)
        rows = text_of(app)
        assert len(rows) == size[1] and all(len(line) <= size[0] for line in rows)
        await press(pilot, "Esc")
        assert app.on.id == "orders"


@SIZES
async def test_arrows_lead_through_every_section(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        view = await on_order(app, pilot)
        seen = []
        for _ in range(9):
            seen.append(view._turning()[1][0])
            assert all(len(line) <= size[0] for line in text_of(app))
            await press(pilot, "Right")
        assert {"drinks", "prep", "vessels", "shop", "ice, glasses, water", "cost", "allergens", "cautions"} <= set(seen)
        await press(pilot, "Left")
        assert view._turning()[1][0] == seen[7 if size == WIDE else 8] or size == WIDE


async def test_every_key_of_a_field_moves_everything(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        view = await on_order(app, pilot)
        assert view.fields.chosen is not None and view.fields.chosen.key == "guests"
        await press(pilot, "3")
        assert "15 drinks expected" in whole(app) or "leave nothing" in whole(app)
        await press(pilot, "00")
        assert "1500 drinks expected, 750 of them mixed (820 made)" in whole(app)
        assert "456 serves" in whole(app) and "not saved yet" in whole(app)
        await press(pilot, "Esc")
        assert "600 drinks expected" in whole(app) and "not saved yet" not in whole(app)


async def test_what_is_wrong_is_said_under_the_fields_and_the_last_good_answer_stays(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await on_order(app, pilot)
        await press(pilot, "0 Enter")
        assert "guests: 0 is out of range (1 to 1000000)" in whole(app)
        assert "600 drinks expected" in whole(app)


async def test_a_save_changes_only_what_was_edited_and_undo_survives_it(library: Path) -> None:
    before = order_file(library).read_text(encoding="utf-8")
    async with screens(library, WIDE) as (app, pilot):
        await on_order(app, pilot)
        await press(pilot, "300 Enter s")
        assert shows(app, "saved in orders/harvest-supper.toml")
        assert order_file(library).read_text(encoding="utf-8") == before.replace("guests = 120", "guests = 300")
        await press(pilot, "u s")
        assert order_file(library).read_text(encoding="utf-8") == before


async def test_nothing_typed_is_lost(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await on_order(app, pilot)
        await press(pilot, "250 Enter Down 19:30")
    async with screens(library, PLAIN) as (app, pilot):
        view = await on_order(app, pilot)
        assert "an unsaved edit of" in whole(app)
        assert view.document is not None and view.document.order.guests == 250 and view.document.order.starts == "19:30"
        await press(pilot, "Esc u")
        assert view.document.order.guests == 120


async def test_an_item_is_put_on_hand_by_typing_it(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        view = await on_order(app, pilot)
        assert view.document is not None
        while view.fields.chosen is not None and view.fields.chosen.key != "on_hand.+":
            await press(pilot, "Down")
        await press(pilot, "Enter gin-dry=5l Enter")
        assert view.document.order.on_hand["gin-dry"].value == 5.0
        await press(pilot, "s")
        assert 'gin-dry = "5l"' in order_file(library).read_text(encoding="utf-8")


async def test_sheets_go_to_files_and_those_of_a_mix_that_is_gone_go(library: Path) -> None:
    sheets = library / ".station" / "cards" / "order-harvest-supper"
    sheets.mkdir(parents=True)
    (sheets / "mix-gone.txt").write_text("of an earlier order", encoding="utf-8")
    async with screens(library, PLAIN) as (app, pilot):
        await on_order(app, pilot)
        await press(pilot, "t")
        assert shows(app, "the sheets are in")
    assert (sheets / "shopping.csv").is_file() and (sheets / "mix-tin-lantern.txt").is_file()
    assert not (sheets / "mix-gone.txt").exists()


async def test_a_faulty_order_stays_in_the_list_and_says_its_fault(library: Path) -> None:
    order_file(library).write_text('name = "X"\n', encoding="utf-8")
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? orders Enter")
        assert shows(app, "harvest-supper × faulty")
        await press(pilot, "Down " * 9 + "Enter")
        assert app.on.id == "orders" and shows(app, "orders/harvest-supper.toml")


async def test_shares_that_do_not_sum_to_1_are_said_with_both_readings(library: Path) -> None:
    text = order_file(library).read_text(encoding="utf-8")
    order_file(library).write_text(text.replace("share = 0.4", "share = 0.3"), encoding="utf-8")
    async with screens(library, LEAST) as (app, pilot):
        await on_order(app, pilot)
        assert "sum to 0.9" in whole(app)


@pytest.mark.parametrize("size", [WIDE, LEAST])
async def test_the_sign_of_a_figure_nobody_said_is_explained(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await on_order(app, pilot)
        assert shows(app, "~ not in the file: usual or reckoned")
        await press(pilot, "Down")
        assert shows(app, "~ not in the file: an estimate: common")


async def test_turning_the_tablet_breaks_the_text_anew_and_keeps_the_place(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        view = await on_order(app, pilot)
        await press(pilot, "300 Enter Right")
        for size in (LEAST, PLAIN, WIDE):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            await pilot.pause()
            rows = ["".join(text for text, _ in row) for row in view.card.rows]
            assert view._turning()[1][0] == "prep"
            assert max(map(len, rows)) > min(size[0], 60) * 0.6, rows
            assert view.document is not None and view.document.order.guests == 300


async def test_a_tap_in_a_list_of_orders_that_was_moved_opens_the_one_under_it(library: Path) -> None:
    text = order_file(library).read_text(encoding="utf-8")
    for number in range(20):
        (library / "orders" / f"fair-{number:02}.toml").write_text(text, encoding="utf-8")
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, "? orders Enter" + " Down" * 18)
        pane = app.view(OrdersView).pane
        chosen = [*(one.id for one in pane.found), *pane.faulty][pane.at]
        line = next(place for place, line in enumerate(text_of(app)) if "▸" in line)
        await pilot.click("#orders-pane", offset=(4, line - 1))
        await pilot.pause()
        assert app.on.id == "order" and app.view(OrderView).document is not None
        assert app.view(OrderView).document.name == chosen  # type: ignore[union-attr]


@pytest.mark.parametrize("size", [PLAIN, SMALL, LEAST])
async def test_a_page_down_moves_on_among_the_fields_which_stay_alive(size: tuple[int, int], library: Path) -> None:
    """It left the fields without a sign: the cursor stood on the guests, and digits did nothing."""
    async with screens(library, size) as (app, pilot):
        await press(pilot, "? orders Enter Enter")
        assert any(line.rstrip().endswith(" more") and "↓" in line for line in text_of(app))
        view = app.on
        assert isinstance(view, OrderView)
        await press(pilot, "PageDown 1 Enter PageUp")
        document = view.document
        assert document is not None and document.unsaved and view.active_pane is view.fields
