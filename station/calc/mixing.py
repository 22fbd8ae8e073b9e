"""One mix of a batch: every line's grams, by which weighings they come, how well they are then known."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from station.bar import say
from station.bar.composition import Composition
from station.bar.nouns import WATER, House, Vessel
from station.calc.drink import Drink, Poured
from station.calc.intermediate import Intermediate, intermediate
from station.calc.scales import ToWeigh, Weighing, sees, weighings
from station.calc.stuff import WATER_STUFF, Stuff
from station.calc.unsure import Unsure, on_scale
from station.calc.weigh import Dose


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One line of a mix: `g` of the item are in it, known to `g_sd` once weighed, of them `acid_g` acid where it is one.

    `weigh_g` goes on the scale: more than `g` where the dose comes in a weaker `intermediate`, less for water that one brings.
    The display shows `reads_g` after it, `times` over where the line is weighed in portions, from a tared jug if `apart`.
    `rounded` says what it was rounded to.
    """

    item: str
    ml: float | None
    g: float
    g_sd: float
    into: str
    reads_g: float
    scale: str
    basis: str
    note: str
    acid_g: Mapping[str, float]
    weigh_g: float
    times: int
    apart: bool
    intermediate: Intermediate | None
    rounded: str


@dataclass(frozen=True, slots=True)
class Mix:
    """One mix, `count` times over: its vessel (None where the house lists none), volume, mass and weighed lines."""

    vessel: str | None
    count: int
    ml: float
    g: float
    lines: tuple[BatchLine, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One line's share of a mix, `g` of it: `serves` doses, rounded as `rounded` says if it says anything."""

    dose: Dose
    poured: Poured | None
    stuff: Stuff
    tolerance: float
    serves: float
    g: float
    rounded: str = ""

    @property
    def ml(self) -> float | None:
        """Its volume, where it is a liquid."""
        return None if self.dose.ml is None or not self.dose.g else self.dose.ml * self.g / self.dose.g

    @property
    def composition(self) -> Composition:
        """What it brings to the mix."""
        return self.stuff.per_g * self.g


def parts(drink: Drink, water_g: float, serves: float, house: House) -> tuple[Part, ...]:
    """Every line that goes into a mix of so many serves, then the water each takes for dilution."""
    poured = [one for one in drink.poured if not at_the_glass(one)]
    lines = [Part(one.in_batch, one, one.stuff, _tolerance(one, house), serves, one.in_batch.mass_g * serves) for one in poured]
    if water_g:
        water = Dose(WATER, water_g, water_g / (WATER_STUFF.g_per_ml or 1.0), "pre-dilution water")
        lines.append(Part(water, None, WATER_STUFF, house.weigh, serves, water_g * serves))
    return tuple(lines)


def mixed(
    lines: Sequence[Part], vessel: Vessel | None, count: int, whole: Composition, house: House
) -> tuple[Mix, tuple[Unsure, ...]]:
    """One of `count` equal mixes that together are `whole`, and how well each part is known, as one serve takes it."""
    weaker = _intermediates(lines, house)
    to_weigh = [ToWeigh(key, _on_the_scale(key, lines, weaker), part.tolerance) for key, part in enumerate(lines)]
    placed = weighings(to_weigh, vessel.tare_g if vessel else 0.0, house.scales)
    doubts = {one.key: _doubt(lines[one.key], one, weaker.get(one.key), house) for one in placed}
    made = tuple(_line(lines[one.key], to_weigh[one.key].g, one, weaker.get(one.key), doubts[one.key].sd_g) for one in placed)
    mix = Mix(vessel.id if vessel else None, count, whole.volume_ml / count, whole.mass_g / count, made)
    return mix, tuple(doubts[key].times(1.0 / part.serves) for key, part in enumerate(lines))


def at_the_glass(poured: Poured) -> bool:
    """Whether a line is added per glass, or goes into no liquid."""
    return poured.line.when != "batch" or poured.dose.g is None or not poured.counts


def _tolerance(poured: Poured, house: House) -> float:
    return house.weigh_acid if poured.stuff.acid_like else house.weigh


def _intermediates(lines: Sequence[Part], house: House) -> dict[int, Intermediate]:
    """For each line that no scale here sees, a weaker solution of it, as long as the batch's own water lasts."""
    found: dict[int, Intermediate] = {}
    water = _most_water(lines)
    left = lines[water].g if water is not None else 0.0
    for key, part in enumerate(lines):
        dose = ToWeigh(key, part.g, part.tolerance)
        if key == water or not part.g or any(sees(scale, dose) for scale in house.scales.values()):
            continue
        one = intermediate(dose, part.stuff, left, house.scales)
        if one is not None:
            found[key] = one
            left -= one.brings_water_g
    return found


def _most_water(lines: Sequence[Part]) -> int | None:
    waters = [key for key, part in enumerate(lines) if part.dose.item == WATER]
    return max(waters, key=lambda key: lines[key].g, default=None)


def _on_the_scale(key: int, lines: Sequence[Part], weaker: Mapping[int, Intermediate]) -> float:
    if key in weaker:
        return weaker[key].weigh_g
    brought = sum(one.brings_water_g for one in weaker.values()) if key == _most_water(lines) else 0.0
    return lines[key].g - brought


def _line(part: Part, weigh_g: float, weighing: Weighing, weaker: Intermediate | None, g_sd: float) -> BatchLine:
    acids = part.stuff.per_g.acids if part.poured and part.stuff.acid_like else {}
    notes = (_pieces(part), _held_back(part), _by_the_weaker(weaker), _less_water(part, weigh_g, weaker), weighing.note)
    return BatchLine(
        item=part.dose.item,
        ml=part.ml,
        g=part.g,
        g_sd=g_sd,
        into=weighing.into,
        reads_g=weighing.reads_g,
        scale=weighing.scale,
        basis=part.dose.basis,
        note="; ".join(note for note in notes if note),
        acid_g={name: share * part.g for name, share in acids.items()},
        weigh_g=weigh_g,
        times=weighing.times,
        apart=weighing.apart,
        intermediate=weaker,
        rounded=part.rounded,
    )


def _doubt(part: Part, weighing: Weighing, weaker: Intermediate | None, house: House) -> Unsure:
    """How well the line's grams are known: the scale's error, and what came in with the spec."""
    scale = house.scales.get(weighing.scale)
    own = on_scale(part.g, scale, part.tolerance) * math.sqrt(weighing.times)
    if weaker is not None:
        amounts = (weaker.item_g, weaker.make_g, weaker.weigh_g)
        own = part.g * math.hypot(*(on_scale(grams, scale, part.tolerance) / grams for grams in amounts))
    return part.dose.unsure.weighed(part.serves, own)


def _pieces(part: Part) -> str:
    if part.poured is None or part.poured.line.amount.measures != "each":
        return ""
    return f"about {say.number((part.poured.line.amount.value or 0.0) * part.serves)} pieces"


def _held_back(part: Part) -> str:
    share = part.poured.line.hold_back if part.poured else 0.0
    if not share:
        return ""
    return f"{say.percent(share, 'of the dose')} held back: taste, then add up to {say.grams(part.g * share / (1.0 - share))}"


def _by_the_weaker(one: Intermediate | None) -> str:
    if one is None:
        return ""
    return (
        f"no scale here sees it: let it down to {say.grams(one.make_g)} "
        f"({say.grams(one.item_g)} of it, {say.grams(one.water_g)} water), weigh {say.number(one.weigh_g, 4)}{say.GAP}g of that"
    )


def _less_water(part: Part, weigh_g: float, weaker: Intermediate | None) -> str:
    if weaker is not None or weigh_g == part.g:
        return ""
    return f"{say.grams(part.g - weigh_g)} less than its {say.grams(part.g)}: the weaker solution brings it"
