"""Where things are, and the user's library made once and whole."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from small_library import write_library

from station.files import places


def test_the_demo_and_the_themes_ship() -> None:
    assert (places.shipped("specs") / "station.toml").is_file()
    assert list(places.shipped("themes").glob("*.toml"))


def test_what_is_not_shipped_is_said() -> None:
    with pytest.raises(FileNotFoundError, match=r"the shipped folder posters is missing: install the program again"):
        places.shipped("posters")


def test_the_demo_is_copied_whole(tmp_path: Path) -> None:
    target = tmp_path / "data" / "library"
    places.copied_demo(target)
    specs = places.shipped("specs")
    wanted = {path.relative_to(specs) for path in specs.rglob("*.toml") if places.PRIVATE not in path.parts}
    assert {path.relative_to(target) for path in target.rglob("*") if path.is_file()} == wanted
    for file in wanted:
        assert (target / file).read_bytes() == (specs / file).read_bytes()
    assert [path.name for path in target.parent.iterdir()] == ["library"], "something was left beside it"


def test_private_work_is_not_copied_with_the_demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    specs = write_library(tmp_path / "specs", {".station/drafts/drinks/sour.json": "{}"})
    monkeypatch.setattr(places, "shipped", lambda name: specs)
    places.copied_demo(tmp_path / "library")
    assert not (tmp_path / "library" / ".station").exists() and (tmp_path / "library" / "station.toml").is_file()


def test_a_library_that_is_there_already_is_left_alone(tmp_path: Path) -> None:
    target = write_library(tmp_path / "library")
    places.copied_demo(target)
    assert not (target / "drinks" / "tin-lantern.toml").exists()
    assert [path.name for path in tmp_path.iterdir()] == ["library"]


def test_a_copy_that_fails_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object, **__: object) -> None:
        raise OSError("the disk is full")

    monkeypatch.setattr(shutil, "copytree", fails)
    with pytest.raises(OSError, match="the disk is full"):
        places.copied_demo(tmp_path / "library")
    assert list(tmp_path.iterdir()) == []


def test_drafts_go_into_a_library_that_can_be_written(tmp_path: Path) -> None:
    assert places.private_folder(tmp_path) == tmp_path / ".station"


def test_drafts_of_a_library_that_cannot_be_written_go_to_the_state_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setattr(os, "access", lambda *_: False)
    one, other = (places.private_folder(tmp_path / name) for name in ("one", "other"))
    assert one != other and one == places.private_folder(tmp_path / "one")
    assert tmp_path / "one" not in one.parents


def test_the_users_library_is_in_the_platforms_data_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert places.user_library() == tmp_path / "bar-station" / "library"
