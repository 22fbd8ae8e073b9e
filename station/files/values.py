"""TOML values: what it means that two are the same, and plain copies of them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, time
from typing import Any


def plain(value: Any) -> Any:
    """`value` in the types tomllib makes: dicts and lists all the way down."""
    if isinstance(value, Mapping):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    return value


def same(left: Any, right: Any) -> bool:
    """Whether two plain values are one in TOML. Python's == is too kind (1 == 1.0 == True) and too strict (nan != nan)."""
    if type(left) is not type(right):
        return False
    if isinstance(left, dict):
        return left.keys() == right.keys() and all(same(value, right[key]) for key, value in left.items())
    if isinstance(left, list):
        return len(left) == len(right) and all(map(same, left, right))
    if isinstance(left, float | datetime | time):
        return str(left) == str(right)
    return bool(left == right)


def is_tables(value: Any) -> bool:
    """Whether `value` can be an array of tables: a list of dicts, not empty."""
    return isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)
