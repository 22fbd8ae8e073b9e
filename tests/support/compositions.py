"""Random compositions for property tests."""

from __future__ import annotations

from hypothesis import strategies as st

from station.bar.composition import ACIDS, SUGARS, Composition

grams = st.one_of(st.just(0.0), st.floats(1e-6, 2000.0))
few = st.one_of(st.just(0.0), st.floats(1e-6, 50.0))


@st.composite
def compositions(draw: st.DrawFn) -> Composition:
    """Some water, ethanol, sugar, acid, salt and pulp, any of them possibly none."""
    sugar, acid = draw(st.sampled_from(SUGARS)), draw(st.sampled_from(ACIDS))
    amounts = {"water": draw(grams), "ethanol": draw(grams), sugar: draw(grams), acid: draw(few), "salt": draw(few)}
    return Composition.of(amounts, other=draw(few), cation_mol=draw(st.sampled_from([0.0, 0.01])))
