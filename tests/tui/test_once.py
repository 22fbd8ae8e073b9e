"""What a key costs, counted: the key bar made once, a drink that is opened painted once, nothing read or reckoned twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from screens import WIDE, press, screens
from small_library import demo_copy
from textual.color import Color
from textual.css.stylesheet import Stylesheet

from station.files import themes


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Callable[[Any, str], Counter[str]]:
    """Count the calls of a function or method from here on."""
    calls: Counter[str] = Counter()

    def count(owner: Any, name: str) -> Counter[str]:
        original = getattr(owner, name)

        def counting(*arguments: Any, **named: Any) -> Any:
            calls[name] += 1
            return original(*arguments, **named)

        monkeypatch.setattr(owner, name, counting)
        return calls

    return count


async def test_the_key_bar_is_made_once_a_key(tmp_path: Path, counted: Callable[[Any, str], Counter[str]]) -> None:
    async with screens(demo_copy(tmp_path), WIDE) as (app, pilot):
        await press(pilot, "tin Enter")
        calls = counted(app.bar, "offer")
        for place, key in enumerate(("Down", "3", "Enter", "a", "Tab", "Tab", "m"), 1):
            await press(pilot, key)
            assert calls["offer"] == place, key


async def test_a_drink_that_is_opened_is_painted_once_and_its_drafts_looked_for_once(
    tmp_path: Path, counted: Callable[[Any, str], Counter[str]]
) -> None:
    async with screens(demo_copy(tmp_path), WIDE) as (app, pilot):
        await press(pilot, "tin")
        main = app.main
        calls = counted(main.spec_shelf, "mark_drafts")
        for pane in (main.lines, main.balance, main.specs):
            counted(pane, "paint")
        await press(pilot, "Enter")
        assert main.on == "lines" and (calls["paint"], calls["mark_drafts"]) == (3, 1)


@pytest.mark.parametrize("turns", ["a", "a a"])
async def test_a_page_of_the_balance_is_reckoned_once_a_state(
    turns: str, tmp_path: Path, counted: Callable[[Any, str], Counter[str]]
) -> None:
    import station.desk.figures

    async with screens(demo_copy(tmp_path), WIDE) as (_, pilot):
        await press(pilot, f"tin Enter {turns}")
        calls = counted(station.desk.figures, "in_full")
        await press(pilot, "Down Down Up")
        assert calls["in_full"] == 0
        await press(pilot, "3")
        assert calls["in_full"] == 1


async def test_an_order_is_read_once_a_key(tmp_path: Path, counted: Callable[[Any, str], Counter[str]]) -> None:
    import station.desk.order_document

    async with screens(demo_copy(tmp_path), WIDE) as (app, pilot):
        await press(pilot, "? orders Enter Enter Down")
        assert app.on.id == "order"
        calls = counted(station.desk.order_document, "_order")
        await press(pilot, "Down Up")
        assert calls["_order"] == 0
        await press(pilot, "8")
        assert calls["_order"] <= 1


async def test_the_styles_are_read_once_a_theme(tmp_path: Path, counted: Callable[[Any, str], Counter[str]]) -> None:
    calls = counted(Stylesheet, "reparse")
    async with screens(demo_copy(tmp_path), WIDE) as (app, pilot):
        assert calls["reparse"] == 0
        for worn, name in enumerate(("daylight", "plain", "dark-bar"), 1):
            app.wear(themes.own_theme(name))
            await pilot.pause()
            assert calls["reparse"] == worn
            assert app.screen.styles.background == Color.parse(app.theme_variables["background"])
