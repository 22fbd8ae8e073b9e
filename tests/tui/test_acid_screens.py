"""Acids by kind in the balance panel, a juice adjusted and replaced from its line: key by key, at every size."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy
from textual.pilot import Pilot

from station.tui.acid_view import AcidView
from station.tui.app import StationApp

SIZES = pytest.mark.parametrize("size", [WIDE, (100, 30), PLAIN, SMALL, LEAST], ids=lambda size: f"{size[0]}x{size[1]}")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


def whole(app: StationApp) -> str:
    """All the screen says, its rows as one text."""
    return " ".join(" ".join(text_of(app)).split())


def panel(app: StationApp) -> str:
    """All the balance pane holds."""
    return " ".join("".join(text for text, _ in row).replace("\u00a0", " ").strip() for row in app.main.balance.rows)


async def on_line(pilot: Pilot[None], spec: str, line: int) -> None:
    await press(pilot, f"{spec} Enter {'Down ' * line}")


@SIZES
async def test_a_leads_by_the_sources_to_the_acids_by_kind_and_again_to_the_balance(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await on_line(pilot, "tin", 0)
        await press(pilot, "a a")
        assert shows(app, "Acids in the glass")
        assert any(row.split()[-4:] == ["citric", "0.86", "91.2", "%"] for row in text_of(app))
        assert all(len(row) <= size[0] for row in text_of(app))
        await press(pilot, "a")
        assert not shows(app, "Acids in the glass")
        assert shows(app, "Balance in the glass")
        await press(pilot, "a")
        assert shows(app, "Where it comes from")


@SIZES
async def test_escape_leads_from_the_acids_to_the_lines(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await on_line(pilot, "tin", 1)
        await press(pilot, "a a")
        if app.main.on == "balance":
            await press(pilot, "Esc")
        assert app.main.on == "lines" and app.main.lines.at == 1
        assert shows(app, "Lime juice, fresh")


async def test_the_acids_move_with_what_is_typed_and_say_whose_they_are(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await on_line(pilot, "tin", 1)
        await press(pilot, "a a")
        assert shows(app, "TA 0.89")
        assert "98.2 % Lime juice, fresh" in panel(app) and "1.8 % Citric solution, 25 % w/w" in panel(app)
        assert "counts as sour as about 0.93 g citric per 100 ml (by molecules, Neta et al. 2007; an estimate)" in panel(app)
        await press(pilot, "3 0")
        assert not shows(app, "TA 0.89") and shows(app, "TA 1.")
        assert shows(app, "Acids in the glass")


@SIZES
async def test_an_estimated_ph_is_said_to_be_one_to_a_tenth(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await on_line(pilot, "tin", 0)
        await press(pilot, "a a")
        assert "pH 2.5 an estimate, to 0.1: alcohol's effect is not modelled" in panel(app)
        assert any(row.endswith("pH 2.5") for row in text_of(app))


async def test_a_drink_without_acid_has_a_panel_that_says_so(library: Path) -> None:
    bare = 'name = "Bare"\nmethod = "stir"\n[[lines]]\nitem = "gin-dry"\namount = "60 ml"\n'
    (library / "drinks" / "bare.toml").write_text(bare, encoding="utf-8")
    async with screens(library) as (app, pilot):
        await on_line(pilot, "bare", 0)
        await press(pilot, "a a")
        assert shows(app, "Acids in the glass") and "there is no acid in it" in whole(app)


@SIZES
async def test_j_adjusts_the_juice_of_the_line(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await on_line(pilot, "iceworks", 1)
        await press(pilot, "j")
        assert app.on.id == "acid"
        assert shows(app, "Bring it to 6.0 g/100ml")
        assert shows(app, "Pineapple juice")
        assert shows(app, "from 0.8 g/100 ml")
        rows = text_of(app)
        assert len(rows) == size[1] and all(len(row) <= size[0] for row in rows)
        assert "Tab" in rows[-1] and "Esc" in rows[-1]


async def test_the_card_moves_with_every_key_of_the_target(library: Path) -> None:
    async with screens(library, (100, 40)) as (app, pilot):
        await on_line(pilot, "iceworks", 1)
        await press(pilot, "j")
        assert "TA 6 g/100 ml as citric" in whole(app)
        # The first key takes the proposal's place; half a target is a sentence, not a card.
        await press(pilot, "4")
        assert "there is no item or stock 4" in whole(app)
        await press(pilot, ".5g/100ml")
        assert "TA 4.5 g/100 ml as citric" in whole(app)
        assert "from 0.8 g/100 ml to 4.5 g/100 ml as citric" in whole(app)
        await pilot.press("ctrl+u")
        await press(pilot, "lime-juice")
        assert "as Lime juice, fresh" in whole(app) and "In common by kind:" in whole(app)
        await press(pilot, "Back")
        assert "there is no item or stock lime-juic" in whole(app)


async def test_a_target_with_blanks_can_be_typed(library: Path) -> None:
    async with screens(library, (100, 40)) as (app, pilot):
        await on_line(pilot, "iceworks", 1)
        await press(pilot, "j 4.5 Space g/l Space as Space malic")
        assert "g/100 ml as malic already, over 0.45" in whole(app)
        await pilot.press("ctrl+u")
        await press(pilot, "45 Space g/l Space as Space malic")
        assert "to 4.3 g/100 ml as citric" in whole(app)


async def test_no_target_ends_the_program(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await on_line(pilot, "salt-f", 1)
        await press(pilot, "j")
        for target in ("/", "0", "0g/100ml", "99g/100ml", "[b]x[/]", "rum-light", "sugar", "..", "tin-lantern"):
            await pilot.press("ctrl+u")
            await press(pilot, target)
            assert app.on.id == "acid" and f"Bring it to {target}" in whole(app)
        await press(pilot, "Tab Tab Esc")
        assert app.on is app.main


@SIZES
async def test_no_gram_of_a_card_is_cut_off(library: Path, size: tuple[int, int]) -> None:
    # A weight that runs off the screen's edge is another weight: 17 g reads as 1.
    async with screens(library, size) as (app, pilot):
        await on_line(pilot, "tin", 1)
        for keys in ("j", "Tab"):
            await press(pilot, keys)
            rows = app.view(AcidView).card.rows
            assert rows
            for row in rows:
                text = "".join(part for part, _ in row)
                assert len(text) <= size[0], text


@SIZES
async def test_tab_shows_what_stands_in_for_it_with_the_glass_before_and_after(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await on_line(pilot, "tin", 1)
        await press(pilot, "j Tab")
        assert "in place of Lime juice, fresh" in whole(app)
        assert shows(app, "Citric solution, 25 %")
        # Where it does not fit, the card is scrolled: all of it can be had.
        seen = whole(app)
        for _ in range(8):
            await press(pilot, "PageDown")
            seen += whole(app)
        for said in ("before", "after", "Acid", "Sugar", "Lost with Lime juice"):
            assert said in seen, said
        assert all(len(row) <= size[0] for row in text_of(app))


async def test_tab_back_takes_up_the_target_that_was_typed(library: Path) -> None:
    async with screens(library, (100, 40)) as (app, pilot):
        await on_line(pilot, "iceworks", 1)
        await press(pilot, "j 5g/100ml Tab")
        assert "in place of Pineapple juice" in whole(app)
        # While it shows the replacement a typed key changes nothing unseen.
        await press(pilot, "7 Tab")
        assert "to 5 g/100 ml as citric" in whole(app)


@SIZES
async def test_escape_leads_back_to_the_same_line(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await on_line(pilot, "iceworks", 2)
        for keys in ("j Esc", "j Tab Esc"):
            await press(pilot, keys)
            assert app.on is app.main and app.main.on == "lines" and app.main.lines.at == 2
            assert app.main.lines.document is not None and not app.main.lines.document.unsaved


@pytest.mark.parametrize("size", [WIDE, LEAST], ids=["wide", "least"])
async def test_no_line_of_any_drink_ends_the_program(library: Path, size: tuple[int, int]) -> None:
    powder = (
        'name = "Dry"\nmethod = "shake"\n[[lines]]\nitem = "gin-dry"\namount = "60 ml"\n'
        '[[lines]]\nitem = "citric-acid"\namount = "1 g"\n[[lines]]\nitem = "salt"\namount = "0.1 g"\n'
    )
    (library / "drinks" / "dry.toml").write_text(powder, encoding="utf-8")
    async with screens(library, size) as (app, pilot):
        for name in ("dry", "wool", "noon") if size == LEAST else ("dry", "paper"):
            await on_line(pilot, name, 0)
            document = app.main.lines.document
            assert document is not None
            for place, line in enumerate(document.saved.lines):
                assert app.main.lines.at == place
                await press(pilot, "j")
                assert app.on.id == "acid"
                # The card's head, or the line that says why there is none, names what it is about.
                assert app.shelf.library.name_of(line.item)[:20] in whole(app)
                await press(pilot, "Tab Esc Down")
            await press(pilot, "Esc")
            await pilot.press("ctrl+u")


async def test_a_line_that_is_no_juice_says_so_in_words(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await on_line(pilot, "tin", 0)
        await press(pilot, "j Tab")
        assert "Light rum brings no acid to replace" in whole(app)
        await press(pilot, "Esc")
        await press(pilot, "Down " * 6 + "j")
        # A coin of lime is no liquid: there is nothing to titrate.
        assert "Lime coin" in whole(app) and "Add to" not in whole(app)


async def test_the_replacement_is_of_the_drink_as_it_stands_or_says_it_is_not(library: Path) -> None:
    async with screens(library, (100, 40)) as (app, pilot):
        await on_line(pilot, "tin", 1)
        await press(pilot, "j Tab")
        saved = whole(app)
        await press(pilot, "Esc 30 Enter j Tab")
        assert app.main.lines.document is not None and app.main.lines.document.unsaved
        assert whole(app) != saved


async def test_an_amount_being_typed_is_not_lost_on_the_way(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await on_line(pilot, "tin", 1)
        await press(pilot, "25 Enter j Tab Esc")
        document = app.main.lines.document
        assert document is not None and document.texts[1] == "25 ml" and document.unsaved


async def test_turning_the_tablet_keeps_the_question(library: Path) -> None:
    async with screens(library, WIDE) as (app, pilot):
        await on_line(pilot, "iceworks", 1)
        await press(pilot, "j 5g/100ml")
        for size in (LEAST, PLAIN, WIDE):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            assert shows(app, "Bring it to 5g/100ml")
            assert app.on.id == "acid"


async def test_keys_of_a_faulty_spec_do_nothing(library: Path) -> None:
    (library / "drinks" / "broken.toml").write_text("name = \n", encoding="utf-8")
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "broken Enter a j")
        assert app.on is app.main and app.is_running


@SIZES
async def test_what_replaces_a_juice_is_put_in_its_place_by_a_key_and_taken_back(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await on_line(pilot, "tin", 1)
        document = app.main.lines.document
        assert document is not None
        await press(pilot, "j")
        assert "Tab what replaces it" in text_of(app)[-1] and "Enter" not in text_of(app)[-1]
        await press(pilot, "Enter Tab")
        assert app.on.id == "acid" and "Enter replace it" in text_of(app)[-1]
        await press(pilot, "Enter")
        assert app.on is app.main and shows(app, "in place of Lime juice, fresh; u")
        assert [line.item for line in document.lines][:5] == ["rum-light", "citric-25", "syrup-1-1", "water", "syrup-1-1"]
        assert document.texts[1:4] == ("5.4 g", "0.789 g", "17 g") and len(document.states) == 2
        assert not isinstance(document.answer, str) and not isinstance(document.answer_saved, str)
        acid = [one.glass.acid_g_per_100ml for one in (document.answer, document.answer_saved)]
        assert acid[0] == pytest.approx(acid[1], rel=0.005)
        await press(pilot, "u")
        assert not document.unsaved


async def test_what_stands_in_for_a_juice_goes_in_when_the_juice_did(library: Path) -> None:
    file = library / "drinks" / "tin-lantern.toml"
    text = file.read_text(encoding="utf-8")
    juice = 'item = "lime-juice"'
    assert text.count(juice) == 1
    file.write_text(text.replace(juice, f'{juice}\nwhen = "service"'), encoding="utf-8")
    async with screens(library, PLAIN) as (app, pilot):
        await on_line(pilot, "tin", 1)
        await press(pilot, "j Tab Enter s")
        assert shows(app, "saved in drinks/tin-lantern.toml")
        document = app.main.lines.document
        assert document is not None and [document.when(place) for place in range(5)] == ["batch", *["service"] * 3, "batch"]


async def test_where_nothing_replaces_a_line_no_key_says_so(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await on_line(pilot, "tin", 0)
        await press(pilot, "j Tab Enter")
        assert app.on.id == "acid" and "replace it" not in text_of(app)[-1]
        assert app.main.lines.document is not None and not app.main.lines.document.unsaved
