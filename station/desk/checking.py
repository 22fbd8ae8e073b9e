"""The gate: every fault of a library, those of its text and those that only reckoning finds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from station.bar.fault import CannotAnswer, Fault
from station.bar.nouns import Item, Library, Line, Stock
from station.calc.blend import Blends
from station.calc.parts import shared
from station.calc.stuff import DENSITY_TOLERANCE, density_miss
from station.calc.weigh import weigh
from station.desk.look import sound_drink
from station.files.checker import Finding, told
from station.files.source import read_source


def check(blends: Blends) -> tuple[Fault, ...]:
    """All faults, sorted by file and place: what the files say, then every item, stock and drink reckoned once."""
    library = blends.library
    reckoned = [*_items(blends), *_stocks(blends), *_drinks(blends)]
    return tuple(sorted((*library.faults, *(fault for file, found in reckoned for fault in _placed(library, file, found)))))


def _items(blends: Blends) -> list[tuple[str, Finding]]:
    found = []
    for name, item in blends.library.items.items():
        error = _error(blends.stuff, name)
        finding = _unreckoned((name,), error) if error else _dense(name, item)
        if finding:
            found.append((item.file, finding))
    return found


def _dense(name: str, item: Item) -> Finding | None:
    """A warning where the density stated is not the one its figures make."""
    miss = density_miss(item)
    if miss is None or abs(miss) <= DENSITY_TOLERANCE or item.density_g_per_ml is None:
        return None
    model = item.density_g_per_ml / (1.0 + miss)
    message = f"the density stated is {item.density_g_per_ml:.4g} g/ml, its figures make {model:.4g} g/ml"
    return Finding((name, "density"), "density", message, "check both", "warning")


def _stocks(blends: Blends) -> list[tuple[str, Finding]]:
    stocks = blends.library.stocks.items()
    errors = ((stock, _error(blends.stuff, name)) for name, stock in stocks)
    return [(stock.file, _in_lines(shared(stock.lines, stock.total), blends, "", error)) for stock, error in errors if error]


def _drinks(blends: Blends) -> list[tuple[str, Finding]]:
    errors = ((spec, _error(sound_drink, blends, spec)) for spec in blends.library.drinks.values())
    return [(spec.file, _in_lines(shared(spec.lines, spec.total), blends, spec.ounce, error)) for spec, error in errors if error]


def _in_lines(lines: Sequence[Line], blends: Blends, ounce: str, error: CannotAnswer) -> Finding:
    """Which line cannot be reckoned: for its item's sake, for its own amount's; else the whole."""
    library = blends.library
    for place, line in enumerate(lines):
        owner: Item | Stock | None = library.items.get(line.item) or library.stocks.get(line.item)
        if owner and _error(blends.stuff, line.item):
            message = f"{line.item} in {owner.file} has a fault"
            return Finding(("lines", place, "item"), "rests-on-fault", message, f"mend {owner.file} first")
        own = _error(weigh, line, blends.stuff, library, ounce)
        if own and own.message == error.message:
            return _unreckoned(("lines", place, "amount"), own)
    return _unreckoned((), error)


def _error(ask: Callable[..., object], *about: object) -> CannotAnswer | None:
    try:
        ask(*about)
    except CannotAnswer as error:
        return error
    return None


def _unreckoned(path: tuple[str | int, ...], error: CannotAnswer) -> Finding:
    return Finding(path, "cannot-reckon", error.message, error.remedy)


def _placed(library: Library, file: str, finding: Finding) -> tuple[Fault, ...]:
    return told(file, read_source(Path(library.folder), file).text, [finding])


def exit_code(faults: tuple[Fault, ...]) -> int:
    """0 where nothing is worse than a warning."""
    return int(any(fault.severity == "error" for fault in faults))


def one_line(library: Library) -> tuple[str, ...]:
    """One line a fault, for a question that does not rest on them."""
    return tuple(str(fault) for fault in library.faults)
