"""What one serve of a drink takes out of the stores: its lines as they are bought, not as they are counted in the glass."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from station.bar.nouns import WATER, House, Spec
from station.bar.units import ml_per
from station.calc.drink import Drink, Poured


@dataclass(frozen=True, slots=True)
class Takes:
    """Of one serve: grams by item or stock, pieces of what is only counted; what of the grams reaches the glass, what a rinse
    pours away, and what a batch holds back to be added by taste."""

    g: Mapping[str, float]
    pieces: Mapping[str, float]
    in_glass_g: float
    poured_away_g: float
    held_back_g: float


def takes(drink: Drink, water_g: float, house: House) -> Takes:
    """One serve, with `water_g` of dilution water in the vessel. Optional lines take nothing: nobody knows who wants them."""
    grams: dict[str, float] = {WATER: water_g} if water_g else {}
    pieces: dict[str, float] = {}
    in_glass, away, held = water_g, 0.0, 0.0
    for poured in drink.poured:
        if poured.line.optional:
            continue
        item = poured.line.item
        if poured.dose.g is None:
            pieces[item] = pieces.get(item, 0.0) + (poured.line.amount.value or 0.0)
            continue
        kept, more_away, more_held = _shares(poured, drink.spec, house)
        grams[item] = grams.get(item, 0.0) + kept + more_away + more_held
        in_glass, away, held = in_glass + kept, away + more_away, held + more_held
    return Takes(grams, pieces, in_glass, away, held)


def _shares(poured: Poured, spec: Spec, house: House) -> tuple[float, float, float]:
    """Grams that reach the glass, that are poured away, that are held back."""
    line = poured.line
    if line.when != "batch" or not poured.counts:
        return poured.dose.mass_g, _poured_away(poured, spec, house), 0.0
    in_batch = poured.in_batch.mass_g
    return in_batch, 0.0, in_batch * line.hold_back / (1.0 - line.hold_back)


def _poured_away(poured: Poured, spec: Spec, house: House) -> float:
    """Grams of a rinse that do not stay in the glass: what is poured, where the line says it, less what is kept."""
    line, dose = poured.line, poured.dose
    said = line.poured or line.amount
    if line.amount.role != "rinse" or said.value is None or not dose.ml:
        return 0.0
    ml = said.value * ml_per(said.unit, spec.ounce or house.ounce, house.spoons)
    return max(0.0, ml - dose.ml) * dose.mass_g / dose.ml
