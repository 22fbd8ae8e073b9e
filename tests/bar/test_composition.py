"""Compositions add and multiply by mass; volumes follow."""

from __future__ import annotations

import pytest
from compositions import compositions
from hypothesis import given, settings
from hypothesis import strategies as st

from station.bar.composition import ACIDS, COMPONENTS, SUGARS, Composition, with_water_to
from station.science.ethanol import ETHANOL_G_PER_ML, WATER_G_PER_ML
from station.science.sugar import density_g_per_ml

quick = settings(max_examples=80, deadline=None)
factors = st.floats(0.001, 1000.0)


def near(one: Composition, other: Composition) -> None:
    assert one.amounts == pytest.approx(other.amounts, rel=1e-12, abs=1e-12)


@given(compositions(), compositions())
@quick
def test_the_order_of_two_does_not_matter(one: Composition, other: Composition) -> None:
    assert one + other == other + one


@given(compositions(), compositions(), compositions())
@quick
def test_the_grouping_of_three_does_not_matter(one: Composition, other: Composition, third: Composition) -> None:
    near((one + other) + third, one + (other + third))
    near(Composition.total([one, other, third]), one + other + third)


@given(compositions())
@quick
def test_nothing_added_changes_nothing(one: Composition) -> None:
    assert one + Composition() == one
    assert Composition.total([]) == Composition()


@given(compositions(), factors)
@quick
def test_making_more_is_linear_in_mass_and_volume(one: Composition, factor: float) -> None:
    more = one * factor
    assert more.mass_g == pytest.approx(one.mass_g * factor, rel=1e-12)
    assert more.volume_ml == pytest.approx(one.volume_ml * factor, rel=1e-9)
    assert more.sugar_g == pytest.approx(one.sugar_g * factor, rel=1e-12)


@given(compositions(), compositions(), factors)
@quick
def test_multiplying_distributes_over_adding(one: Composition, other: Composition, factor: float) -> None:
    near((one + other) * factor, one * factor + other * factor)


@given(compositions(), compositions())
@quick
def test_mass_is_kept_and_strong_cation_has_none(one: Composition, other: Composition) -> None:
    assert (one + other).mass_g == pytest.approx(one.mass_g + other.mass_g, rel=1e-12)
    assert Composition.of(cation_mol=5.0).mass_g == 0.0


masses = st.floats(0.0, 2000.0)


@given(masses, masses)
@quick
def test_water_and_ethanol_never_fill_more_than_they_did_apart(water: float, ethanol: float) -> None:
    # OIML R 22: the pure liquids contract at every strength at 20 °C. 1e-9: rounding.
    both = Composition.of(water=water, ethanol=ethanol)
    apart = water / WATER_G_PER_ML + ethanol / ETHANOL_G_PER_ML
    assert both.volume_ml <= apart * (1.0 + 1e-9)


@given(masses, masses, masses, masses)
@quick
def test_two_mixtures_of_them_hardly_swell(water: float, ethanol: float, water2: float, ethanol2: float) -> None:
    # Water with a weak spirit swells a little: the specific volume is concave under some 25 % mass. The most by OIML R 22
    # is 0.14 %, equal masses of water and of 21 % mass.
    one, other = Composition.of(water=water, ethanol=ethanol), Composition.of(water=water2, ethanol=ethanol2)
    assert (one + other).volume_ml <= (one.volume_ml + other.volume_ml) * 1.0014


@given(compositions(), st.floats(0.0, 2000.0))
@quick
def test_water_to_a_volume_fills_exactly_that(one: Composition, room: float) -> None:
    target = one.volume_ml + room
    made = with_water_to(target, one)
    assert made.volume_ml == pytest.approx(target, rel=1e-9, abs=1e-9)
    assert made["water"] >= one["water"]
    assert made.amounts[1:] == one.amounts[1:]


def test_no_water_makes_what_is_dissolved_fill_less() -> None:
    with pytest.raises(ValueError, match=r"what is dissolved alone fills 63\.\d ml of 50 ml"):
        with_water_to(50.0, Composition.of(sucrose=100.0))


def test_a_name_that_is_no_component_is_refused() -> None:
    with pytest.raises(KeyError):
        Composition.of(sugar=1.0)
    with pytest.raises(KeyError):
        Composition.of(water=1.0)["sugar"]


def test_sums_go_over_every_sugar_and_every_acid_and_nothing_else() -> None:
    one = Composition.of({name: 2.0**place for place, name in enumerate(COMPONENTS)})
    places = {name: 2.0**place for place, name in enumerate(COMPONENTS)}
    assert one.sugar_g == sum(places[name] for name in SUGARS)
    assert one.acid_g == sum(places[name] for name in ACIDS)
    assert one.mass_g == sum(places.values()) - places["cation_mol"]


def test_only_acids_that_are_present_are_named() -> None:
    assert Composition.of(citric=2.0, lactic=1.0, water=9.0).acids == {"citric": 2.0, "lactic": 1.0}


@given(st.floats(0.01, 0.85))
@quick
def test_sugar_and_water_fill_what_their_published_density_says(w: float) -> None:
    # ICUMSA SPS-4 directly; its water is 0.002 kg/m³ denser than that of OIML R 22, a part in 500 000.
    syrup = Composition.of(water=1.0 - w, sucrose=w)
    assert 1.0 / syrup.volume_ml == pytest.approx(density_g_per_ml(w), rel=4e-6)


def test_pure_liquids_fill_their_own_volume() -> None:
    assert Composition.of(water=WATER_G_PER_ML * 100.0).volume_ml == pytest.approx(100.0)
    assert Composition.of(ethanol=ETHANOL_G_PER_ML * 100.0).volume_ml == pytest.approx(100.0)
    assert Composition().volume_ml == 0.0


def test_what_is_taken_out_leaves_the_rest_and_never_less_than_nothing() -> None:
    whole = Composition.of(water=0.1 + 0.2, salt=0.3, cation_mol=0.001)
    left = whole.less(Composition.of(water=0.3, salt=0.1 + 0.2, cation_mol=0.002))
    assert left["salt"] == 0.0 and 0.0 <= left["water"] < 1e-15 and left["cation_mol"] == pytest.approx(-0.001)
    assert whole.less(Composition()) == whole
