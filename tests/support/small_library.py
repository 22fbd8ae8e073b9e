"""A minimal library for tests, written from TOML strings, and the demo library read once."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from station.bar.fault import CannotAnswer
from station.bar.nouns import Library
from station.calc.answers import Batched
from station.calc.batch import Target
from station.calc.blend import Blends
from station.desk.batching import batched
from station.desk.opening import Opened
from station.files.places import shipped
from station.files.reader import read_library

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)

HOUSE = """\
format = 1

[reads]
timezone = "Europe/Lisbon"

[scales.fine]
name = "Fine scale"
capacity = "200 g"
readability = "0.01 g"

[scales.bench]
name = "Bench scale"
capacity = "6 kg"
readability = "1 g"

[vessels.pitcher]
name = "Pitcher"
brim = "1.8 l"
fill = "1.5 l"
tare = "640 g"
count = 4
"""

ITEMS = """\
[spirit]
name = "Spirit"
kind = "spirit"
abv = 40
allergens = []

[sour]
name = "Sour juice"
kind = "juice"
ta = "6.0 g/100ml"
acid_split = { citric = 1 }
per_100_ml = { fructose = 1.6 }
allergens = []
keeps = "1 day"

[syrup]
name = "Syrup"
kind = "syrup"
brix = 50
allergens = []

[sugar]
name = "Sugar"
kind = "sugar"
form = "solid"
per_100_g = { sucrose = 100 }
bulk_density = "0.85 g/ml"
allergens = []

[citric-acid]
name = "Citric acid"
kind = "acid"
form = "solid"
per_100_g = { citric = 100 }
allergens = []

[twist]
name = "Twist"
kind = "garnish"
allergens = []
"""

CITRIC = """\
name = "Citric solution"
keeps = "90 days"

[[lines]]
item = "water"
amount = "300 g"

[[lines]]
item = "citric-acid"
amount = "100 g"
"""

MEASURES = """\
[dispensers.dropper]
name = "Dropper"
unit = "drop"

[[dispensers.dropper.calibrations]]
item = "citric-25"
date = 2026-11-04
count = 50
reads = ["2.61 g", "2.58 g", "2.66 g"]
"""

WINDOWS = """\
[shaken]
abv = [15, 20]
sugar = [5.0, 8.9]
acid = [0.76, 0.94]
source = "invented"
"""

SOUR = """\
name = "Plain Sour"
method = "shake"
style = "shaken"

[[lines]]
item = "spirit"
amount = "60 ml"

[[lines]]
item = "sour"
amount = "22.5 ml"

[[lines]]
item = "syrup"
amount = "22.5 ml"

[[lines]]
item = "citric-25"
amount = "2 drops"
with = "dropper"

[[lines]]
item = "twist"
amount = "1 each"
when = "finish"
"""

SMALL: Mapping[str, str] = {
    "station.toml": HOUSE,
    "measures.toml": MEASURES,
    "windows.toml": WINDOWS,
    "ingredients/items.toml": ITEMS,
    "stocks/citric-25.toml": CITRIC,
    "drinks/sour.toml": SOUR,
}


def write_library(folder: Path, files: Mapping[str, str | bytes] | None = None, without: tuple[str, ...] = ()) -> Path:
    """The small library in `folder`, with `files` beside or in place of its own, and some left out."""
    for name, content in {**SMALL, **(files or {})}.items():
        if name in without:
            continue
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder


def read_small(folder: Path, files: Mapping[str, str | bytes] | None = None, without: tuple[str, ...] = ()) -> Library:
    return read_library(write_library(folder, files, without))


def open_folder(folder: Path, demo: bool = False) -> Opened:
    """A library as the desk opens it."""
    return Opened(folder, demo)


def open_small(folder: Path, files: Mapping[str, str | bytes] | None = None, without: tuple[str, ...] = ()) -> Opened:
    return open_folder(write_library(folder, files, without))


def drink(method: str, *lines: str, more: str = "") -> str:
    """A spec's text: each line is `item: amount`, with `, key = value` parts after it."""
    return f'name = "A Drink"\nmethod = "{method}"\n{more}\n{_lines(lines)}'


def stock(*lines: str, more: str = "") -> str:
    """A stock's text, its lines as in `drink`."""
    return f'name = "A Stock"\n{more}\n{_lines(lines)}'


def _lines(lines: tuple[str, ...]) -> str:
    return "".join(map(_line, lines))


def _line(line: str) -> str:
    said, *more = line.split(" | ")
    item, _, amount = said.partition(": ")
    return "\n".join(["[[lines]]", f'item = "{item}"', f'amount = "{amount}"', *more]) + "\n\n"


@cache
def demo() -> Blends:
    """The shipped demo library, read once for the whole run."""
    return Blends(read_library(shipped("specs")))


def demo_copy(folder: Path) -> Path:
    """A library of one's own, as the program makes it: a copy of the demo."""
    return Path(shutil.copytree(shipped("specs"), folder / "library", ignore=shutil.ignore_patterns(".station")))


def in_the_evening(library: Path) -> Path:
    """That library in a time zone where it is about nine at night: what was pressed two hours ago has not ended with its day."""
    east = (21 - datetime.now(UTC).hour + 12) % 24 - 12
    file = library / "station.toml"
    text = file.read_text(encoding="utf-8")
    assert text.count('"Europe/Lisbon"') == 1
    file.write_text(text.replace('"Europe/Lisbon"', f'"Etc/GMT{-east:+d}"'), encoding="utf-8")
    return library


def pitcher_card(name: str) -> Batched | None:
    """The demo drink's card for a pitcher; None where there is none of it to be had."""
    try:
        return batched(demo(), name, Target(vessel="pitcher"), None, NOON)
    except CannotAnswer:
        return None
