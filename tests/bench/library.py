"""What reading and checking a library costs, for 100, 1,000 and 10,000 specs of 42 lines over 60 items and 30 stocks.

Run `python tests/bench/library.py [COUNT …]` with the package installed. Every figure is the best of three (of one at 10,000), in
this process, files in the system's cache. "to 100" is the cost of one spec beside its cost among a hundred: 1 is linear, less is
a fixed cost shared by more.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from station.desk.checking import check
from station.desk.opening import Opened
from station.files import places

COUNTS = (100, 1_000, 10_000)
ITEMS, STOCKS, LINES = 60, 30, 8

HOUSE = 'format = 1\nname = "Invented for a measurement"\n'
WINDOWS = '[shaken]\nabv = [0, 100]\nsource = "invented"\n'
MEASURES = '[dispensers.dropper]\nname = "Dropper"\nunit = "drop"\n'


def written(folder: Path, specs: int) -> Path:
    """A library of that many invented specs."""
    for name in ("ingredients", "stocks", "drinks"):
        (folder / name).mkdir(parents=True)
    files = {"station.toml": HOUSE, "windows.toml": WINDOWS, "measures.toml": MEASURES}
    files["ingredients/all.toml"] = "\n".join(map(_item, range(ITEMS)))
    files.update({f"stocks/stock-{place}.toml": _stock(place) for place in range(STOCKS)})
    files.update({f"drinks/drink-{place}.toml": spec(place) for place in range(specs)})
    for file, text in files.items():
        (folder / file).write_text(text, encoding="utf-8")
    return folder


def spec(place: int, name: str = "") -> str:
    """An invented spec of 42 lines."""
    head = [
        "# Invented for a measurement.",
        f'name = "{name or f"Measured Drink {place}"}"',
        'method = "shake"',
        'glass = "coupe"',
        'style = "shaken"',
        f'tags = ["sour", "tag-{place % 17}"]',
        'ice = "large cubes"',
        'strain = "fine"',
        'steps = ["Shake hard with ice.", "Strain twice."]',
        'notes = "As long as such notes are: what it should taste of, and who changed it last."',
        "",
    ]
    lines = [_line(f"item-{(place * 7 + one * 11) % ITEMS}", f"{15 + one} ml") for one in range(LINES - 2)]
    lines += [_line(f"stock-{place % STOCKS}", "22.5 ml"), _line(f"stock-{(place + 7) % STOCKS}", "2 drops")]
    return "\n".join([*head, *lines])


def _line(item: str, amount: str) -> str:
    return f'[[lines]]\nitem = "{item}"\namount = "{amount}"\n'


def _item(place: int) -> str:
    head = f'[item-{place}]\nname = "Invented item {place}"\nkind = "other"\n'
    return f"{head}abv = {place % 40}\nbrix = {place % 9}\nallergens = []\n"


def _stock(place: int) -> str:
    below = f"stock-{place - 1}" if place % 3 else "water"
    return "\n".join([f'name = "Invented stock {place}"', "", _line(f"item-{place}", "200 g"), _line(below, "300 g")])


def cost(folder: Path) -> dict[str, float]:
    """Milliseconds for each thing done with the library there."""
    index, drink = places.index_file(folder), folder / "drinks" / "drink-1.toml"

    def cold() -> Callable[[], object]:
        index.unlink(missing_ok=True)
        return lambda: Opened(folder).find("")

    def warm() -> Callable[[], object]:
        def listed() -> object:
            opened = Opened(folder)
            opened.warm_up()
            return opened.find("drink 1")

        return listed

    def loaded() -> Callable[[], object]:
        return lambda: Opened(folder).library

    def checked() -> Callable[[], object]:
        return lambda: check(Opened(folder).blends)

    def reread() -> Callable[[], object]:
        opened = Opened(folder)
        assert opened.library.faults == ()
        drink.write_text(spec(1, f"Changed {time.perf_counter_ns()}"), encoding="utf-8")
        return opened.reread

    asked = {"list, no index": cold, "list, from the index": warm, "open": loaded, "check": checked, "one file changed": reread}
    costs = {name: _best(prepared) for name, prepared in asked.items()}
    (folder / "ingredients" / "all.toml").unlink()
    return {**costs, "list, items gone": _best(cold)}


def _best(prepared: Callable[[], Callable[[], object]]) -> float:
    """The least milliseconds of three runs, each prepared anew; of one if that takes over two seconds."""
    times: list[float] = []
    while len(times) < 3 and (not times or times[0] < 2000.0):
        run = prepared()
        start = time.perf_counter()
        answer = run()
        times.append(1000.0 * (time.perf_counter() - start))
        assert answer or answer == ()
    return min(times)


def main(counts: Sequence[int]) -> None:
    """Print the table."""
    first: dict[str, float] = {}
    print(f"{'specs':>7} {'':<22}{'ms':>10}{'ms a spec':>12}{'to ' + str(counts[0]):>10}")
    for count in counts:
        with tempfile.TemporaryDirectory() as folder:
            library = written(Path(folder) / "library", count)
            for name, took in cost(library).items():
                ratio = took / count / first.setdefault(name, took / count)
                print(f"{count:>7,} {name:<22}{took:>10,.1f}{took / count:>12.4f}{ratio:>10.2f}")
            with suppress(FileNotFoundError):
                places.index_file(library).unlink()


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as cache:
        os.environ["XDG_CACHE_HOME"] = cache
        main([int(one) for one in sys.argv[1:]] or COUNTS)
