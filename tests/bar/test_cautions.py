"""What is said about safety, and the words that are never said."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import station
from station.bar.cautions import ALLERGENS, UNKNOWN, caution

# A tool that prints one of these takes on a promise that only a supplier's sheet, a code or a licence can give.
BANNED = re.compile(
    r"\b(safe|safely|safest|non-?toxic|preserv(?:e|es|ed|ing|ative|atives)|shelf[- ]?stable|approved|legal|legally)\b", re.I
)
# Not a promise but a document's name: the sheet a supplier must hand out.
NAMED = re.compile(r"safety data sheet", re.I)

CODES = {
    "concentrate-make": {"name": "X", "strength": "88", "acid": "lactic"},
    "acid-strong": {"name": "X", "strength": "30"},
    "serve-acid": {"grams": "3"},
    "serve-salt": {"grams": "2"},
    "serve-window": {"figure": "Acid", "value": "3", "high": "1"},
    "egg": {},
    "acid-powder": {"name": "X"},
    "shake-diluted": {},
    "permission": {},
    "allergen-unknown": {"names": "X"},
    "acid-unbuffered": {"names": "X"},
}


def strings(path: Path) -> Iterator[tuple[int, str]]:
    """Every string a module holds that could be shown: its docstrings are for those who read the code."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {id(node.body[0].value) for node in ast.walk(tree) if _has_docstring(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.lineno, node.value


def _has_docstring(node: ast.AST) -> bool:
    kinds = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    return (
        isinstance(node, kinds)
        and bool(node.body)
        and isinstance(node.body[0], ast.Expr)
        and isinstance(node.body[0].value, ast.Constant)
    )


PACKAGE = Path(station.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))


def test_the_walk_finds_the_strings_it_looks_through() -> None:
    found = [text for path in MODULES for _, text in strings(path)]
    assert len(MODULES) > 50 and len(found) > 1000
    assert any("corrosive concentrate" in text for text in found)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_word_that_promises_stands_in_the_tool(path: Path) -> None:
    assert [(line, text) for line, text in strings(path) if BANNED.search(text)] == []


@pytest.mark.parametrize("text", ["Safe to drink", "non-toxic", "nontoxic", "shelf-stable", "it preserves", "Approved", "legal"])
def test_the_guard_knows_those_words(text: str) -> None:
    assert BANNED.search(text)


@pytest.mark.parametrize("text", ["the safety data sheet", "unsafe", "illegal", "salt"])
def test_the_guard_leaves_other_words(text: str) -> None:
    assert not BANNED.search(text)


def test_every_caution_has_a_word_a_text_and_a_source() -> None:
    for code, values in CODES.items():
        one = caution(code, "line", **values)
        assert one.word in {"STOP", "CHECK", "NOTE"}
        assert one.about == "line" and one.source and "{" not in one.text and one.text[-1] in ".?"


def test_an_unknown_caution_is_no_caution() -> None:
    with pytest.raises(KeyError):
        caution("made-up")


def test_the_allergens_are_those_of_the_regulation() -> None:
    # EU Regulation 1169/2011 Annex II: 14 kinds; wheat stands beside gluten for the US list.
    assert len(ALLERGENS) == 14 + 1
    assert UNKNOWN not in ALLERGENS and list(ALLERGENS) == sorted(ALLERGENS)


def test_a_concentrate_is_told_with_water_first_and_the_suppliers_sheet() -> None:
    text = caution("concentrate-make", **CODES["concentrate-make"]).text
    assert "add acid to water" in text and "Eye protection and gloves" in text and NAMED.search(text)
