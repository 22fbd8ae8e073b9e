"""An amount as a person wrote it, in grams: what one drop, dash or spoon of this liquid weighs, and why that is believed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from station.bar import units
from station.bar.amount import Amount
from station.bar.fault import CannotAnswer
from station.bar.nouns import Calibration, Dispenser, Library, Line
from station.calc.stuff import WATER_STUFF, Lookup, Stuff
from station.science import drop, weighing

DASH_ML = 0.8
RINSE_KEPT = Amount("0.75 ml", 0.75, "ml")
# A basis stands on batch cards too, so it names the dispenser and never a count.
_BUILT_IN_DROPPER = "built-in dropper figure (Ph. Eur. 2.1.1, 0.05 g of water), uncalibrated"
_BUILT_IN_DASHER = "built-in dasher figure (0.8 ml ± 40 %, common practice, no source), uncalibrated"


@dataclass(frozen=True, slots=True)
class Dose:
    """One line weighed: grams and millilitres (None where it has none), and on what the figure rests."""

    item: str
    g: float | None
    ml: float | None
    basis: str

    @property
    def mass_g(self) -> float:
        """Grams that go in: none for a piece that is only counted."""
        return self.g or 0.0


def weigh(line: Line, stuff: Lookup, library: Library, ounce: str = "") -> Dose:
    """The line's dose, `ounce` overriding the house's. Raises CannotAnswer where the amount needs a figure that is not there."""
    one, amount = stuff(line.item), line.amount
    if amount.role == "rinse":
        return _rinse(line, one, library, ounce)
    if amount.value is None:
        raise CannotAnswer(f"“{amount.text}” of {line.item} does not say how much", "write e.g. top 60 ml")
    if amount.measures == "mass":
        return _of_mass(line.item, amount.value * units.g_per(amount.unit), one, "by weight")
    if amount.measures == "volume":
        return _of_volume(line.item, amount, one, library, ounce)
    if amount.measures == "each":
        return _of_pieces(line.item, amount.value, one)
    if amount.measures == "counted":
        per_count, basis = _counted(line, one, stuff, library)
        return _of_mass(line.item, amount.value * per_count, one, basis)
    raise CannotAnswer(f"“{amount.text}” of {line.item} is in parts", "write ml or g")


def grams_of(amount: Amount, item: str, stuff: Lookup, library: Library) -> float:
    """Grams of an amount of an item on its own, as for what is on hand. Raises CannotAnswer."""
    grams = weigh(Line(item, amount), stuff, library).g
    if grams is None:
        raise CannotAnswer(f"{item} has no weight", "give it as grams")
    return grams


def _of_mass(item: str, grams: float, one: Stuff, basis: str) -> Dose:
    return Dose(item, grams, grams / one.g_per_ml if one.g_per_ml else None, basis)


def _of_volume(item: str, amount: Amount, one: Stuff, library: Library, ounce: str, said: str = "") -> Dose:
    house = library.house
    if one.g_per_ml is None and amount.unit == "oz":
        raise CannotAnswer(f"an ounce of {item}, a solid, could be by volume or by weight", "write g or oz wt")
    density = one.g_per_ml or one.bulk_g_per_ml
    if density is None:
        raise CannotAnswer(f"{item} is a powder: its volume does not say its weight", "write g, or give it a bulk_density")
    ml = (amount.value or 0.0) * units.ml_per(amount.unit, ounce or house.ounce, house.spoons)
    basis = "by volume" if one.g_per_ml else "by bulk density"
    return Dose(item, ml * density, ml if one.g_per_ml else None, said or basis)


def _rinse(line: Line, one: Stuff, library: Library, ounce: str) -> Dose:
    """What stays in the glass of a rinse, not what was poured into it."""
    if line.kept is not None:
        return _of_volume(line.item, line.kept, one, library, ounce, "a rinse, what stays in the glass")
    return _of_volume(line.item, RINSE_KEPT, one, library, "", "a rinse, 0.75 ml stays in the glass (from memory)")


def _of_pieces(item: str, count: float, one: Stuff) -> Dose:
    if one.each_g is not None:
        return _of_mass(item, count * one.each_g, one, f"{one.each_g:g} g each")
    if one.in_liquid:
        raise CannotAnswer(f"what one {item} weighs is not known", 'give the item e.g. each = "30 g"')
    return Dose(item, None, None, "by count")


def _counted(line: Line, one: Stuff, stuff: Lookup, library: Library) -> tuple[float, str]:
    """Grams of one drop, dash, spoon or spray, and why: calibrated, carried over, the house's default, the built-in one."""
    unit = line.amount.unit
    for dispenser in _candidates(line, library):
        calibration = _newest(dispenser.calibrations, line.item)
        if calibration:
            return _per_count(calibration), f"{dispenser.name}, {_said(calibration)}"
    for dispenser in _candidates(line, library):
        calibration = _newest(one_of for one_of in dispenser.calibrations if _has(stuff, one_of.item))
        if calibration:
            grams, how = _carried(_per_count(calibration), stuff(calibration.item), one, unit)
            return grams, f"{dispenser.name}, carried over{how} from {library.name_of(calibration.item)}, {_said(calibration)}"
    density = one.g_per_ml or one.bulk_g_per_ml
    if unit in library.counted_ml and density:
        return library.counted_ml[unit] * density, "the house's default, uncalibrated"
    if unit == "drop" and one.g_per_ml:
        return _carried(drop.PHARMACOPOEIA_DROP_G, WATER_STUFF, one, unit)[0], _BUILT_IN_DROPPER
    if unit == "dash" and density:
        return DASH_ML * density, _BUILT_IN_DASHER
    raise CannotAnswer(f"what one {unit} of {line.item} weighs is not known", f"calibrate a {unit}, or give [defaults] {unit}")


