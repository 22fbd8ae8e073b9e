"""How well figures are known, and what rounding did to them, as lines of a card."""

from __future__ import annotations

from station.bar import say
from station.calc.rounding import Rounded
from station.calc.spread import Spread
from station.cards.layout import table, wrap

# A sentence is not broken narrower than this: a pane that is not shown has no width at all.

_WHAT = "± is one standard uncertainty of jiggers, counts, scales and calibrations; ice and the items' own figures are not in it."


def grams(sd_g: float | None, readability_g: float = 0.0) -> str:
    """The ± of a weight; nothing where it is within the last digit the scale shows."""
    return "" if sd_g is None or sd_g < readability_g else f"±{say.GAP}{say.number(sd_g, 2)}{say.GAP}g"


def of_one_drink(spread: Spread | None, width: int) -> list[str]:
    """The ± of a glass in a sentence."""
    if spread is None:
        return []
    abv, sugar, acid = _figures(spread)
    text = f"Measured for one drink: ABV ± {abv} % vol, sugar ± {sugar}, acid ± {acid} g/100 ml as citric. {_WHAT}"
    return wrap(text, width, hang="")


def side_by_side(one_drink: Spread | None, batch: Spread | None, width: int) -> list[str]:
    """One drink beside a glass of the batch: why weighing is worth it."""
    if one_drink is None or batch is None:
        return []
    rows = [
        ("How far off (±)", "ABV, % vol", "sugar, g/100 ml", "acid, g/100 ml"),
        ("one drink, measured by itself", *_figures(one_drink)),
        ("a glass of this batch", *_figures(batch)),
    ]
    said = f"Acid as citric. {_WHAT} A line without ± is known to the last digit its scale shows."
    return ["", *table(rows, right=frozenset({1, 2, 3}), width=width), *wrap(said, width, hang="")]


def by_rounding(rounded: Rounded | None, width: int) -> list[str]:
    """What rounding did to the balance."""
    if rounded is None:
        return []
    moved = [f"{name} {say.signed_percent(change)}" for name, change in _named(rounded) if change is not None]
    return wrap(f"Rounded by {rounded.how}: {', '.join(moved)}, of what each was.", width, hang="")


def _figures(spread: Spread) -> tuple[str, str, str]:
    abv, sugar, acid = (say.number(one, 2) for one in (spread.abv_pct, spread.sugar_g_per_100ml, spread.acid_g_per_100ml))
    return abv, sugar, acid


def _named(rounded: Rounded) -> tuple[tuple[str, float | None], ...]:
    return (("acid", rounded.acid), ("sugar", rounded.sugar), ("ABV", rounded.abv), ("salt", rounded.salt))
