from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.acid import ACIDS, CITRIC_PER_G, Acid, as_citric_g, equivalent_weight

names = st.sampled_from(list(ACIDS))
grams = st.floats(0.0, 1e4)


def test_the_acids_are_named_in_a_fixed_order() -> None:
    order = ["citric", "malic", "tartaric", "lactic", "phosphoric", "ascorbic", "acetic", "succinic"]
    assert list(ACIDS) == list(CITRIC_PER_G) == [acid.name for acid in ACIDS.values()] == order


def test_base_takes_these_protons_by_ph_8_2() -> None:
    assert [acid.protons for acid in ACIDS.values()] == [3, 2, 2, 1, 2, 1, 1, 2]


@pytest.mark.parametrize("acid", ACIDS.values(), ids=ACIDS)
def test_an_acid_lets_go_of_its_protons_in_turn(acid: Acid) -> None:
    assert all(earlier < later for earlier, later in pairwise(acid.pka))


@pytest.mark.parametrize("acid", ACIDS.values(), ids=ACIDS)
def test_the_protons_counted_are_those_mostly_gone_at_ph_8_2(acid: Acid) -> None:
    assert sum(pka < 8.2 for pka in acid.pka) == acid.protons


@pytest.mark.parametrize("acid", ACIDS.values(), ids=ACIDS)
def test_each_acid_names_where_its_figures_come_from(acid: Acid) -> None:
    assert acid.source.startswith("pKa: ") and "volume: " in acid.source


@pytest.mark.parametrize("name", ["malic", "tartaric", "ascorbic", "succinic"])
def test_a_volume_from_memory_says_so(name: str) -> None:
    assert "from memory" in ACIDS[name].source


@given(grams)
def test_citric_is_its_own_measure(g: float) -> None:
    assert as_citric_g("citric", g) == g


@given(names, grams)
def test_equal_citric_takes_equal_base(name: str, g: float) -> None:
    base_mol = g / equivalent_weight(name)
    assert as_citric_g(name, g) / equivalent_weight("citric") == pytest.approx(base_mol)


def test_an_unknown_acid_is_refused() -> None:
    with pytest.raises(KeyError, match="oxalic"):
        equivalent_weight("oxalic")
    with pytest.raises(KeyError, match="oxalic"):
        as_citric_g("oxalic", 1.0)
