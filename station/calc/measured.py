"""A making as it was found to be: the yield on the scale or in the jug, and what instruments said, override the model."""

from __future__ import annotations

from station.bar.amount import Amount
from station.bar.composition import ACIDS, SUGARS, Composition, with_water_to
from station.bar.fault import CannotAnswer
from station.bar.nouns import House, Measured, Stock
from station.bar.units import g_per, ml_per
from station.calc.acidity import ta_g
from station.science import ethanol, titration


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
    """The model with the measured figures in place of its own, at its volume. Raises CannotAnswer if they cannot all be."""
    measured = stock.measured or Measured()
    ml = model.volume_ml
    grams = {name: model[name] for name in (*SUGARS, *ACIDS, "ethanol", "salt", "other")}
    if measured.abv_pct is not None:
        grams["ethanol"] = ethanol.ethanol_g_per_100_ml(measured.abv_pct) * ml / 100.0
    if measured.ta is not None:
        end_ph = measured.ta.end_ph or titration.END_PH
        _scale(grams, ACIDS, measured.ta.g_per_100_ml * ml / 100.0, ta_g(model, measured.ta.acid, end_ph), stock, "acid")
    whole = _filled(ml, grams, model, stock)
    if measured.brix is not None:
        for _ in range(20):
            _scale(grams, SUGARS, measured.brix / 100.0 * whole.mass_g, sum(grams[name] for name in SUGARS), stock, "sugar")
            whole = _filled(ml, grams, model, stock)
    return whole


def _scale(grams: dict[str, float], names: tuple[str, ...], wanted: float, now: float, stock: Stock, what: str) -> None:
    if now <= 0.0:
        raise CannotAnswer(f"{stock.name} was measured to hold {what}, its lines bring none", f"check both in {stock.file}")
    for name in names:
        grams[name] *= wanted / now


def _filled(ml: float, grams: dict[str, float], model: Composition, stock: Stock) -> Composition:
    try:
        return with_water_to(ml, Composition.of(grams, cation_mol=model["cation_mol"]))
    except ValueError as error:
        raise CannotAnswer(f"{stock.name} cannot be as it was measured: {error}", f"check {stock.file}") from None


def _size(amount: Amount, house: House) -> float:
    value = amount.value or 0.0
    return value * (g_per(amount.unit) if amount.measures == "mass" else ml_per(amount.unit, house.ounce, house.spoons))
