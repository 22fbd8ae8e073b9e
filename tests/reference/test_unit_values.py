"""Units against the published values, and against a general-purpose registry as second witness."""

from __future__ import annotations

import pint
import pytest

from station.bar.units import g_per, ml_per, registry

# NIST SP 811 (2008), App. B.8, factors printed to seven figures (from memory).
NIST_ML = [
    ("oz", "us", 29.57353),
    ("cup", "us", 236.5882),
    ("pint", "us", 473.1765),
    ("gal", "us", 3785.412),
    ("oz", "imperial", 28.41306),
    ("gal", "imperial", 4546.09),
]
NIST_G = [("oz wt", 28.34952), ("lb", 453.5924)]
# Half of the seventh figure, which is at most this part of a number (one that begins with 1).
SEVEN_FIGURES = 5e-7


@pytest.mark.parametrize(("unit", "ounce", "ml"), NIST_ML)
def test_volumes_of_nist_sp_811(unit: str, ounce: str, ml: float) -> None:
    assert ml_per(unit, ounce, "us") == pytest.approx(ml, rel=SEVEN_FIGURES)


@pytest.mark.parametrize(("unit", "ml"), [("tsp", 4.928922), ("tbsp", 14.78676)])
def test_spoons_of_nist_sp_811(unit: str, ml: float) -> None:
    assert ml_per(unit, "us", "us") == pytest.approx(ml, rel=SEVEN_FIGURES)


@pytest.mark.parametrize(("unit", "grams"), NIST_G)
def test_masses_of_nist_sp_811(unit: str, grams: float) -> None:
    assert g_per(unit) == pytest.approx(grams, rel=SEVEN_FIGURES)


# Exact by definition: 231 in³ of 2.54 cm (US), 4.54609 l (UK Weights and Measures Act 1985), 0.45359237 kg.
@pytest.mark.parametrize(
    ("unit", "ounce", "ml"),
    [
        ("oz", "us", 231 * 2.54**3 / 128),
        ("pint", "us", 231 * 2.54**3 / 8),
        ("oz", "imperial", 4546.09 / 160),
        ("pint", "imperial", 4546.09 / 8),
    ],
)
def test_volumes_that_are_exact_by_definition(unit: str, ounce: str, ml: float) -> None:
    assert ml_per(unit, ounce, "us") == pytest.approx(ml, rel=1e-14)


# 21 CFR 101.9(b)(5)(viii): for labelling, a fluid ounce is 30 ml, a cup 240 ml, a teaspoon 5 ml, a tablespoon 15 ml.
def test_the_round_measures_of_us_labelling() -> None:
    assert [ml_per(unit, "30 ml", "metric") for unit in ("oz", "cup", "tsp", "tbsp")] == [30.0, 240.0, 5.0, 15.0]


# Australian metric tablespoon, 20 ml: from memory.
def test_the_australian_tablespoon() -> None:
    assert ml_per("tbsp", "us", "au") == 20.0


# pint's own registry, made by other people from other texts.
WITNESS = [
    *(("oz", "us", "us", "fluid_ounce"), ("cup", "us", "us", "cup"), ("pint", "us", "us", "pint"), ("gal", "us", "us", "gallon")),
    *(("tsp", "us", "us", "teaspoon"), ("tbsp", "us", "us", "tablespoon")),
    ("oz", "imperial", "us", "imperial_fluid_ounce"),
    ("cup", "imperial", "us", "imperial_cup"),
    ("pint", "imperial", "us", "imperial_pint"),
    ("gal", "imperial", "us", "imperial_gallon"),
    *(("ml", "us", "us", "ml"), ("cl", "us", "us", "cl"), ("dl", "us", "us", "dl"), ("l", "us", "us", "l")),
]


@pytest.fixture(scope="module")
def witness() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("unit", "ounce", "spoons", "name"), WITNESS)
def test_a_second_registry_agrees_on_volumes(unit: str, ounce: str, spoons: str, name: str, witness: pint.UnitRegistry) -> None:
    assert ml_per(unit, ounce, spoons) == pytest.approx(witness.Quantity(1, name).to("ml").magnitude, rel=1e-12)


@pytest.mark.parametrize(("unit", "name"), [("oz wt", "ounce"), ("lb", "pound"), ("g", "gram"), ("kg", "kilogram"), ("mg", "mg")])
def test_a_second_registry_agrees_on_masses(unit: str, name: str, witness: pint.UnitRegistry) -> None:
    assert g_per(unit) == pytest.approx(witness.Quantity(1, name).to("g").magnitude, rel=1e-12)


def test_a_mass_is_never_turned_into_a_volume() -> None:
    ours = registry()
    with pytest.raises(pint.DimensionalityError):
        ours.Quantity(1, "ounce_weight").to("millilitre")
