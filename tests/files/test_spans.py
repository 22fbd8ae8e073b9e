"""The scanner against tomllib: whatever that accepts, this finds, where it stands."""

from __future__ import annotations

import random
import tomllib
from typing import Any

import pytest
from documents import documents, leaves, parsed
from hypothesis import given, settings
from hypothesis import strategies as st

from station.bar.place import Place
from station.files.spans import Spans, scan
from station.files.values import same

SPEC = """\
# Invented.
name = "Nightjar"   # a name
tags = [ "sour",    # one
  'cold' ]
made.on = 2026-11-04 07:30:00
"odd key" . 'dot.ted' = {a = 1, b.c = "x, y }"}
text = \"\"\"
[[lines]]
item = "no line"\"\"\"\"

# the base
[[lines]]
item = "rum-light"
amount = "60 ml"

# loose

  # the acid
  # by drops
  [[ lines ]]    # second
  item = "citric-25"
  amount = "2 drops"
  # below
  [lines.rinse]
  kept = 0.5
[[lines.notes]]
said = "a"
[[lines.notes]]
said = "b"

[empty]
[other.deep]
"""


def text_of(spans: Spans, *path: str | int) -> str:
    start, end = spans.values[path]
    return spans.text[start:end]


def test_a_value_stands_where_its_text_does() -> None:
    spans = scan(SPEC)
    assert text_of(spans, "name") == '"Nightjar"'
    assert text_of(spans, "tags", 1) == "'cold'"
    assert text_of(spans, "made", "on") == "2026-11-04 07:30:00"
    assert text_of(spans, "odd key", "dot.ted", "b", "c") == '"x, y }"'
    assert text_of(spans, "text").endswith('line"""""')
    assert text_of(spans, "lines", 1, "rinse", "kept") == "0.5"
    assert text_of(spans, "lines", 1, "notes", 1, "said") == '"b"'


@pytest.mark.parametrize(
    ("path", "line", "column"),
    [
        (("name",), 2, 1),
        (("tags", 1), 4, 3),
        (("made",), 5, 1),
        (("made", "on"), 5, 6),
        (("odd key", "dot.ted"), 6, 13),
        (("odd key", "dot.ted", "b"), 6, 33),
        (("odd key", "dot.ted", "b", "c"), 6, 35),
        (("lines",), 12, 3),
        (("lines", 1), 20, 6),
        (("lines", 1, "amount"), 22, 3),
        (("lines", 1, "rinse"), 24, 10),
        (("lines", 1, "notes", 1), 28, 9),
        (("other",), 32, 2),
        (("other", "deep"), 32, 8),
    ],
)
def test_a_key_stands_where_its_name_is_written(path: tuple[str | int, ...], line: int, column: int) -> None:
    assert scan(SPEC).key_place(path) == Place(line, column)


@pytest.mark.parametrize("path", [("lines", 2), ("lines", 0, "with"), ("made", "by"), ("nothing",)])
def test_what_is_not_written_has_no_place(path: tuple[str | int, ...]) -> None:
    assert scan(SPEC).key_place(path) is None
    assert scan(SPEC).value_span(path) is None


def test_a_missing_key_is_placed_at_the_table_that_lacks_it() -> None:
    spans = scan(SPEC)
    assert spans.place(("lines", 1, "with")) == Place(20, 6)
    assert spans.place(("empty", "name", "first")) == Place(31, 2)
    assert spans.place(("method",)) == Place(1, 1)


def test_tables_made_by_headers_or_dotted_keys_have_no_value_text() -> None:
    spans = scan(SPEC)
    assert [spans.value_span(path) for path in [("made",), ("lines",), ("lines", 0), ("empty",)]] == [None] * 4


def test_a_block_has_its_comments_and_sub_tables_and_no_loose_comment() -> None:
    spans = scan(SPEC)
    first, second = spans.table_block(("lines", 0)), spans.table_block(("lines", 1))
    assert first and SPEC[slice(*first)] == '# the base\n[[lines]]\nitem = "rum-light"\namount = "60 ml"\n'
    assert second and SPEC[slice(*second)].startswith("  # the acid\n  # by drops\n  [[ lines ]]")
    assert second and SPEC[slice(*second)].endswith('said = "b"\n')
    assert spans.table_block(("lines", 2)) is None
    assert spans.table_block(("other",)) is None


def test_comments_below_the_last_key_belong_to_it_unless_the_next_header_follows_them() -> None:
    text = "[a]\nx = 1\n# own\n\n# loose\n\n# next\n[b]\n# inside\n"
    spans = scan(text)
    assert [text[slice(*span)] for key in "ab" if (span := spans.table_block((key,)))] == [
        "[a]\nx = 1\n# own\n",
        "# next\n[b]\n# inside\n",
    ]
    touching = "[a]\nx = 1\n# next\n[b]\n"
    assert scan(touching).table_block(("a",)) == (0, touching.index("#"))


