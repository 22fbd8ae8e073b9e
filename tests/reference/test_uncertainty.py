"""The ± of a glass by quadrature against sampling: JCGM 101:2008 (propagation of distributions by a Monte Carlo method).

The sampler starts from the hand and the scale, not from our uncertainties: every trial fills the jiggers, counts the drops and
takes the calibrations anew, and the whole engine reckons that glass.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy
import pytest
from small_library import demo

from station.bar.amount import parse_amount
from station.bar.nouns import Line, Spec
from station.calc.balance import balance
from station.calc.drink import drink
from station.calc.spread import of_one_drink

SPECS, TRIALS = 54, 700
# The sd of 700 draws is itself uncertain by 1/√(2·700) = 2.7 % (one standard uncertainty); of some 160 comparisons the worst
# is then expected near 2.8 times that, 7.5 %; 10 % is what was asked for, and leaves a few per cent to what is not linear.
WITHIN = 0.10
READABILITY_G = 0.01

Generator = numpy.random.Generator
Draw = Callable[[Generator, "Errors"], float]


class Errors(dict[str, float]):
    """What errs the same way in every line of one trial: standard normal deviates by source."""

    def __init__(self, random: Generator) -> None:
        super().__init__()
        self.random = random

    def __missing__(self, source: str) -> float:
        self[source] = float(self.random.standard_normal())
        return self[source]


@dataclass(frozen=True)
class Weighed:
    """A calibration as it stands in the demo library: readings in g of so many counts."""

    source: str
    reads: tuple[float, ...]
    count: int

    @property
    def scatter(self) -> float:
        """Of one count, relative to it: the spread of readings over √count."""
        return float(numpy.std(self.reads, ddof=1) / numpy.sqrt(self.count) / self.one)

    @property
    def of_mean(self) -> float:
        return float(numpy.std(self.reads, ddof=1) / numpy.sqrt(len(self.reads)) / numpy.mean(self.reads))

    @property
    def one(self) -> float:
        return float(numpy.mean(self.reads) / self.count)


CITRIC = Weighed("citric", (2.61, 2.58, 2.66), 50)
SALINE = Weighed("saline", (2.74, 2.70, 2.77), 50)
BITTERS = Weighed("bitters", (13.8, 14.9, 14.3), 20)
WATER = Weighed("water", (25.4, 26.1, 25.8), 10)
# USP <1101>: a dropper in use may be off by 15 % in volume; taken for all that is carried over to another liquid.
CARRIED = 0.15


def by_jigger(grams: float, ml: float) -> Draw:
    """A fill scatters by 3 %, at least by 0.5 ml (common practice, no source)."""
    return lambda random, errors: grams * (1.0 + max(0.03, 0.5 / ml) * random.standard_normal())


def by_count(grams: float, n: int, by: Weighed, carried: str = "") -> Draw:
    def draw(random: Generator, errors: Errors) -> float:
        scatter = by.scatter * float(numpy.mean(random.standard_normal(n)))
        of_mean = by.of_mean * errors[by.source]
        miscount = float(random.standard_normal()) / n if n > 10 else 0.0
        return grams * (1.0 + scatter + of_mean + miscount + (CARRIED * errors[carried] if carried else 0.0))

    return draw


def by_scale(grams: float) -> Draw:
    """USP <41>: the sd of a net weight is at least 0.41 of the readability."""
    return lambda random, errors: grams + 0.41 * READABILITY_G * random.standard_normal()


JIGGERED = ("rum-light", "gin-dry", "lime-juice", "lemon-juice", "syrup-1-1", "syrup-2-1", "maraschino-liqueur", "dry-vermouth")
COUNTED: dict[str, tuple[str, str, Weighed, str]] = {
    "citric-25": ("drop", "drops", CITRIC, ""),
    "saline-20": ("drop", "drops", SALINE, ""),
    "malic-20": ("drop", "drops", CITRIC, "malic"),
    "tartaric-20": ("drop", "drops", CITRIC, "tartaric"),
    "aromatic-bitters": ("dash", "dashes", BITTERS, ""),
    "lactic-10": ("dash", "dashes", BITTERS, "lactic"),
}


def a_line(random: Generator, item: str) -> tuple[str, Callable[[float], Draw]]:
    """An amount of the item, and how its grams are drawn."""
    if item == "citric-acid":
        return f"{round(float(random.uniform(0.2, 1.2)), 2)} g", by_scale
    if item in COUNTED:
        one, many, by, carried = COUNTED[item]
        n = int(random.integers(1, 15))
        return f"{n} {one if n == 1 else many}", lambda grams: by_count(grams, n, by, carried)
    ml = float(random.choice([7.5, 15.0, 22.5, 30.0, 45.0, 60.0]))
    return f"{ml} ml", lambda grams: by_jigger(grams, ml)


def a_spec(random: Generator) -> tuple[Spec, list[Callable[[float], Draw]]]:
    items = [*random.choice(JIGGERED, size=int(random.integers(2, 5)), replace=False)]
    items += [*random.choice([*COUNTED], size=int(random.integers(1, 4)), replace=False)]
    items += ["citric-acid"] if random.random() < 0.4 else []
    amounts = [a_line(random, item) for item in items]
    lines = tuple(Line(str(item), parse_amount(text)) for item, (text, _) in zip(items, amounts, strict=True))
    method = str(random.choice(["shake", "stir", "build"]))
    return Spec("random", "Random", method, lines), [drawn for _, drawn in amounts]


def figures(spec: Spec) -> tuple[float, float, float]:
    glass = balance(drink(spec, demo()).glass)
    return glass.abv_pct or 0.0, glass.sugar_g_per_100ml or 0.0, glass.acid_g_per_100ml or 0.0


@cache
def compared(seed: int) -> tuple[tuple[float, float], ...]:
    """For one random spec: each figure's ± by quadrature and by sampling."""
    random = numpy.random.default_rng(seed)
    spec, drawn = a_spec(random)
    made = drink(spec, demo())
    grams = [draw(poured.dose.mass_g) for draw, poured in zip(drawn, made.poured, strict=True)]
    trials = [figures(_with(spec, [draw(random, errors) for draw in grams])) for errors in map(Errors, [random] * TRIALS)]
    sampled = numpy.std(numpy.array(trials), axis=0, ddof=1)
    spread = of_one_drink(made)
    assert spread is not None
    return tuple(zip((spread.abv_pct, spread.sugar_g_per_100ml, spread.acid_g_per_100ml), map(float, sampled), strict=True))


def _with(spec: Spec, grams: list[float]) -> Spec:
    lines = [replace(line, amount=replace(line.amount, value=g, unit="g")) for line, g in zip(spec.lines, grams, strict=True)]
    return replace(spec, lines=tuple(lines))


@pytest.mark.parametrize("seed", range(SPECS))
def test_the_quadrature_is_what_sampling_finds(seed: int) -> None:
    for quadrature, sampled in compared(seed):
        assert quadrature == pytest.approx(sampled, rel=WITHIN, abs=1e-12)
