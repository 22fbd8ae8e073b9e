"""Whatever the program or a house writes can be said in ASCII, and never reads as another amount."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import station
from station.bar.glyphs import SIGNS, in_ascii, key_in_ascii, wants_ascii

PACKAGE = Path(station.__file__).parent
# What is read of people's writing, not painted; and a picture that is drawn otherwise in ASCII.
READ_ONLY = {
    "cards/picture.py",
    "desk/importing.py",
    "bar/amount.py",
    "bar/units.py",
    "bar/unit_table.py",
    "bar/glyphs.py",
    "bar/say.py",
    "desk/plainly.py",
    "tui/shadow.py",
}


def painted() -> Iterator[tuple[str, str]]:
    """Every character beyond ASCII in a text of the program's that is no docstring, with its module."""
    for path in PACKAGE.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        said = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in said:
                yield from ((path.relative_to(PACKAGE).as_posix(), char) for char in node.value if not char.isascii())


def test_the_one_table_has_every_sign_the_program_paints() -> None:
    strays = {(module, char) for module, char in painted() if module not in READ_ONLY and char not in SIGNS}
    assert {one for one in strays if "?" in in_ascii(one[1])} == set(), "add them to station/bar/glyphs.py"
    assert {char for _, char in painted()} >= {"▸", "·", "█", "…"}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1½ oz", "1 1/2 oz"),
        ("½ oz", "1/2 oz"),
        ("10² ml", "10^2 ml"),
        ("፩ ml", "^1 ml"),
        ("٣ ml", "3 ml"),
        ("Crème de mûre", "Creme de mure"),
        ("Weißbier, Œuf", "Weissbier, OEuf"),
        ("20\u00a0°C", "20 C"),
        ("12 → 13 ▲ high", "12 -> 13 ^ high"),
        ("水 5 ml", "? 5 ml"),
        ("e\u0301clair", "eclair"),
    ],
)
def test_it_reads_as_before(text: str, said: str) -> None:
    assert in_ascii(text) == said


@given(st.text())
def test_it_is_ascii_whatever_it_was(text: str) -> None:
    assert in_ascii(text).isascii()


@given(st.text(st.characters(max_codepoint=126)))
def test_ascii_stays_as_it_is(text: str) -> None:
    assert in_ascii(text) == text


@given(st.floats(0.001, 99999.0), st.sampled_from("¼½¾⅓⅔⅛"))
def test_a_fraction_after_a_number_never_joins_it(number: float, fraction: str) -> None:
    whole = str(int(number))
    assert in_ascii(f"{whole}{fraction}").startswith(f"{whole} ")


def test_an_arrow_key_is_named_not_drawn() -> None:
    assert [key_in_ascii(name) for name in ("↑↓", "⌫", "^q")] == ["UpDn", "Bksp", "^q"]


@pytest.mark.parametrize(
    ("environment", "wanted"),
    [
        ({}, False),
        ({"LANG": "pt_PT.UTF-8"}, False),
        ({"LANG": "C"}, True),
        ({"LANG": "en_US.ISO-8859-1"}, True),
        ({"LANG": "en_US.utf8", "LC_ALL": "POSIX"}, True),
        ({"LANG": "C", "LC_CTYPE": "C.UTF-8"}, False),
        ({"LANG": "C", "STATION_ASCII": "0"}, False),
        ({"LANG": "C.UTF-8", "STATION_ASCII": "1"}, True),
    ],
)
def test_the_locale_says_whether_it_must_be(environment: dict[str, str], wanted: bool) -> None:
    assert wants_ascii(environment) is wanted


def test_a_locale_the_interpreter_made_up_does_not_count() -> None:
    """PEP 538: in the C locale Python sets LC_CTYPE itself."""
    assert wants_ascii({"LANG": "C", "LC_CTYPE": "C.UTF-8"}, coerced=True)
    assert not wants_ascii({"LC_CTYPE": "C.UTF-8"}, coerced=True)
