"""One serve of a spec: its lines weighed, what it is before ice, and what stands in the glass."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from station.bar.composition import Composition
from station.bar.nouns import Line, Spec
from station.calc.blend import Blends
from station.calc.dilution import Dilution, dilution
from station.calc.stuff import Stuff
from station.calc.weigh import Dose, weigh


@dataclass(frozen=True, slots=True)
class Poured:
    """A line of a serve, its dose and what it is made of."""

    line: Line
    dose: Dose
    stuff: Stuff

    @property
    def composition(self) -> Composition:
        """What the line brings to the liquid."""
        return self.stuff.per_g * self.dose.mass_g if self.stuff.in_liquid else Composition()


@dataclass(frozen=True, slots=True)
class Drink:
    """One serve. `batch` and `undiluted` are the liquid of the batch lines, and with the service lines; `glass` is all of it."""

    spec: Spec
    poured: tuple[Poured, ...]
    batch: Composition
    undiluted: Composition
    dilution: Dilution
    glass: Composition


def pour(spec: Spec, blends: Blends) -> tuple[Poured, ...]:
    """Every line of one serve, weighed. Raises CannotAnswer."""
    library = blends.library
    return tuple(Poured(line, weigh(line, blends.stuff, library, spec.ounce), blends.stuff(line.item)) for line in spec.lines)


def drink(spec: Spec, blends: Blends) -> Drink:
    """One serve of `spec`. Raises CannotAnswer where a line or the dilution cannot be made out."""
    poured = pour(spec, blends)
    batch = together(poured, "batch")
    undiluted = batch + together(poured, "service")
    water = dilution(spec, undiluted)
    glass = undiluted + Composition.of(water=water.water_g) + together(poured, "finish")
    return Drink(spec, poured, batch, undiluted, water, glass)


def together(poured: Iterable[Poured], when: str) -> Composition:
    """The liquid of the lines of that `when`."""
    return Composition.total(one.composition for one in poured if one.line.when == when)
