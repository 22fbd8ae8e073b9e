"""Amounts as people write them."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from station.bar.amount import LARGEST, Amount, AmountError, parse_amount, rewritten, spell_number, spell_unit
from station.bar.units import MEASURES, WORDS


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("22.5 ml", 22.5, "ml"),
        ("3/4 oz", 0.75, "oz"),
        ("1 1/2 oz", 1.5, "oz"),
        ("¾ oz", 0.75, "oz"),
        ("1½ oz", 1.5, "oz"),
        ("1 ½ oz", 1.5, "oz"),
        ("⅓ oz", 1 / 3, "oz"),
        ("3⁄4 oz", 0.75, "oz"),
        ("0.75oz", 0.75, "oz"),
        (".75 oz", 0.75, "oz"),
        ("22,5 ml", 22.5, "ml"),
        ("22. ml", 22.0, "ml"),
        ("0,500 l", 0.5, "l"),
        ("1500 ml", 1500.0, "ml"),
        ("2 drops", 2.0, "drop"),
        ("a dash", 1.0, "dash"),
        ("an egg", 1.0, "each"),
        ("one drop", 1.0, "drop"),
        ("1 bsp", 1.0, "barspoon"),
        ("1 barspoon", 1.0, "barspoon"),
        ("3 parts", 3.0, "part"),
        ("1 each", 1.0, "each"),
        ("6 leaves", 6.0, "each"),
        ("25 g", 25.0, "g"),
        ("1.2 KG", 1.2, "kg"),
        ("2 fl oz", 2.0, "oz"),
        ("2  FLUID   OUNCES", 2.0, "oz"),
        ("2 oz wt", 2.0, "oz wt"),
        ("\u00a022.5\u00a0ml ", 22.5, "ml"),
    ],
)
def test_an_amount_is_read_as_a_person_means_it(text: str, value: float, unit: str) -> None:
    read = parse_amount(text)
    assert (read.value, read.unit, read.role, read.text) == (pytest.approx(value, rel=1e-15), unit, "", text)


@pytest.mark.parametrize(
    ("text", "value", "unit", "role"),
    [
        ("top", None, "", "top"),
        ("float", None, "", "float"),
        ("top 60 ml", 60.0, "ml", "top"),
        ("Top 1½ oz", 1.5, "oz", "top"),
        ("float 15 ml", 15.0, "ml", "float"),
        ("to 1 l", 1.0, "l", "to"),
    ],
)
def test_a_word_in_front_says_how_it_goes_in(text: str, value: float | None, unit: str, role: str) -> None:
    read = parse_amount(text)
    assert (read.value, read.unit, read.role) == (value, unit, role)


def test_a_rinse_is_an_amount() -> None:
    assert parse_amount("rinse").value is None


def test_every_word_for_a_unit_is_read_back_as_that_unit() -> None:
    for word, unit in WORDS.items():
        assert parse_amount(f"2 {word}").unit == unit


def test_a_bare_number_takes_the_unit_of_its_field() -> None:
    assert parse_amount("22.5", "ml") == Amount("22.5", 22.5, "ml")
    assert parse_amount("2 drops", "ml").unit == "drop"


@pytest.mark.parametrize(
    ("text", "start", "said"),
    [
        ("", 0, "no number here (write a number and a unit, e.g. 22.5 ml, 3/4 oz or 2 drops)"),
        ("ml", 0, "no number here (write a number and a unit, e.g. 22.5 ml, 3/4 oz or 2 drops)"),
        ("  nan ml", 2, "no number here (write a number and a unit, e.g. 22.5 ml, 3/4 oz or 2 drops)"),
        ("inf ml", 0, "no number here (write a number and a unit, e.g. 22.5 ml, 3/4 oz or 2 drops)"),
        ("a", 0, "no number here (write a number and a unit, e.g. 22.5 ml, 3/4 oz or 2 drops)"),
        ("to", 2, "no number here (write a number and a unit, e.g. 22.5 ml, 3/4 oz or 2 drops)"),
        ("22.5", 4, "no unit here (say which, e.g. ml, oz, g, drops, dashes, barspoon)"),
        ("2 dorps", 2, "“dorps” is no unit here (did you mean drops?)"),
        ("top 2 dahses", 6, "“dahses” is no unit here (did you mean dashes?)"),
        ("2d", 1, "“d” is no unit here (did you mean drops or dashes?)"),
        ("2 Dr", 2, "“Dr” is no unit here (did you mean drops?)"),
        ("2 b", 2, "“b” is no unit here (did you mean barspoons?)"),
        ("2 m", 2, "“m” is no unit here (e.g. ml, oz, g, drops, dashes, barspoon)"),
        ("2 mll", 2, "“mll” is no unit here (did you mean ml?)"),
        ("2 xyzzy", 2, "“xyzzy” is no unit here (e.g. ml, oz, g, drops, dashes, barspoon)"),
        ("1e400 ml", 1, "“e400 ml” is no unit here (e.g. ml, oz, g, drops, dashes, barspoon)"),
        ("1,500 ml", 0, "1,500 can be read two ways: 1.5 ml or 1500 ml? (write it without the comma)"),
        ("1,500", 0, "1,500 can be read two ways: 1.5 or 1500? (write it without the comma)"),
        ("top 12,345 ml", 4, "12,345 can be read two ways: 12.345 ml or 12345 ml? (write it without the comma)"),
        ("1.500,5 ml", 0, "1.500,5 has two decimal marks (write e.g. 1500 ml or 1.5 l)"),
        ("1,500,000 ml", 0, "1,500,000 has two decimal marks (write e.g. 1500 ml or 1.5 l)"),
        ("-5 ml", 0, "an amount cannot be below zero (write a positive number, e.g. 22.5 ml)"),
        ("−5 ml", 0, "an amount cannot be below zero (write a positive number, e.g. 22.5 ml)"),
        ("0 ml", 0, "the amount is zero (write how much goes in, e.g. 22.5 ml)"),
        ("0.000 ml", 0, "the amount is zero (write how much goes in, e.g. 22.5 ml)"),
        ("0/4 oz", 0, "the amount is zero (write how much goes in, e.g. 22.5 ml)"),
        ("3/0 oz", 0, "a fraction over zero (write e.g. 3/4 oz)"),
        ("10000001 ml", 0, "the amount is too large (write how much goes in, e.g. 22.5 ml)"),
        ("9" * 400 + " ml", 0, "the number is too long (write at most 15 digits)"),
    ],
)
def test_what_is_no_amount_is_refused_with_place_reason_and_remedy(text: str, start: int, said: str) -> None:
    with pytest.raises(AmountError) as refused:
        parse_amount(text)
    assert (str(refused.value), refused.value.start) == (said, start)


def test_a_written_zero_is_told_from_what_cannot_be_read() -> None:
    for text, nothing in (("0 ml", True), ("-1 ml", False), ("ml", False)):
        with pytest.raises(AmountError) as refused:
            parse_amount(text)
        assert refused.value.nothing is nothing


# A superscript or a circled digit is no fraction: it is a foot-note, or a slip of a phone's keyboard.
@pytest.mark.parametrize("text", ["1² oz", "² oz", "2① ml", "1.5½ oz", "½½ oz"])
def test_a_sign_that_is_no_fraction_of_one_is_refused(text: str) -> None:
    with pytest.raises(AmountError):
        parse_amount(text)


# A general units library reads these as femtolitre-ounces, 0.5, 1 and 15 (pint 0.25): no amount may reach it as text.
def test_amounts_a_units_library_misreads() -> None:
    read = [parse_amount(text).value for text in ("1 fl oz", "1 1/2 oz", "1½ oz", "1,5 oz")]
    assert read == [1.0, 1.5, 1.5, 1.5]


@given(st.text(max_size=30))
@example("\ud800 ml")
@example("٣ ml")
@example("1\n2 ml")
@settings(max_examples=100, deadline=None)
def test_any_text_is_an_amount_or_an_amount_error(text: str) -> None:
    try:
        read = parse_amount(text)
    except AmountError as error:
        assert 0 <= error.start <= len(text)
        assert error.reason and error.remedy
    else:
        assert read.value is None or 0.0 < read.value <= LARGEST


@given(st.text(alphabet="0123456789.,/ ½¾²-−aontpfldrshmgzcbiqkw", max_size=14))
@settings(max_examples=100, deadline=None)
def test_nearly_an_amount_is_an_amount_or_an_amount_error(text: str) -> None:
    try:
        read = parse_amount(text, "ml")
    except AmountError as error:
        assert 0 <= error.start <= len(text)
    else:
        assert read.value is None or 0.0 < read.value <= LARGEST


units = st.sampled_from(sorted(MEASURES))
# From the least that four decimals can write, up.
sizes = st.floats(min_value=1e-4, max_value=1e7)


@given(sizes, units, st.sampled_from(["", "top ", "float ", "to "]))
@example(1.0, "dash", "")
@example(2.0, "part", "")
@example(0.5, "each", "")
@example(0.99999, "drop", "")
@settings(max_examples=100, deadline=None)
def test_an_amount_written_and_read_again_is_the_same(value: float, unit: str, role: str) -> None:
    once = rewritten(parse_amount(f"{role}1 {unit}"), value)
    again = parse_amount(once.text)
    assert again == once
    assert again.value == pytest.approx(value, abs=5.01e-5)
    assert rewritten(again, again.value or 0.0) == again


@given(st.floats(min_value=0.0, max_value=1e7))
@settings(max_examples=100, deadline=None)
def test_a_number_is_spelled_as_it_is_typed(value: float) -> None:
    text = spell_number(value)
    assert "e" not in text and not text.startswith(".") and not text.endswith(".")
    assert "." not in text or not text.endswith("0")
    assert float(text) == pytest.approx(value, abs=5.01e-5)


# An amount that is read is never written back as nothing: rounding a live dose away would hide it.
@given(st.floats(min_value=1e-9, max_value=1e-4, exclude_min=True))
@settings(max_examples=60, deadline=None)
def test_the_smallest_amount_that_can_be_typed_is_not_rewritten_as_zero(value: float) -> None:
    try:
        read = parse_amount(f"{value:.12f}".rstrip("0") + " ml")
    except AmountError:
        return
    assert parse_amount(rewritten(read, read.value or 0.0).text).value


@pytest.mark.parametrize(
    ("unit", "value", "word"),
    [
        ("drop", 1, "drop"),
        ("drop", 2, "drops"),
        ("drop", 0.5, "drops"),
        ("dash", 2, "dashes"),
        ("barspoon", 3, "barspoons"),
        ("each", 2, "each"),
        ("ml", 2, "ml"),
        ("oz wt", 2, "oz wt"),
        ("part", 3, "parts"),
        ("cup", 2, "cups"),
    ],
)
def test_units_are_spelled_for_their_number(unit: str, value: float, word: str) -> None:
    assert spell_unit(unit, value) == word
