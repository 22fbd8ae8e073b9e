"""A making as it was found to be: the yield on the scale or in the jug, and what instruments said, override the model."""

from __future__ import annotations

from dataclasses import dataclass

from station.bar.amount import Amount
from station.bar.composition import ACIDS, COMPONENTS, SUGARS, Composition, with_water_to
from station.bar.fault import CannotAnswer
from station.bar.nouns import House, Measured, Stock
from station.bar.units import g_per, ml_per
from station.calc.acidity import ta_g
from station.science import ethanol, titration
from station.science.electrolyte import SALT_MOLAR_MASS, OutOfRange, cation_at

_ROUNDS = 40
_SETTLED_G = 1e-9
_ROUNDING_MOL = 1e-4


@dataclass(frozen=True, slots=True)
class _Of:
    """What was measured, as a person calls it, and what to do where its figures cannot all be true."""

    name: str
    remedy: str


def found_to_be(stock: Stock, model: Composition, house: House) -> tuple[Composition, float]:
    """The stock's composition and volume (ml) as measured, the model's where nothing was. Raises CannotAnswer.

    A yield by weight takes everything in proportion: what is missing was lost. A yield by volume sets the density.
    Measured ABV, Brix and TA replace the model's at equal volume; water fills up what is left.
    """
    whole = corrected(stock, model) if stock.measured else model
    ml = whole.volume_ml
    if stock.measured_yield is None:
        return whole, ml
    found = _size(stock.measured_yield, house)
    if stock.measured_yield.measures == "volume":
        return whole, found
    return whole * (found / whole.mass_g), ml * (found / whole.mass_g)


def corrected(stock: Stock, model: Composition) -> Composition:
    """The stock's model with its measured figures in place of its own. Raises CannotAnswer if they cannot all be."""
    return as_measured(stock.measured or Measured(), model, stock.name, f"check both in {stock.file}")


def as_measured(measured: Measured, model: Composition, name: str, remedy: str) -> Composition:
    """The model with the measured figures in place of its own, at its volume. Raises CannotAnswer if they cannot all be.

    Acid and the cation that binds it, and all sugars, keep their proportions.
    """
    of = _Of(name, remedy)
    ml = model.volume_ml
    grams = {name: model[name] for name in COMPONENTS if name != "water"}
    if measured.abv_pct is not None:
        grams["ethanol"] = ethanol.ethanol_g_per_100_ml(measured.abv_pct) * ml / 100.0
    whole = _filled(ml, grams, of)
    for _ in range(_ROUNDS):
        if measured.ta is not None:
            found = ta_g(whole, measured.ta.acid, measured.ta.end_ph or titration.END_PH)
            kinds = ACIDS if measured.ph is not None else (*ACIDS, "cation_mol")
            _scale(grams, kinds, measured.ta.g_per_100_ml * ml / 100.0, found, of, "acid")
        if measured.ph is not None:
            grams["cation_mol"] = _binding(measured.ph, grams, whole, of)
        if measured.brix is not None:
            _scale(grams, SUGARS, measured.brix / 100.0 * whole.mass_g, whole.sugar_g, of, "sugar")
        before, whole = whole, _filled(ml, grams, of)
        if abs(whole["water"] - before["water"]) <= _SETTLED_G:
            break
    return whole


def _scale(grams: dict[str, float], names: tuple[str, ...], wanted: float, now: float, of: _Of, what: str) -> None:
    if now <= 0.0:
        raise CannotAnswer(f"{of.name} was measured to hold {what}, its lines bring none", of.remedy)
    for name in names:
        grams[name] *= wanted / now


def _binding(ph: float, grams: dict[str, float], whole: Composition, of: _Of) -> float:
    """The cation, mol, that brings these acids to that pH in the water there is."""
    water_kg = whole["water"] / 1000.0
    acids = {name: grams[name] for name in ACIDS if grams[name] > 0.0}
    try:
        per_kg = {name: mol / water_kg for name, mol in titration.moles(acids).items()}
        cation = cation_at(ph, per_kg, grams["salt"] / SALT_MOLAR_MASS / water_kg).cation_mol
    except (OutOfRange, ZeroDivisionError):
        raise CannotAnswer(f"the pH measured of {of.name} is out of the model's reach", of.remedy) from None
    if cation < -_ROUNDING_MOL or not acids:
        raise CannotAnswer(f"{of.name} was measured at pH {ph:g}, lower than its acids give", of.remedy)
    return max(0.0, cation) * water_kg


def _filled(ml: float, grams: dict[str, float], of: _Of) -> Composition:
    try:
        return with_water_to(ml, Composition.of(grams))
    except ValueError as error:
        raise CannotAnswer(f"{of.name} cannot be as it was measured: {error}", of.remedy) from None


def _size(amount: Amount, house: House) -> float:
    value = amount.value or 0.0
    return value * (g_per(amount.unit) if amount.measures == "mass" else ml_per(amount.unit, house.ounce, house.spoons))
