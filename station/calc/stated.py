"""What a file states of a liquid as what is in it: shares by volume and by mass, alcohol, a titratable acidity with its pH.

Acid is counted free and bound together, with the strong cation that binds it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from station.bar.composition import COMPONENTS, Composition, with_water_to
from station.bar.nouns import Item
from station.science import ethanol, titration
from station.science.electrolyte import SALT_MOLAR_MASS, OutOfRange, cation_at, ph
from station.science.salts import ACID_SALTS, AcidSalt

# ABV and TA are by volume, Brix by mass, and the acid is solved for in the water it leaves: a few rounds settle all of it.
_MOST_ROUNDS = 60
_SETTLED_G = 1e-10
_ROUNDING_G = 1e-6
# Under this no burette tells the liquid from water.
_NO_BASE_MOL = 1e-6
_ROUNDING_MOL = 1e-4


def liquid(item: Item) -> Composition:
    """What 100 ml of a liquid hold, or 100 g where that is how it is stated. ValueError if its figures cannot all be true.

    Water is what is left: up to 100 ml at 20 °C, or up to 100 g.
    """
    by_mass = as_bought(item.per_100_g)
    if item.brix is not None:
        by_mass = by_mass + Composition.of(sucrose=item.brix)
    by_volume = as_bought(item.per_100_ml)
    if item.abv_pct:
        by_volume = by_volume + Composition.of(ethanol=ethanol.ethanol_g_per_100_ml(item.abv_pct))
    whole = _settled(replace(item, ph=None), by_mass, by_volume, Composition.of(water=100.0))
    # A pair of TA and pH is judged in the water there is, not in a first guess of it.
    return whole if item.ph is None else _settled(item, by_mass, by_volume, whole)


def _settled(item: Item, by_mass: Composition, by_volume: Composition, whole: Composition) -> Composition:
    """The liquid, round after round until its water no longer moves."""
    stated_by_mass = bool(item.per_100_g) or item.brix is not None
    for _ in range(_MOST_ROUNDS):
        ml = whole.volume_ml if stated_by_mass else 100.0
        solutes = with_acid(item, by_mass + by_volume * (ml / 100.0), whole, ml)
        before, whole = whole, _filled(solutes, stated_by_mass)
        if abs(whole["water"] - before["water"]) <= _SETTLED_G:
            break
    return whole


def as_bought(shares: Mapping[str, float]) -> Composition:
    """Grams by name as a composition: salts of acids become acid, cation and what is left; `cation_meq` is cation."""
    plain = {name: grams for name, grams in shares.items() if name in COMPONENTS}
    whole = Composition.of(plain, cation_mol=shares.get("cation_meq", 0.0) / 1000.0)
    for name, grams in shares.items():
        if name in ACID_SALTS:
            whole = whole + _salt(ACID_SALTS[name]) * grams
    return whole


def _salt(salt: AcidSalt) -> Composition:
    """One gram of a salt. The gas a bicarbonate gives off stays among what is left, so that the mass is as weighed."""
    rest = salt.rest_g_per_g + salt.gas_g_per_g
    acid = {salt.acid: salt.acid_g_per_g} if salt.acid else {}
    return Composition.of(acid, water=salt.water_g_per_g, other=rest, cation_mol=salt.cation_mol_per_g)


def _filled(solutes: Composition, stated_by_mass: bool) -> Composition:
    if stated_by_mass:
        return solutes + Composition.of(water=_left(100.0, solutes))
    return with_water_to(100.0, solutes)


def _left(whole_g: float, solutes: Composition) -> float:
    """Grams of water left of the whole. ValueError if what is stated weighs more, but for rounding."""
    water = whole_g - solutes.mass_g
    if water < -_ROUNDING_G:
        raise ValueError(f"what is stated weighs {solutes.mass_g:.1f} g of {whole_g:.1f} g")
    return max(water, 0.0)


def with_acid(item: Item, solutes: Composition, whole: Composition, ml: float) -> Composition:
    """The solutes of `ml` of the item with the acid and cation its TA and pH stand for; `whole` is a first guess at the liquid.

    TA alone: all of that acid is free. TA and pH: solved from the two. Acids listed, and a pH: the cation that gives it.
    Raises ValueError saying what is possible.
    """
    water_kg = whole["water"] / 1000.0
    if water_kg <= 0.0:
        raise ValueError("no water is left for its acid")
    if item.ta is None:
        return solutes + _bound(item, solutes, water_kg)
    base = titration.equivalents(item.ta.g_per_100_ml * ml / 100.0, item.ta.acid, item.ta.end_ph or titration.END_PH)
    if base <= _NO_BASE_MOL:
        return solutes
    acid_g, cation = _solved(item, base / water_kg, solutes["salt"] / SALT_MOLAR_MASS / water_kg)
    share = sum(item.acid_split.values())
    acids = {name: part / share * acid_g * water_kg for name, part in item.acid_split.items()}
    return solutes + Composition.of(acids, cation_mol=cation * water_kg)


def _solved(item: Item, base_per_kg: float, salt_per_kg: float) -> tuple[float, float]:
    assert item.ta is not None
    end_ph = item.ta.end_ph or titration.END_PH
    try:
        if item.ph is None:
            return titration.unbuffered(base_per_kg, item.acid_split, end_ph), 0.0
        found = titration.buffered(base_per_kg, item.ph, item.acid_split, salt_per_kg, end_ph)
    except titration.ImpossiblePair as error:
        stated = f"TA {item.ta.g_per_100_ml:g} g/100 ml as {item.ta.acid}"
        raise ValueError(
            f"pH {item.ph:g} and {stated} do not go together: at that TA the pH is from {error.lowest_ph:.2f} to under {end_ph:g}"
        ) from None
    except (OutOfRange, ArithmeticError) as error:
        raise ValueError(f"its acid cannot be solved: {error}") from None
    return found.acid_g, found.cation_mol


def _bound(item: Item, solutes: Composition, water_kg: float) -> Composition:
    """The cation that brings listed acids to a stated pH."""
    acids = solutes.acids
    if item.ph is None or not acids:
        return Composition()
    per_kg = {name: mol / water_kg for name, mol in titration.moles(acids).items()}
    try:
        at = cation_at(item.ph, per_kg, solutes["salt"] / SALT_MOLAR_MASS / water_kg)
    except OutOfRange as error:
        raise ValueError(f"its pH cannot be reckoned with: {error.reason}") from None
    if at.cation_mol < -_ROUNDING_MOL:
        lowest = ph(per_kg, 0.0, solutes["salt"] / SALT_MOLAR_MASS / water_kg).ph
        raise ValueError(f"pH {item.ph:g} is lower than its acids give: they reach {lowest:.2f}")
    return Composition.of(cation_mol=max(0.0, at.cation_mol) * water_kg)
