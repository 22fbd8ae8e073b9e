"""Contrast as WCAG 2.2 defines it: https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.science.contrast import contrast_ratio, relative_luminance

channel = st.floats(0.0, 1.0)


def grey(level: int) -> float:
    return relative_luminance(level / 255, level / 255, level / 255)


def test_black_on_white_is_the_most_there_is() -> None:
    """WCAG 2.2: "contrast ratios can range from 1 to 21"."""
    assert contrast_ratio(grey(0), grey(255)) == pytest.approx(21.0)
    assert contrast_ratio(grey(90), grey(90)) == 1.0


def test_the_greys_designers_know_as_the_last_that_pass() -> None:
    """On white: #767676 is the lightest grey of 4.5 to 1, #949494 of 3 to 1 (from memory)."""
    assert contrast_ratio(grey(0x76), 1.0) >= 4.5 > contrast_ratio(grey(0x77), 1.0)
    assert contrast_ratio(grey(0x94), 1.0) >= 3.0 > contrast_ratio(grey(0x95), 1.0)


def test_the_primaries_weigh_as_in_the_standard() -> None:
    """Row Y of the sRGB matrix of IEC 61966-2-1."""
    assert [relative_luminance(*one) for one in ((1, 0, 0), (0, 1, 0), (0, 0, 1))] == pytest.approx([0.2126, 0.7152, 0.0722])


@given(channel, channel, channel, channel)
def test_more_light_is_never_less_luminance(red: float, green: float, blue: float, more: float) -> None:
    assert relative_luminance(red, green, max(blue, more)) >= relative_luminance(red, green, blue)
    assert 0.0 <= relative_luminance(red, green, blue) <= 1.0 + 1e-12


def test_a_channel_outside_its_range_is_refused() -> None:
    with pytest.raises(ValueError, match="0 to 1"):
        relative_luminance(1.1, 0.0, 0.0)
