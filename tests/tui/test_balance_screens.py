"""The balance in the screens: gauges, sources, map, comparison, units, the drink at a glance; at every size."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy

from station.bar.glyphs import use_ascii
from station.calc.answers import Shown
from station.tui.app import StationApp
from station.tui.balance_rows import panel, summary
from station.tui.map_view import MapView

SIZES = pytest.mark.parametrize("size", [WIDE, (100, 30), PLAIN, SMALL, LEAST], ids=lambda size: f"{size[0]}x{size[1]}")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


@pytest.fixture
def in_ascii() -> Iterator[None]:
    use_ascii(True)
    yield
    use_ascii(False)


def fits(app: StationApp, size: tuple[int, int]) -> bool:
    rows = text_of(app)
    return len(rows) == size[1] and all(len(row) <= size[0] for row in rows)


def held(app: StationApp) -> list[str]:
    """All rows the balance pane holds."""
    return ["".join(text for text, _ in row).replace("\u00a0", " ") for row in app.main.balance.rows]


# Gauges.


@SIZES
async def test_a_gauge_shows_the_window_the_figure_and_what_it_was(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter Down 3 0 Enter")
        if app.main.narrow:
            await press(pilot, "Tab")
        at = next(place for place, row in enumerate(held(app)) if row.startswith("Acid"))
        both = " ".join(held(app)[at : at + 2])
        assert "▲ high" in both and both.count("▲") == 2
        assert "○" in both and "0.76 ·" in both and "━" in both and "▲ 0.94" in both
        assert fits(app, size)


@pytest.mark.parametrize("width", [36, 37, 40, 41, 60, 64, 78, 120])
def test_no_column_moves_whatever_is_typed(library: Path, width: int) -> None:
    """Every figure of the panel and of the summary stays in its row, its pieces as wide, for as long as there is an answer."""
    from station.desk.document import open_document
    from station.desk.opening import opened

    document = open_document(opened(str(library)), "tin-lantern")
    shapes = set()
    for text in ("1", "12", "12.", "22.5", "30", "300", "0.5", "3/4 oz"):
        document.type(1, text)
        assert isinstance(document.answer, Shown)
        rows = panel(document.answer_saved, document.answer, width)
        named = ("Volume", "ABV", "Sugar", "Acid", "pH  ", "Alcohol")
        figures = [(y, row) for y, row in enumerate(rows) if row[0][0].startswith(named)]
        short = summary(document.answer_saved, document.answer, width)
        shapes.add(tuple((y, *(len(piece) for piece, _ in row[:2])) for y, row in figures))
        shapes.add(tuple(tuple(len(piece) for piece, _ in row[:4]) for row in short[1:]))
        assert len(figures) == 11 and len(short) == 5
        assert all(sum(len(piece) for piece, _ in row) <= max(width, 37) for row in rows)
        assert all(sum(len(piece) for piece, _ in row) <= max(width, 40) for row in short)
    assert len(shapes) == 2


async def test_a_figure_off_its_track_is_at_the_track_s_end(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter Down 9 0 Enter")
        assert any(row.rstrip().endswith("▶ 0.94") for row in held(app))


async def test_a_key_repaints_only_the_rows_that_changed(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter Down 3 0")
        painted: list[int] = []
        original = app.main.balance.render_line
        app.main.balance.render_line = lambda y: painted.append(y) or original(y)  # type: ignore[assignment,func-returns-value]
        await press(pilot, "Back")
        assert painted and set(painted) <= {*range(2, 12), *range(14, 18)}
        before = len(painted)
        await press(pilot, "0 Back")
        await press(pilot, ".")
        assert len(painted) - before <= 3 * 14


# Sources.


@SIZES
async def test_a_turns_to_where_it_comes_from(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter a")
        assert shows(app, "Where it comes from") and fits(app, size)
        whole = " ".join(" ".join(held(app)).split())
        assert "Lime juice, fresh" in whole and "98 %" in whole and "Ice, or water added" in whole
        bar = text_of(app)[-1]
        assert app.main.on != "balance" or "a acids" in bar


async def test_the_sources_move_with_what_is_typed(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter Down a")
        before = held(app)
        await press(pilot, "3 0")
        assert held(app) != before


# The map.


@SIZES
async def test_the_map_shows_the_drink_its_window_and_where_it_was(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter Down 3 0 Enter m")
        assert app.on.id == "map" and fits(app, size)
        whole = "\n".join(text_of(app))
        assert "Balance map Tin Lantern" in whole and "acid in the glass, g/100 ml as citric" in whole and "g/100 ml\n" in whole
        assert "○" in whole and "◈" in whole and "◈ both" in whole and "┏┓ usual range" in whole
        assert "acid 1.11 high" in whole
        await press(pilot, "Esc")
        assert app.on is app.main


@SIZES
async def test_arrows_go_from_drink_to_drink_and_enter_opens_it(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter m")
        view = app.on
        assert isinstance(view, MapView) and view.survey is not None and view.survey.done
        seen = set()
        await press(pilot, "Left " * 40)
        for _ in range(40):
            assert view.pane.pointed is not None
            seen.add(view.pane.cursor)
            assert shows(app, view.pane.pointed.name)
            await press(pilot, "Right")
        assert seen == set(app.shelf.library.drinks)
        await press(pilot, "Left Left")
        there = view.pane.cursor
        await press(pilot, "Enter")
        assert app.on is app.main and app.main.on == "lines"
        assert app.main.lines.document is not None and app.main.lines.document.saved.id == there


async def test_the_pointer_by_acid_and_by_tap(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter m")
        view = app.on
        assert isinstance(view, MapView)
        await press(pilot, "Up " * 20)
        most = max(view.pane.spots, key=lambda spot: spot.acid)
        assert view.pane.cursor == most.id
        cells = view.pane._picture().cells
        (x, y), names = next((cell, names) for cell, names in cells.items() if most.id not in names)
        await pilot.click("#map-pane", offset=(x, y + 1))
        assert view.pane.cursor in names


async def test_a_library_of_thousands_is_mapped_a_few_at_a_time(library: Path) -> None:
    text = (library / "drinks" / "salt-ferry.toml").read_text(encoding="utf-8")
    for place in range(150):
        (library / "drinks" / f"copy-{place}.toml").write_text(text, encoding="utf-8")
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter m")
        view = app.on
        assert isinstance(view, MapView) and view.survey is not None
        for _ in range(100):
            if view.survey.done:
                break
            await pilot.pause(0.05)
        assert view.survey.done and view._timer is None
        assert len(view.pane.spots) == len(app.shelf.library.drinks) > 150 and not shows(app, "to go")


async def test_an_empty_library_has_a_map_too(library: Path) -> None:
    for file in (library / "drinks").iterdir():
        file.unlink()
    async with screens(library) as (app, pilot):
        app.put_on(app.view(MapView))
        await pilot.pause()
        await press(pilot, "Left Up Enter")
        assert shows(app, "no drink can be reckoned")


@SIZES
async def test_the_map_and_the_gauges_stand_in_ascii(library: Path, size: tuple[int, int], in_ascii: None) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter Down 3 0 Enter m")
        assert all(row.isascii() for row in text_of(app)) and shows(app, "@") and shows(app, "x")
        await press(pilot, "Esc Tab")
        assert all(row.isascii() for row in text_of(app))


# Comparison.


@SIZES
async def test_c_holds_the_edit_against_what_is_saved(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter Down 3 0 Enter c")
        assert app.on.id == "compare" and fits(app, size)
        rows = [
            " ".join("".join(piece for piece, _ in row).replace("\u00a0", " ").split())
            for row in app.on.query("Card").first().rows
        ]  # type: ignore[attr-defined]
        whole = " ".join(rows)
        assert "Left: Tin Lantern, saved" in whole and "Right: Tin Lantern, edited" in whole
        assert "22.5 ml" in whole and "+7.79 g" in whole
        await press(pilot, "salt")
        assert shows(app, "Left: Salt Ferry, saved")
        await press(pilot, "zzz")
        assert shows(app, "no drink holds “saltzzz”")
        await press(pilot, "Tab")
        assert shows(app, "Left: Tin Lantern, saved")
        await press(pilot, "Esc")
        assert app.on is app.main and shows(app, "30 ml")


async def test_a_save_can_be_held_against_what_it_replaced(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter Down 3 0 Enter s c")
        assert shows(app, "Left: Tin Lantern, until")
        assert shows(app, "Against tin-lantern@1")
        await press(pilot, "Esc")
        await press(pilot, "Esc Esc iceworks Enter c")
        assert shows(app, "held against nothing yet")
        await press(pilot, "Tab")
        assert shows(app, "this drink has no other version")


# Units.


@SIZES
async def test_o_shows_amounts_in_another_unit_and_keeps_what_was_written(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        before = {path: path.read_bytes() for path in library.rglob("*.toml")}
        await press(pilot, "tin Enter o o")
        assert shows(app, "2.03 oz Light rum") or shows(app, "2.03 oz Light r")
        assert shows(app, "1 each Lime")
        assert shows(app, "Light rum, written 60 ml")
        await press(pilot, "o")
        assert shows(app, "56.9 g Light")
        await press(pilot, "4 5")
        assert shows(app, "45 ml Light")
        await press(pilot, "Enter o")
        assert shows(app, "45 ml Light")
        await press(pilot, "u")
        assert not app.main.lines.document.unsaved  # type: ignore[union-attr]
        assert {path: path.read_bytes() for path in library.rglob("*.toml")} == before


async def test_a_spec_with_an_ounce_of_its_own_is_shown_in_it(library: Path) -> None:
    file = library / "drinks" / "tin-lantern.toml"
    file.write_text('ounce = "30 ml"\n' + file.read_text(encoding="utf-8"), encoding="utf-8")
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter o o")
        assert shows(app, "2 oz Light rum")


async def test_the_batch_card_turns_to_ounces_and_back(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter b Enter")
        assert shows(app, "Mix in Pitcher: 1.5 L")
        await press(pilot, "o o")
        assert shows(app, "Mix in Pitcher: 50.7 oz") and shows(app, "volumes in oz; grams are the same")
        await press(pilot, "o")
        assert shows(app, "Mix in Pitcher: 1.5 L")


# The drink at a glance.


@SIZES
async def test_v_shows_the_whole_drink_and_arrows_lead_to_the_others(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter Down 3 0 Enter v")
        assert app.on.id == "lookup" and fits(app, size)
        assert shows(app, "30 ml  Lime juice, fresh") and shows(app, "Garnish: 1 Lime coin")
        assert shows(app, "acid 1.11 high")
        await press(pilot, "Left Right Right")
        assert shows(app, "Umbrella Tax")
        await press(pilot, "Enter")
        assert app.on is app.main
        assert app.main.lines.document is not None and app.main.lines.document.saved.id == "umbrella-tax"


@SIZES
async def test_letters_find_another_drink_from_a_look_up(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "? glance Enter")
        assert app.on.id == "lookup" and shows(app, "Attic Glacier") and "a-z find" in text_of(app)[-1]
        await press(pilot, "vel")
        assert shows(app, "Velvet Ordinance") and shows(app, "Find vel: 1 drink")
        await press(pilot, "Back x")
        assert shows(app, "Velvet Ordinance") and shows(app, "Find vex: 0 drinks")
        await press(pilot, "Back Back")
        held = [one.name for one in app.shelf.find("v")]
        await press(pilot, "Right" + " Right" * len(held))
        assert shows(app, f"Find v: {len(held)} drinks") and shows(app, held[1])
        await press(pilot, "Enter")
        assert app.on is app.main and app.main.lines.document is not None and app.main.lines.document.saved.name == held[1]
        assert not shows(app, "Find v:")
        await press(pilot, "v")
        assert app.on.id == "lookup" and shows(app, held[1])
        await press(pilot, "Esc")
        assert app.on is app.main


async def test_the_looks_are_offered_in_the_lines_only_and_never_eat_what_is_typed(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "v")
        assert app.on is app.main and app.main.specs.words == "v"
        await press(pilot, "Esc tin Enter Down 2 o z")
        document = app.main.lines.document
        assert document is not None and document.typing is not None and document.typing.text == "2oz"
        await press(pilot, "Esc")
        assert {"main.map", "main.compare", "main.look-up", "main.units"} <= {action.id for action, _ in app.main.offers()}


async def test_the_places_lead_to_map_and_look_up_from_anywhere(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "? balance Enter")
        assert app.on.id == "map" and shows(app, "Balance map")
        await press(pilot, "? glance Enter")
        assert app.on.id == "lookup" and shows(app, "Attic Glacier")
