import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.ethanol import WATER_G_PER_ML
from station.science.solution import apparent_ml_per_g


@given(st.floats(0.01, 1.0), st.floats(0.2, 1.5))
def test_the_apparent_volume_gives_back_the_density(w: float, v: float) -> None:
    density = 1.0 / ((1.0 - w) / WATER_G_PER_ML + w * v)
    assert apparent_ml_per_g(w, density) == pytest.approx(v, abs=1e-9)


@pytest.mark.parametrize(("w", "density"), [(0.0, 1.0), (-0.1, 1.0), (1.1, 1.0), (0.1, 0.0), (0.1, -1.0)])
def test_what_is_no_solution_is_refused(w: float, density: float) -> None:
    with pytest.raises(ValueError, match="no solution"):
        apparent_ml_per_g(w, density)
