"""A path as a person names it."""

from __future__ import annotations

from pathlib import Path

import pytest

from station.bar.fault import CannotAnswer
from station.desk.opening import opened
from station.files.places import named_path
from station.files.themes import theme

IMPOSSIBLE = ["~no-such-person-here/x.toml", "a\0b/x.toml", "x" * 300_000 + "/x.toml"]


def test_a_tilde_is_ones_home() -> None:
    assert named_path("~/bar") == Path.home() / "bar"


@pytest.mark.parametrize("text", IMPOSSIBLE, ids=["person", "null byte", "too long"])
def test_what_can_be_no_path_is_said_by_all_who_take_one(text: str, tmp_path: Path) -> None:
    for take in (named_path, opened, lambda asked: theme(tmp_path, asked)):
        with pytest.raises(CannotAnswer, match="no place on this machine"):
            take(text)
