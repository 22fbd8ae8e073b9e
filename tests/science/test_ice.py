from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.ice import BUILT_DILUTION, DILUTION_VALID, shaken_dilution, stirred_dilution

both = pytest.mark.parametrize("dilution", [stirred_dilution, shaken_dilution])
strengths = st.floats(0.0, 1.0)


@both
@given(one=strengths, other=strengths)
def test_a_stronger_drink_is_never_diluted_less(dilution: Callable[[float], float], one: float, other: float) -> None:
    weaker, stronger = sorted((one, other))
    assert dilution(weaker) <= dilution(stronger) + 1e-12


@given(strengths)
def test_shaking_adds_more_water_than_stirring_and_stirring_more_than_none(abv: float) -> None:
    assert 0.0 < stirred_dilution(abv) < shaken_dilution(abv) < 1.0


@given(st.floats(*DILUTION_VALID))
def test_building_in_the_glass_adds_least(abv: float) -> None:
    assert 0.0 < BUILT_DILUTION < stirred_dilution(abv)


@both
def test_above_the_valid_range_its_last_value_is_used(dilution: Callable[[float], float]) -> None:
    assert dilution(DILUTION_VALID[1]) == dilution(0.5) == dilution(1.0)
    assert dilution(0.44) < dilution(DILUTION_VALID[1])


@both
def test_below_the_valid_range_the_formula_goes_on(dilution: Callable[[float], float]) -> None:
    assert dilution(0.0) < dilution(0.1) < dilution(DILUTION_VALID[0])


@both
@pytest.mark.parametrize("abv", [-0.01, 1.01, 40.0, float("nan")])
def test_a_strength_that_is_no_fraction_is_refused(dilution: Callable[[float], float], abv: float) -> None:
    with pytest.raises(ValueError, match="fraction, 0 to 1"):
        dilution(abv)
