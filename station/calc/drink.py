"""One serve of a spec: its lines weighed, what it is before ice, and what stands in the glass."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Line, Spec
from station.bar.units import ml_per
from station.calc.blend import Blends
from station.calc.dilution import Dilution, dilution
from station.calc.parts import shared
from station.calc.stuff import Stuff
from station.calc.weigh import Dose, weigh


@dataclass(frozen=True, slots=True)
class Poured:
    """A line of a serve, its dose and what it is made of; `in_batch` is what a serve takes of it in a batch, `rinse` what is
    poured into the glass of a rinse, of which the dose stays."""

    line: Line
    dose: Dose
    stuff: Stuff
    in_batch: Dose
    rinse: Dose | None = None

    @property
    def composition(self) -> Composition:
        """What the line brings to the liquid."""
        return self.stuff.per_g * self.dose.mass_g if self.counts else Composition()

    @property
    def batch_composition(self) -> Composition:
        """What it brings to the liquid of a batch, per serve."""
        return self.stuff.per_g * self.in_batch.mass_g if self.counts else Composition()

    @property
    def counts(self) -> bool:
        """Whether it is part of the liquid: garnishes and optional lines are not."""
        return self.stuff.in_liquid and not self.line.optional


@dataclass(frozen=True, slots=True)
class Drink:
    """One serve: `batch` is the liquid of the batch lines as a batch takes them, `undiluted` what meets the ice, `glass` all."""

    spec: Spec
    poured: tuple[Poured, ...]
    batch: Composition
    undiluted: Composition
    dilution: Dilution
    glass: Composition


def drink(spec: Spec, blends: Blends) -> Drink:
    """One serve of `spec`. Raises CannotAnswer where a line or the dilution cannot be made out."""
    lines = shared(spec.lines, spec.total)
    poured = tuple(pour(line, spec, blends) for line in lines if not fills_up(line))
    undiluted = together(poured, "batch", "service")
    water = dilution(spec, undiluted)
    glass = undiluted + Composition.of(water=water.water_g) + together(poured, "finish")
    if any(fills_up(line) for line in lines):
        poured = _with_tops(lines, poured, glass, spec, blends)
        glass = glass + Composition.total(one.composition for one in poured if fills_up(one.line))
    batch = Composition.total(one.batch_composition for one in poured if one.line.when == "batch")
    return Drink(spec, poured, batch, undiluted, water, glass)


def pour(line: Line, spec: Spec, blends: Blends) -> Poured:
    """One line of one serve, weighed. Raises CannotAnswer."""
    dose = weigh(line, blends.stuff, blends.library, spec.ounce, blends.today)
    stuff = blends.stuff(line.item)
    return Poured(line, dose, stuff, _in_batch(line, dose, spec, blends), _rinse(line, spec, blends))


def together(poured: Iterable[Poured], *when: str) -> Composition:
    """The liquid of the lines of these `when`."""
    return Composition.total(one.composition for one in poured if one.line.when in when)


def fills_up(line: Line) -> bool:
    """Whether the line is a top without a number: as much as the glass still takes."""
    return line.amount.role == "top" and line.amount.value is None


def _in_batch(line: Line, dose: Dose, spec: Spec, blends: Blends) -> Dose:
    if line.batch_amount is not None:
        other = replace(line, amount=line.batch_amount, dispenser="")
        dose = weigh(other, blends.stuff, blends.library, spec.ounce, blends.today)
        dose = replace(dose, basis=f"{dose.basis}, as the spec says for batches")
    if not line.hold_back:
        return dose
    return dose.times(1.0 - line.hold_back)


def _rinse(line: Line, spec: Spec, blends: Blends) -> Dose | None:
    said = line.poured or line.amount
    if said.measures != "volume" or (line.poured is None and line.amount.role != "rinse"):
        return None
    return weigh(replace(line, amount=replace(said, role="")), blends.stuff, blends.library, spec.ounce, blends.today)


def _with_tops(
    lines: tuple[Line, ...], poured: tuple[Poured, ...], glass: Composition, spec: Spec, blends: Blends
) -> tuple[Poured, ...]:
    """Every line in its place, the bare tops sharing what the glass still takes to its line."""
    tops = [line for line in lines if fills_up(line)]
    room = _washline_ml(spec, blends) - glass.volume_ml
    if room <= 0.0:
        raise CannotAnswer(
            f"{spec.name} is {glass.volume_ml:.0f} ml before its top, over its washline", f"raise the washline in {spec.file}"
        )
    known = iter(poured)
    return tuple(_top(line, room / len(tops), spec, blends) if fills_up(line) else next(known) for line in lines)


def _top(line: Line, ml: float, spec: Spec, blends: Blends) -> Poured:
    filled = pour(replace(line, amount=replace(line.amount, value=ml, unit="ml")), spec, blends)
    dose = replace(filled.dose, basis="up to the washline")
    return replace(filled, line=line, dose=dose, in_batch=dose)


def _washline_ml(spec: Spec, blends: Blends) -> float:
    if spec.washline is None or spec.washline.value is None:
        raise CannotAnswer(f"{spec.name} has a top without a number and no washline", f"add a washline in {spec.file}")
    house = blends.library.house
    return spec.washline.value * ml_per(spec.washline.unit, spec.ounce or house.ounce, house.spoons)
