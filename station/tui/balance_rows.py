"""The balance as rows: each figure with its unit and basis, what it was as saved, and where it stands in its window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from station.bar import say
from station.tui.pane import Row, columns, row, wrapped

if TYPE_CHECKING:
    from station.bar.nouns import Library
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
        *(_figure(name, before[key], after[key], standing(key, now)) for key, name in _NAMES.items() if key != "ph"),
        _row("pH", say.ph(was.glass.ph, bool(was.glass.ph_note)), say.ph(now.glass.ph, bool(now.glass.ph_note))),
        _figure("Alcohol g", was.glass.ethanol_g, now.glass.ethanol_g),
        row("acid as citric to pH 8.2; 20 °C", "dim"),
        *(wrapped(f"pH: {now.glass.ph_note}", width, "dim") if now.glass.ph_note else []),
        row(),
        row("Before ice", "strong"),
        *_before_ice(was.before, now.before),
        row(),
        *_windows(now, width),
    ]


def acid_panel(now: Shown | str, library: Library, width: int) -> list[Row]:
    """The acids of the glass by kind, which line brings them, and how sour they count."""
    if isinstance(now, str):
        return [row("Acids in the glass", "strong"), row(), *wrapped(now, width, "warn")]
    whole = sum(now.acids.values())
    rows: list[Row] = [
        row("Acids in the glass", "strong"),
        columns([("", 12, "<"), ("g/100 ml", 8, ">"), ("w/w", 8, ">")], "dim"),
    ]
    rows += [
        columns([(name, 12, "<"), (say.number(grams), 8, ">"), (f"{say.number(100 * grams / whole)} %", 8, ">")], "text")
        for name, grams in now.acids.items()
    ]
    rows += [row(), *wrapped(f"TA {say.number(now.glass.acid_g_per_100ml)} g/100 ml as citric to pH 8.2", width, "text", "  ")]
    if now.ta_in_house_basis is not None:
        rows += wrapped(f"TA {say.number(now.ta_in_house_basis)} g/100 ml as {library.house.acidity}", width, "text", "  ")
    rows.append(row(f"pH {say.ph(now.glass.ph, bool(now.glass.ph_note))}"))
    rows += wrapped(now.glass.ph_note, width, "dim", "  ") if now.glass.ph_note else []
    if now.sour_as_citric is not None:
        sour = f"counts as sour as about {say.number(now.sour_as_citric, 2)} g citric per 100 ml"
        rows += wrapped(f"{sour} (by molecules, Neta et al. 2007; an estimate)", width, "dim", "  ")
    rows += [row(), row("Of the acid, by weight", "strong")]
    for item, share in sorted(now.acid_from.items(), key=lambda one: -one[1]):
        rows.append(columns([(f"{say.number(100 * share)} %", 7, ">"), (library.name_of(item), width - 9, "<")], "text"))
    return rows


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
    return _row(name, say.number(was), say.number(now), where)


def _row(name: str, old: str, new: str, where: str = "") -> Row:
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