def _candidates(line: Line, library: Library) -> list[Dispenser]:
    """The line's own dispenser; where it names none, the house's dispensers of that unit."""
    if line.dispenser:
        return [library.dispensers[line.dispenser]] if line.dispenser in library.dispensers else []
    return [one for one in library.dispensers.values() if one.unit == line.amount.unit]


def _newest(calibrations: Iterable[Calibration], item: str = "") -> Calibration | None:
    mine = [one for one in calibrations if not item or one.item == item]
    return max(mine, key=lambda one: one.date) if mine else None


def _per_count(calibration: Calibration) -> float:
    return weighing.drop_statistics(calibration.reads_g, calibration.count)[0]


def _said(calibration: Calibration) -> str:
    times, day = len(calibration.reads_g), calibration.date
    return f"{times} weighing{'s' if times > 1 else ''}, {day.day} {day:%b %Y}"


def _has(stuff: Lookup, item: str) -> bool:
    try:
        stuff(item)
    except CannotAnswer:
        return False
    return True


def _carried(known_g: float, known: Stuff, one: Stuff, unit: str) -> tuple[float, str]:
    """One count of this liquid from one of another, and how, where it is worth saying.

    A drop's mass goes with surface tension; a spoon keeps its volume, as does a drop outside what is known of drops.
    """
    if known.g_per_ml is None or one.g_per_ml is None:
        raise CannotAnswer(f"a {unit} of powder cannot be reckoned from a {unit} of liquid", "calibrate it, or write g")
    by_volume = known_g / known.g_per_ml * one.g_per_ml
    if unit != "drop":
        return by_volume, ""
    shares = _ethanol_share(known), _ethanol_share(one)
    try:
        return drop.transferred_drop_g(known_g, shares[0], known.g_per_ml, shares[1], one.g_per_ml), ""
    except ValueError:
        return by_volume, " by volume (outside what is known of how liquids fall)"


def _ethanol_share(one: Stuff) -> float:
    """Ethanol in water and ethanol, by mass: what the surface of the liquid is taken to be made of."""
    solvent = one.per_g["water"] + one.per_g["ethanol"]
    return one.per_g["ethanol"] / solvent if solvent else 0.0
