"""Which tables of an array go on, and which stay."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from station.files.match import matched, staying


def test_tables_are_matched_by_equality_then_name_then_place() -> None:
    a, b, c = {"item": "a", "n": 1}, {"item": "b", "n": 1}, {"item": "c", "n": 1}
    assert matched([a, b, c], [c, {"item": "a", "n": 2}, {"item": "d"}]) == [2, 0, None]
    assert matched([a, b], [a, {"item": "d"}]) == [0, 1]
    assert matched([a, a], [a, a, a]) == [0, 1, None]
    assert matched([a, a], [b, a]) == [0, 1]


@given(st.permutations(range(7)))
def test_as_many_as_possible_stay(order: list[int]) -> None:
    kept = staying(order)
    rising = [index for index in order if index in kept]
    assert rising == sorted(rising)
    subsets = ([one for place, one in enumerate(order) if bits >> place & 1] for bits in range(2**7))
    assert len(kept) == max(len(subset) for subset in subsets if subset == sorted(subset))
