"""Drops against what pharmacists weighed and counted."""

from pathlib import Path

import pytest
from small_library import drink, open_small

from station.desk.look import show
from station.science.drop import (
    PHARMACOPOEIA_DROP_G,
    detachment,
    drop_g,
    surface_tension_mn_per_m,
    tip_radius_mm,
    transferred_drop_g,
)
from station.science.ethanol import WATER_G_PER_ML, density_g_per_ml, mass_fraction

WATER_TENSION = surface_tension_mn_per_m(0.0)
# USP <1101>: a calibrated dropper in normal use may be off by 15 % in volume. No published drop can be asked for better.
DROPPER_IN_USE = 0.15
MINIMS_60_ML = 3.6966911953125  # the US fluid drachm


def spirit_drop_g(water_drop_g: float, abv: float) -> float:
    p = mass_fraction(abv)
    return transferred_drop_g(water_drop_g, 0.0, WATER_G_PER_ML, p, density_g_per_ml(p))


def test_the_pharmacopoeias_droppers() -> None:
    # Ph. Eur. 2.1.1 (from memory): a tip of 3.0 mm outside, 20 drops of water 1.000 ± 0.050 g. The law alone gives 0.948 g,
    # like Eschbaum's tips below some 7 % light, and so just under that range: no dropper is taken by its width here.
    assert 20 * drop_g(1.5, WATER_TENSION, WATER_G_PER_ML) == pytest.approx(1.000, rel=DROPPER_IN_USE)
    # USP <1101>: about 3 mm outside, drops of 45 to 55 mg.
    assert 0.045 <= drop_g(1.5, WATER_TENSION, WATER_G_PER_ML) <= 0.055


def test_twenty_drops_of_water_weigh_a_gram_on_their_own_tip() -> None:
    # Ph. Eur. 2.1.1 (from memory): 1.000 g.
    radius_mm = tip_radius_mm(PHARMACOPOEIA_DROP_G, WATER_TENSION, WATER_G_PER_ML)
    assert 20 * drop_g(radius_mm, WATER_TENSION, WATER_G_PER_ML) == pytest.approx(1.000)
    assert 20 * spirit_drop_g(PHARMACOPOEIA_DROP_G, 0.0) == pytest.approx(1.000)


# Eschbaum, Deutsche Medizinische Wochenschrift 1895, by Bulletin of Pharmacy 9 (1895) 461: outer diameter of the tip in mm,
# one drop of water in g. Left out: 3.89 and 14.90 mm, whose printed figures are slips (lighter than at 3.07; 9.2250 g).
@pytest.mark.parametrize(
    ("diameter_mm", "g"), [(0.67, 0.0134), (1.39, 0.0262), (3.07, 0.0522), (4.17, 0.0690), (6.56, 0.1000), (8.32, 0.1260)]
)
def test_drops_of_water_by_the_width_of_the_tip(diameter_mm: float, g: float) -> None:
    assert drop_g(diameter_mm / 2.0, WATER_TENSION, WATER_G_PER_ML) == pytest.approx(g, rel=DROPPER_IN_USE)


# Gorgas, Dental Medicine (19th century), drops in 60 minims: water 60, dilute alcohol (USP, some 49 % vol) 137, alcohol
# (some 95 % vol) 146.
@pytest.mark.parametrize(("abv", "drops"), [(49.0, 137), (95.0, 146)])
def test_drops_in_a_fluid_drachm(abv: float, drops: int) -> None:
    water_drop_g = MINIMS_60_ML / 60 * WATER_G_PER_ML
    predicted = MINIMS_60_ML * density_g_per_ml(mass_fraction(abv)) / spirit_drop_g(water_drop_g, abv)
    assert predicted == pytest.approx(drops, rel=DROPPER_IN_USE)


# The same tables as the ratio of drops in one volume, dilute alcohol to water 137/60 = 2.28, alcohol to water 146/60 = 2.43:
# "2.3 to 2.4". The law gives 2.39 and 2.78. The first is bracketed; for alcohol of 95 % it finds 14 % more and lighter drops,
# within what a dropper may be off in use (USP <1101>): the tables counted from a medicine bottle's lip as much as from droppers,
# where r/V^(1/3) is not what a tip's is, and the strength of "alcohol" is a label's.
@pytest.mark.parametrize(("abv", "ratio", "within"), [(49.0, 2.28, 0.05), (95.0, 2.43, DROPPER_IN_USE)])
def test_how_many_more_drops_alcohol_gives_than_water(abv: float, ratio: float, within: float) -> None:
    density = density_g_per_ml(mass_fraction(abv))
    found = (PHARMACOPOEIA_DROP_G / WATER_G_PER_ML) / (spirit_drop_g(PHARMACOPOEIA_DROP_G, abv) / density)
    assert found == pytest.approx(ratio, rel=within)