def test_a_block_with_another_table_inside_is_none() -> None:
    assert scan("[[a]]\n[b]\n[a.c]\n").table_block(("a", 0)) is None


def test_a_nested_array_starts_anew_in_each_element() -> None:
    spans = scan("[[a]]\n[[a.b]]\nx = 1\n[[a.b]]\nx = 2\n[[a]]\n[[a.b]]\nx = 3\n")
    assert [text_of(spans, "a", *where, "x") for where in [(0, "b", 0), (0, "b", 1), (1, "b", 0)]] == ["1", "2", "3"]


def test_a_table_opened_after_its_sub_table_is_placed_at_its_own_header() -> None:
    assert scan("[a.b]\n[a]\n").place(("a", "missing")) == Place(2, 2)


def test_lines_end_at_line_feeds_only_and_columns_count_characters() -> None:
    assert scan("# \u2028 \x85\r\n'é' = 'ü'; \r\nb = 2".replace("; ", "")).key_place(("b",)) == Place(3, 1)
    assert scan("ä = 1".replace("ä", "'ä'.b")).key_place(("ä", "b")) == Place(1, 5)


def test_text_that_is_not_toml_is_refused_with_a_place() -> None:
    for text in ["a", "a = ", "a = [1", "a = {b", "[", "=", "a = [}"]:
        with pytest.raises(ValueError, match=r"^1:\d+: the scanner cannot follow"):
            scan(text)


def check_every_value(text: str, content: dict[str, Any]) -> None:
    spans = scan(text)
    for path, value in leaves(content):
        start, end = spans.values[path]
        assert same(tomllib.loads("x = " + text[start:end])["x"], value), path
        assert path in spans.keys
    for path, (start, end) in spans.values.items():
        value = content
        for step in path:
            value = value[step]  # type: ignore[index]
        assert same(tomllib.loads("x = " + text[start:end])["x"], value), path


@given(documents())
def test_every_value_of_a_document_is_found(document: tuple[str, dict[str, Any]]) -> None:
    text, content = document
    assert same(tomllib.loads(text), content), "the test's own writer is wrong"
    check_every_value(text, content)


def key_at(text: str, offset: int) -> str | None:
    """The key's part that starts at `offset`, read by tomllib: the longest text that is one."""
    line = text[offset : offset + 60].partition("\n")[0]
    for end in range(len(line), 0, -1):
        found = parsed(f"[{line[:end]}]\n") or {}
        if line[end - 1] not in "\t ]" and [*found.values()] == [{}]:
            return next(iter(found))
    return None


@given(documents())
def test_every_key_of_a_document_is_found(document: tuple[str, dict[str, Any]]) -> None:
    spans = scan(document[0])
    for path, offset in spans.keys.items():
        names = [step for step in path if isinstance(step, str)]
        if path in spans.values and isinstance(path[-1], int):
            assert offset == spans.values[path][0]
        else:
            assert key_at(spans.text, offset) == names[-1], path


@given(documents())
def test_sections_share_the_text_out_in_order(document: tuple[str, dict[str, Any]]) -> None:
    text, _ = document
    done = 0
    for section in scan(text).sections:
        assert done <= section.blank <= section.head <= section.body <= section.end
        assert all(section.body <= entry.start < entry.end <= section.end for entry in section.entries if section.path)
        assert not text[done : section.blank].strip() or "#" in text[done : section.blank]
        done = section.end


CHARACTERS = "abz019_-. \t\n\r#=,[]{}\"'\\+:TZéx"


@settings(max_examples=300)
@given(st.one_of(documents().map(lambda pair: pair[0]), st.just(SPEC)), st.integers(0, 2**32), st.integers(1, 4))
def test_what_tomllib_accepts_the_scanner_follows(text: str, seed: int, changes: int) -> None:
    rng = random.Random(seed)
    for _ in range(changes):
        at, cut = rng.randrange(len(text) + 1), rng.choice([0, 0, 1, 3])
        text = text[:at] + rng.choice([*CHARACTERS, '"""', "'''", "[[a]]\n", "\n"]) + text[at + cut :]
    content = parsed(text)
    if content is None:
        with_place(text)
    else:
        check_every_value(text, content)


@given(st.text(alphabet=CHARACTERS, max_size=12))
def test_short_texts_too(text: str) -> None:
    content = parsed(text)
    if content is None:
        with_place(text)
    else:
        check_every_value(text, content)


def with_place(text: str) -> None:
    """Of text that is not TOML the scanner promises only to end, and to raise nothing but ValueError."""
    try:
        scan(text)
    except ValueError:
        return


def test_deep_nesting_that_tomllib_bears_the_scanner_bears() -> None:
    deepest = max(depth for depth in range(100, 500, 10) if parsed("a = " + "[" * depth + "]" * depth) is not None)
    assert deepest >= 200
    scan("a = " + "[" * deepest + "]" * deepest)
