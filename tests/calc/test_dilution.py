"""Water from ice, with its basis."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import demo, drink, open_small

from station.bar.composition import Composition, with_water_to
from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.bar.quantity import StatedDilution
from station.calc.answers import Shown
from station.calc.dilution import Dilution, dilution
from station.desk.look import show
from station.science.ethanol import WATER_G_PER_ML, ethanol_g_per_100_ml


def liquid(abv: float) -> Composition:
    """100 ml of so strong a spirit."""
    return with_water_to(100.0, Composition.of(ethanol=ethanol_g_per_100_ml(abv)))


def diluted(method: str, abv: float = 25.0, stated: StatedDilution | None = None) -> Dilution:
    return dilution(Spec("x", "X", method, (), file="drinks/x.toml", dilution=stated), liquid(abv))


@given(st.sampled_from(["shake", "stir", "build"]), st.floats(0, 60))
@settings(max_examples=60, deadline=None)
def test_both_bases_and_the_grams_say_the_same_water(method: str, abv: float) -> None:
    water = diluted(method, abv)
    assert water.water_g == pytest.approx(100.0 * water.fraction_of_initial * WATER_G_PER_ML)
    assert water.fraction_of_final == pytest.approx(water.fraction_of_initial / (1 + water.fraction_of_initial))


# Basis trap, by arithmetic: 25 % of final is 33 % of initial; 34 % of final 51.5 %.
@pytest.mark.parametrize(
    ("stated", "initial", "final"),
    [
        (StatedDilution(0.25, "final"), 1 / 3, 0.25),
        (StatedDilution(0.52, "initial"), 0.52, 0.52 / 1.52),
        (StatedDilution(WATER_G_PER_ML * 40.0, "g"), 0.4, 0.4 / 1.4),
    ],
)
def test_a_stated_dilution_is_kept_on_its_basis(stated: StatedDilution, initial: float, final: float) -> None:
    water = diluted("shake", stated=stated)
    assert (water.fraction_of_initial, water.fraction_of_final) == pytest.approx((initial, final))
    assert water.source.startswith("the spec's own") and water.in_range


@pytest.mark.parametrize(
    ("abv", "in_range", "said"),
    [
        (14.9, False, "starts under 15 % ABV, extrapolated"),
        (15.1, True, "(Arnold, Liquid Intelligence, 2014, from memory, not checked in the book)"),
        (44.9, True, "(Arnold, Liquid Intelligence, 2014, from memory, not checked in the book)"),
        (45.1, False, "starts over 45 % ABV, the value there is used"),
    ],
)
def test_a_rule_stretched_past_its_data_says_so(abv: float, in_range: bool, said: str) -> None:
    water = diluted("stir", abv)
    assert water.in_range is in_range
    assert water.source.endswith(said)


def test_what_meets_no_ice_gets_no_water() -> None:
    assert {diluted(method).water_g for method in ("carbonate", "none")} == {0.0}


def test_a_built_drink_gets_24_percent_and_says_whence() -> None:
    water = diluted("build")
    assert water.fraction_of_initial == 0.24
    assert water.source.startswith("built on ice: 24 % of the volume before ice (") and "from memory, not checked" in water.source


def test_a_blended_drink_without_its_own_figure_is_refused() -> None:
    with pytest.raises(CannotAnswer) as refused:
        diluted("blend")
    assert str(refused.value) == "X is blended and states no dilution (add one in drinks/x.toml)"


# Service lines meet the ice; finish lines come after it.
def test_the_lines_at_the_glass_are_on_their_side_of_the_ice(tmp_path: Path) -> None:
    def shown(when: str) -> Shown:
        spec = drink("shake", "spirit: 60 ml", f'syrup: 20 ml | when = "{when}"')
        opened = open_small(tmp_path / when, {"drinks/d.toml": spec})
        return show(opened.blends, "d")

    service, finish, batch = shown("service"), shown("finish"), shown("batch")
    assert service.dilution == batch.dilution and service.glass == batch.glass
    assert finish.before.ml == pytest.approx(60.0)
    assert finish.dilution.water_g < service.dilution.water_g
    assert sugar_g(finish) == pytest.approx(sugar_g(service))


def sugar_g(one: Shown) -> float:
    return one.glass.ml * (one.glass.sugar_g_per_100ml or 0.0) / 100.0


@pytest.mark.parametrize("name", sorted(demo().library.drinks))
def test_the_glass_holds_what_was_poured_and_the_water(name: str) -> None:
    one = show(demo(), name)
    asked_for = {line.item for line in demo().library.drinks[name].lines if line.optional}
    finish = sum(line.g or 0.0 for line in one.lines if line.when == "finish" and line.item not in asked_for)
    assert one.glass.g == pytest.approx(one.before.g + one.dilution.water_g + finish, rel=1e-9)
    assert one.glass.ethanol_g >= one.before.ethanol_g