# The whole way, from a line to its grams: a dropper nobody calibrated.
def test_an_uncalibrated_dropper_gives_water_by_the_pharmacopoeia_and_spirit_among_the_tinctures(tmp_path: Path) -> None:
    files = {"measures.toml": "", "drinks/sour.toml": drink("none", "water: 20 drops", "spirit: 20 drops")}
    water, spirit = show(open_small(tmp_path, files).blends, "sour").lines
    assert water.g == pytest.approx(1.000, rel=1e-12) and water.g_sd is not None
    # Ph. Eur. 2.1.1 (from memory): ± 0.050 g, here with the scatter of 20 drops and one drop's miscount on top.
    assert 0.050 <= water.g_sd <= 0.050 * 2
    density = density_g_per_ml(mass_fraction(40.0))
    fewest, most = (20 * drops / 60 * WATER_G_PER_ML / density for drops in (128, 150))
    assert spirit.g is not None and fewest < 20 / spirit.g < most


def test_a_forty_per_cent_spirit_falls_among_the_tinctures() -> None:
    # Gorgas: tinctures 128 to 150 drops where water gives 60. For a dropper of 20 drops of water to the gram and the
    # density of 40 % vol that is 45 to 53 drops to the gram.
    density = density_g_per_ml(mass_fraction(40.0))
    fewest, most = (20 * drops / 60 * WATER_G_PER_ML / density for drops in (128, 150))
    assert fewest < 1.0 / spirit_drop_g(PHARMACOPOEIA_DROP_G, 40.0) < most


# The same values interpolated by another program: mN/m at 20 °C to 0.01, by % vol.
TENSION_WORKED = {5: 58.91, 10: 50.92, 20: 41.59, 25: 38.33, 30: 36.28, 35: 34.00, 40: 32.43, 45: 31.23}
TENSION_WORKED |= {49: 30.33, 50: 30.11, 55: 29.08, 60: 28.10, 70: 26.39, 95: 22.99, 100: 22.31}


@pytest.mark.parametrize(("abv", "tension"), TENSION_WORKED.items())
def test_the_surface_tension_worked_twice(abv: float, tension: float) -> None:
    assert surface_tension_mn_per_m(mass_fraction(abv)) == pytest.approx(tension, abs=0.006)


# The same law worked by another program: mg to 0.01, by outer diameter of the tip in mm and % vol.
DROPS_WORKED = {
    2.0: {0: 33.57, 20: 18.42, 40: 14.14, 60: 12.17, 100: 9.60},
    3.0: {0: 47.41, 20: 26.02, 40: 19.88, 50: 18.38, 95: 13.89},
    4.0: {0: 60.46, 20: 33.15, 40: 25.53, 60: 21.98, 100: 17.36},
    6.56: {0: 92.65, 20: 52.38, 45: 39.56, 70: 33.63, 100: 28.53},
}


@pytest.mark.parametrize("diameter_mm", DROPS_WORKED)
def test_the_law_worked_twice(diameter_mm: float) -> None:
    for abv, mg in DROPS_WORKED[diameter_mm].items():
        p = mass_fraction(abv)
        ours = 1000.0 * drop_g(diameter_mm / 2.0, surface_tension_mn_per_m(p), density_g_per_ml(p))
        # Just above a ratio of 0.30, at 2.0 mm of water, the slopes differ for the point below: 0.03 % apart.
        assert ours == pytest.approx(mg, abs=0.011), abv


@pytest.mark.parametrize("ratio", [i / 20 for i in range(21)])
def test_a_second_form_of_the_correction(ratio: float) -> None:
    # Lee, Chan & Pogaku, in Chem. Eng. Commun. 195 (2008) 889, one polynomial from 0 to 1.2, from memory. It is itself
    # fitted to measured drops. The two part by up to 1.5 %, most below 0.30, where Harkins & Brown have no points here.
    powers = (1.000, -0.9121, -2.109, 13.38, -27.29, 27.53, -13.58, 2.593)
    polynomial = sum(factor * ratio**k for k, factor in enumerate(powers))
    assert detachment(ratio) == pytest.approx(polynomial, rel=0.015 if ratio >= 0.30 else 0.02)


@pytest.mark.parametrize("mass_pct", [0, 5, 10, 15, 20, 30, 40, 50, 60, 80, 100])
def test_a_second_form_of_the_surface_tension(mass_pct: float) -> None:
    # A fit others published to the same measurements (Vazquez, Alvarez & Navaza 1995), N/m, d = t - 25 °C, y mass fraction.
    # It misses them by up to 0.7 mN/m at the ends of the range, by its form.
    d, y = -5.0, mass_pct / 100.0
    fit = 0.016045 - 6.43279e-5 * d + (0.730407 - 0.00189571 * d) / (100.0 * y + 13.1225 - 0.011996 * d)
    assert surface_tension_mn_per_m(y) == pytest.approx(1000.0 * fit, abs=0.7)


def test_the_surface_tension_of_water() -> None:
    # IAPWS R1-76(2014): 72.74 mN/m at 20 °C.
    assert pytest.approx(72.74, abs=0.02) == WATER_TENSION
