"""The station's screens without a terminal, on a copy of the demo library, read as plain text."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from textual.pilot import Pilot

from station.desk.opening import opened
from station.tui.app import StationApp

WIDE, PLAIN, SMALL, LEAST = (120, 40), (80, 24), (60, 20), (40, 16)


@asynccontextmanager
async def screens(library: Path, size: tuple[int, int] = WIDE) -> AsyncIterator[tuple[StationApp, Pilot[None]]]:
    """The running application and its pilot."""
    app = StationApp(opened(str(library)))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield app, pilot


async def press(pilot: Pilot[None], keys: str) -> None:
    """Keys by name, `^n` with Ctrl, apart by blanks; a word that is no key's name is typed letter by letter."""
    named = {"Enter", "Esc", "Tab", "Up", "Down", "Left", "Right", "Space", "Back", "PageDown", "PageUp"}
    spelled = {
        "Esc": "escape",
        "Back": "backspace",
        "+": "plus",
        "-": "minus",
        ".": "full_stop",
        ",": "comma",
        "/": "slash",
        "?": "question_mark",
    }
    for word in keys.split():
        if word[0] == "^" and len(word) == 2:
            await pilot.press(f"ctrl+{word[1]}")
            continue
        for key in [word] if word in named else list(word):
            await pilot.press(spelled.get(key, key.lower() if key in named else key))
    await pilot.pause()


def text_of(app: StationApp) -> list[str]:
    """What the screen shows, row by row; a gap that may not be broken reads as a blank."""
    return [
        "".join(segment.text for segment in strip).replace("\u00a0", " ").rstrip()
        for strip in app.screen._compositor.render_strips()
    ]


def shows(app: StationApp, words: str) -> bool:
    return any(words in line for line in text_of(app))
