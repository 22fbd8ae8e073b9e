"""What matters fits on a narrow screen, and nothing is cut without saying so."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy

from station.tui.app import StationApp
from station.tui.line_rows import in_sight, name_parts
from station.tui.pick_list import Pick, PickList

MIDDLE = (100, 30)
SIZES = pytest.mark.parametrize("size", [WIDE, MIDDLE, PLAIN, SMALL, LEAST], ids=lambda size: f"{size[0]}x{size[1]}")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


def flat(rows: list[str]) -> str:
    return " ".join(" ".join(rows).split())


def lines_of(app: StationApp) -> list[str]:
    """What the pane of the open drink shows."""
    pane = app.main.lines
    return ["".join(text for text, _ in one) for one in pane.rows[: pane.size.height]]


# The lines of a drink.


@SIZES
async def test_no_two_lines_look_alike_and_each_is_whole_where_there_is_room(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter")
        assert app.main.lines.document is not None
        own = app.main.lines.document.lines
        shown = flat(lines_of(app))
        starts = [app.shelf.library.name_of(line.item)[:12] for line in own]
        assert all(start in shown for start in starts)
        if size != LEAST:
            assert "…" not in shown.partition("Light rum: by")[0]
            assert "Lime coin · finish" in shown


@SIZES
async def test_what_a_line_says_of_when_it_goes_in_is_said_once(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "noon Enter")
        shown = flat(lines_of(app)).replace("\u00a0", " ")
        assert "top 120 ml Soda water 120 g" in shown and "· finish" in shown


def test_a_long_name_goes_on_below_and_is_cut_only_where_there_is_no_room_and_no_other_like_it() -> None:
    names = [("Citric solution, 25 % w/w", ""), ("Citric solution, 10 % w/w", ""), ("Raspberry vinegar syrup", ""), ("Rum", "")]
    assert [len(parts) for parts in name_parts(names, 40, 10)] == [2, 2, 2, 1]
    tight = name_parts(names, 40, 4)
    assert [len(parts) for parts in tight] == [2, 2, 1, 1]
    assert tight[2] == ["Raspberry vinegar…"]
    # When it goes in is never cut.
    assert name_parts([("Grapefruit twist, long", "finish"), ("Rum", "")], 40, 2)[0] == ["Grapefru… ·\u00a0finish"]


def test_lines_move_no_more_than_they_must() -> None:
    heights = [1, 2, 1, 2, 1]
    assert in_sight(heights, 0, 0, 7) == range(5)
    assert in_sight(heights, 0, 0, 4) == range(3)
    assert in_sight(heights, 0, 3, 4) == range(2, 4 + 1)
    assert in_sight(heights, 2, 1, 4) == range(1, 3)
    assert in_sight(heights, 4, 4, 7) == range(5)


async def test_a_tap_on_the_row_a_name_goes_on_in_is_one_on_its_line(library: Path) -> None:
    async with screens(library, MIDDLE) as (app, pilot):
        await press(pilot, "tin Enter")
        rows = lines_of(app)
        at = next(y for y, text in enumerate(rows) if "Sugar syrup, 1:1" in text)
        assert "by weight, 50 °Bx" in rows[at + 1]
        await pilot.click("#lines", offset=(5, at + 1))
        assert app.main.lines.at == 2


@pytest.mark.parametrize("size", [PLAIN, SMALL, LEAST], ids=["80x24", "60x20", "40x16"])
async def test_what_has_no_room_under_the_lines_is_counted_and_tab_leads_to_it(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "noon Enter")
        last = lines_of(app)[-1]
        assert last.endswith(": Tab") and "↓" in last and (size == PLAIN or "CHECK" in last)
        await press(pilot, "Tab")
        seen = text_of(app)
        for _ in range(8):
            await press(pilot, "PageDown")
            seen += text_of(app)
        assert "Dilution: 12.6 g water" in flat(seen) and "CHECK: Tartaric acid" in flat(seen) and "Allergens" in flat(seen)


async def test_a_wide_screen_says_that_there_is_more_too(library: Path) -> None:
    async with screens(library, (100, 20)) as (app, pilot):
        await press(pilot, "noon Enter")
        assert lines_of(app)[-1].endswith("CHECK: v")


# Every pane.


async def test_every_row_that_is_cut_says_so(library: Path) -> None:
    async with screens(library, LEAST) as (app, pilot):
        news = "as long as no screen of the least size has room for it"
        app.say(news)
        await pilot.pause()
        assert news[:39] + "…" in text_of(app)
        app.say(news[:40])
        await pilot.pause()
        assert news[:40].rstrip() in text_of(app)
        # Blanks that run over are no text.
        app.say(news[:30] + " " * 30)
        await pilot.pause()
        assert news[:30].rstrip() in text_of(app)


async def test_the_list_says_why_a_drink_stands_first_only_where_there_is_room(library: Path) -> None:
    async with screens(library, MIDDLE) as (app, pilot):
        await press(pilot, "noon Enter Esc Esc tin Enter Esc Esc")
        rows = [text[:20].rstrip() for text in text_of(app)]
        assert "  Noon Librarian" in rows or "▸ Noon Librarian" in rows
        assert any(text.endswith("Tin Lantern") for text in rows)
    async with screens(library, PLAIN) as (app, pilot):
        assert shows(app, "Noon Librarian · recent")


async def test_an_unsaved_drink_is_said_to_be_so_however_long_its_name(library: Path) -> None:
    async with screens(library, MIDDLE) as (app, pilot):
        await press(pilot, "pillow Enter 7 1 Enter Esc")
        assert any("Pillow Magis… · u…" in text for text in text_of(app))


@SIZES
async def test_a_list_says_whole_what_it_cut_of_the_row_one_is_at(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "? stocks: Enter milk-cleared")
        rows = text_of(app)
        assert "phosphoric 0.0304 % w/w, 8.08 °Bx (w/w), 15.8 % vol" in flat(rows)
        pane = app.on.active_pane
        assert isinstance(pane, PickList) and len(pane.rows) <= pane.size.height


async def test_a_list_of_which_nothing_is_cut_keeps_no_rows_for_that(library: Path) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, "? stocks: Enter")
        pane = app.on.active_pane
        assert isinstance(pane, PickList)
        pane.put([Pick(str(place), f"Stock {place}") for place in range(40)])
        assert len(pane.rows) == pane.size.height
        pane.put([Pick(str(place), f"Stock {place} with a name that no row of forty columns has") for place in range(40)])
        assert len(pane.rows) == pane.size.height and "columns has" in flat(text_of(app)[-4:]) + flat(
            ["".join(text for text, _ in one) for one in pane.rows[-2:]]
        )


# Keys.


@SIZES
async def test_the_look_up_and_what_a_drink_is_used_for_most_are_on_every_key_bar(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter")
        bar = text_of(app)[-1]
        assert all(key in bar for key in ("0-9 amount", "b batch", "v look up", "s save", "?"))
        await press(pilot, "v")
        assert app.on.id == "lookup"


@SIZES
async def test_a_kept_edit_is_asked_about_before_any_other_key(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter 4 5 Enter")
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter")
        assert text_of(app)[-1].lstrip().startswith("y take the edit up")


async def test_the_order_of_an_event_has_its_sheets_on_the_least_key_bar(library: Path) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, "? orders: Enter Enter")
        assert "←→ prep, shop" in text_of(app)[-1]


# Tuning, sources, pouring.


@SIZES
async def test_each_tuned_figure_has_its_unit_and_basis(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter Down t")
        for name in ("acid as citric", "Acid g/100 ml", "Sugar g/100 ml", "Sugar : acid", "ABV % vol", "Volume ml"):
            assert shows(app, name), name
        await press(pilot, "Down Down Down Down Down Down Down Down Down Down Down")
        assert shows(app, "▸") and "acid as citric, by titration to pH 8.2" in flat(text_of(app))


async def test_a_tap_on_any_row_of_a_tuned_line_is_one_on_it(library: Path) -> None:
    async with screens(library, SMALL) as (app, pilot):
        await press(pilot, "tin Enter Down t")
        rows = text_of(app)
        at = next(y for y, text in enumerate(rows) if "Sugar syrup, 1:1 by" in text)
        assert rows[at + 1].strip() in ("weight, 50 °Bx", "50 °Bx")
        pane = app.on.active_pane
        await pilot.click(pane, offset=(8, at + 1 - pane.region.y))
        assert shows(app, "▸ [x] Sugar syrup")


async def test_the_panel_beside_the_lines_is_read_on_by_page_keys(library: Path) -> None:
    async with screens(library, MIDDLE) as (app, pilot):
        await press(pilot, "tin Enter a")
        assert shows(app, "more rows: PgDn") and not shows(app, "Volume: % of")
        await press(pilot, "PageDown")
        assert shows(app, "Volume: % of") and not shows(app, "more rows: PgDn")
        await press(pilot, "PageUp")
        assert shows(app, "Where it comes from")


@pytest.mark.parametrize("size", [PLAIN, SMALL, LEAST], ids=["80x24", "60x20", "40x16"])
async def test_a_pour_with_a_line_off_says_what_it_comes_to_and_what_was_planned(
    library: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("station.tui.pour_view.TAP_SECONDS", 0.0)
    async with screens(library, size) as (app, pilot):
        await press(pilot, "noon Enter b Enter p 9 . 5 Enter 3 Enter")
        whole = flat(text_of(app))
        assert "left in" in whole and "when full" in whole and "planned" in whole and "28.49" in whole
        await press(pilot, "Space Space Space")
        whole = flat(text_of(app))
        assert "All lines are in." in whole and "28.54 serves" in whole and "planned" in whole


async def test_a_way_on_that_has_no_room_says_how_much_more_there_is(library: Path) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, "noon Enter b Enter p 9 . 5 Enter")
        assert any(text.endswith("more: →") for text in text_of(app))
        await press(pilot, "Right")
        assert "ABV, sugar, acid and salt as on the card" in flat(text_of(app))
