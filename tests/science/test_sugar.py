import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.sugar import (
    MAX_MASS_FRACTION,
    SUGARS,
    apparent_ml_per_g,
    density_g_per_ml,
    saturation_mass_fraction,
)

fractions = st.floats(0.0, MAX_MASS_FRACTION)
temperatures = st.floats(0.0, 100.0)


def test_the_sugars_are_named_in_a_fixed_order() -> None:
    assert SUGARS == ("sucrose", "glucose", "fructose", "lactose", "maltose")


@given(fractions, fractions, temperatures)
def test_more_sugar_is_heavier_at_any_temperature(one: float, other: float, t_c: float) -> None:
    less, more = sorted((one, other))
    if more - less > 1e-6:
        assert density_g_per_ml(less, t_c) < density_g_per_ml(more, t_c)


@given(fractions, st.floats(5.0, 100.0), st.floats(5.0, 100.0))
def test_warmer_syrup_is_lighter(w: float, one: float, other: float) -> None:
    cooler, warmer = sorted((one, other))
    if warmer - cooler > 1e-3:
        assert density_g_per_ml(w, warmer) < density_g_per_ml(w, cooler)


@given(st.floats(1e-3, MAX_MASS_FRACTION))
def test_the_apparent_volume_gives_back_the_density(w: float) -> None:
    volume_of_a_gram = (1.0 - w) / density_g_per_ml(0.0) + w * apparent_ml_per_g(w)
    assert 1.0 / volume_of_a_gram == pytest.approx(density_g_per_ml(w), rel=1e-12)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_sugar_takes_more_room_the_less_water_it_has(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert 0.615 < apparent_ml_per_g(less) <= apparent_ml_per_g(more) + 1e-12 < 0.637


def test_the_apparent_volume_has_no_gap_at_infinite_dilution() -> None:
    assert apparent_ml_per_g(0.0) == pytest.approx(apparent_ml_per_g(1e-9), abs=1e-9)


def test_above_the_density_formula_the_last_apparent_volume_is_used() -> None:
    assert apparent_ml_per_g(MAX_MASS_FRACTION) == apparent_ml_per_g(0.9) == apparent_ml_per_g(1.0)
    assert apparent_ml_per_g(MAX_MASS_FRACTION - 0.01) < apparent_ml_per_g(MAX_MASS_FRACTION)


@given(temperatures, temperatures)
def test_hotter_water_holds_more_sugar(one: float, other: float) -> None:
    cooler, hotter = sorted((one, other))
    if hotter - cooler > 1e-3:
        assert 0.64 < saturation_mass_fraction(cooler) < saturation_mass_fraction(hotter) < 0.83


@pytest.mark.parametrize("w", [-0.01, 0.86, float("nan")])
def test_a_density_is_refused_outside_its_mass_fractions(w: float) -> None:
    with pytest.raises(ValueError, match=r"0 to 0\.85"):
        density_g_per_ml(w)


@pytest.mark.parametrize("w", [-0.01, 1.01, float("nan")])
def test_an_apparent_volume_is_refused_outside_0_to_1(w: float) -> None:
    with pytest.raises(ValueError, match="0 to 1"):
        apparent_ml_per_g(w)


@pytest.mark.parametrize("t_c", [-0.1, 100.1, float("nan")])
def test_a_temperature_outside_0_to_100_is_refused(t_c: float) -> None:
    with pytest.raises(ValueError, match="0 to 100 °C"):
        density_g_per_ml(0.5, t_c)
    with pytest.raises(ValueError, match="0 to 100 °C"):
        saturation_mass_fraction(t_c)
