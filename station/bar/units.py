"""Units: the words people use for them, and how large they are under each reading of `oz` and of spoons.

`units.txt` is the definition, in pint's language; `unit_table.py` is the flat table generated from it, so that no
keystroke waits for an import. `python -m station.bar.units` writes the table anew; a test holds the two equal.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from station.bar import unit_table

if TYPE_CHECKING:
    import pint

OUNCES = ("us", "imperial", "30 ml")
SPOONS = ("us", "metric", "au", "imperial")
COUNTED = ("drop", "dash", "barspoon", "spray")

# What a unit measures: "volume", "mass", "counted" (a dispenser's), "each" (pieces) or "part".
MEASURES = {
    **dict.fromkeys(("ml", "cl", "dl", "l", "oz", "tsp", "tbsp", "cup", "pint", "gal"), "volume"),
    **dict.fromkeys(("g", "kg", "mg", "oz wt", "lb"), "mass"),
    **dict.fromkeys(COUNTED, "counted"),
    "each": "each",
    "part": "part",
}

_SPELLINGS = {
    "ml": "millilitre millilitres milliliter milliliters",
    "cl": "centilitre centilitres centiliter centiliters",
    "dl": "decilitre decilitres deciliter deciliters",
    "l": "litre litres liter liters",
    "oz": "ounce ounces floz",
    "tsp": "teaspoon teaspoons",
    "tbsp": "tablespoon tablespoons",
    "cup": "cups",
    "pint": "pints",
    "gal": "gallon gallons",
    "g": "gram grams gramme grammes",
    "kg": "kilo kilos kilogram kilograms",
    "mg": "milligram milligrams",
    "lb": "lbs pound pounds",
    "drop": "drops",
    "dash": "dashes",
    "barspoon": "barspoons bsp",
    "spray": "sprays",
    "each": "piece pieces leaf leaves sprig sprigs slice slices wedge wedges twist twists coin coins egg eggs",
    "part": "parts",
}
WORDS = {
    **{word: unit for unit, words in _SPELLINGS.items() for word in (unit, *words.split())},
    **dict.fromkeys(("fl oz", "fluid ounce", "fluid ounces"), "oz"),
    **dict.fromkeys(("oz wt", "oz weight", "ounce weight", "ounces weight"), "oz wt"),
}

_DEFINED_AS = {"l": "litre", "oz wt": "ounce_weight", "oz": "ounce", "tsp": "teaspoon", "tbsp": "tablespoon", "gal": "gallon"}


def ml_per(unit: str, ounce: str, spoons: str) -> float:
    """Millilitres in one `unit` of volume, as a house reads its ounce and its spoons. KeyError if it is no volume."""
    if unit in unit_table.ML:
        return unit_table.ML[unit]
    return (unit_table.SPOON_ML[spoons] if unit in {"tsp", "tbsp"} else unit_table.OUNCE_ML[ounce])[unit]


def g_per(unit: str) -> float:
    """Grams in one `unit` of mass. KeyError if it is no mass."""
    return unit_table.G[unit]


def registry() -> pint.UnitRegistry:  # type: ignore[type-arg]  # pint's registry is generic only for its own plumbing
    """A pint registry of units.txt alone."""
    import pint

    return pint.UnitRegistry(str(Path(__file__).with_name("units.txt")), autoconvert_offset_to_baseunit=False)


def generated_table() -> str:
    """The text of unit_table.py, from units.txt through pint, dimension checked."""
    reg = registry()

    def size(unit: str, prefix: str, base: str) -> float:
        return float(reg.Quantity(1, prefix + _DEFINED_AS.get(unit, unit)).to(base).magnitude)

    def rows(units: tuple[str, ...], prefix: str, base: str) -> str:
        return "{" + ", ".join(f'"{unit}": {size(unit, prefix, base)!r}' for unit in units) + "}"

    def table(readings: tuple[str, ...], units: tuple[str, ...]) -> str:
        prefix = {"30 ml": "metric"}
        return "".join(f'    "{one}": {rows(units, prefix.get(one, one) + "_", "millilitre")},\n' for one in readings)

    return (
        '"""Generated from units.txt by `python -m station.bar.units`. Do not edit."""\n\n'
        f"ML = {rows(('ml', 'cl', 'dl', 'l'), '', 'millilitre')}\n"
        f"G = {rows(('g', 'kg', 'mg', 'oz wt', 'lb'), '', 'gram')}\n"
        f"OUNCE_ML = {{\n{table(OUNCES, ('oz', 'cup', 'pint', 'gal'))}}}\n"
        f"SPOON_ML = {{\n{table(SPOONS, ('tsp', 'tbsp'))}}}\n"
    )


if __name__ == "__main__":
    Path(__file__).with_name("unit_table.py").write_text(generated_table(), encoding="utf-8")
