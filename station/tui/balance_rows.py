"""The balance as rows: each figure with its unit and basis, what it was as saved, and where it stands in its window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.bar import say
from station.tui.pane import Row, columns, row, wrapped

if TYPE_CHECKING:
    from station.calc.answers import Shown
    from station.calc.balance import Balance

# Shape and word together: never colour alone.
_STANDING = {"low": "▼ low", "within": "● within", "high": "▲ high"}
_NAMES = {"abv": "ABV % vol", "sugar": "Sugar g/100 ml", "acid": "Acid g/100 ml", "ratio": "Sugar : acid", "ph": "pH"}
_NAME, _FIGURE = 14, 6


def panel(saved: Shown | str, now: Shown | str, width: int) -> list[Row]:
    """The whole balance panel."""
    if isinstance(now, str):
        return [row("Balance in the glass", "strong"), row(), *wrapped(now, width, "warn")]
    was = now if isinstance(saved, str) else saved
    before, after = was.glass.figures, now.glass.figures
    return [
        row("Balance in the glass", "strong"),
        columns([("", _NAME, "<"), ("saved", _FIGURE, ">"), ("now", _FIGURE, ">")], "dim"),
        _figure("Volume ml", was.glass.ml, now.glass.ml),
        *(_figure(name, before[key], after[key], standing(key, now)) for key, name in _NAMES.items()),
        _figure("Alcohol g", was.glass.ethanol_g, now.glass.ethanol_g),
        row("acid as citric; volumes at 20 °C", "dim"),
        row(),
        row("Before ice", "strong"),
        *_before_ice(was.before, now.before),
        row(),
        *_windows(now, width),
    ]


def summary(saved: Shown | str, now: Shown, width: int) -> list[Row]:
    """The balance in two or three rows, for where it has no pane of its own; what is out of its window comes first."""
    was = {} if isinstance(saved, str) else saved.glass.figures
    after = now.glass.figures
    parts = []
    for key, name in _NAMES.items():
        old, new = say.number(was.get(key)), say.number(after[key])
        if key != "ph":
            moved = f"{old} → {new}" if key in was and old != new else new
            parts.append(f"{name} {moved} {standing(key, now)}".rstrip().replace(" ", say.GAP))
    outside = [part for part in parts if "▼" in part or "▲" in part]
    return wrapped("   ".join(outside + [part for part in parts if part not in outside]), width, "strong")


def standing(key: str, now: Shown) -> str:
    """Where a figure stands in its window, in shape and word; nothing where either is missing."""
    value, window = now.glass.figures[key], now.window.get(key)
    if value is None or window is None:
        return ""
    return _STANDING[say.standing(value, window)]


def _before_ice(was: Balance, now: Balance) -> list[Row]:
    return [
        _figure("Volume ml", was.ml, now.ml),
        _figure("ABV % vol", was.abv_pct, now.abv_pct),
        _figure("Sugar g/100 ml", was.sugar_g_per_100ml, now.sugar_g_per_100ml),
        _figure("Acid g/100 ml", was.acid_g_per_100ml, now.acid_g_per_100ml),
    ]


def _figure(name: str, was: float | None, now: float | None, where: str = "") -> Row:
    old, new = say.number(was), say.number(now)
    style = {"▼": "low", "▲": "high", "●": "within"}.get(where[:1], "text")
    figure = columns([(new, _FIGURE, ">")], "accent" if old != new else "text")
    return (*columns([(name, _NAME, "<"), (old, _FIGURE, ">"), ("", 0, "<")], "dim"), *figure, (f" {where}", style))


def _windows(now: Shown, width: int) -> list[Row]:
    if not now.window:
        return [row("no usual range: the spec names no style", "dim")]
    rows = [row("Usual range in the glass", "strong")]
    for key, (low, high) in now.window.items():
        rows.append(row(f"{_NAMES[key]:<{_NAME}} {say.number(low)} to {say.number(high)}", "dim"))
    return rows + wrapped(now.window_source, width, "dim")
