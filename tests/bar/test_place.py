"""A line and a column, counted from 1."""

from __future__ import annotations

import pytest

from station.bar.place import Place


@pytest.mark.parametrize(("offset", "line", "column"), [(0, 1, 1), (1, 1, 2), (2, 1, 3), (3, 2, 1), (4, 3, 1), (6, 3, 3)])
def test_a_place_is_counted_in_lines_and_characters(offset: int, line: int, column: int) -> None:
    assert Place.at("aé\n\nb\r", offset) == Place(line, column)


def test_a_place_is_written_as_editors_take_it() -> None:
    assert str(Place(12, 3)) == "12:3"
