"""The patterns editors check with let by whatever the reader takes, and refuse what a pattern can refuse."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from station.bar import quantity, schema
from station.bar.amount import AmountError, parse_amount
from station.bar.patterns import SPELLED
from station.bar.quantity import QuantityError
from station.bar.units import WORDS

READERS: dict[str, Callable[[str], Any]] = {
    name: getattr(quantity, name, None) or getattr(schema, f"_{name}", parse_amount) for name in SPELLED
}
NAMES = sorted(SPELLED)

PIECES = (
    *(
        "0",
        "1",
        "2",
        "22",
        "500",
        "999999999999999",
        ".",
        ",",
        "/",
        "½",
        "⅞",
        "¹",
        "%",
        ":",
        "05",
        "23",
        "-",
        "e",
        " ",
        "  ",
        "\u00a0",
    ),
    *(
        "a",
        "an",
        "one",
        "of",
        "initial",
        "final",
        "as",
        "to",
        "ph",
        "8.2",
        "citric",
        "MALIC",
        "g",
        "mg",
        "l",
        "ml",
        "mL",
        "100ml",
    ),
    *("oz", "fl", "wt", "Drops", "dash", "each", "parts", "hours", "d", "weeks", "months", "Europe/Lisbon", "UTC", "kg"),
)
pieces = st.lists(st.sampled_from(PIECES), max_size=9).map("".join)
words = st.sampled_from(sorted(WORDS)).flatmap(
    lambda word: st.sampled_from([word, word.upper(), word.title(), word.replace(" ", "  ")])
)
numbers = st.one_of(
    st.decimals(min_value=0, max_value=100_000, places=3, allow_nan=False).map(str),
    st.sampled_from(["1/2", "1 1/2", "1½", "½", "22,5", "0,125", ".75", "22.", "1, ", "1,5000", "a ", "ONE ", "1 ⁄ 2"]),
)
amounts = st.tuples(st.sampled_from(["", " ", "top ", "Rinse ", "to "]), numbers, st.sampled_from(["", " ", "\t"]), words).map(
    "".join
)


def taken(name: str, text: str) -> bool:
    try:
        READERS[name](text)
    except (QuantityError, AmountError):
        return False
    return True


def matches(name: str, text: str) -> bool:
    return re.search(str(SPELLED[name]["pattern"]), text) is not None


@pytest.mark.parametrize("name", NAMES)
def test_every_example_is_taken_and_matches(name: str) -> None:
    examples = SPELLED[name]["examples"]
    assert isinstance(examples, list) and examples
    for example in examples:
        assert taken(name, example) and matches(name, example)


@given(st.sampled_from(NAMES), pieces)
@settings(max_examples=1500, deadline=None)
def test_what_the_reader_takes_matches(name: str, text: str) -> None:
    assert matches(name, text) or not taken(name, text)


@given(amounts)
@settings(max_examples=500, deadline=None)
def test_any_amount_the_reader_takes_matches(text: str) -> None:
    assert matches("amount", text) or not taken("amount", text)


# Only what takes reckoning is let by: how large a number is, what a fraction comes to, which signs are fractions.
@given(amounts)
@settings(max_examples=500, deadline=None)
def test_an_amount_that_matches_is_refused_for_its_size_alone(text: str) -> None:
    if matches("amount", text):
        try:
            parse_amount(text)
        except AmountError as error:
            assert error.reason in {"the amount is zero", "the amount is too small", "the amount is too large"}


@pytest.mark.parametrize(
    ("name", "text"),
    [
        *(
            ("amount", text)
            for text in ("2 dorps", "-5 ml", "0 ml", "0.000 ml", "nan ml", "1e400 ml", "1,500 ml", "12,345 g", "1.5.0 ml")
        ),
        *(("amount", text) for text in (f"{'9' * 400} ml", "60", "to", "ml", "", "topp 60 ml", "60 ml extra", "1/2/3 oz")),
        *(("mass_g", text) for text in ("25 ml", "2 drops", "25")),
        *(("volume", text) for text in ("25 g", "1 oz wt", "3 parts")),
        ("metric_ml", "1 oz"),
        *(("percent", text) for text in ("2", "2 %%", "-2 %")),
        *(("keeps", text) for text in ("90", "90 years", "soon")),
        *(("density", text) for text in ("1.03", "1.03 g/l")),
        *(("acidity", text) for text in ("6", "6 %", "6 g/100ml as vinegar")),
        *(("dilution", text) for text in ("25 %", "25 % of it", "30 ml")),
        *(("clock", text) for text in ("5:00", "24:00", "05:60")),
        ("zone", "Europe Lisbon"),
        *(("freezer_c", text) for text in ("-18", "-18 F", "cold")),
    ],
)
def test_what_no_pattern_need_let_by_is_refused_by_both(name: str, text: str) -> None:
    assert not taken(name, text) and not matches(name, text)


# ECMA-262 has no named groups of Python's kind, no inline flags, no possessive or atomic matching.
@pytest.mark.parametrize("name", NAMES)
def test_patterns_keep_to_what_every_editor_understands(name: str) -> None:
    pattern = str(SPELLED[name]["pattern"])
    assert set(re.findall(r"\(\?.", pattern)) <= {"(?=", "(?!"}
    assert set(re.findall(r"\\.", pattern)) <= {r"\s", r"\d", r"\.", r"\x", r"\u"}
    assert not re.search(r"[*+?}]\+", pattern)


# An editor runs these on every key: text made to be retried must not take it long.
@pytest.mark.parametrize("text", ["1" * 5000, "1 " * 2500, "1,1" * 1500, "½" * 5000, " " * 5000, "1/" * 2500, "top " * 1200])
def test_no_text_makes_a_pattern_slow(text: str) -> None:
    from time import process_time

    for name in NAMES:
        start = process_time()
        matches(name, text)
        assert process_time() - start < 0.5
