"""Dilution by ice against worked drinks."""

from collections.abc import Callable

import pytest

from station.science.ice import BUILT_DILUTION, DILUTION_VALID, shaken_dilution, stirred_dilution

# Four drinks of ordinary proportions with generic bottles. The dilution column is the formula worked by another program;
# volume and strength in the glass are the lines of D. Arnold, Liquid Intelligence (2014), from memory, printed to 1 ml
# and 0.5 or 0.1 % vol. They add volumes without contraction, as this test does.
DRINKS = [
    # A spirit 40 %, citrus juice and syrup: 60 / 22.5 / 22.5 ml.
    (shaken_dilution, [(60.0, 40.0), (22.5, 0.0), (22.5, 0.0)], 0.519, 159.0, 15.0),
    # A spirit 40 %, an orange liqueur 40 %, citrus juice, syrup: 60 / 22.5 / 22.5 / 7.5 ml.
    (shaken_dilution, [(60.0, 40.0), (22.5, 40.0), (22.5, 0.0), (7.5, 0.0)], 0.579, 178.0, 18.5),
    # A whiskey 50 %, a vermouth 16.5 %, bitters 45 %: 60 / 26.6 / 1.6 ml.
    (stirred_dilution, [(60.0, 50.0), (26.6, 16.5), (1.6, 45.0)], 0.449, 129.0, 27.0),
    # A gin 47.3 %, a vermouth 16.5 %, a bitter aperitif 24 %: 30 ml each.
    (stirred_dilution, [(30.0, 47.3), (30.0, 16.5), (30.0, 24.0)], 0.406, 127.0, 20.7),
]


@pytest.mark.parametrize(("dilution", "poured", "fraction", "glass_ml", "glass_abv"), DRINKS)
def test_worked_drinks(
    dilution: Callable[[float], float],
    poured: list[tuple[float, float]],
    fraction: float,
    glass_ml: float,
    glass_abv: float,
) -> None:
    before_ml = sum(ml for ml, _ in poured)
    abv = sum(ml * abv for ml, abv in poured) / before_ml
    added = dilution(abv / 100.0)
    assert added == pytest.approx(fraction, abs=0.0006)
    # 1.5 ml: the printed millilitre and ounces remembered to 0.01. 0.5 % vol: the coarser printed step.
    assert before_ml * (1.0 + added) == pytest.approx(glass_ml, abs=1.5)
    assert abv / (1.0 + added) == pytest.approx(glass_abv, abs=0.5)


# The same book's table of structures, from memory: starting % vol and water added, % of initial, for shaken drinks.
@pytest.mark.parametrize(("abv", "pct"), [(23.0, 52), (27.0, 56), (31.5, 60)])
def test_the_shaken_range(abv: float, pct: int) -> None:
    assert round(100.0 * shaken_dilution(abv / 100.0)) == pct


# The same quadratics worked by another program: starting strength as a fraction, stirred, shaken.
@pytest.mark.parametrize(
    ("abv", "stirred", "shaken"), [(0.15, 0.3047, 0.4290), (0.30, 0.4099, 0.5846), (0.45, 0.4607, 0.6696), (0.60, 0.4607, 0.6696)]
)
def test_the_table_of_dilutions(abv: float, stirred: float, shaken: float) -> None:
    assert (stirred_dilution(abv), shaken_dilution(abv)) == pytest.approx((stirred, shaken), abs=0.00006)


def test_the_figures_taken_as_remembered() -> None:
    # Same book, from memory: 24 % for a drink built in the glass. The range is the one its drinks span, from memory.
    assert (BUILT_DILUTION, DILUTION_VALID) == (0.24, (0.15, 0.45))
