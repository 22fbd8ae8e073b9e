"""Keys, taps, resizes and pastes at random in running screens: no traceback, no hang, nothing changed that was not saved.

A run is repeated exactly by its seed. Half of the keys are ones that are offered where one is, so that every view is come by.
"""

from __future__ import annotations

import asyncio
import random
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hostile import TEXTS, harmless
from library_state import bytes_in
from small_library import demo_copy
from textual import events
from textual.pilot import Pilot

from station.desk.failing import LOG
from station.desk.opening import opened
from station.files import disk
from station.tui.app import StationApp

NAMED = ("enter", "escape", "tab", "shift+tab", "up", "down", "left", "right", "pageup", "pagedown", "home", "end")
NAMED += ("backspace", "delete", "ctrl+u", "space", "f1", "insert")
TYPED = "abcdefghijklmnopqrtuvwxyz0123456789.,/+-=?½é水 "
MOUSE: dict[str, list[Callable[..., events.MouseEvent]]] = {
    "tap": [events.MouseDown, events.MouseUp],
    "wheel down": [events.MouseScrollDown],
    "wheel up": [events.MouseScrollUp],
}
# Leaving, and sleeping, are for other tests: they would end this one's process.
NEVER = {"ctrl+q", "ctrl+c", "ctrl+z"}
SIZES = ((120, 40), (100, 30), (99, 24), (80, 24), (60, 20), (40, 16), (20, 5), (3, 2), (1, 1), (200, 60))
TOGETHER = 20
LONGEST_S = 10.0


class Staying(StationApp):
    """Does not leave when a tap hits “leave”."""

    def leave(self) -> None:
        self.say("would leave")


class Fuzz:
    """One run: events from a seed, put into a running application."""

    def __init__(self, app: StationApp, pilot: Pilot[None], seed: int) -> None:
        self.app, self.pilot, self.rng = app, pilot, random.Random(seed)
        self.done: list[str] = []
        self.seen: set[str] = set()

    async def go(self, count: int) -> None:
        for start in range(0, count, TOGETHER):
            began = time.perf_counter()
            for _ in range(min(TOGETHER, count - start)):
                await self.one()
                await asyncio.sleep(0.0 if self.rng.random() < 0.5 else 0.001)  # some come in one burst
            await self.pilot.pause()
            last = self.done[-2 * TOGETHER :]
            assert time.perf_counter() - began < LONGEST_S, last
            assert self.app.is_running and self.app.boundary.failures == 0, (last, self._log())
            assert harmless(self._painted()), last

    async def one(self) -> None:
        self.seen.add(str(self.app.on.id))
        pick = self.rng.random()
        if self.app.on.id == "actions" and pick > 0.7:
            self._press("enter" if pick > 0.85 else "escape")
        elif pick < 0.03:
            size = self.rng.choice(SIZES)
            self.done.append(f"resize {size}")
            await self.pilot.resize_terminal(*size)
        elif pick < 0.05:
            text = self.rng.choice(TEXTS)[:300]
            self.done.append(f"paste {text!r}")
            self._post(events.Paste(text))
        elif pick < 0.15:
            self._tap()
        else:
            self._press(self._offered() if pick < 0.6 else self.rng.choice([*NAMED, *TYPED]))

    def _offered(self) -> str:
        keys = [key for action, _ in self.app._offers() for key in action.keys if key not in NEVER]
        return self.rng.choice(keys)

    def _press(self, key: str) -> None:
        self.done.append(key)
        names = {"space": " ", "plus": "+", "minus": "-", "equals_sign": "=", "question_mark": "?", " ": " "}
        self._post(events.Key("space" if key == " " else key, names.get(key, key if len(key) == 1 else None)))

    def _tap(self) -> None:
        x, y = self.rng.randrange(self.app.size.width), self.rng.randrange(self.app.size.height)
        kind = self.rng.choice(["tap", "tap", "wheel down", "wheel up"])
        self.done.append(f"{kind} {x},{y}")
        kinds = {
            "tap": [events.MouseDown, events.MouseUp],
            "wheel down": [events.MouseScrollDown],
            "wheel up": [events.MouseScrollUp],
        }
        for event in kinds[kind]:
            self._post(event(None, x, y, 0, 0, 1, False, False, False, x, y))

    def _post(self, event: events.Event) -> None:
        assert self.app._driver is not None
        self.app._driver.process_message(event)

    def _painted(self) -> str:
        return "".join(segment.text for strip in self.app.screen._compositor.render_strips() for segment in strip)

    def _log(self) -> str:
        path = self.app.shelf.folder / ".station" / LOG
        return path.read_text(encoding="utf-8")[-3000:] if path.exists() else ""


@pytest.fixture
def put(monkeypatch: pytest.MonkeyPatch) -> Iterator[set[Path]]:
    """The files a save or a renaming has put in place or taken away."""
    found: set[Path] = set()
    put, remove = disk.put, disk.remove

    def put_recorded(target: Path, raw: bytes, mode: int | None = None) -> None:
        found.add(target)
        put(target, raw, mode)

    def remove_recorded(target: Path) -> None:
        found.add(target)
        remove(target)

    monkeypatch.setattr(disk, "put", put_recorded)
    monkeypatch.setattr(disk, "remove", remove_recorded)
    yield found


async def fuzzed(folder: Path, seed: int, count: int, look: bool) -> Path:
    library = demo_copy(folder)
    app = Staying(opened(str(library), look))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        fuzz = Fuzz(app, pilot, seed)
        await fuzz.go(count)
        assert len(fuzz.seen) > 2, "it never left the list"
    return library


async def changes_only_what_it_saved(folder: Path, put: set[Path], seed: int, count: int) -> None:
    before = bytes_in(demo_copy(folder / "before"))
    library = await fuzzed(folder, seed, count, look=False)
    after = bytes_in(library)
    changed = {library / name for name in before.keys() | after.keys() if before.get(name) != after.get(name)}
    assert changed <= put
    assert [fault for fault in opened(str(library)).library.faults if fault.severity == "error"] == []


async def changes_nothing(folder: Path, seed: int, count: int) -> None:
    before = bytes_in(demo_copy(folder / "before"))
    library = await fuzzed(folder, seed, count, look=True)
    assert bytes_in(library) == before and not (library / ".station").exists()


async def test_a_sample_changes_only_what_was_saved(tmp_path: Path, put: set[Path]) -> None:
    await changes_only_what_it_saved(tmp_path, put, seed=10, count=300)


async def test_a_sample_of_a_look_up_changes_nothing(tmp_path: Path) -> None:
    await changes_nothing(tmp_path, seed=11, count=200)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(100, 115))
async def test_fifteen_thousand_change_only_what_was_saved(tmp_path: Path, put: set[Path], seed: int) -> None:
    await changes_only_what_it_saved(tmp_path, put, seed, count=1000)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(200, 205))
async def test_five_thousand_of_a_look_up_change_nothing(tmp_path: Path, seed: int) -> None:
    await changes_nothing(tmp_path, seed, count=1000)
