"""New text: tomli-w's spelling in our layout."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomli_w
from documents import data, scalars
from hypothesis import given

from station.files.render import dotted, fresh, inline
from station.files.values import same


def test_a_new_file_has_heads_for_its_lines_and_short_lists_on_one_line() -> None:
    content = {
        "name": "x",
        "lines": [{"item": "a", "tags": ["b", "c"]}, {"item": "d"}],
        "steps": ["long " * 12] * 2,
        "w": {"abv": [15, 20]},
    }
    step = '    "' + "long " * 12 + '",\n'
    lines = '[[lines]]\nitem = "a"\ntags = ["b", "c"]\n\n[[lines]]\nitem = "d"\n'
    assert fresh(content) == f'name = "x"\nsteps = [\n{step}{step}]\n\n{lines}\n[w]\nabv = [15, 20]\n'


@given(data)
def test_a_new_file_reads_back(content: dict[str, Any]) -> None:
    assert same(tomllib.loads(fresh(content)), content)


@given(scalars)
def test_a_scalar_is_spelled_as_tomli_w_spells_it(value: Any) -> None:
    assert f"x = {inline(value)}\n" == tomli_w.dumps({"x": value})


@pytest.mark.parametrize(
    ("names", "text"), [(("a", "b-2"), "a.b-2"), (("a b", ""), '"a b".""'), (('"',), '"\\""'), (("é",), '"é"')]
)
def test_a_key_is_quoted_where_it_must_be(names: tuple[str, ...], text: str) -> None:
    assert dotted(names) == text


def test_a_table_that_holds_only_tables_needs_no_header_of_its_own() -> None:
    assert fresh({"a": {"b": {"x": 1}}, "c": {}}) == "[a.b]\nx = 1\n\n[c]\n"
