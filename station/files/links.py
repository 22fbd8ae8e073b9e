"""Every reference of a library followed: unknown and faulty items, duplicate ids, dispensers, styles, stocks in a circle."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from station.bar.nouns import WATER, Dispenser, Line, Spec, Stock, Window
from station.files.checker import Finding, nearest

Findings = dict[str, list[Finding]]


@dataclass(frozen=True, slots=True)
class Links:
    """What the files gave, before references are followed; a list of more than one is an id given twice."""

    items: dict[str, list[Any]]
    stocks: dict[str, list[Any]]
    drinks: dict[str, list[Any]]
    dispensers: dict[str, Dispenser]
    windows: dict[str, Window]


@dataclass(frozen=True, slots=True)
class Good:
    """What is left when everything faulty is dropped."""

    items: dict[str, Any]
    stocks: dict[str, Any]
    drinks: dict[str, Any]


def linked(links: Links, declared: Mapping[str, list[str]]) -> tuple[Good, Findings]:
    """The usable nouns, and by file what is wrong with the references. `declared`: files by the id they declare."""
    findings: Findings = {}
    _duplicates(declared, findings)
    single = {name for name, files in declared.items() if len(files) == 1}
    items = {name: found[0] for name, found in links.items.items() if name in single}
    stocks = {name: found[0] for name, found in links.stocks.items() if name in single}
    stocks = _sound_stocks(stocks, items, declared, links.dispensers, findings)
    known = {*items, *stocks, WATER}
    drinks = {}
    for name, (spec, *_) in links.drinks.items():
        faults = [*_line_faults(spec, known, declared, links.dispensers), *_style_faults(spec, links.windows)]
        if faults:
            findings.setdefault(spec.file, []).extend(faults)
        else:
            drinks[name] = spec
    _calibrated_liquids(links.dispensers, known, findings)
    return Good(items, stocks, drinks), findings


def _duplicates(declared: Mapping[str, list[str]], findings: Findings) -> None:
    for name, files in declared.items():
        for place, file in enumerate(files if len(files) > 1 else ()):
            others = ", ".join(dict.fromkeys(files[:place] + files[place + 1 :]))
            message = f"the id {name} is given in {others} too; neither is used"
            path = (name,) if file.startswith("ingredients/") else ()
            findings.setdefault(file, []).append(Finding(path, "duplicate-id", message, "rename one of them"))


def _sound_stocks(
    stocks: dict[str, Any],
    items: Mapping[str, Any],
    declared: Mapping[str, list[str]],
    dispensers: Mapping[str, Dispenser],
    findings: Findings,
) -> dict[str, Any]:
    """Stocks whose every line, and theirs in turn, can be followed to bought items."""
    for circle in _circles(stocks):
        for name in circle:
            path = next(place for place, line in enumerate(stocks[name].lines) if line.item in circle)
            message = f"stocks go round in a circle: {' → '.join((*circle, circle[0]))}"
            finding = Finding(("lines", path, "item"), "circle", message, "break it at one line")
            findings.setdefault(stocks[name].file, []).append(finding)
    sound = {name: stock for name, stock in stocks.items() if stock.file not in findings}
    while True:
        known = {*items, *sound, WATER}
        faulty = {name: list(_line_faults(stock, known, declared, dispensers)) for name, stock in sound.items()}
        faulty = {name: faults for name, faults in faulty.items() if faults}
        if not faulty:
            return sound
        for name, faults in faulty.items():
            findings.setdefault(sound.pop(name).file, []).extend(faults)


def _line_faults(
    owner: Spec | Stock, known: set[str], declared: Mapping[str, list[str]], dispensers: Mapping[str, Dispenser]
) -> Iterator[Finding]:
    for place, line in enumerate(owner.lines):
        if line.item not in known:
            yield _unknown_item(line, place, known, declared)
        if line.dispenser:
            yield from _dispenser_faults(line, place, dispensers)


def _unknown_item(line: Line, place: int, known: set[str], declared: Mapping[str, list[str]]) -> Finding:
    path = ("lines", place, "item")
    if line.item in declared:
        where = ", ".join(declared[line.item])
        return Finding(path, "rests-on-fault", f"{line.item} in {where} has a fault", f"mend {where} first")
    remedy = nearest(line.item, tuple(sorted(known)), "add it to ingredients/ or stocks/")
    return Finding(path, "unknown-item", f"there is no item or stock {line.item}", remedy)


def _dispenser_faults(line: Line, place: int, dispensers: Mapping[str, Dispenser]) -> Iterator[Finding]:
    path = ("lines", place, "with")
    dispenser = dispensers.get(line.dispenser)
    if dispenser is None:
        remedy = nearest(line.dispenser, tuple(dispensers), "add it to measures.toml")
        yield Finding(path, "unknown-dispenser", f"there is no dispenser {line.dispenser}", remedy)
    elif dispenser.unit != line.amount.unit:
        message = f"{line.dispenser} gives a {dispenser.unit}, the amount is in {line.amount.unit or 'none'}"
        yield Finding(path, "wrong-dispenser", message, f"write the amount in {dispenser.unit}s or name another")


def _style_faults(spec: Spec, windows: Mapping[str, Window]) -> Iterator[Finding]:
    if spec.style and spec.style not in windows:
        remedy = nearest(spec.style, tuple(windows), "add it to windows.toml")
        yield Finding(("style",), "unknown-style", f"there is no window {spec.style}", remedy)


def _calibrated_liquids(dispensers: Mapping[str, Dispenser], known: set[str], findings: Findings) -> None:
    for name, dispenser in dispensers.items():
        for place, one in enumerate(dispenser.calibrations):
            if one.item not in known:
                path = ("dispensers", name, "calibrations", place, "item")
                message = f"calibrated with {one.item}, which is not in the library"
                finding = Finding(path, "unknown-item", message, "it is not used until that is there again", "warning")
                findings.setdefault("measures.toml", []).append(finding)


def _circles(stocks: Mapping[str, Stock]) -> list[tuple[str, ...]]:
    """Every circle of stocks, each once, from its smallest id on."""
    found: set[tuple[str, ...]] = set()
    done: set[str] = set()

    def follow(name: str, trail: tuple[str, ...]) -> None:
        if name in trail:
            circle = trail[trail.index(name) :]
            start = circle.index(min(circle))
            found.add(circle[start:] + circle[:start])
        elif name in stocks and name not in done:
            for line in stocks[name].lines:
                follow(line.item, (*trail, name))
            done.add(name)

    for name in stocks:
        follow(name, ())
    return sorted(found)
