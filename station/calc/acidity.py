"""The acid of a liquid as a chemist would find it: titrated, its pH, each kind's share, how sour it counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from station.bar.composition import Composition
from station.science import sourness, titration
from station.science.electrolyte import SALT_MOLAR_MASS, Equilibrium, OutOfRange, ph

NO_ACID = "there is no acid in it"
TOO_LITTLE_WATER = "water is under half of its mass, where the model ends"
ALCOHOL_PCT = 10.0
ESTIMATE = "an estimate, to 0.1: alcohol's effect is not modelled"
_TRACE = 1e-7
_LEAST_WATER_SHARE = 0.5


@dataclass(frozen=True, slots=True)
class Acidity:
    """Acid of a liquid: TA in g as citric to pH 8.2, pH with a note (why there is none, or how far it is good), kinds in g."""

    ta_g: float
    ph: float | None
    ph_note: str
    kinds_g: Mapping[str, float]


def acidity(liquid: Composition, abv_pct: float | None = None) -> Acidity:
    """What titration and a meter would say of the whole liquid."""
    value, note = ph_of(liquid, abv_pct)
    return Acidity(ta_g(liquid), value, note, liquid.acids)


def base_mol(liquid: Composition, end_ph: float = titration.END_PH) -> float:
    """Moles of strong base the whole liquid takes to `end_ph`, as a sample diluted with water is titrated."""
    acids = liquid.acids
    if not acids:
        return 0.0
    # Acid stronger than the sample would be diluted anyway; what holds less water than that is titrated in so much.
    water_kg = max(liquid["water"], 1000.0 / titration.DILUTED_ACID_G * liquid.acid_g) / 1000.0
    per_kg = {name: mol / water_kg for name, mol in titration.moles(acids).items()}
    salt = liquid["salt"] / SALT_MOLAR_MASS / water_kg
    return water_kg * titration.titratable(per_kg, liquid["cation_mol"] / water_kg, salt, end_ph)


def ta_g(liquid: Composition, acid: str = "citric", end_ph: float = titration.END_PH) -> float:
    """Titratable acid of the whole liquid, g as that acid to that end point; never below 0."""
    return max(0.0, titration.stated_as_g(base_mol(liquid, end_ph), acid, end_ph))


def ta_as(liquid: Composition, basis: str) -> float:
    """Titratable acid of the whole liquid, g, in a basis said as `tartaric to pH 7.0`."""
    acid, _, end_ph = basis.partition(" to pH ")
    return ta_g(liquid, acid, float(end_ph))


def ph_of(liquid: Composition, abv_pct: float | None) -> tuple[float | None, str]:
    """The pH and how far it is good; None and the reason where the model does not reach."""
    if liquid.acid_g <= _TRACE * liquid.mass_g:
        return None, NO_ACID
    if liquid["water"] < _LEAST_WATER_SHARE * liquid.mass_g:
        return None, TOO_LITTLE_WATER
    try:
        at = equilibrium(liquid)
    except OutOfRange as error:
        return None, error.reason
    return at.ph, ESTIMATE if abv_pct is not None and abv_pct > ALCOHOL_PCT else ""


def equilibrium(liquid: Composition) -> Equilibrium:
    """The liquid's acids, cation and salt at rest in its water. Raises OutOfRange above I = 0.5 mol/kg."""
    water_kg = liquid["water"] / 1000.0
    return ph(_per_kg(liquid), liquid["cation_mol"] / water_kg, liquid["salt"] / SALT_MOLAR_MASS / water_kg)


def sour_as_citric_g(liquid: Composition) -> float | None:
    """Grams of citric that would count as sour in its water: an estimate (Neta et al. 2007); None where there is no pH."""
    if ph_of(liquid, None)[0] is None:
        return None
    mol = sourness.as_sour_as_citric_mol(_per_kg(liquid), equilibrium(liquid))
    return mol * liquid["water"] / 1000.0 * _CITRIC_G_PER_MOL


def _per_kg(liquid: Composition) -> dict[str, float]:
    water_kg = liquid["water"] / 1000.0
    return {name: mol / water_kg for name, mol in titration.moles(liquid.acids).items()}


_CITRIC_G_PER_MOL = 1.0 / titration.moles({"citric": 1.0})["citric"]
