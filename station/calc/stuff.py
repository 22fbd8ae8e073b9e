"""What a bought item is made of: one composition a gram, from the figures its file states."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

from station.bar.composition import Composition, with_water_to
from station.bar.fault import CannotAnswer
from station.bar.nouns import Item
from station.science import acid, ethanol

# A stated density that misses the model's by more is a warning (design of the file format).
DENSITY_TOLERANCE = 0.01
_ROUNDING_G = 1e-6
# As SO2, over which sulphites are declared (EU Regulation 1169/2011 Annex II; 27 CFR 4.32(e) has the same 10 ppm).
DECLARED_SULPHITES_MG_PER_L = 10.0


@dataclass(frozen=True, slots=True)
class Stuff:
    """One gram of an item: what is in it, the density of the liquid (None: a solid), and what is said about it.

    `allergens` holds "?" where they are unknown. `bulk_g_per_ml` is a powder's, `each_g` one piece's.
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


# Finds the stuff of an item or stock by its id; raises CannotAnswer.
Lookup: TypeAlias = Callable[[str], Stuff]

WATER_STUFF = Stuff(Composition.of(water=1.0), ethanol.WATER_G_PER_ML)


def bought(item: Item) -> Stuff:
    """One gram of a bought item. Raises CannotAnswer where its figures cannot all be true."""
    composition, g_per_ml = _solid(item) if item.form == "solid" else _liquid(item)
    return Stuff(
        per_g=composition * (1.0 / composition.mass_g),
        g_per_ml=g_per_ml,
        allergens=frozenset(item.allergens or ()) | _by_sulphites(item),
        unknown=frozenset() if item.allergens is not None else frozenset({item.id}),
        bulk_g_per_ml=item.bulk_g_per_ml,
        each_g=item.each_g,
        in_liquid=item.kind != "garnish",
        acid_like=item.kind == "acid",
        unbuffered=item.ta is not None,
        may_contain=frozenset(item.may_contain),
        carbonated=item.carbonated,
    )


def _by_sulphites(item: Item) -> frozenset[str]:
    over = (item.sulphites_mg_per_l or 0.0) > DECLARED_SULPHITES_MG_PER_L
    return frozenset({"sulphites"} if over else ())


def density_miss(item: Item) -> float | None:
    """Stated density over the model's, less one; None where none is stated. Raises CannotAnswer."""
    if item.density_g_per_ml is None or item.form == "solid":
        return None
    composition = _liquid(replace(item, density_g_per_ml=None))[0]
    return item.density_g_per_ml / (composition.mass_g / composition.volume_ml) - 1.0


def _solid(item: Item) -> tuple[Composition, None]:
    given = sum(item.per_100_g.values())
    return Composition.of(dict(item.per_100_g)) + Composition.of(other=100.0 - given), None


def _liquid(item: Item) -> tuple[Composition, float]:
    """What 100 ml of a liquid hold, and its density: as stated where it is, else the model's."""
    try:
        whole = _by_mass(item) if item.per_100_g or item.brix is not None else _by_volume(item)
    except ValueError as error:
        raise CannotAnswer(f"{item.name} cannot be made out: {error}", f"lower its figures in {item.file}") from None
    return whole, item.density_g_per_ml or whole.mass_g / whole.volume_ml


def _by_volume(item: Item) -> Composition:
    """What 100 ml hold: water up to the stated density where there is one, so that both statements stay true; else to 100 ml."""
    solutes = Composition.of(_shares_per_100_ml(item))
    if item.density_g_per_ml is None:
        return with_water_to(100.0, solutes)
    return solutes + Composition.of(water=_left(100.0 * item.density_g_per_ml, solutes))


def _left(whole_g: float, solutes: Composition) -> float:
    """Grams of water left of the whole. ValueError if what is stated weighs more, but for rounding."""
    water = whole_g - solutes.mass_g
    if water < -_ROUNDING_G:
        raise ValueError(f"what is stated weighs {solutes.mass_g:.1f} g of {whole_g:.1f} g")
    return max(water, 0.0)


def _shares_per_100_ml(item: Item) -> dict[str, float]:
    shares = dict(item.per_100_ml)
    if item.abv_pct:
        shares["ethanol"] = ethanol.ethanol_g_per_100_ml(item.abv_pct)
    if item.ta is not None:
        shares.update(_acids(item))
    return shares


def _acids(item: Item) -> dict[str, float]:
    """Grams of each acid in 100 ml whose sum, by equivalents, is the stated titratable acidity."""
    assert item.ta is not None
    as_citric = acid.as_citric_g(item.ta.acid, item.ta.g_per_100_ml)
    per_g = sum(share * acid.CITRIC_PER_G[name] for name, share in item.acid_split.items())
    return {name: share * as_citric / per_g for name, share in item.acid_split.items()}


def _by_mass(item: Item) -> Composition:
    """100 g of a liquid stated by mass; ABV and TA, which are by volume, are met by iterating on its density."""
    by_mass = dict(item.per_100_g)
    if item.brix is not None:
        by_mass["sucrose"] = item.brix
    by_volume = _shares_per_100_ml(replace(item, per_100_ml={}))
    whole = Composition.of(water=100.0)
    for _ in range(60):
        solutes = Composition.of(by_mass) + Composition.of(by_volume) * (whole.volume_ml / 100.0)
        whole = solutes + Composition.of(water=_left(100.0, solutes))
        if not by_volume:
            break
    return whole
