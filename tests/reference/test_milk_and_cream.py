"""Fat at a volume of its own, against measured densities of milk and cream.

Its density was fitted to the first six, so they show that one figure is enough for all; the cup is an independent check.
"""

from __future__ import annotations

import pytest

from station.bar.composition import Composition


# Goff, Dairy Chemistry and Physics, University of Guelph, as copied by others, not checked there: fat and solids not fat,
# % by mass, and kg/l at 20 °C. With 0.92 g/ml, an oil's, the last is 0.55 % off.
# Of those solids 55 % are counted as lactose, as in USDA SR28's whole milk (4.8 of 8.7; from memory).
@pytest.mark.parametrize(
    ("fat", "solids", "measured"),
    [
        (0.02, 8.90, 1.033),
        (3.60, 8.60, 1.029),
        (4.00, 8.95, 1.030),
        (12.25, 7.75, 1.020),
        (20.00, 7.20, 1.012),
        (36.60, 5.55, 0.994),
    ],
)
def test_milk_and_cream(fat: float, solids: float, measured: float) -> None:
    lactose = 0.55 * solids
    made = Composition.of(water=100.0 - fat - solids, fat=fat, lactose=lactose, other=solids - lactose)
    assert made.mass_g / made.volume_ml == pytest.approx(measured, rel=0.0015)


def test_a_cup_of_whole_milk() -> None:
    # USDA SR28: 244 g a cup of 236.6 ml; 3.25 % fat, from memory. Household weights are rounded.
    made = Composition.of(water=88.1, fat=3.25, lactose=4.8, other=3.85)
    assert made.mass_g / made.volume_ml == pytest.approx(244.0 / 236.588, rel=0.003)
