"""The balance as rows: each figure with its unit and basis, what it was as saved, and where it stands in its window."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeAlias

from station.bar import say
from station.tui.pane import Row, columns, fitted, row, wrapped

if TYPE_CHECKING:
    from station.bar.nouns import Library
    from station.calc.answers import Shown
    from station.calc.balance import Balance
    from station.calc.gauges import Gauge

_NAMES = {"abv": "ABV % vol", "sugar": "Sugar g/100 ml", "acid": "Acid g/100 ml", "ratio": "Sugar : acid", "ph": "pH"}
_NAME, _FIGURE, _STANDS = 14, 6, 8
# Name, what was, what is, where it stands; a gauge stands beside them from ONE_ROW columns, else under them.
_FIGURES = _NAME + 1 + _FIGURE + 1 + _FIGURE + 1 + _STANDS
_LEAST_TRACK = 11
# In a summary: name, saved, arrow, figure, where it stands; from _WITH_SAVED columns with what was saved, from _WITH_TRACK drawn.
_SUMMARY = _FIGURES + 2
_WITH_SAVED, _WITH_TRACK, _WIDEST_BESIDE = 50, _SUMMARY + 1 + 12 + _LEAST_TRACK - 2, 39
ONE_ROW = _FIGURES + 2 + 12 + _LEAST_TRACK
_WIDEST_GAUGE = 53
BASIS = (
    f"% vol: alcohol by volume; g/100 ml: in 100{say.GAP}ml of it, at 20{say.GAP}°C; acid as citric, by titration to pH 8.2;"
    " sugar : acid: g to g."
)
# The figures of the glass one can grab and set, from above.
TO_GRAB = ("volume", "abv", "sugar", "acid", "ratio")
_Figure: TypeAlias = Callable[[str, "float | None", "float | None"], Row]
_STYLES = {"low": "low", "high": "high", "within": "within", "": "text"}


def panel(saved: Shown | str, now: Shown | str, width: int) -> list[Row]:
    """The whole balance panel: every figure in its own place, whatever is typed, each with its gauge; what may wrap is last."""
    if isinstance(now, str):
        return [row("Balance in the glass", "strong"), row(), *wrapped(now, width, "warn")]
    was = now if isinstance(saved, str) else saved
    figure = _figure if was is saved else _unsaved
    return [
        (("Balance in the glass", "strong"), ("  ━━ usual range" if now.window else "", "dim")),
        columns([("acid as citric", _NAME, "<"), ("saved", _FIGURE, ">"), ("now", _FIGURE, ">")], "dim"),
        figure("Volume ml", was.glass.ml, now.glass.ml),
        *_gauged(was, now, width, was is saved),
        figure("Alcohol g", was.glass.ethanol_g, now.glass.ethanol_g),
        row(),
        row("Before ice", "strong"),
        *_before_ice(was.before, now.before, figure),
        row(),
        *wrapped(BASIS, width, "dim"),
        *(wrapped(f"pH: {now.glass.ph_note}", width, "dim") if now.glass.ph_note else []),
        *_window_said(now, width),
    ]


def row_of(rows: Sequence[Row], figure: str) -> int:
    """The row of a figure of the glass in the whole panel; -1 where there is none."""
    name = _NAMES.get(figure, "Volume ml")
    return next((y for y, one in enumerate(rows) if one and one[0][0].startswith(f"{name:<{_NAME}} ")), -1)


def grabbed(rows: Sequence[Row], figure: str) -> list[Row]:
    """The panel with the mark at the figure one has in hand."""
    y = row_of(rows, figure)
    if y < 0:
        return list(rows)
    (name, style), (number, _), *rest = rows[y]
    return [*rows[:y], ((name[:-1], style), ("▸", "chosen"), (number, "chosen"), *rest), *rows[y + 1 :]]


def source_panel(now: Shown | str, width: int) -> list[Row]:
    """Which line brings what share of the glass."""
    head = row("Where it comes from", "strong")
    if isinstance(now, str):
        return [head, row(), *wrapped(now, width, "warn")]
    from station.cards.sources import sources_card

    lines = sources_card(now.sources, width)
    return [head, *(row(line, "text" if place or not line.startswith(" ") else "dim") for place, line in enumerate(lines))]


def acid_panel(now: Shown | str, library: Library, width: int) -> list[Row]:
    """The acids of the glass by kind, which line brings them, and how sour they count."""
    if isinstance(now, str):
        return [row("Acids in the glass", "strong"), row(), *wrapped(now, width, "warn")]
    whole = sum(now.acids.values())
    rows: list[Row] = [
        row("Acids in the glass", "strong"),
        columns([("by weight", 12, "<"), ("g/100 ml", 8, ">"), ("w/w of acids", 13, ">")], "dim"),
    ]
    rows += [
        columns([(name, 12, "<"), (say.number(grams), 8, ">"), (f"{say.number(100 * grams / whole)} %", 13, ">")], "text")
        for name, grams in now.acids.items()
    ]
    titrated = f"By titration: TA {say.number(now.glass.acid_g_per_100ml)} g/100 ml as citric to pH 8.2"
    rows += [row(), *wrapped(titrated, width, "text", "  ")]
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
    return [*rows, *_doubt(now, width)]


def _doubt(now: Shown, width: int) -> list[Row]:
    """How far off one drink's figures are as it is measured."""
    from station.cards.doubt import of_one_drink

    said = of_one_drink(now.glass_sd, width)
    return [row(), row("How far off", "strong"), *(row(line, "dim") for line in said)] if said else []


