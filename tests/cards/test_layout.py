"""Columns of plain text."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from station.bar.say import plain
from station.cards.layout import table

cells = st.text(alphabet="ab °é\x1b\n\u202e", max_size=8)
tables = st.integers(1, 4).flatmap(lambda width: st.lists(st.tuples(*[cells] * width), min_size=1, max_size=5))


def test_columns_are_as_wide_as_they_need() -> None:
    rows = [("rum", "5 g"), ("lime juice", "1524 g")]
    assert table(rows, right=frozenset({1})) == ["rum            5 g", "lime juice  1524 g"]
    assert table(rows) == ["rum         5 g", "lime juice  1524 g"]


def test_nothing_is_no_lines() -> None:
    assert table([]) == []


@given(tables, st.frozensets(st.integers(0, 3)))
@settings(max_examples=60, deadline=None)
def test_every_row_is_one_plain_line_with_all_its_cells(rows: list[tuple[str, ...]], right: frozenset[int]) -> None:
    lines = table(rows, right)
    assert len(lines) == len(rows)
    for row, line in zip(rows, lines, strict=True):
        assert line == line.rstrip() and plain(line) == line
        for cell in row:
            assert plain(cell).strip() in line
