"""A dose no scale sees: through a weaker solution, its water out of the batch's."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from small_library import NOON, SOUR, demo, drink, open_small

from station.bar.composition import Composition
from station.bar.nouns import Scale
from station.calc.answers import Batched
from station.calc.batch import Target
from station.calc.intermediate import Intermediate, intermediate
from station.calc.scales import ToWeigh, smallest_g
from station.calc.stuff import Stuff
from station.desk.batching import batched

FINE = Scale("fine", "Fine scale", 200.0, 0.01)
TENTH = Scale("tenth", "Scale of a tenth", 2_000.0, 0.1)
SOLUTION = demo().stuff("citric-25")


def by(dose_g: float, scale: Scale = FINE, stuff: Stuff = SOLUTION, water_g: float = 500.0) -> Intermediate | None:
    return intermediate(ToWeigh(0, dose_g, 0.01), stuff, water_g, {scale.id: scale})


# 0.525 g to 1 % on a scale of 0.1 g, that sees 8.2 g (USP <41>): 10 g of it in 190 g of water are 5 % w/w, and 10.5 g of that
# hold it, with 9.975 g of water.
def test_half_a_gram_by_a_scale_of_a_tenth() -> None:
    assert by(0.525, TENTH) == Intermediate(200.0, 10.0, 190.0, 5.0, pytest.approx(10.5), pytest.approx(9.975))


@given(st.floats(0.002, 0.8), st.floats(1.0, 2_000.0))
@settings(max_examples=100, deadline=None)
def test_every_weighing_of_a_weaker_solution_is_seen_and_brings_exactly_the_dose(dose_g: float, water_g: float) -> None:
    one = by(dose_g, water_g=water_g)
    assume(one is not None)
    assert one is not None
    least = smallest_g(FINE, 0.01)
    assert min(one.item_g, one.weigh_g) >= least * (1 - 1e-12)
    assert one.weigh_g * one.item_g / one.make_g == pytest.approx(dose_g, rel=1e-12)
    assert one.item_g + one.water_g == pytest.approx(one.make_g, rel=1e-12)
    assert one.weigh_g == pytest.approx(dose_g + one.brings_water_g, rel=1e-12)
    assert one.weigh_g <= one.make_g and one.brings_water_g <= water_g


def test_a_batch_with_too_little_water_of_its_own_gets_none() -> None:
    assert by(0.525, TENTH, water_g=9.0) is None


# What does not dissolve cannot be weighed as a solution: of succinic acid 5.8 g in 100 g of water at 20 °C (CRC Handbook).
def test_a_powder_is_only_made_as_strong_as_it_dissolves() -> None:
    succinic = Stuff(Composition.of(succinic=1.0), None, acid_like=True)
    one = by(0.3, stuff=succinic)
    assert one is not None and one.strength_pct_ww <= 5.0
    bran = Stuff(Composition.of(other=1.0), None)
    assert by(0.3, stuff=bran) is None


HOUSE = 'format = 1\n[scales.tenth]\nname = "Kitchen scale"\ncapacity = "5 kg"\nreadability = "0.1 g"\n'


def card(folder: Path, more: str) -> Batched:
    spec = drink("stir", "spirit: 60 ml", "syrup: 10 ml", "citric-25: 2 drops", more=more)
    opened = open_small(folder, {"station.toml": HOUSE, "drinks/sour.toml": spec})
    return batched(opened.blends, "sour", Target(serves=10), None, NOON)


def test_a_diluted_batch_takes_the_solutions_water_from_its_own(tmp_path: Path) -> None:
    made = card(tmp_path, "")
    acid, water = (next(line for line in made.mixes[0].lines if line.item == item) for item in ("citric-25", "water"))
    assert acid.intermediate is not None
    assert acid.g == pytest.approx(10 * 2 * (2.61 + 2.58 + 2.66) / 150)
    assert acid.weigh_g == pytest.approx(acid.intermediate.weigh_g) and acid.weigh_g > 8.2
    assert water.weigh_g == pytest.approx(water.g - acid.intermediate.brings_water_g)
    assert made.water_g == pytest.approx(water.g)
    assert sum(line.weigh_g for line in made.mixes[0].lines) == pytest.approx(made.total_g)
    assert sum(line.g for line in made.mixes[0].lines) == pytest.approx(made.total_g)
    assert "no scale here sees it: let it down to" in acid.note and "the weaker solution brings it" in water.note
    assert "w/w" not in acid.note, "beside an acid solution it would be read as the acid's strength"


def test_an_undiluted_batch_has_no_water_to_give_and_says_what_else(tmp_path: Path) -> None:
    made = card(tmp_path, 'batch = "undiluted"')
    acid = next(line for line in made.mixes[0].lines if line.item == "citric-25")
    assert acid.intermediate is None and acid.weigh_g == acid.g
    assert "make more at once, or weigh a weaker solution" in acid.note


def test_a_dose_a_scale_sees_goes_as_it_is(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/sour.toml": SOUR.replace('"shake"', '"stir"')})
    for line in batched(opened.blends, "sour", Target(serves=40), None, NOON).mixes[0].lines:
        assert line.intermediate is None and line.weigh_g == line.g
