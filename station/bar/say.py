"""Numbers for people: leading zero, no trailing zeros, a space before the unit, digits grouped from 10 000 up."""

from __future__ import annotations

import math
from collections.abc import Iterable

# A no-break space: a number and its unit never part at a line's end.
GAP = "\u00a0"
NOTHING = "–"
LONGEST_MESSAGE = 1000


def number(value: float | None, digits: int = 3) -> str:
    """`value` to `digits` significant figures, never as an exponent; a dash for what is undefined."""
    if value is None or not math.isfinite(value):
        return NOTHING
    if value == 0.0:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    return fixed(round(value, decimals), decimals)


def fixed(value: float, decimals: int) -> str:
    """`value` to at most `decimals` places."""
    text = f"{value:.{decimals}f}"
    whole, _, part = text.partition(".")
    part = part.rstrip("0")
    sign, whole = ("-", whole[1:]) if whole.startswith("-") else ("", whole)
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", GAP)
    text = f"{whole}.{part}" if part else whole
    return text if text == "0" else sign + text


def grams(value: float | None, readability_g: float | None = None) -> str:
    """Grams with their unit: as the scale shows them where its readability is known, else three figures (whole from 100)."""
    if value is None:
        return NOTHING
    if readability_g:
        step = round(value / readability_g) * readability_g
        return f"{fixed(step, max(0, -math.floor(math.log10(readability_g) + 1e-9)))}{GAP}g"
    return f"{number(value, 3 if value < 100 else len(str(round(value))))}{GAP}g"


def volume(value_ml: float | None, shown: str = "ml", ounce_ml: float = 29.5735295625) -> str:
    """A volume in the house's unit; litres (L) from 1 L up where the house shows ml."""
    if value_ml is None:
        return NOTHING
    if shown == "oz":
        return f"{number(value_ml / ounce_ml)}{GAP}oz"
    if shown == "cl":
        return f"{number(value_ml / 10.0)}{GAP}cl"
    return f"{number(value_ml / 1000.0)}{GAP}L" if value_ml >= 999.5 else f"{number(value_ml)}{GAP}ml"


def allergens(names: Iterable[str]) -> str:
    """What the suppliers name; that nothing is named is not said to be nothing."""
    return ", ".join(names) or "none stated by the suppliers"


def percent(fraction: float | None, basis: str) -> str:
    """A fraction as %, its basis beside it: w/w, w/v, of initial, of final, ABV."""
    return NOTHING if fraction is None else f"{number(100.0 * fraction)}{GAP}%{GAP}{basis}"


def signed_percent(change: float) -> str:
    """A relative change as %, with its sign."""
    sign = "+" if change > 0.0 else "−" if change < 0.0 else "±"
    return f"{sign}{number(abs(100.0 * change), 2)}{GAP}%"


def ph(value: float | None, rough: bool) -> str:
    """A pH to two places, to one where it is an estimate."""
    return NOTHING if value is None else fixed(value, 1 if rough else 2)


def standing(value: float, window: tuple[float, float]) -> str:
    """Where a figure stands in a window: low, within or high; never good or bad."""
    low, high = window
    return "low" if value < low else "high" if value > high else "within"


def plain(text: str, limit: int = 400) -> str:
    """Text from a file or a person as it may stand on a screen: no control or bidi characters, one line, at most `limit`."""
    if text.isascii() and text.isprintable() and len(text) <= limit:
        return text
    kept = "".join(map(_shown, text[: 2 * limit]))
    return kept if len(kept) <= limit else kept[: limit - 1] + "…"


def _shown(char: str) -> str:
    if char == GAP or (char.isprintable() and char not in _UNSEEN):
        return char
    return " " if char.isspace() else "\ufffd"


# Zero-width and directional characters that str.isprintable lets by or that reorder what follows them.
_UNSEEN = frozenset("\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\u061c") | {
    chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))
}
