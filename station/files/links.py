"""Every reference of a library followed: unknown and faulty items, duplicate ids, dispensers, styles, stocks in a circle."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from station.bar.nouns import WATER, Dispenser, Item, Line, Order, Spec, Stock, Window
from station.files.checker import Finding, nearest

Findings = dict[str, list[Finding]]


@dataclass(frozen=True, slots=True)
class Known:
    """What specs may refer to, and the files that declare an item or stock of an id, whether it could be used or not.

    `unread` are files of items that could not be read at all: nobody knows what is in them.
    """

    items: Mapping[str, Item]
    stocks: Mapping[str, Stock]
    dispensers: Mapping[str, Dispenser]
    windows: Mapping[str, Window]
    declared: Mapping[str, list[str]]
    unread: tuple[str, ...] = ()

    def has(self, item: str) -> bool:
        return item in self.items or item in self.stocks or item == WATER

    @property
    def key(self) -> str:
        """A name for the state of everything a spec's references depend on, and of the names it is found by."""
        names = [(name, one.name) for found in (self.items, self.stocks) for name, one in found.items()]
        units = [(name, one.unit) for name, one in self.dispensers.items()]
        state = repr((sorted(names), sorted(units), sorted(self.windows), sorted(self.declared.items()), self.unread))
        return hashlib.sha256(state.encode(errors="surrogateescape")).hexdigest()


def known(
    items: Mapping[str, list[Item]],
    stocks: Mapping[str, list[Stock]],
    dispensers: Mapping[str, Dispenser],
    windows: Mapping[str, Window],
    declared: Mapping[str, list[str]],
    unread: tuple[str, ...] = (),
) -> tuple[Known, Findings]:
    """The usable items and stocks, and by file what is wrong. `items`, `stocks`: a list of more than one is an id given twice."""
    findings: Findings = {}
    _duplicates(declared, findings)
    single = {name for name, files in declared.items() if len(files) == 1}
    usable = {name: found[0] for name, found in items.items() if name in single}
    makings = {name: found[0] for name, found in stocks.items() if name in single}
    _refuse_circles(makings, findings)
    makings = {name: stock for name, stock in makings.items() if stock.file not in findings}
    sound = _resting_on_sound(Known(usable, makings, dispensers, windows, declared, unread), findings)
    _calibrated_liquids(sound, findings)
    return sound, findings


def spec_faults(spec: Spec, among: Known) -> list[Finding]:
    """What is wrong with the references of one drink."""
    faults = [*_line_faults(spec, among)]
    if spec.style and spec.style not in among.windows:
        remedy = nearest(spec.style, tuple(among.windows), "add it to windows.toml")
        faults.append(Finding(("style",), "unknown-style", f"there is no window {spec.style}", remedy))
    return faults


def order_faults(order: Order, drinks: set[str], among: Known) -> list[Finding]:
    """What is wrong with the references of one order: drinks that are not there or not sound, items nobody knows."""
    faults = []
    for place, pour in enumerate(order.pours):
        if pour.spec not in drinks:
            remedy = nearest(pour.spec, tuple(sorted(drinks)), "see `station list`")
            faults.append(Finding(("pours", place, "spec"), "unknown-drink", f"there is no drink {pour.spec}", remedy))
    ids: Mapping[str, Any] = {**among.items, **among.stocks}
    for item in order.on_hand:
        if not among.has(item):
            message, remedy = f"there is no item or stock {item}", nearest(item, ids, "remove it")
            faults.append(Finding(("on_hand", item), "unknown-item", message, remedy))
    return faults


def _duplicates(declared: Mapping[str, list[str]], findings: Findings) -> None:
    for name, files in declared.items():
        for place, file in enumerate(files if len(files) > 1 else ()):
            others = ", ".join(dict.fromkeys(files[:place] + files[place + 1 :]))
            message = f"the id {name} is given in {others} too; neither is used"
            path = (name,) if file.startswith("ingredients/") else ()
            findings.setdefault(file, []).append(Finding(path, "duplicate-id", message, "rename one of them"))


