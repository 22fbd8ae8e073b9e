"""How well figures are known, and what rounding did to them, as lines of a card."""

from __future__ import annotations

from station.bar import say
from station.calc.answers import Batched
from station.calc.balance import Balance
from station.calc.rounding import Rounded
from station.calc.spread import Spread
from station.cards.layout import table, wrap

_WHAT = (
    "± is one standard uncertainty (two glasses in three are within it) of jiggers, counts, scales and calibrations; "
    "ice and the items' own figures are not in it."
)
_NAMES = ("ABV, % vol", "sugar, g/100 ml", "acid, g/100 ml as citric")
# From this share of a line on, its ± is put in relation to what it goes into.
_WORTH_RELATING = 0.02


def grams(sd_g: float | None, readability_g: float = 0.0) -> str:
    """The ± of a weight; nothing where it is within the last digit the scale shows."""
    return "" if sd_g is None or sd_g < readability_g else f"±{say.GAP}{say.number(sd_g, 2)}{say.GAP}g"


def in_mix(sd_g: float, line_g: float, mix_g: float, readability_g: float) -> str:
    """The ± of a line of a mix; one that is much of its line is said as a part of it and of the whole, too."""
    text = grams(sd_g, readability_g)
    if not text or sd_g < _WORTH_RELATING * line_g:
        return text
    line, whole = (f"{say.number(100.0 * sd_g / one, 2)}{say.GAP}%" for one in (line_g, mix_g))
    return f"{text} = {line} of the line, {whole} of the whole mix by weight"


def of_one_drink(spread: Spread | None, width: int) -> list[str]:
    """The ± of a glass in a sentence."""
    if spread is None:
        return []
    abv, sugar, acid = _figures(spread)
    text = f"Measured for one drink: ABV ± {abv} % vol, sugar ± {sugar}, acid ± {acid} g/100 ml as citric. {_WHAT}"
    return wrap(text, width, hang="")


def side_by_side(answer: Batched, width: int) -> list[str]:
    """One drink beside a glass of the batch, each figure with its ±: why weighing is worth it."""
    if answer.one_drink_sd is None or answer.glass_sd is None:
        return []
    single, batch = _with(answer.glass, answer.one_drink_sd), _with(answer.glass, answer.glass_sd)
    lines = table(
        [("A glass of it", "made by itself", "of this batch"), *zip(_NAMES, single, batch, strict=True)], frozenset({1, 2})
    )
    if max(map(len, lines)) > width:
        lines = ["A glass of it:"]
        lines += [
            line
            for name, alone, mixed in zip(_NAMES, single, batch, strict=True)
            for line in (name, *wrap(f"  {alone} made by itself", width), *wrap(f"  {mixed} of this batch", width))
        ]
    said = f"{_WHAT} A line without ± is known to the last digit its scale shows."
    return ["", *lines, *wrap(said, width, hang="")]


def by_rounding(rounded: Rounded | None, width: int) -> list[str]:
    """What rounding did to the balance, and to single lines by more than the balance tells."""
    if rounded is None:
        return []
    moved = [f"{name} {say.signed_percent(change)}" for name, change in _named(rounded) if change is not None]
    lines = ", ".join(f"{name} {say.signed_percent(change)}" for name, change in rounded.lines)
    off = f" Far from the recipe: {lines}, of the line's amount." if lines else ""
    return wrap(f"Rounded by {rounded.how}: {', '.join(moved)}, of what each was.{off}", width, hang="")


def _with(glass: Balance, spread: Spread) -> tuple[str, ...]:
    """Each figure of the glass with its ±, so that the ± is seen in relation to it."""
    whole = (glass.abv_pct, glass.sugar_g_per_100ml, glass.acid_g_per_100ml)
    return tuple(f"{say.number(one)}{say.GAP}±{say.GAP}{sd}" for one, sd in zip(whole, _figures(spread), strict=True))


def _figures(spread: Spread) -> tuple[str, str, str]:
    abv, sugar, acid = (say.number(one, 2) for one in (spread.abv_pct, spread.sugar_g_per_100ml, spread.acid_g_per_100ml))
    return abv, sugar, acid


def _named(rounded: Rounded) -> tuple[tuple[str, float | None], ...]:
    return (("acid", rounded.acid), ("sugar", rounded.sugar), ("ABV", rounded.abv), ("salt", rounded.salt))
