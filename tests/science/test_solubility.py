import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.acid import ACIDS
from station.science.electrolyte import OutOfRange, ph
from station.science.solubility import (
    BITARTRATE_ABV_PCT,
    BITARTRATE_G_PER_L,
    BITARTRATE_MOLAR_MASS,
    BITARTRATE_RANGE,
    MISCIBLE,
    SOLUBILITY,
    Solubility,
    bitartrate_g_per_l,
    bitartrate_saturation,
    solubility_g_per_100_g,
)

cold = st.floats(0.0, 20.0)
strengths = st.floats(0.0, 20.0)


def test_every_acid_has_a_solubility_or_mixes() -> None:
    assert set(SOLUBILITY) | MISCIBLE == set(ACIDS)
    assert not set(SOLUBILITY) & MISCIBLE


@pytest.mark.parametrize("known", SOLUBILITY.values(), ids=SOLUBILITY)
def test_warmer_water_holds_no_less_acid(known: Solubility) -> None:
    assert all(t < warmer and g <= more for (t, g), (warmer, more) in pairwise(known.points))


@given(st.sampled_from(["citric", "malic", "tartaric", "succinic"]), st.floats(0.0, 40.0), st.floats(0.0, 40.0))
def test_between_the_points_it_rises_too(name: str, one: float, other: float) -> None:
    cooler, warmer = sorted((one, other))
    if warmer - cooler > 1e-3:
        assert solubility_g_per_100_g(name, cooler) < solubility_g_per_100_g(name, warmer)


@pytest.mark.parametrize("name", sorted(MISCIBLE))
def test_a_liquid_acid_mixes_in_any_proportion(name: str) -> None:
    assert solubility_g_per_100_g(name, 4.0) == math.inf


@pytest.mark.parametrize(("name", "t_c", "reach"), [("citric", -5.0, "0 to 40"), ("ascorbic", 4.0, "20 to 25")])
def test_outside_the_figures_there_is_a_reason_and_no_figure(name: str, t_c: float, reach: str) -> None:
    with pytest.raises(OutOfRange, match=f"{name} acid is known here from {reach} °C, not at {t_c:g}"):
        solubility_g_per_100_g(name, t_c)


@pytest.mark.parametrize("name", ["tartaric", "ascorbic", "succinic"])
def test_a_figure_from_memory_says_so(name: str) -> None:
    assert "from memory" in SOLUBILITY[name].source and "±10 %" in SOLUBILITY[name].source


def test_an_unknown_acid_is_refused() -> None:
    with pytest.raises(KeyError, match="oxalic"):
        solubility_g_per_100_g("oxalic", 20.0)


def test_the_bitartrate_curve_goes_through_its_table() -> None:
    for t_c, row in BITARTRATE_G_PER_L.items():
        assert [bitartrate_g_per_l(t_c, abv) for abv in BITARTRATE_ABV_PCT] == pytest.approx(row)


@given(cold, cold, strengths, strengths)
def test_cold_and_alcohol_throw_bitartrate(t_c: float, warmer: float, abv: float, stronger: float) -> None:
    t_c, warmer = sorted((t_c, warmer))
    abv, stronger = sorted((abv, stronger))
    assert bitartrate_g_per_l(t_c, stronger) <= bitartrate_g_per_l(warmer, abv) * (1.0 + 1e-9)


@given(cold)
def test_a_saturated_solution_is_saturated_once(t_c: float) -> None:
    mol = bitartrate_g_per_l(t_c) / BITARTRATE_MOLAR_MASS
    assert bitartrate_saturation(mol, mol, ph({"tartaric": mol}, mol), t_c) == pytest.approx(1.0)


def test_twice_the_potassium_is_nearly_twice_as_saturated() -> None:
    at = ph({"tartaric": 0.02}, 0.02)
    once, twice = (bitartrate_saturation(0.02, potassium, at, 4.0) for potassium in (0.01, 0.02))
    assert twice == pytest.approx(2.0 * once)


def test_free_tartaric_acid_without_potassium_throws_nothing() -> None:
    assert bitartrate_saturation(0.04, 0.0, ph({"tartaric": 0.04}), 0.0) == 0.0


def test_most_is_thrown_halfway_between_the_two_constants() -> None:
    by_cation = [bitartrate_saturation(0.02, 0.02, ph({"tartaric": 0.02}, cation), 4.0) for cation in (0.002, 0.016, 0.038)]
    assert by_cation[1] > by_cation[0] and by_cation[1] > by_cation[2]


@pytest.mark.parametrize(("t_c", "abv"), [(-1.0, 0.0), (21.0, 0.0), (10.0, 20.5)])
def test_outside_the_bitartrate_table_there_is_a_reason_and_no_figure(t_c: float, abv: float) -> None:
    with pytest.raises(OutOfRange) as refused:
        bitartrate_saturation(0.02, 0.02, ph({"tartaric": 0.02}, 0.02), t_c, abv)
    assert refused.value.reason == BITARTRATE_RANGE
