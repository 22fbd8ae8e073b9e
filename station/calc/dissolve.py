"""Whether what a stock or a drink holds stays dissolved where it is kept."""

from __future__ import annotations

from collections.abc import Iterator

from station.bar import say
from station.bar.cautions import Caution, caution
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Stock
from station.calc.acidity import equilibrium
from station.science import solubility, sugar
from station.science.electrolyte import OutOfRange
from station.science.ethanol import ETHANOL_G_PER_ML
from station.science.titration import moles

# Where a stock is kept, °C: a room, a fridge by the US Food Code's 5 °C at the warmest, a freezer.
COLDEST_C = {"room": 20.0, "fridge": 4.0, "freezer": -18.0}


def refuse_undissolved(stock: Stock, liquid: Composition) -> None:
    """Raises CannotAnswer if an acid of the stock would not dissolve at its coldest storage."""
    for acid, per_100, t_c in _strengths(stock, liquid):
        try:
            limit = solubility.solubility_g_per_100_g(acid, t_c)
        except OutOfRange:
            continue
        if per_100 > limit:
            raise CannotAnswer(
                f"{stock.name} is {say.number(per_100)} g {acid} per 100 g of water; at {t_c:g} °C only {say.number(limit)} g "
                f"dissolve ({solubility.SOLUBILITY[acid].source})",
                f"make it weaker, or keep it warmer than the {stock.store}",
            )


def of_stock(stock: Stock, liquid: Composition) -> Iterator[Caution]:
    """Cautions about crystals: sugar over its saturation, acids whose solubility at that cold is not known, tartrate."""
    t_c = COLDEST_C[stock.store]
    for acid, per_100, _ in _strengths(stock, liquid):
        try:
            solubility.solubility_g_per_100_g(acid, t_c)
        except OutOfRange as error:
            if per_100 > _WORTH_SAYING:
                yield caution("solubility-unknown", acid=acid, reason=error.reason)
    if liquid["sucrose"] > 0.0 and t_c >= 0.0:
        share = liquid["sucrose"] / (liquid["sucrose"] + liquid["water"])
        limit = sugar.saturation_mass_fraction(t_c)
        if share > limit:
            yield caution("sugar-crystals", brix=say.number(100 * share), limit=say.number(100 * limit), t=f"{t_c:g}")
    yield from tartrate(liquid, t_c)


def tartrate(liquid: Composition, t_c: float) -> Iterator[Caution]:
    """A warning where tartaric acid and a juice's or wine's potassium can throw crystals at that temperature.

    The saturation is a product of two concentrations; what is said is its root, how often each is what stays dissolved.
    """
    if liquid["tartaric"] <= 0.0 or liquid["cation_mol"] <= 0.0 or liquid["water"] <= 0.0:
        return
    water_kg = liquid["water"] / 1000.0
    tartaric = moles({"tartaric": liquid["tartaric"]})["tartaric"] / water_kg
    abv_pct = 100.0 * liquid["ethanol"] / ETHANOL_G_PER_ML / liquid.volume_ml
    try:
        times = solubility.bitartrate_saturation(tartaric, liquid["cation_mol"] / water_kg, equilibrium(liquid), t_c, abv_pct)
    except OutOfRange as error:
        yield caution("tartrate-unknown", reason=error.reason)
        return
    if times > 1.0:
        yield caution("tartrate", times=say.number(times**0.5, 2), t=f"{t_c:g}")


# Grams per 100 g of water under which no acid here is near its limit, and nothing need be said.
_WORTH_SAYING = 5.0


def _strengths(stock: Stock, liquid: Composition) -> Iterator[tuple[str, float, float]]:
    """Each acid that can crystallise, its grams per 100 g of water, and how cold the stock is kept."""
    for acid, grams in liquid.acids.items():
        if acid not in solubility.MISCIBLE and liquid["water"] > 0.0:
            yield acid, 100.0 * grams / liquid["water"], COLDEST_C[stock.store]
