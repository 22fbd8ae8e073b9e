"""A picture (SVG) of every screen at every size, to look at: `python tests/bench/pictures.py FOLDER [COLUMNSxLINES …]`.

The library is a copy of the demo with its invented month in the log. A picture's name is the screen and the size.
"""

from __future__ import annotations

import asyncio
import os
import shutil
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

SUPPORT = Path(__file__).resolve().parents[1] / "support"
sys.path.insert(0, str(SUPPORT))

from screens import press, screens  # noqa: E402 - of the tests
from small_library import demo_copy  # noqa: E402

from station.desk.demo_log import imported  # noqa: E402
from station.desk.opening import opened  # noqa: E402

SIZES = ("120x40", "100x30", "80x24", "60x20", "40x16", "60x44")
DRINK, CARD = "tin Enter", "tin Enter b Enter"
GO = "? go Space"
WAYS = {
    "list": "",
    "list-found": "lime",
    "drink": DRINK,
    "drink-typed": f"{DRINK} Down 3 5",
    "drink-balance": f"{DRINK} Tab",
    "drink-sources": f"{DRINK} a",
    "drink-acids": f"{DRINK} a a",
    "new-line": f"{DRINK} n cit",
    "new-drink": "^n",
    "tune": f"{DRINK} t",
    "compare": f"{DRINK} c",
    "drink-map": f"{DRINK} m",
    "look-up": f"{DRINK} v",
    "juice": f"{DRINK} j",
    "batch-target": f"{DRINK} b",
    "batch-card": CARD,
    "batch-pitcher-mixed": f"{DRINK} b 40 Space serves Enter",
    "pour": f"{CARD} p",
    "pour-wrong": f"{CARD} p Space Space 1275 Enter",
    "pour-left-in": f"{CARD} p Space Space 1275 Enter Enter",
    "actions": "?",
    "actions-found": "? pour",
    **{
        place: f"{GO} {place}"
        for place in ("stocks", "prep", "delivery", "everything", "calibrate", "orders", "map", "look", "colours")
    },
}
THEN = {"stocks": ("Enter", "Enter"), "orders": ("Enter", "Right", "Right", "Right"), "everything": ("Right", "Right", "Right")}


async def picture(folder: Path, library: Path, name: str, keys: str, size: str, *then: str) -> None:
    """One screen by its keys, and one more after each key of `then`."""
    columns, lines = map(int, size.split("x"))
    async with screens(library, (columns, lines)) as (app, pilot):
        await press(pilot, keys)
        if keys.startswith("? go"):
            await press(pilot, "Enter")
        for step, key in enumerate(("", *then)):
            await press(pilot, key)
            svg = app.export_screenshot(simplify=True).replace("<svg ", '<svg xml:space="preserve" ', 1)
            (folder / f"{name}{step or ''}-{size}.svg").write_text(svg, encoding="utf-8")


async def main(folder: Path, sizes: tuple[str, ...]) -> None:
    os.environ["STATION_BY"] = "AB"
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place:
        lived_in = demo_copy(Path(place))
        imported(opened(str(lived_in)), datetime.now(UTC))
        for size in sizes:
            for name, keys in WAYS.items():
                library = shutil.copytree(lived_in, Path(place) / size / name)
                await picture(folder, library, name, keys, size, *THEN.get(name, ()))


if __name__ == "__main__":
    asyncio.run(main(Path(sys.argv[1]), tuple(sys.argv[2:]) or SIZES))