def summary(saved: Shown | str, now: Shown, width: int, low: bool = False) -> list[Row]:
    """The balance for where it has no pane of its own: what the figures are of, then a row each in fixed columns.

    Beside a figure stands its gauge where there is room, else its usual range in figures. On a low screen the ratio gives its row
    to what the figures are of; the balance page has it.
    """
    from station.calc.gauges import gauges

    was = now if isinstance(saved, str) else saved
    before, after = was.glass.figures, now.glass.figures
    found = {one.figure: one for one in gauges(now.window, now.glass, was.glass)}
    rows: list[Row] = [row(_summary_head(width, bool(found)), "dim")]
    for key, name in _NAMES.items():
        if key == "ph" or (low and key == "ratio"):
            continue
        old, new = say.number(before[key]), say.number(after[key])
        old, arrow = (old, "→") if old != new else ("", " ")
        cells = [(name, _NAME, "<"), *([(old, _FIGURE, ">"), (arrow, 1, "<")] if width >= _WITH_SAVED else [])]
        gauge = found.get(key)
        drawn = _beside(gauge, width) if gauge else ()
        rows.append((*columns(cells, "dim"), (" ", "text"), *columns([(new, _FIGURE, ">")], "strong"), _stands(gauge), *drawn))
    return rows


def _summary_head(width: int, ranged: bool) -> str:
    """What the figures are of, and how what stands beside them is read; as much of it as there is room for."""
    from station.cards.gauge import INSIDE, OFF_HIGH, OFF_LOW, WAS

    glass = "In the glass, acid as citric"
    if not ranged:
        return f"{glass} to pH 8.2" if width >= len(glass) + 10 else glass
    drawn = f"{INSIDE} usual range, its ends beside"
    heads = [f"{glass} to pH 8.2; {drawn}; {WAS} saved", f"{glass}; {drawn}", f"{glass}; {INSIDE} usual range"]
    if width >= _WITH_TRACK:
        heads = [f"{heads[0]}; {OFF_LOW} {OFF_HIGH} off it", *heads]
    else:
        heads = [f"{glass} to pH 8.2; at the right the usual range", f"{glass} to pH 8.2; right: usual", f"{glass:<29} usual"]
    return next((head for head in heads if len(head) <= width), glass)


