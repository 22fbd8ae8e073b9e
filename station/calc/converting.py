"""One amount of one item said in every unit a bar measures with, each with what it rests on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from station.bar import units
from station.bar.amount import Amount
from station.bar.fault import CannotAnswer
from station.bar.nouns import Library, Line
from station.calc.blend import Blends
from station.calc.counting import Asked, believed
from station.calc.rounding import fills
from station.calc.stuff import Stuff
from station.calc.weigh import Dose, weigh


@dataclass(frozen=True, slots=True)
class InUnit:
    """The amount in one unit. `value` is None where it cannot be said, and `basis` says why; `said` is it in jiggers."""

    unit: str
    value: float | None
    basis: str
    said: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """The amount as a part of a whole, by weight or by volume: a fraction of it, on that basis (w/w or v/v)."""

    whole: str
    fraction: float
    basis: str


@dataclass(frozen=True, slots=True)
class Converted:
    """The answer to `convert`: grams with their standard uncertainty, millilitres (None: no liquid), and every other unit."""

    item: str
    name: str
    amount: str
    g: float
    g_sd: float
    ml: float | None
    basis: str
    rows: tuple[InUnit, ...]
    share: Share | None


def converted(blends: Blends, item: str, amount: Amount, dispenser: str = "", whole: Amount | None = None) -> Converted:
    """The amount in every unit, and as a share of `whole`. Raises CannotAnswer where it cannot be weighed."""
    library, one = blends.library, blends.stuff(item)
    dose = weigh(Line(item, amount, dispenser), blends.stuff, library, today=blends.today)
    if dose.g is None or dose.g_sd is None:
        raise CannotAnswer(f"what {amount.text} of {item} weighs is not known", 'give the item e.g. each = "30 g"')
    return Converted(
        item=item,
        name=library.name_of(item),
        amount=amount.text,
        g=dose.g,
        g_sd=dose.g_sd,
        ml=dose.ml,
        basis=dose.basis,
        rows=(*_by_weight(dose.g), *_by_volume(dose, one, library), *_in_counts(dose.g, item, blends)),
        share=_share(dose, whole, library) if whole else None,
    )


def _by_weight(grams: float) -> Iterator[InUnit]:
    yield InUnit("g", grams, "by weight")
    yield InUnit("oz wt", grams / units.g_per("oz wt"), "by weight, avoirdupois")


def _by_volume(dose: Dose, one: Stuff, library: Library) -> Iterator[InUnit]:
    """Volumes of a liquid at 20 °C, of a powder as it lies."""
    house, density = library.house, one.g_per_ml or one.bulk_g_per_ml
    if not density:
        yield InUnit("ml", None, "a powder without a bulk_density has no volume")
        return
    ml = dose.mass_g / density
    how = "20 °C, by its density" if one.g_per_ml else "as it lies, by its bulk density"
    yield InUnit("ml", ml, how)
    for ounce, name in (("us", "US"), ("imperial", "imperial")):
        yield InUnit(f"fl oz ({name})", ml / units.ml_per("oz", ounce, house.spoons), how)
    for spoon in ("tsp", "tbsp"):
        yield InUnit(f"{spoon} ({house.spoons})", ml / units.ml_per(spoon, house.ounce, house.spoons), how)
    if house.jigger_ml and one.g_per_ml and ml >= house.jigger_ml[0]:
        total, said = fills(ml, house.jigger_ml)
        yield InUnit("jiggers", total, "the nearest fills of the house's jiggers, in ml", said)


def _in_counts(grams: float, item: str, blends: Blends) -> Iterator[InUnit]:
    """Drops, dashes, spoons and sprays: of each dispenser of the house, else of none in particular."""
    library = blends.library
    for unit in units.COUNTED:
        of_unit = [one.id for one in library.dispensers.values() if one.unit == unit] or [""]
        for dispenser in of_unit:
            try:
                count = believed(Asked(item, unit, dispenser, blends.today), blends.stuff, library)
            except CannotAnswer as error:
                yield InUnit(unit, None, str(error))
            else:
                yield InUnit(unit, grams / count.g, count.basis)


def _share(dose: Dose, whole: Amount, library: Library) -> Share:
    house, value = library.house, whole.value or 0.0
    if whole.measures == "mass":
        return Share(whole.text, dose.mass_g / (value * units.g_per(whole.unit)), "w/w")
    if dose.ml is None:
        raise CannotAnswer(f"{dose.item} has no volume to be a part of {whole.text}", "give the whole by weight")
    return Share(whole.text, dose.ml / (value * units.ml_per(whole.unit, house.ounce, house.spoons)), "v/v")
