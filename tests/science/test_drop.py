import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.drop import (
    PHARMACOPOEIA_DROP_G,
    PHARMACOPOEIA_DROP_SD_G,
    detachment,
    drop_g,
    surface_tension_mn_per_m,
    tip_radius_mm,
    transferred_drop_g,
)
from station.science.ethanol import density_g_per_ml

radii = st.floats(0.2, 3.0)
fractions = st.floats(0.0, 1.0)


@given(fractions, fractions)
def test_more_ethanol_lowers_the_tension(one: float, other: float) -> None:
    less, more = sorted((one, other))
    if more - less > 1e-6:
        assert surface_tension_mn_per_m(more) < surface_tension_mn_per_m(less)


@given(radii, fractions)
def test_a_drop_obeys_tate_with_its_own_volume_in_the_correction(radius_mm: float, p: float) -> None:
    tension, density = surface_tension_mn_per_m(p), density_g_per_ml(p)
    g = drop_g(radius_mm, tension, density)
    ratio = radius_mm / (10.0 * math.cbrt(g / density))
    # newton: mass in kg by gravity against circumference in m by tension in N/m.
    weight, held = g / 1e3 * 9.80665, 2.0 * math.pi * radius_mm / 1e3 * tension / 1e3 * detachment(ratio)
    assert weight == pytest.approx(held, rel=1e-9)


@given(radii, fractions)
def test_the_tip_is_found_again_from_its_drop(radius_mm: float, p: float) -> None:
    tension, density = surface_tension_mn_per_m(p), density_g_per_ml(p)
    assert tip_radius_mm(drop_g(radius_mm, tension, density), tension, density) == pytest.approx(radius_mm, rel=1e-9)


@given(radii, radii, fractions)
def test_a_wider_tip_gives_a_heavier_drop(one: float, other: float, p: float) -> None:
    narrow, wide = sorted((one, other))
    if wide - narrow > 1e-6:
        tension, density = surface_tension_mn_per_m(p), density_g_per_ml(p)
        assert drop_g(narrow, tension, density) < drop_g(wide, tension, density)


@given(st.floats(0.005, 0.09), fractions, fractions)
def test_a_transfer_there_and_back_is_no_change(known_g: float, p: float, q: float) -> None:
    known_g *= surface_tension_mn_per_m(p) / surface_tension_mn_per_m(0.0)
    there = transferred_drop_g(known_g, p, density_g_per_ml(p), q, density_g_per_ml(q))
    back = transferred_drop_g(there, q, density_g_per_ml(q), p, density_g_per_ml(p))
    assert back == pytest.approx(known_g, rel=1e-9)


@given(st.floats(0.005, 0.09), fractions)
def test_the_same_liquid_drops_the_same(known_g: float, p: float) -> None:
    known_g *= surface_tension_mn_per_m(p) / surface_tension_mn_per_m(0.0)
    density = density_g_per_ml(p)
    assert transferred_drop_g(known_g, p, density, p, density) == pytest.approx(known_g, rel=1e-9)


@given(st.floats(0.005, 0.09), st.floats(0.01, 1.0))
def test_a_spirit_drops_lighter_than_water_from_the_same_tip(water_drop_g: float, p: float) -> None:
    density = density_g_per_ml(p)
    assert transferred_drop_g(water_drop_g, 0.0, density_g_per_ml(0.0), p, density) < water_drop_g


def test_a_vanishing_tip_drops_all_that_hangs_from_it() -> None:
    assert detachment(0.0) == 1.0
    assert drop_g(1e-3, 72.75, 0.998) == pytest.approx(2.0 * math.pi * 1e-3 * 72.75e-3 / 9.80665, rel=0.03)


@pytest.mark.parametrize("ratio", [-0.01, 1.01])
def test_no_correction_is_made_up_outside_its_table(ratio: float) -> None:
    with pytest.raises(ValueError, match="outside the table"):
        detachment(ratio)


def test_a_tip_too_wide_for_its_drop_is_refused() -> None:
    with pytest.raises(ValueError, match="too wide"):
        drop_g(6.0, 72.75, 0.998)
    with pytest.raises(ValueError, match="too wide"):
        tip_radius_mm(1.0, 22.31, 0.789)


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf])
def test_a_drop_of_nothing_is_refused(wrong: float) -> None:
    for arguments in ((wrong, 72.75, 0.998), (1.5, wrong, 0.998), (1.5, 72.75, wrong)):
        with pytest.raises(ValueError, match="above 0"):
            drop_g(*arguments)
        with pytest.raises(ValueError, match="above 0"):
            tip_radius_mm(*arguments)


def test_the_pharmacopoeia_drop_is_one_of_twenty() -> None:
    assert pytest.approx((1.000, 0.050)) == (20 * PHARMACOPOEIA_DROP_G, 20 * PHARMACOPOEIA_DROP_SD_G)
