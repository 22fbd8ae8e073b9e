"""A view that fails does not take the program along: one line, a note, the list again, and the edit is kept."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens import PLAIN, WIDE, press, screens, shows
from small_library import demo_copy
from textual import events

from station.desk.failing import LARGEST_LOG_BYTES, LOG, noted
from station.desk.opening import opened
from station.tui import boundary
from station.tui.batch_view import BatchView
from station.tui.field import Card
from station.tui.spec_lines import SpecLines


def boom(*_: object, **__: object) -> None:
    raise ZeroDivisionError("\x1b]52;c;!\x07 a made-up failure")


def log_of(library: Path) -> str:
    return (library / ".station" / LOG).read_text(encoding="utf-8")


@pytest.mark.parametrize("size", [WIDE, PLAIN])
async def test_a_key_that_fails_leads_back_to_the_list_and_the_edit_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    library = demo_copy(tmp_path)
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter Down 2 4")
        monkeypatch.setattr(BatchView, "reckon", boom)
        await press(pilot, "Enter b")
        assert app.is_running and app.on.id == "main" and app.main.on == "list"
        assert shows(app, "That failed (ZeroDivisionError); what you typed is kept.")
        monkeypatch.undo()
        await press(pilot, "Enter")
        assert shows(app, "24 ml Lime juice")
        await press(pilot, "b")
        assert app.on.id == "batch" and shows(app, "UNDILUTED")
    text = log_of(library)
    assert "ZeroDivisionError" in text and "in boom" in text and "Traceback" in text
    assert "\x1b" not in text and "\x07" not in text
    assert "24" in (library / ".station" / "drafts" / "drinks" / "tin-lantern.json").read_text(encoding="utf-8")


async def test_a_tap_a_resize_a_paste_and_a_painting_that_fail_are_caught_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = demo_copy(tmp_path)
    async with screens(library, WIDE) as (app, pilot):
        await press(pilot, "tin Enter")
        monkeypatch.setattr(SpecLines, "on_click", boom)
        await pilot.click("#lines", offset=(5, 5))
        await pilot.pause()
        assert app.is_running and app.main.on == "list"
        await press(pilot, "Enter b")
        monkeypatch.setattr(BatchView, "on_resize", boom)
        await pilot.resize_terminal(100, 30)
        await pilot.pause()
        assert app.is_running and app.on.id == "main"
        monkeypatch.undo()
        await press(pilot, "Enter b")
        monkeypatch.setattr(Card, "render_line", boom)
        await press(pilot, "4")
        assert app.is_running and app.on.id == "main"
        monkeypatch.undo()
        monkeypatch.setattr(type(app.main), "paste", boom)
        app._driver.process_message(events.Paste("x"))  # type: ignore[union-attr]
        await pilot.pause()
        assert app.is_running
        await press(pilot, "Enter")
        assert shows(app, "Lime ju")
    assert log_of(library).count("Traceback") >= 4


async def test_what_fails_again_and_again_at_once_ends_the_program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(ZeroDivisionError):
        async with screens(demo_copy(tmp_path), PLAIN) as (app, pilot):
            monkeypatch.setattr(boundary, "_SECONDS", 60.0)
            monkeypatch.setattr(type(app.main.specs), "move", boom)
            await press(pilot, "Down " * (boundary._MANY + 1))


def test_a_log_grown_large_is_begun_anew(tmp_path: Path) -> None:
    library = demo_copy(tmp_path)
    shelf = opened(str(library))
    assert noted(shelf, ValueError("one")) == str(library / ".station" / LOG)
    path = library / ".station" / LOG
    path.write_text("x" * (LARGEST_LOG_BYTES + 1), encoding="ascii")
    noted(shelf, ValueError("two"))
    assert "two" in log_of(library) and path.stat().st_size < 1000
    assert path.with_suffix(".old").stat().st_size > LARGEST_LOG_BYTES


def test_where_nothing_can_be_noted_nothing_is_raised(tmp_path: Path) -> None:
    library = demo_copy(tmp_path)
    (library / ".station").write_text("a file in the way", encoding="ascii")
    assert noted(opened(str(library)), ValueError("one")) == ""


async def test_where_the_list_itself_cannot_be_painted_the_program_still_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with screens(demo_copy(tmp_path), PLAIN) as (app, pilot):
        await press(pilot, "tin Enter")
        monkeypatch.setattr(type(app.main), "enter", boom)
        monkeypatch.setattr(SpecLines, "move", boom)
        await press(pilot, "Down")
        assert app.is_running and shows(app, "That failed (ZeroDivisionError)")
        monkeypatch.undo()
        await press(pilot, "Enter")
        assert shows(app, "Lime ju")
