"""A pour as plain text: how much of what will be in the vessel, and the lasting mark of a mis-pour that was left in."""

from __future__ import annotations

from station.bar import say
from station.bar.nouns import Library
from station.calc.balance import Balance
from station.calc.poured import AsPoured, Off
from station.cards.serving import serves_said
from station.cards.text import FIGURE_NAMES, FIGURE_UNITS, let_down

# So many lines are named in a mark; the rest are counted.
_NAMED = 3
_FIGURES = ("abv", "sugar", "acid")


def in_now(one: AsPoured, drink_g: float, cups: bool = False) -> str:
    """What is in the vessel, and in its `cups` where something is in them, by now."""
    return f"in it {'and the cup ' if cups else ''}now: {say.grams(one.now.g)}, {_drinks(one.now, drink_g)}"


def at_the_end(one: AsPoured, drink_g: float) -> list[str]:
    """What it comes to once all is in, by what is in; the plan beside it where that is another."""
    planned, ends = totals(one.planned, one.planned_serves, drink_g), totals(one.ends, one.serves, drink_g)
    if planned == ends:
        return [f"when full, as planned: {ends}"]
    return [f"when full, by what is in: {ends}", f"planned: {planned}"]


def at_the_end_brief(one: AsPoured) -> str:
    """The serves it comes to, the planned beside them, for one row of a narrow screen."""
    ends, planned = serves_said(one.serves), serves_said(one.planned_serves)
    return f"when full {ends} serves, planned {planned}"


def in_it(one: AsPoured, drink_g: float, beside: bool = True) -> list[str]:
    """What a finished pour is: totals, the vessel's figures, a glass; each by what is in, `beside` it the plan if another.

    Where there is no room beside, of the plan the serves alone.
    """
    planned, ends = totals(one.planned, one.planned_serves, drink_g), totals(one.ends, one.serves, drink_g)
    figures, planned_figures = _figures(one.ends), _figures(one.planned)
    serve, planned_serve = (_drinks(glass, drink_g) for glass in (one.glass, one.planned_glass))
    rows = [("in it", ends, planned), ("in the vessel", figures, planned_figures), ("in a glass", serve, planned_serve)]
    if not beside:
        planned = f"{serves_said(one.planned_serves)} serves" if planned != ends else ends
        rows = [("in it", ends, planned), ("in the vessel", figures, figures), ("in a glass", serve, serve)]
    return [f"{name}: {now}{f'; planned {plan}' if now != plan else ''}" for name, now, plan in rows]


def totals(mix: Balance, serves: float, drink_g: float) -> str:
    return f"{say.grams(mix.g)}, {serves_said(serves)} serves, {_drinks(mix, drink_g)}"


def strength(mix: Balance) -> str:
    """As a label says it."""
    return f"{say.number(mix.abv_pct)} % vol"


def mark(one: AsPoured, library: Library) -> str:
    """What was left in that should not be, or is short, and where that leaves the glass; "" where all is as on the card."""
    off = "; ".join(filter(None, [_off(one.off, library), _unknown(one)]))
    if one.outside:
        figures = ", ".join(_figure(name, one) for name in one.outside)
        glass = f"outside the taste tolerance ({_taste(one)}), in the glass: {figures}"
        return f"{off}; {glass}" if off else glass
    return f"{off}; within the taste tolerance ({_taste(one)})" if off and not one.unknown_g else off


def brief_mark(one: AsPoured, library: Library) -> str:
    """The mark with one figure, out of its window or else the one that moved most, for a screen that has no room for all."""
    off = "; ".join(filter(None, [_off(one.off, library), _unknown(one)]))
    if one.outside:
        most = max(one.outside, key=lambda name: (_out_of_window(name, one), abs(one.moved[name] or 0.0)))
        figure = _figure(most, one, brief=True)
        return f"{off}: {figure}" if off else figure
    return off


def _off(off: tuple[Off, ...], library: Library) -> str:
    if not off:
        return ""
    most = sorted(off, key=lambda one: -one.by)
    said = [_off_by(one, library) for one in most]
    more = len(said) - _NAMED
    named = "; ".join([*said[:_NAMED], *([f"{more} more lines off"] if more > 0 else [])])
    return f"{named}, left {'in' if all(one.g > 0.0 for one in off) else 'so'}"


def _off_by(one: Off, library: Library) -> str:
    grams, name = say.grams(abs(one.g), one.readability_g), library.name_of(one.item)
    name = let_down(name) if one.let_down else name
    return f"{'over' if one.g > 0.0 else 'short'} by {grams} of {name}" if one.on_card else f"{grams} of {name}, not on the card"


def _unknown(one: AsPoured) -> str:
    """What the vessel's scale showed at the end that no weighing accounts for."""
    if not one.unknown_g:
        return ""
    grams = say.grams(abs(one.unknown_g), 1.0 if abs(one.unknown_g) >= 10.0 else None)
    if one.unknown_g < 0.0:
        return f"the scale showed {grams} less than was weighed in: where that went is unknown"
    return f"the scale showed {grams} more than was weighed in: what that is is unknown, so are the figures"


def _figure(name: str, one: AsPoured, brief: bool = False) -> str:
    """A figure of the glass, the planned one and its window beside it; `brief`: of the two the window only where it is left."""
    if name == "salt":
        by = one.moved["salt"]
        return "salt, the card has none" if by is None else f"salt {say.signed_percent(by)} (relative)"
    planned, out = f"planned {say.number(one.planned_glass.figures[name])}", _out_of_window(name, one)
    low, high = one.window.get(name, (0.0, 0.0))
    span = f"window {say.number(low)} to {say.number(high)}"
    stands = f"outside its {span}" if out else f"its {span} holds" if name in one.window else ""
    beside = (stands if out else planned,) if brief else (planned, stands)
    return f"{_said(name, one.glass)} ({'; '.join(filter(None, beside))})"


def _out_of_window(name: str, one: AsPoured) -> bool:
    value = one.glass.figures.get(name)
    return name in one.window and value is not None and say.standing(value, one.window[name]) != "within"


def _figures(mix: Balance) -> str:
    return ", ".join(_said(name, mix) for name in _FIGURES)


def _said(name: str, mix: Balance) -> str:
    word = FIGURE_NAMES[name] if name == "abv" else FIGURE_NAMES[name].lower()
    unit = FIGURE_UNITS[name].removesuffix(" at 20 °C").replace(" ", say.GAP, 1)
    return f"{word} {say.number(mix.figures[name])}{say.GAP}{unit}"


def _drinks(mix: Balance, drink_g: float) -> str:
    return f"{say.number(mix.ethanol_g / drink_g)} standard drinks of {say.grams(drink_g)}"


def _taste(one: AsPoured) -> str:
    return say.percent(one.taste, "relative")
