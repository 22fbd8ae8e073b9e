"""What a bought item is made of: one composition a gram, from the figures its file states."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Item
from station.calc.stated import as_bought, liquid
from station.science import ethanol

# A stated density that misses the model's by more is a warning.
DENSITY_TOLERANCE = 0.01
# As SO2, over which sulphites are declared (EU Regulation 1169/2011 Annex II; 27 CFR 4.32(e) has the same 10 ppm).
DECLARED_SULPHITES_MG_PER_L = 10.0


@dataclass(frozen=True, slots=True)
class Stuff:
    """One gram of an item: what is in it, the density of the liquid (None: a solid), and what is said about it.

    `allergens` holds "?" where they are unknown; `so2_unstated` the items with sulphites nobody put a figure to.
    `bulk_g_per_ml` is a powder's, `each_g` one piece's.
    """

    per_g: Composition
    g_per_ml: float | None
    allergens: frozenset[str] = frozenset()
    unknown: frozenset[str] = frozenset()
    bulk_g_per_ml: float | None = None
    each_g: float | None = None
    in_liquid: bool = True
    acid_like: bool = False
    unbuffered: bool = False
    may_contain: frozenset[str] = frozenset()
    carbonated: bool = False
    so2_mg_per_g: float = 0.0
    so2_unstated: frozenset[str] = frozenset()


# Finds the stuff of an item or stock by its id; raises CannotAnswer.
Lookup: TypeAlias = Callable[[str], Stuff]

WATER_STUFF = Stuff(Composition.of(water=1.0), ethanol.WATER_G_PER_ML)


def bought(item: Item) -> Stuff:
    """One gram of a bought item. Raises CannotAnswer where its figures cannot all be true."""
    composition, g_per_ml = _solid(item) if item.form == "solid" else _liquid(item)
    return Stuff(
        per_g=composition * (1.0 / composition.mass_g),
        g_per_ml=g_per_ml,
        allergens=_allergens(item),
        unknown=frozenset() if item.allergens is not None else frozenset({item.id}),
        bulk_g_per_ml=item.bulk_g_per_ml,
        each_g=item.each_g,
        in_liquid=item.kind != "garnish",
        acid_like=item.kind == "acid",
        unbuffered=item.ta is not None and item.ph is None,
        may_contain=frozenset(item.may_contain),
        carbonated=item.carbonated,
        so2_mg_per_g=(item.sulphites_mg_per_l or 0.0) / 1000.0 / (g_per_ml or 1.0),
        so2_unstated=frozenset({item.id} if "sulphites" in (item.allergens or ()) and item.sulphites_mg_per_l is None else ()),
    )


def _allergens(item: Item) -> frozenset[str]:
    """What the supplier names and what follows: sulphites by their mg; wheat, one of the US nine, is of the EU's gluten."""
    named = set(item.allergens or ())
    if (item.sulphites_mg_per_l or 0.0) > DECLARED_SULPHITES_MG_PER_L:
        named.add("sulphites")
    return frozenset(named | ({"gluten"} if "wheat" in named else set()))


def density_miss(item: Item) -> float | None:
    """Stated density over the model's, less one; None where none is stated. Raises CannotAnswer."""
    if item.density_g_per_ml is None or item.form == "solid":
        return None
    return item.density_g_per_ml / _liquid(item)[1] - 1.0


def _solid(item: Item) -> tuple[Composition, None]:
    given = as_bought(item.per_100_g)
    return given + Composition.of(other=max(0.0, 100.0 - given.mass_g)), None


def _liquid(item: Item) -> tuple[Composition, float]:
    """What a liquid is made of, and its density. A stated density only checks the model's: both in one blend would not add up."""
    try:
        whole = liquid(item)
    except ValueError as error:
        raise CannotAnswer(f"{item.name} cannot be made out: {error}", f"check its figures in {item.file}") from None
    return whole, whole.mass_g / whole.volume_ml
