"""What would be wrong with a drink or a stock that is not written yet, in a library as it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from station.bar import schema
from station.bar.nouns import Library, Order, Stock
from station.files import build, links
from station.files.checker import Finding, read_table
from station.files.parts import stem
from station.files.values import plain


def drink_findings(file: str, data: Mapping[str, Any], library: Library) -> tuple[Finding, ...]:
    """Faults of a drink's data, each with its path."""
    findings: list[Finding] = []
    values = read_table(plain(data), schema.DRINK, findings)
    if not findings:
        spec = build.spec(stem(file), values, file, "", findings)
        findings += links.spec_faults(spec, _known(library, {}))
    return _errors(findings)


def stock_findings(file: str, data: Mapping[str, Any], library: Library) -> tuple[Finding, ...]:
    """Faults of a stock's data, each with its path: among them a circle that it would close."""
    findings: list[Finding] = []
    values = read_table(plain(data), schema.STOCK, findings)
    if not findings:
        stock = build.stock(stem(file), values, file, findings)
        among = _known(library, {stock.id: stock})
        _, found = links.known(
            {name: [item] for name, item in among.items.items()},
            {name: [one] for name, one in among.stocks.items()},
            among.dispensers,
            among.windows,
            {name: [one.file] for nouns in (among.items, among.stocks) for name, one in nouns.items()},
        )
        findings += found.get(file, [])
    return _errors(findings)


def order_as(file: str, data: Mapping[str, Any], library: Library) -> tuple[Order | None, tuple[Finding, ...]]:
    """An order from its data, None where it has faults; and its faults, each with its path."""
    findings: list[Finding] = []
    values = read_table(plain(data), schema.ORDER, findings)
    if findings:
        return None, _errors(findings)
    order = build.order(stem(file), values, file, findings)
    findings += links.order_faults(order, set(library.drinks), _known(library, {}))
    return (None if _errors(findings) else order), _errors(findings)


def _known(library: Library, besides: Mapping[str, Stock]) -> links.Known:
    return links.Known(library.items, {**library.stocks, **besides}, library.dispensers, library.windows, {})


def _errors(findings: list[Finding]) -> tuple[Finding, ...]:
    return tuple(one for one in findings if one.severity == "error")
