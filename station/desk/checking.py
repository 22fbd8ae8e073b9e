"""The gate: every fault of a library, those of its text and those that only reckoning finds."""

from __future__ import annotations

from station.bar.fault import CannotAnswer, Fault
from station.bar.nouns import Library
from station.calc.blend import Blends
from station.calc.stuff import DENSITY_TOLERANCE, density_miss
from station.desk.look import sound_drink


def check(blends: Blends) -> tuple[Fault, ...]:
    """All faults, sorted by file and place: what the files say, then every item, stock and drink reckoned once."""
    library = blends.library
    return tuple(sorted((*library.faults, *_items(blends), *_stocks(blends), *_drinks(blends))))


def _items(blends: Blends) -> list[Fault]:
    faults = []
    for name, item in blends.library.items.items():
        try:
            blends.stuff(name)
            miss = density_miss(item)
        except CannotAnswer as error:
            faults.append(_fault(item.file, name, error))
            continue
        if miss is not None and abs(miss) > DENSITY_TOLERANCE and item.density_g_per_ml is not None:
            model = item.density_g_per_ml / (1.0 + miss)
            message = f"the density stated is {item.density_g_per_ml:.4g} g/ml, its figures make {model:.4g} g/ml"
            faults.append(Fault(item.file, 0, 0, f"{name} density", "density", "warning", message, "check both"))
    return faults


def _stocks(blends: Blends) -> list[Fault]:
    faults = []
    for name, stock in blends.library.stocks.items():
        try:
            blends.stuff(name)
        except CannotAnswer as error:
            faults.append(_fault(stock.file, "", error))
    return faults


def _drinks(blends: Blends) -> list[Fault]:
    faults = []
    for spec in blends.library.drinks.values():
        try:
            sound_drink(blends, spec)
        except CannotAnswer as error:
            faults.append(_fault(spec.file, "", error))
    return faults


def _fault(file: str, key: str, error: CannotAnswer) -> Fault:
    return Fault(file, 0, 0, key, "cannot-reckon", "error", error.message, error.remedy)


def exit_code(faults: tuple[Fault, ...]) -> int:
    """0 where nothing is worse than a warning."""
    return int(any(fault.severity == "error" for fault in faults))


def one_line(library: Library) -> tuple[str, ...]:
    """One line a fault, for a question that does not rest on them."""
    return tuple(str(fault) for fault in library.faults)
