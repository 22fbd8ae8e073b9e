import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.ethanol import (
    ETHANOL_G_PER_ML,
    WATER_G_PER_ML,
    abv_pct,
    density_g_per_ml,
    ethanol_g_per_100_ml,
    mass_fraction,
    volume_ml,
)

fractions = st.floats(0.0, 1.0)
strengths = st.floats(0.0, 100.0)
temperatures = st.floats(-20.0, 40.0)
masses = st.floats(0.001, 1e6)


@given(fractions, fractions, temperatures)
def test_more_ethanol_is_lighter_at_any_temperature(one: float, other: float, t_c: float) -> None:
    less, more = sorted((one, other))
    if more - less > 1e-6:
        assert density_g_per_ml(more, t_c) < density_g_per_ml(less, t_c)


@given(fractions, st.floats(5.0, 40.0), st.floats(5.0, 40.0))
def test_warming_above_the_densest_point_of_water_is_lighter(p: float, one: float, other: float) -> None:
    cooler, warmer = sorted((one, other))
    if warmer - cooler > 1e-3:
        assert density_g_per_ml(p, warmer) < density_g_per_ml(p, cooler)


@given(fractions)
def test_twenty_degrees_by_the_short_way_continues_the_long_way(p: float) -> None:
    assert density_g_per_ml(p, 20.0) == density_g_per_ml(p)
    assert density_g_per_ml(p, 20.0 + 1e-7) == pytest.approx(density_g_per_ml(p), abs=1e-9)


@pytest.mark.parametrize("p", [-1e-9, 1.0 + 1e-9, float("nan")])
def test_a_mass_fraction_outside_0_to_1_is_refused(p: float) -> None:
    with pytest.raises(ValueError, match="0 to 1"):
        density_g_per_ml(p)
    with pytest.raises(ValueError, match="0 to 1"):
        abv_pct(p)


@pytest.mark.parametrize("t_c", [-20.1, 40.1, float("nan")])
def test_a_temperature_outside_the_formula_is_refused(t_c: float) -> None:
    with pytest.raises(ValueError, match="-20 to 40"):
        density_g_per_ml(0.4, t_c)


@given(strengths)
def test_strength_to_mass_fraction_and_back(abv: float) -> None:
    assert abv_pct(mass_fraction(abv)) == pytest.approx(abv, abs=1e-9)


@given(fractions)
def test_mass_fraction_to_strength_and_back(p: float) -> None:
    assert mass_fraction(abv_pct(p)) == pytest.approx(p, abs=1e-9)


@given(strengths, strengths)
def test_mass_fraction_rises_with_strength(one: float, other: float) -> None:
    weaker, stronger = sorted((one, other))
    if stronger - weaker > 1e-6:
        assert mass_fraction(weaker) < mass_fraction(stronger)


def test_the_ends_of_the_strength_scale_are_exact() -> None:
    assert (mass_fraction(0.0), mass_fraction(100.0)) == (0.0, 1.0)
    assert (abv_pct(0.0), abv_pct(1.0)) == (0.0, 100.0)


@pytest.mark.parametrize("abv", [-0.001, 100.001, float("nan")])
def test_a_strength_outside_0_to_100_is_refused(abv: float) -> None:
    with pytest.raises(ValueError, match="0 to 100 % vol"):
        mass_fraction(abv)
    with pytest.raises(ValueError, match="0 to 100 % vol"):
        ethanol_g_per_100_ml(abv)


@given(strengths)
def test_ethanol_in_100_ml_is_its_share_of_their_mass(abv: float) -> None:
    p = mass_fraction(abv)
    assert ethanol_g_per_100_ml(abv) == pytest.approx(100.0 * p * density_g_per_ml(p), abs=1e-8)


@given(masses, st.floats(0.001, 0.999))
def test_mixing_always_contracts(total_g: float, p: float) -> None:
    water_g, ethanol_g = (1.0 - p) * total_g, p * total_g
    assert volume_ml(water_g, ethanol_g) < water_g / WATER_G_PER_ML + ethanol_g / ETHANOL_G_PER_ML


@given(masses)
def test_alone_each_keeps_its_own_volume(g: float) -> None:
    assert volume_ml(g, 0.0) == pytest.approx(g / WATER_G_PER_ML)
    assert volume_ml(0.0, g) == pytest.approx(g / ETHANOL_G_PER_ML)


@given(masses)
def test_a_trace_of_ethanol_adds_nearly_its_own_volume(g: float) -> None:
    added = volume_ml(g, g / 1000.0) - volume_ml(g, 0.0)
    assert 0.92 < added / (g / 1000.0 / ETHANOL_G_PER_ML) < 1.0


@given(masses, masses, st.floats(0.01, 100.0))
def test_volume_grows_in_proportion(water_g: float, ethanol_g: float, times: float) -> None:
    assert volume_ml(times * water_g, times * ethanol_g) == pytest.approx(times * volume_ml(water_g, ethanol_g))


def test_nothing_has_no_volume() -> None:
    assert volume_ml(0.0, 0.0) == 0.0


@pytest.mark.parametrize(("water_g", "ethanol_g"), [(-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0), (-5.0, 1.0)])
def test_a_negative_mass_is_refused(water_g: float, ethanol_g: float) -> None:
    with pytest.raises(ValueError, match="not negative"):
        volume_ml(water_g, ethanol_g)
