"""Two people on one library: what one saves appears at the other; where both edited one spec both are shown, none is lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy

from station.desk.document import open_document
from station.desk.opening import opened

FILE = "drinks/tin-lantern.toml"


def another_saves(library: Path, amount: str, place: int = 1) -> None:
    """The other person's program: opens the drink, edits a line, saves."""
    document = open_document(opened(str(library)), "tin-lantern")
    document.type(place, amount)
    document.save()


def lines_with(library: Path, words: str) -> int:
    return (library / FILE).read_text(encoding="utf-8").count(words)


@pytest.mark.parametrize("size", [WIDE, PLAIN])
async def test_what_one_saves_appears_at_the_other(tmp_path: Path, size: tuple[int, int]) -> None:
    library = demo_copy(tmp_path)
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter")
        app._look_around()
        another_saves(library, "26 ml")
        app._look_around()
        await pilot.pause()
        assert shows(app, "26 ml Lime") and shows(app, "another program changed the library")


@pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL])
@pytest.mark.parametrize("noticed", [True, False])
async def test_both_edited_it_both_are_shown_and_mine_can_be_saved(tmp_path: Path, size: tuple[int, int], noticed: bool) -> None:
    library = demo_copy(tmp_path)
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter Down 2 4 Enter")
        app._look_around()
        another_saves(library, "26 ml")
        if noticed:
            app._look_around()
            await pilot.pause()
            assert shows(app, "your edit is kept, s shows both")
        await press(pilot, "s")
        assert app.on.id == "compare" and lines_with(library, '"26 ml"') == 1
        assert shows(app, "24 ml") and shows(app, "26 ml"), text_of(app)
        assert shows(app, "Another saved it first")
        await press(pilot, "Esc")
        assert shows(app, "24 ml Lime")
        await press(pilot, "s")
        assert lines_with(library, '"24 ml"') == 1 and lines_with(library, '"26 ml"') == 0
    replaced = [path.read_text(encoding="utf-8") for path in (library / ".station" / "replaced").iterdir() if path.is_file()]
    assert any('"26 ml"' in text for text in replaced)


async def test_theirs_can_be_taken_and_mine_comes_back_by_redo(tmp_path: Path) -> None:
    library = demo_copy(tmp_path)
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "tin Enter Down 2 4 Enter")
        another_saves(library, "26 ml")
        await press(pilot, "s Esc u")
        assert shows(app, "26 ml Lime")
        await press(pilot, "r")
        assert shows(app, "24 ml Lime")
        await press(pilot, "u")
    assert lines_with(library, '"26 ml"') == 1


async def test_edits_of_different_lines_are_still_two_versions_to_choose_from(tmp_path: Path) -> None:
    library = demo_copy(tmp_path)
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "tin Enter Down 2 4 Enter")
        another_saves(library, "55 ml", place=0)
        await press(pilot, "s")
        assert shows(app, "55 ml") and shows(app, "60 ml") and shows(app, "24 ml") and shows(app, "22.5 ml")


async def test_an_edit_of_a_spec_that_is_gone_or_broken_now_is_kept(tmp_path: Path) -> None:
    library = demo_copy(tmp_path)
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "tin Enter Down 2 4 Enter")
        (library / FILE).write_text("not toml at all = = =", encoding="utf-8")
        await press(pilot, "s")
        assert app.on.id == "main" and app.boundary.failures == 0
        assert (library / FILE).read_text(encoding="utf-8") == "not toml at all = = ="
    assert "24" in (library / ".station" / "drafts" / "drinks" / "tin-lantern.json").read_text(encoding="utf-8")
