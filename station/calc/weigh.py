"""An amount as a person wrote it, in grams, with how well that is known and on what it rests."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from station.bar import units
from station.bar.amount import Amount
from station.bar.fault import CannotAnswer
from station.bar.nouns import Library, Line
from station.calc.counting import Asked, believed
from station.calc.stuff import Lookup, Stuff
from station.calc.unsure import HEAPED_SD, PIECE_SD, RINSE_SD, SURE, Unsure, filled, weighed

RINSE_KEPT = Amount("0.75 ml", 0.75, "ml")


@dataclass(frozen=True, slots=True)
class Dose:
    """One line weighed: grams and millilitres (None where it has none), on what the figure rests, and how well it is known."""

    item: str
    g: float | None
    ml: float | None
    basis: str
    unsure: Unsure = SURE

    @property
    def mass_g(self) -> float:
        """Grams that go in: none for a piece that is only counted."""
        return self.g or 0.0

    @property
    def g_sd(self) -> float | None:
        """Standard uncertainty of the grams; None where there are none."""
        return None if self.g is None else self.unsure.sd_g

    def times(self, factor: float) -> Dose:
        """So many times as much of it, as well known for its size."""
        g, ml = (None if one is None else one * factor for one in (self.g, self.ml))
        return replace(self, g=g, ml=ml, unsure=self.unsure.times(factor))


def weigh(line: Line, stuff: Lookup, library: Library, ounce: str = "", today: date | None = None) -> Dose:
    """The line's dose, `ounce` overriding the house's; a calibration over a month old on `today` is called old.

    Raises CannotAnswer where the amount needs a figure that is not there.
    """
    one, amount = stuff(line.item), line.amount
    if amount.role == "rinse":
        return _rinse(line, one, library, ounce)
    if amount.value is None:
        raise CannotAnswer(f"“{amount.text}” of {line.item} does not say how much", "write e.g. top 60 ml")
    if amount.measures == "mass":
        grams = amount.value * units.g_per(amount.unit)
        return _of_mass(line.item, grams, one, "by weight", weighed(grams, library.house))
    if amount.measures == "volume":
        return _of_volume(line.item, amount, one, library, ounce)
    if amount.measures == "each":
        return _of_pieces(line.item, amount.value, one)
    if amount.measures == "counted":
        count = believed(Asked(line.item, amount.unit, line.dispenser, today), stuff, library)
        return _of_mass(line.item, amount.value * count.g, one, count.basis, count.unsure(amount.value))
    raise CannotAnswer(f"“{amount.text}” of {line.item} is in parts", "write ml or g")


def grams_of(amount: Amount, item: str, stuff: Lookup, library: Library) -> float:
    """Grams of an amount of an item on its own, as for what is on hand. Raises CannotAnswer."""
    grams = weigh(Line(item, amount), stuff, library).g
    if grams is None:
        raise CannotAnswer(f"{item} has no weight", "give it as grams")
    return grams


def _of_mass(item: str, grams: float, one: Stuff, basis: str, unsure: Unsure) -> Dose:
    return Dose(item, grams, grams / one.g_per_ml if one.g_per_ml else None, basis, unsure)


def _of_volume(item: str, amount: Amount, one: Stuff, library: Library, ounce: str) -> Dose:
    house = library.house
    if one.g_per_ml is None and amount.unit == "oz":
        raise CannotAnswer(f"an ounce of {item}, a solid, could be by volume or by weight", "write g or oz wt")
    density = one.g_per_ml or one.bulk_g_per_ml
    if density is None:
        raise CannotAnswer(f"{item} is a powder: its volume does not say its weight", "write g, or give it a bulk_density")
    ml = (amount.value or 0.0) * units.ml_per(amount.unit, ounce or house.ounce, house.spoons)
    if one.g_per_ml:
        return Dose(item, ml * density, ml, "by volume", filled(ml, density))
    return Dose(item, ml * density, None, "by bulk density", Unsure(HEAPED_SD * ml * density))


def _rinse(line: Line, one: Stuff, library: Library, ounce: str) -> Dose:
    """What stays in the glass of a rinse, not what was poured into it."""
    kept, reads, basis = line.kept, ounce, "a rinse, what stays in the glass"
    if kept is None:
        kept, reads, basis = RINSE_KEPT, "", "a rinse, 0.75 ml stays in the glass (from memory, not checked)"
    dose = _of_volume(line.item, kept, one, library, reads)
    return Dose(dose.item, dose.g, dose.ml, basis, Unsure(RINSE_SD * dose.mass_g))


def _of_pieces(item: str, count: float, one: Stuff) -> Dose:
    if one.each_g is not None:
        scatter = Unsure(PIECE_SD * one.each_g * count**0.5)
        return _of_mass(item, count * one.each_g, one, f"{one.each_g:g} g each", scatter)
    if one.in_liquid:
        raise CannotAnswer(f"what one {item} weighs is not known", 'give the item e.g. each = "30 g"')
    return Dose(item, None, None, "by count")