def _beside(gauge: Gauge, width: int) -> Row:
    """A gauge with its ends, or its usual range in figures."""
    from station.cards.gauge import with_ends

    if width >= _WITH_TRACK:
        return ((" ", "text"), *_marked(with_ends(gauge, min(width - _SUMMARY - 1, _WIDEST_BESIDE)), gauge))
    room = width - (_SUMMARY if width >= _WITH_SAVED else _SUMMARY - _FIGURE - 3)
    return ((fitted(f" {say.number(gauge.low)}–{say.number(gauge.high)}", room), "dim"),)


def _gauged(was: Shown, now: Shown, width: int, saved: bool) -> list[Row]:
    """The figures a window may speak of, each with its gauge where it does; `saved`: whether `was` is what a file has."""
    from station.calc.gauges import gauges
    from station.cards.gauge import with_ends

    found = {one.figure: one for one in gauges(now.window, now.glass, was.glass)}
    before, after = was.glass.figures, now.glass.figures
    rows: list[Row] = []
    for key, name in _NAMES.items():
        old, new = (say.number(before[key]), say.number(after[key])) if key != "ph" else (_ph(was.glass), _ph(now.glass))
        gauge = found.get(key)
        figures = _row(name, old if saved else None, new, _stands(gauge))
        if gauge is None:
            rows.append(figures)
        elif width >= ONE_ROW:
            drawn = with_ends(gauge, min(width - _FIGURES - 2, _WIDEST_GAUGE))
            rows.append((*figures, ("  ", "text"), *_marked(drawn, gauge)))
        else:
            rows += [figures, _marked(with_ends(gauge, min(width, _WIDEST_GAUGE)), gauge)]
    return rows


def _marked(drawn: str, gauge: Gauge) -> Row:
    """A drawn gauge, its mark in the style of where it stands."""
    from station.cards.gauge import parted

    before, mark, after = parted(drawn, gauge)
    return ((before, "dim"), (mark, _STYLES[gauge.standing]), (after, "dim"))


def _stands(gauge: Gauge | None) -> tuple[str, str]:
    """Where a figure stands in its window, in shape and word; blank where there is none."""
    from station.cards.gauge import said

    standing = gauge.standing if gauge else ""
    return f" {said(standing):<{_STANDS}}", _STYLES[standing]


def _ph(glass: Balance) -> str:
    return say.ph(glass.ph, bool(glass.ph_note))


def _before_ice(was: Balance, now: Balance, figure: _Figure) -> list[Row]:
    return [
        figure("Volume ml", was.ml, now.ml),
        figure("ABV % vol", was.abv_pct, now.abv_pct),
        figure("Sugar g/100 ml", was.sugar_g_per_100ml, now.sugar_g_per_100ml),
        figure("Acid g/100 ml", was.acid_g_per_100ml, now.acid_g_per_100ml),
    ]


def _figure(name: str, was: float | None, now: float | None) -> Row:
    return _row(name, say.number(was), say.number(now))


def _unsaved(name: str, _: float | None, now: float | None) -> Row:
    """A figure of a drink of which nothing is saved that could be reckoned."""
    return _row(name, None, say.number(now))


def _row(name: str, old: str | None, new: str, stands: tuple[str, str] = ("", "text")) -> Row:
    """A figure as saved and now; None where there is nothing saved."""
    figure = columns([(new, _FIGURE, ">")], "accent" if old not in (None, new) else "text")
    return (
        *columns([(name, _NAME, "<"), (say.NOTHING if old is None else old, _FIGURE, ">"), ("", 0, "<")], "dim"),
        *figure,
        stands,
    )


def _window_said(now: Shown, width: int) -> list[Row]:
    """How a gauge is read, and whose range it shows."""
    if not now.window:
        return wrapped("no usual range: the spec names no style", width, "dim")
    from station.cards.gauge import INSIDE, OFF_HIGH, OFF_LOW, WAS

    key = f"{INSIDE * 2} usual range, its ends beside it; {WAS} as saved; {OFF_LOW} {OFF_HIGH} beyond the track."
    return [*wrapped(key, width, "dim"), *wrapped(now.window_source, width, "dim")]
