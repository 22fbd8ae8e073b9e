"""The index of drinks: in columns, in the list's order, a row kept as long as its file is the same."""

from __future__ import annotations

import os
from pathlib import Path

from small_library import SOUR, open_folder, write_library

from station.desk.opening import Opened
from station.files import index, places

THREE = {
    f"drinks/{name}.toml": SOUR.replace("Plain Sour", shown) for name, shown in (("a", "Zinc"), ("b", "alder"), ("c", "Moss"))
}


def warm(folder: Path) -> Opened:
    opened = open_folder(folder)
    opened.warm_up()
    return opened


def library(folder: Path) -> Path:
    write_library(folder, THREE, without=("drinks/sour.toml",))
    assert open_folder(folder).library.drinks
    return folder


def test_the_list_is_by_name_whatever_the_files_are_called(tmp_path: Path) -> None:
    opened = warm(library(tmp_path))
    assert [(row.id, row.name) for row in opened.find()] == [("b", "alder"), ("c", "Moss"), ("a", "Zinc")]
    assert not opened.loaded and opened.unread() == 0


def test_without_an_index_it_is_known_how_many_drinks_must_be_read(tmp_path: Path) -> None:
    write_library(tmp_path, THREE)
    opened = warm(tmp_path)
    assert opened.unread() == 4 and opened.library.drinks and opened.unread() == 0


def test_reading_the_library_keeps_every_row(tmp_path: Path) -> None:
    opened = warm(library(tmp_path))
    before = tuple(opened.find())
    kept = places.index_file(tmp_path).read_bytes()
    assert set(opened.library.drinks) == {"a", "b", "c"}
    assert tuple(opened.find()) == before and places.index_file(tmp_path).read_bytes() == kept


def test_one_changed_file_is_read_and_the_others_rows_are_kept(tmp_path: Path) -> None:
    opened = warm(library(tmp_path))
    assert opened.library.drinks
    (tmp_path / "drinks/a.toml").write_text(SOUR.replace("Plain Sour", "Ash"), encoding="utf-8")
    assert opened.reread()
    assert [row.name for row in opened.find()] == ["alder", "Ash", "Moss"]
    assert [row.name for row in warm(tmp_path).find()] == ["alder", "Ash", "Moss"]


def test_a_file_that_came_or_went_is_seen_before_the_library_is_read(tmp_path: Path) -> None:
    (library(tmp_path) / "drinks/b.toml").unlink()
    opened = warm(tmp_path)
    assert [row.name for row in opened.find()] == ["Moss", "Zinc"]


def test_what_was_written_in_place_is_found_by_the_read(tmp_path: Path) -> None:
    """The first frame shows the name of before; the library is read as soon as that is up."""
    file = library(tmp_path) / "drinks/b.toml"
    with file.open("r+", encoding="utf-8") as open_file:
        open_file.write(THREE["drinks/b.toml"].replace("alder", "birch"))
    os.utime(file, ns=(1, 1))
    opened = warm(tmp_path)
    assert [row.name for row in opened.find()] == ["alder", "Moss", "Zinc"]
    assert opened.library.drinks["b"].name == "birch"
    assert [row.name for row in opened.find()] == ["birch", "Moss", "Zinc"]


def test_rows_are_led_by_those_named_and_cut_like_any_sequence(tmp_path: Path) -> None:
    rows = warm(library(tmp_path)).find()
    assert [row.id for row in rows.led_by(["a"])] == ["a", "b", "c"]
    assert [row.id for row in rows[1:]] == ["c", "a"] and len(rows[1:]) == 2


def test_a_fault_is_kept_with_its_row(tmp_path: Path) -> None:
    write_library(tmp_path, {"drinks/bad.toml": SOUR.replace("shake", "shaken")})
    faults = open_folder(tmp_path).library.faults
    again = warm(tmp_path)
    assert [row.id for row in again.find() if row.faulty] == ["bad"]
    assert again.library.faults == faults and faults


def test_no_drinks_are_an_index_of_none() -> None:
    assert len(index.NOTHING) == 0 and list(index.NOTHING.usable) == [] and list(index.NOTHING.faults) == []
