"""Words spelled anew in place: what was wanted is said, and every other byte stays."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest
from documents import documents
from hypothesis import given, settings
from hypothesis import strategies as st

from station.files.respell import leaves, respelled
from station.files.values import same

HEADERS = """\
top = "old"
other.old = 'old'
[ old ] # [old] it was
item = "old"
[[ "old" . packs ]]
size = "1 l"
[['old'.packs]]
[old.'old']
old = 1
"""
DOTTED = """\
old.early = "dotted"   # old.early
  "old".'old' = 2
old . "x" . y = 3
"""


def text_leaves(data: dict[str, Any]) -> list[tuple[str | int, ...]]:
    return [path for path, value in leaves(data) if isinstance(value, str)]


@settings(max_examples=150, deadline=None)
@given(documents(), st.data())
def test_strings_change_where_they_stand_and_nothing_else_does(document: tuple[str, dict[str, Any]], data: st.DataObject) -> None:
    text, content = document
    paths = text_leaves(content)
    chosen = data.draw(st.lists(st.sampled_from(paths), unique=True)) if paths else []
    values = {path: f"new-{place}-\N{SNOWMAN}" for place, path in enumerate(chosen)}
    result = respelled(text, values)
    assert {path: value for path, value in leaves(tomllib.loads(result)) if path in values} == values
    pieces = re.split(r'"new-\d+-\N{SNOWMAN}"', result)
    assert len(pieces) == len(values) + 1
    assert re.fullmatch(".*".join(map(re.escape, pieces)), text, re.DOTALL)
    back = {path: value for path, value in leaves(content) if path in values}
    assert same(tomllib.loads(respelled(result, back)), tomllib.loads(text))


@settings(max_examples=150, deadline=None)
@given(documents(), st.data())
def test_a_table_gets_another_name_wherever_its_name_is_written(
    document: tuple[str, dict[str, Any]], data: st.DataObject
) -> None:
    text, content = document
    if not content:
        return
    old = data.draw(st.sampled_from(sorted(content)))
    result = respelled(text, {}, {old: "brand-new"})
    assert same(tomllib.loads(result), {"brand-new" if key == old else key: value for key, value in content.items()})
    assert result.count("\n") == text.count("\n") or "\n" in old


def test_only_the_name_is_spelled_anew_in_headers() -> None:
    wanted = HEADERS.replace("[ old ]", "[ new ]").replace('[[ "old" . p', "[[ new . p").replace("[['old'.p", "[[new.p")
    assert respelled(HEADERS, {}, {"old": "new"}) == wanted.replace("[old.'old']", "[new.'old']")


def test_only_the_name_is_spelled_anew_in_dotted_keys() -> None:
    wanted = DOTTED.replace("old.early =", "new.early =").replace("  \"old\".'old'", "  new.'old'").replace("old . ", "new . ")
    assert respelled(DOTTED, {}, {"old": "new"}) == wanted


def test_a_name_that_is_there_already_is_refused() -> None:
    with pytest.raises(ValueError, match="the file is left as it is"):
        respelled("[a]\nx = 1\n[b]\ny = 1\n", {}, {"a": "b"})
