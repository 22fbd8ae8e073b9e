"""Numbers and text as people see them."""

from __future__ import annotations

import math
import unicodedata

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from station.bar import say

quick = settings(max_examples=100, deadline=None)
GAP = "\u00a0"
BIDI = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI", "BN"}


# Leading zero, no trailing zeros, a space before the unit: the rules of the ISMP list of error-prone notations.
@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.5, "0.5"),
        (5.0, "5"),
        (0.0, "0"),
        (-0.0, "0"),
        (1.0046, "1"),
        (1.005001, "1.01"),
        (22.5, "22.5"),
        (99.95, "100"),
        (999.6, "1000"),
        (9999.0, "9999"),
        (9999.6, f"10{GAP}000"),
        (10_000, f"10{GAP}000"),
        (1_234_567, f"1{GAP}234{GAP}567"),
        (0.000123456, "0.000123"),
        (0.0996, "0.0996"),
        (0.09996, "0.1"),
        (-0.5, "-0.5"),
        (-12_345, f"-12{GAP}345"),
        (1e-9, "0.000000001"),
        (None, "–"),
        (math.nan, "–"),
        (math.inf, "–"),
    ],
)
def test_a_number_is_written_for_people(value: float | None, text: str) -> None:
    assert say.number(value) == text


@given(st.floats(min_value=-1e9, max_value=1e9))
@example(-0.0004)
@quick
def test_a_number_keeps_three_figures_and_never_an_odd_shape(value: float) -> None:
    text = say.number(value)
    plain = text.replace(GAP, "")
    assert float(plain) == pytest.approx(value, rel=5.0001e-3, abs=0.0)
    assert "e" not in text and not plain.startswith((".", "-.")) and not plain.endswith(".")
    assert "." not in plain or not plain.endswith("0")
    assert text != "-0"
    whole = plain.lstrip("-").partition(".")[0]
    assert (GAP in text) == (len(whole) > 4)


@given(st.floats(min_value=0.0, max_value=1e6), st.integers(0, 6))
@quick
def test_a_fixed_number_has_at_most_its_places(value: float, places: int) -> None:
    text = say.fixed(value, places).replace(GAP, "")
    assert len(text.partition(".")[2]) <= places
    assert float(text) == pytest.approx(value, abs=0.5001 * 10.0**-places)


@pytest.mark.parametrize(
    ("value", "readability", "text"),
    [
        (4.1867, 0.01, "4.19 g"),
        (4.1867, None, "4.19 g"),
        (1.0467, None, "1.05 g"),
        (123.456, None, "123 g"),
        (1523.6, 1.0, "1524 g"),
        (1523.6, None, "1524 g"),
        (12_345.6, 5.0, "12\u00a0345 g"),
        (0.392, None, "0.392 g"),
        (2.0, 0.01, "2 g"),
        (0.0, 0.01, "0 g"),
        (123.456, 0.1, "123.5 g"),
        (7.0, 0.5, "7 g"),
        (None, 0.1, "–"),
    ],
)
def test_grams_are_written_as_the_scale_shows_them(value: float | None, readability: float | None, text: str) -> None:
    assert say.grams(value, readability).replace(f"{GAP}g", " g") == text


@given(st.floats(0.0, 1e5), st.sampled_from([0.001, 0.01, 0.1, 0.5, 1.0, 2.0, 5.0]))
@quick
def test_what_a_scale_reads_is_a_step_of_it_within_half_a_step(value: float, readability: float) -> None:
    read = float(say.grams(value, readability).removesuffix(f"{GAP}g").replace(GAP, ""))
    assert read == pytest.approx(value, abs=0.501 * readability)
    assert read / readability == pytest.approx(round(read / readability), abs=1e-6)


@pytest.mark.parametrize(
    ("ml", "shown", "text"),
    [
        (22.5, "ml", "22.5 ml"),
        (999.0, "ml", "999 ml"),
        (1500.0, "ml", "1.5 L"),
        (1000.0, "ml", "1 L"),
        (22.5, "cl", "2.25 cl"),
        (29.5735295625, "oz", "1 oz"),
        (None, "ml", "–"),
    ],
)
def test_volumes_are_in_the_houses_unit(ml: float | None, shown: str, text: str) -> None:
    assert say.volume(ml, shown).replace(GAP, " ") == text


def test_a_percentage_is_never_without_its_basis() -> None:
    assert say.percent(0.25, "w/w") == f"25{GAP}%{GAP}w/w"
    assert say.percent(None, "w/w") == "–"


@given(st.text(max_size=60))
@example("\x1b]0;title\x07\x9b31m")
@example("a\u202eb\u2066c\u200fd\u061ce\ufeff")
@example("two\nlines\r\n\u2028\u2029\x85\x0b\t")
@example("\ud800\udfff\ue000\U000e0041")
@quick
def test_plain_text_can_neither_steer_a_terminal_nor_turn_around(text: str) -> None:
    shown = say.plain(text)
    for char in shown:
        assert unicodedata.category(char) not in {"Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp"}
        assert unicodedata.bidirectional(char) not in BIDI


@given(st.text(max_size=40))
@quick
def test_plain_text_is_plain_already(text: str) -> None:
    assert say.plain(say.plain(text)) == say.plain(text)


@given(st.text(alphabet="Aé ½ü°", max_size=40))
@quick
def test_ordinary_text_is_left_as_it_is(text: str) -> None:
    assert say.plain(text) == text


@given(st.text(alphabet="a\x1b\n", max_size=60), st.integers(1, 30))
@quick
def test_plain_text_is_never_longer_than_asked(text: str, limit: int) -> None:
    shown = say.plain(text, limit)
    assert len(shown) <= limit
    assert shown.endswith("…") == (len(text) > limit)
