"""Two values are the same when TOML has one text for both."""

from __future__ import annotations

from datetime import UTC, datetime
from types import MappingProxyType
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from station.files.values import is_tables, plain, same


@pytest.mark.parametrize(("left", "right"), [(0.0, -0.0), (1, True), (1, 1.0), ([1], [1, 2]), ({"a": 1}, {"b": 1}), ("1", 1)])
def test_what_toml_tells_apart_is_not_the_same(left: Any, right: Any) -> None:
    assert not same(left, right)


def test_one_moment_written_with_two_zone_objects_is_the_same() -> None:
    assert same(datetime(2026, 1, 2, tzinfo=UTC), datetime(2026, 1, 2, tzinfo=ZoneInfo("UTC")))
    assert same(float("nan"), float("nan"))


def test_mappings_and_tuples_become_dicts_and_lists() -> None:
    assert plain(MappingProxyType({"a": (1, MappingProxyType({}))})) == {"a": [1, {}]}


@pytest.mark.parametrize(("value", "answer"), [([{}], True), ([], False), ([{}, 1], False), ({}, False), ("x", False)])
def test_an_array_of_tables_holds_tables_only(value: Any, answer: bool) -> None:
    assert is_tables(value) is answer
