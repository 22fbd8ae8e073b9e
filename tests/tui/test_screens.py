"""Whole tasks in the screens, key by key."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy

from station.calc.answers import Shown
from station.desk.batching import targets_to_pick
from station.desk.opening import opened
from station.tui.app import StationApp
from station.tui.batch_view import BatchView

SIZES = pytest.mark.parametrize("size", [WIDE, (100, 30), PLAIN, SMALL, LEAST], ids=lambda size: f"{size[0]}x{size[1]}")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


@SIZES
async def test_a_pitcher_card_is_there_after_the_first_letters_and_two_keys(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b")
        assert shows(app, "Tin Lantern")
        assert shows(app, "UNDILUTED · 15 full serves")
        assert shows(app, "Mix in Pitcher: 1.5 L")


async def test_letters_find_and_enter_opens_before_the_library_was_read(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert opened(str(library)).library.drinks  # its index is made
    monkeypatch.setattr("station.tui.app._BREATH_SECONDS", 600.0)
    shelf = opened(str(library))
    shelf.warm_up()
    app = StationApp(shelf)
    async with app.run_test(size=WIDE) as pilot:
        await press(pilot, "lantern")
        assert [row.id for row in app.main.specs.found] == ["tin-lantern"] and not shelf.loaded
        await press(pilot, "Enter")
        assert shelf.loaded and shows(app, "Sugar")


@SIZES
async def test_every_row_fits_and_the_keys_of_the_place_stand_at_the_bottom(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        for keys, bottom in (
            ("", "Enter open"),
            ("tin Enter", "0-9 amount"),
            ("b", "Enter to card"),
            ("Enter p", "Space next"),
        ):
            await press(pilot, keys)
            rows = text_of(app)
            assert len(rows) == size[1]
            assert all(len(row) <= size[0] for row in rows)
            assert bottom in rows[-1]


@SIZES
async def test_the_balance_moves_in_the_key_s_own_frame_and_undo_returns_it_exactly(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter Down")
        document = app.main.lines.document
        assert document is not None
        before = document.answer
        await pilot.press("2")
        await press(pilot, "6")
        assert isinstance(before, Shown)
        assert isinstance(document.answer, Shown)
        assert document.answer.glass.acid_g_per_100ml != before.glass.acid_g_per_100ml
        assert shows(app, "▲ high")
        await press(pilot, "Enter u")
        assert document.answer == before
        assert not shows(app, "▲ high")
        assert not document.unsaved


async def test_a_burst_of_keys_is_taken_in_the_order_it_was_typed(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await pilot.press("t", "i", "n", "enter", "down", "down", "2", "0", "enter", "down", "u", "b")
        await pilot.pause()
        document = app.main.lines.document
        assert document is not None
        assert document.states[-1][2].amount == "20 ml"
        assert document.at == 0
        assert app.on.id == "batch"


async def test_an_amount_that_is_none_is_said_and_not_taken(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter 1,500 Enter")
        assert shows(app, "1,500 can be read two ways: 1.5 or 1500?")
        await press(pilot, "Esc")
        assert shows(app, "60 ml Light rum")


async def test_saving_changes_one_value_in_the_file_and_undo_outlives_it(library: Path) -> None:
    file = library / "drinks" / "tin-lantern.toml"
    before = file.read_text(encoding="utf-8")
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter Down 2 5 Enter s")
        assert shows(app, "saved in drinks/tin-lantern.toml")
        assert file.read_text(encoding="utf-8") == before.replace('amount = "22.5 ml"', 'amount = "25 ml"')
        await press(pilot, "u s")
        assert file.read_text(encoding="utf-8") == before


async def test_an_edit_left_unsaved_is_offered_at_the_next_start(library: Path) -> None:
    async with screens(library) as (_, pilot):
        await press(pilot, "tin Enter Down 3")
    async with screens(library) as (app, pilot):
        assert shows(app, "Unsaved edits were kept: Tin Lantern")
        assert shows(app, "Tin Lantern · unsaved")
        await press(pilot, "tin Enter")
        assert shows(app, "22.5 ml")
        assert shows(app, "y takes it up")
        await press(pilot, "y")
        assert app.main.lines.document is not None
        assert app.main.lines.document.typing is not None
        assert app.main.lines.document.typing.text == "3"


async def test_a_kept_edit_can_be_dropped(library: Path) -> None:
    async with screens(library) as (_, pilot):
        await press(pilot, "tin Enter +")
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter n")
        assert not shows(app, "unsaved")
        assert not list((library / ".station" / "drafts" / "drinks").glob("*.json"))


async def test_a_faulty_file_stays_in_the_list_its_fault_one_key_away(library: Path) -> None:
    (library / "drinks" / "salt-ferry.toml").write_text('name = "Salt Ferry"\nmethod = "shake"\namuont = 3\n', encoding="utf-8")
    (library / "drinks" / "broken.toml").write_text("name = \n", encoding="utf-8")
    async with screens(library) as (app, pilot):
        assert shows(app, "salt-ferry × faulty")
        assert shows(app, "broken × faulty")
        await press(pilot, "salt-f Enter")
        assert shows(app, "the key amuont is not known here")
        await press(pilot, "Esc Esc tin Enter")
        assert shows(app, "60 ml Light rum")


async def test_the_pour_goes_line_by_line_and_is_taken_up_where_it_was_left(
    library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("station.tui.pour_view.TAP_SECONDS", 0.0)
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        assert shows(app, "UNDILUTED")
        assert shows(app, "line 1 of 6")
        await press(pilot, "Space Space")
        assert shows(app, "line 3 of 6")
        await press(pilot, "Back")
        assert shows(app, "line 2 of 6")
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        assert shows(app, "Taken up again: 1 of 6 lines were confirmed.")
        assert shows(app, "line 2 of 6")
        await press(pilot, "Space Space Space Space Space Space")
        assert shows(app, "All lines are in.")


async def test_a_second_tap_at_once_is_no_tap(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        await pilot.press("space", "space")
        await pilot.pause()
        assert shows(app, "line 2 of 6")


async def test_targets_are_typed_over_the_proposal_and_what_is_none_is_said(library: Path) -> None:
    async with screens(library, (100, 50)) as (app, pilot):
        await press(pilot, "tin Enter b 4 0")
        assert shows(app, "40 full serves")
        assert shows(app, "Fill 3 × Pitcher")
        await press(pilot, "Back Back")
        assert shows(app, "nothing is asked for")
        await press(pilot, "lime-juice=400ml")
        assert shows(app, "as far as lime-juice goes")
        await press(pilot, "Enter w")
        assert shows(app, "DILUTED")
        assert shows(app, "Shaking or stirring it on ice adds")


async def test_the_end_of_what_is_typed_stays_in_sight(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b")
        await pilot.press(*"rum-light=2 l, lime-juice=400 ml, maraschino-liqueur=500 ml, citric-acid=20 g")
        await pilot.pause()
        assert shows(app, "citric-acid=20 g") and shows(app, "Make …")
        await pilot.resize_terminal(*WIDE)
        await pilot.pause()
        assert shows(app, "Make rum-light=2 l, lime-juice=400 ml, maraschino-liqueur=500 ml, citric-acid=20 g")


async def test_turning_the_tablet_keeps_place_and_edit(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "tin Enter Down 2 6")
        for size in (LEAST, PLAIN, WIDE, SMALL):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            assert shows(app, "26")
            assert app.main.lines.at == 1
        await press(pilot, "Enter")
        assert shows(app, "26 ml")


async def test_every_key_on_the_bar_can_be_tapped(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "tin")
        await pilot.click("#list", offset=(3, 1))
        await pilot.pause()
        assert app.main.on == "lines"
        bar = text_of(app)[-1]
        await pilot.click("#keys", offset=(bar.index("batch"), 0))
        await pilot.pause()
        assert app.on.id == "batch"
        await pilot.click("#keys", offset=(text_of(app)[-1].index("back"), 0))
        await pilot.pause()
        assert app.on is app.main


async def test_text_from_files_is_never_markup_nor_control(library: Path) -> None:
    file = library / "drinks" / "tin-lantern.toml"
    name = r'name = "[bold red]x[/] \u001b]52;c;aGk=\u0007 \u202Eevil"'
    text = "\n".join(name if line.startswith("name =") else line for line in file.read_text(encoding="utf-8").splitlines())
    file.write_text(text, encoding="utf-8")
    async with screens(library) as (app, pilot):
        await press(pilot, "bold Enter")
        whole = "".join(text_of(app))
        assert "[bold red]x[/]" in whole
        assert not any(char in whole for char in "\x1b\x07\u202e")


async def test_what_another_program_changes_shows_and_an_open_edit_stays(library: Path) -> None:
    file = library / "drinks" / "tin-lantern.toml"
    text = file.read_text(encoding="utf-8")
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter")
        app.main.look_around()
        file.write_text(text.replace("22.5 ml", "24 ml"), encoding="utf-8")
        app.main.look_around()
        await pilot.pause()
        assert shows(app, "24 ml Lime juice, fresh")
        assert shows(app, "another program changed the library")
        await press(pilot, "Down 2 6 Enter")
        file.write_text(text.replace("22.5 ml", "23 ml"), encoding="utf-8")
        app.main.look_around()
        await pilot.pause()
        assert shows(app, "26 ml Lime juice, fresh")
        assert shows(app, "your edit is kept")
        await press(pilot, "s")
        assert shows(app, "Another saved it first")
    assert "23 ml" in file.read_text(encoding="utf-8")


async def test_a_drink_that_comes_or_goes_meanwhile_shows_in_the_list(library: Path) -> None:
    async with screens(library) as (app, pilot):
        app.main.look_around()
        text = (library / "drinks" / "tin-lantern.toml").read_text(encoding="utf-8")
        (library / "drinks" / "zinc-lantern.toml").write_text(text.replace("Tin Lantern", "Zinc Lantern"), encoding="utf-8")
        (library / "drinks" / "salt-ferry.toml").unlink()
        app.main.look_around()
        await pilot.pause()
        assert shows(app, "Zinc Lantern")
        assert not shows(app, "Salt Ferry")


async def test_a_new_figure_of_an_item_moves_the_open_balance(library: Path) -> None:
    file = library / "ingredients" / "spirits.toml"
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter")
        app.main.look_around()
        text = file.read_text(encoding="utf-8")
        start = text.index("[rum-light]")
        file.write_text(text[:start] + text[start:].replace("abv = 40", "abv = 50", 1), encoding="utf-8")
        before = app.main.lines.document.answer.glass.abv_pct  # type: ignore[union-attr]
        app.main.look_around()
        await pilot.pause()
        assert app.main.lines.document.answer.glass.abv_pct > before + 2.0  # type: ignore[union-attr]


@SIZES
async def test_a_target_is_picked_without_typing(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b")
        ready = targets_to_pick(app.shelf.library)
        seen = [app.view(BatchView).target.text]
        for _ in ready:
            await press(pilot, "Right")
            seen.append(app.view(BatchView).target.text)
        assert seen == [*ready, ready[0]]
        await press(pilot, "Left")
        assert app.view(BatchView).target.text == ready[-1]
        await pilot.click("#batch Field")
        assert app.view(BatchView).target.text == ready[0]
        await press(pilot, "40")
        assert app.view(BatchView).target.text == "40", "typing takes the place of what was picked"


async def test_an_empty_field_is_seen_to_be_empty(tmp_path: Path) -> None:
    """Its examples are no setting: they are said to be examples, and beside what was typed they stay so."""
    async with screens(demo_copy(tmp_path)) as (app, pilot):
        await press(pilot, "tin Enter b")
        assert shows(app, "Make pitcher   type e.g. 40 serves, 1.5 l, 2 pitchers, lime-juice=400 ml")
        await press(pilot, "4 0")
        assert shows(app, "Make 40")
        await pilot.press("ctrl+u")
        await pilot.pause()
        assert shows(app, "Make  ___   type e.g. 40 serves") and shows(app, "nothing is asked for")


async def test_a_card_is_kept_as_a_file_to_print(library: Path) -> None:
    async with screens(library) as (app, pilot):
        await press(pilot, "tin Enter b 40 Enter t")
        (card,) = (library / ".station" / "cards").iterdir()
        assert card.name.startswith("tin-lantern-") and "40 full serves" in card.read_text(encoding="utf-8")
        assert shows(app, "the card is in ")
        assert (library / ".station" / ".gitignore").read_text() == "*\n"


async def test_a_narrow_screen_held_upright_shows_lines_and_balance_together(library: Path) -> None:
    async with screens(library, (60, 44)) as (app, pilot):
        await press(pilot, "tin Enter")
        assert shows(app, "22.5 ml Lime juice") and shows(app, "Balance in the glass")
        await press(pilot, "Down 20")
        rows = text_of(app)
        assert len(rows) == 44 and all(len(row) <= 60 for row in rows)
        await press(pilot, "Tab")
        assert app.main.on == "balance" and shows(app, "Balance in the glass")
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        assert app.main.on == "balance" and not shows(app, "Light rum")


async def test_the_head_counts_the_drinks_the_list_counts(library: Path) -> None:
    """A drink that only a draft holds stands in the list, one that is retired does not: the head says so at once."""
    async with screens(library, SMALL) as (app, pilot):
        assert shows(app, "31 drinks") and shows(app, "Find   31")
        await pilot.press("ctrl+n")
        await press(pilot, "Foo Enter Esc")
        assert shows(app, "32 drinks, 1 never saved") and shows(app, "Find   32")
        await pilot.press("ctrl+t")
        assert shows(app, "31 drinks") and not shows(app, "1 never saved") and shows(app, "Find   31")
        await pilot.press("down", "ctrl+t")
        assert shows(app, "30 drinks") and shows(app, "Find   30")