def _refuse_circles(stocks: Mapping[str, Stock], findings: Findings) -> None:
    for circle in _circles(stocks):
        message = f"stocks go round in a circle: {' → '.join((*circle, circle[0]))}"
        among = set(circle)
        for name in circle:
            place = next(place for place, line in enumerate(stocks[name].lines) if line.item in among)
            finding = Finding(("lines", place, "item"), "circle", message, "break it at one line")
            findings.setdefault(stocks[name].file, []).append(finding)


def _resting_on_sound(among: Known, findings: Findings) -> Known:
    """Only stocks whose every line, and theirs in turn, can be followed to bought items."""
    sound = dict(among.stocks)
    among = replace(among, stocks=sound)
    users = _users(sound)
    suspects = set(sound)
    while suspects:
        faulty = {name: faults for name in suspects if (faults := list(_line_faults(sound[name], among)))}
        for name, faults in faulty.items():
            findings.setdefault(sound.pop(name).file, []).extend(faults)
        suspects = {user for name in faulty for user in users.get(name, ()) if user in sound}
    return among


def _users(stocks: Mapping[str, Stock]) -> dict[str, list[str]]:
    """By item, the stocks that have it in a line."""
    users: dict[str, list[str]] = {}
    for name, stock in stocks.items():
        for line in stock.lines:
            users.setdefault(line.item, []).append(name)
    return users


def _line_faults(owner: Spec | Stock, among: Known) -> Iterator[Finding]:
    for place, line in enumerate(owner.lines):
        if not among.has(line.item):
            yield _unknown_item(line, place, among)
        if line.dispenser:
            yield from _dispenser_faults(line, place, among.dispensers)


def _unknown_item(line: Line, place: int, among: Known) -> Finding:
    path = ("lines", place, "item")
    if line.item in among.declared:
        where = ", ".join(among.declared[line.item])
        return Finding(path, "rests-on-fault", f"{line.item} in {where} has a fault", f"mend {where} first")
    if among.unread:
        where = ", ".join(among.unread)
        return Finding(path, "unknown-item", f"{line.item} is not known; {where} cannot be read", f"mend {where} first")
    ids: Mapping[str, Any] = {**among.items, **among.stocks}
    return Finding(
        path,
        "unknown-item",
        f"there is no item or stock {line.item}",
        nearest(line.item, ids, "add it to ingredients/ or stocks/"),
    )


def _dispenser_faults(line: Line, place: int, dispensers: Mapping[str, Dispenser]) -> Iterator[Finding]:
    path = ("lines", place, "with")
    dispenser = dispensers.get(line.dispenser)
    if dispenser is None:
        remedy = nearest(line.dispenser, tuple(dispensers), "add it to measures.toml")
        yield Finding(path, "unknown-dispenser", f"there is no dispenser {line.dispenser}", remedy)
    elif dispenser.unit != line.amount.unit:
        message = f"{line.dispenser} gives a {dispenser.unit}, the amount is in {line.amount.unit or 'none'}"
        yield Finding(path, "wrong-dispenser", message, f"write the amount in {dispenser.unit}s or name another")


def _calibrated_liquids(among: Known, findings: Findings) -> None:
    for name, dispenser in among.dispensers.items():
        for place, one in enumerate(dispenser.calibrations):
            if not among.has(one.item):
                path = ("dispensers", name, "calibrations", place, "item")
                message = f"calibrated with {one.item}, which is not in the library"
                finding = Finding(path, "unknown-item", message, "it is not used until that is there again", "warning")
                findings.setdefault("measures.toml", []).append(finding)


def _circles(stocks: Mapping[str, Stock]) -> list[tuple[str, ...]]:
    """Every circle of stocks that a walk from any of them meets, each once, from its smallest id on."""
    found: set[tuple[str, ...]] = set()
    done: set[str] = set()
    for start in stocks:
        trail: dict[str, Iterator[Line]] = {start: iter(stocks[start].lines)}
        while trail:
            name = next(reversed(trail))
            line = next(trail[name], None)
            if line is None:
                done.add(name)
                del trail[name]
            elif line.item in trail:
                walked = list(trail)
                circle = walked[walked.index(line.item) :]
                first = circle.index(min(circle))
                found.add((*circle[first:], *circle[:first]))
            elif line.item in stocks and line.item not in done:
                trail[line.item] = iter(stocks[line.item].lines)
    return sorted(found)
