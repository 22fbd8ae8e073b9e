"""A pour in the real screens that says on stdout what the screen shows, and dies where it is told to: run by tests.

`python pour_and_die.py LIBRARY WHERE COUNT`: WHERE is `never`, or one of the moments below, met for the COUNT-th time.
"""

from __future__ import annotations

import asyncio
import os
import re
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from screens import press, screens, text_of

from station.lots import log, store
from station.tui import pour_view

MOMENTS = ("in the transaction", "after the commit", "before the paint", "after the paint")


def die_at(where: str, count: int) -> None:
    """Let the program kill itself as `kill -9` would, the count-th time it comes there."""
    left = [count]

    def met() -> None:
        left[0] -= 1
        if left[0] == 0:
            os.kill(os.getpid(), signal.SIGKILL)

    if where == "in the transaction":
        _after(log, "_insert", met)
    elif where == "after the commit":
        _after(store.Store, "write", met)
    elif where == "before the paint":
        _before(pour_view.PourView, "paint", met)
    elif where == "after the paint":
        _after(pour_view.PourView, "paint", met)


def _after(owner: Any, name: str, then: Callable[[], None]) -> None:
    work = getattr(owner, name)

    def patched(*args: Any, **kwargs: Any) -> Any:
        found = work(*args, **kwargs)
        then()
        return found

    setattr(owner, name, patched)


def _before(owner: Any, name: str, first: Callable[[], None]) -> None:
    work = getattr(owner, name)

    def patched(*args: Any, **kwargs: Any) -> Any:
        first()
        return work(*args, **kwargs)

    setattr(owner, name, patched)


def done(rows: list[str]) -> int | None:
    """How many lines the screen says are confirmed; None where it is no pour."""
    screen = "\n".join(rows)
    if "All lines are in." in screen:
        return 99
    if found := re.search(r"(\d+) of \d+ lines in", screen):
        return int(found[1])
    found = re.search(r"line (\d+) of \d+", screen)
    return int(found[1]) - 1 if found else None


async def pour(library: Path) -> None:
    async with screens(library, (80, 24)) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        for _ in range(20):
            shown = done(text_of(app))
            print(shown, flush=True)
            if shown in {99, None}:
                return
            await press(pilot, "Space")


if __name__ == "__main__":
    pour_view.TAP_SECONDS = 0.0
    die_at(sys.argv[2], int(sys.argv[3]))
    asyncio.run(pour(Path(sys.argv[1])))
