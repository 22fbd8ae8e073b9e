"""A gauge as characters, with shapes of its own in ASCII too."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.bar.glyphs import in_ascii
from station.calc.gauges import gauge
from station.cards.gauge import INSIDE, OFF_HIGH, OFF_LOW, OUTSIDE, STANDS, WAS, said, track, with_ends


@pytest.mark.parametrize(
    ("value", "was", "drawn", "plain"),
    [
        (17.5, None, "·····━━●━━━····", "-----==O===----"),
        (17.5, 12.0, "··○··━━●━━━····", "--o--==O===----"),
        (22.0, 17.5, "·····━━○━━━·▲··", "-----==o===-^--"),
        (12.0, 12.0, "··▼··━━━━━━····", "--v--======----"),
        (60.0, 4.0, "◀····━━━━━━···▶", "<----======--->"),
        (None, None, "·····━━━━━━····", "-----======----"),
    ],
)
def test_the_track_by_hand(value: float | None, was: float | None, drawn: str, plain: str) -> None:
    one = gauge("abv", (15.0, 20.0), value, was)
    assert track(one, 15) == drawn
    assert in_ascii(track(one, 15)) == plain


def test_every_shape_is_told_from_every_other_without_colour() -> None:
    for write in (str, in_ascii):
        shapes = [write(shape) for shape in (OUTSIDE, INSIDE, WAS, OFF_LOW, OFF_HIGH, *STANDS.values())]
        assert len(set(shapes)) == len(shapes) and all(len(shape) == 1 for shape in shapes)
    assert [said(one) for one in ("low", "within", "high", "")] == ["▼ low", "● within", "▲ high", ""]


@given(st.floats(0, 1e6), st.floats(0, 100), st.floats(0, 100), st.integers(21, 120))
def test_it_is_exactly_as_wide_as_asked(value: float, low: float, more: float, width: int) -> None:
    one = gauge("sugar", (low, low + more), value, value / 2)
    assert len(track(one, width)) == width
    assert with_ends(one, width).strip()[-1].isdigit()
