"""Another name for a drink: its id, its file, the orders that pour it and its unsaved work follow, or nothing changes."""

from __future__ import annotations

from pathlib import Path

import pytest
from library_state import bytes_in
from small_library import SOUR, open_folder, open_small, write_library

from station.bar.fault import CannotAnswer
from station.desk.document import open_document
from station.desk.opening import Opened
from station.desk.renaming import rename_drink
from station.desk.resuming import draft_of
from station.desk.shelving import retire

ORDER = 'name = "Do"\ndate = 2026-12-12\nguests = 30\n\n[[pours]]\nspec = "sour"  # the one\nserves = 60\n'


@pytest.fixture
def opened(tmp_path: Path) -> Opened:
    return open_small(tmp_path, {"orders/do.toml": ORDER})


def test_name_and_id_change_together_and_orders_follow(opened: Opened) -> None:
    done = rename_drink(opened, "sour", "brass-kettle", "Brass Kettle")
    assert (done.id, done.files) == ("brass-kettle", ("orders/do.toml", "drinks/brass-kettle.toml"))
    assert (opened.folder / "drinks/brass-kettle.toml").read_text() == SOUR.replace("Plain Sour", "Brass Kettle")
    assert not (opened.folder / "drinks/sour.toml").exists()
    assert (opened.folder / "orders/do.toml").read_text() == ORDER.replace('"sour"', '"brass-kettle"')
    assert not opened.library.faults


def test_a_name_of_the_same_id_changes_the_name_alone(opened: Opened) -> None:
    assert rename_drink(opened, "sour", "sour", "Sour!").files == ("drinks/sour.toml",)
    assert (opened.folder / "drinks/sour.toml").read_text() == SOUR.replace("Plain Sour", "Sour!")
    assert rename_drink(opened, "sour", "sour", "Sour!").files == ()


def test_unsaved_lines_go_along(opened: Opened) -> None:
    document = open_document(opened, "sour")
    document.remove(0)
    rename_drink(opened, "sour", "brass-kettle", "Brass Kettle")
    draft = draft_of(open_document(open_folder(opened.folder), "brass-kettle"))
    assert draft is not None and draft.states[draft.at] == document.lines


def test_an_id_that_is_taken_is_refused_and_nothing_changes(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/other.toml": SOUR})
    before = bytes_in(opened.folder)
    with pytest.raises(CannotAnswer, match="the id other is taken"):
        rename_drink(opened, "sour", "other", "Other")
    assert bytes_in(opened.folder) == before


def test_a_read_only_library_refuses_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(CannotAnswer, match="the demo library is read only"):
        rename_drink(Opened(write_library(tmp_path), demo=True), "sour", "x", "X")


def test_the_retired_are_found_among_the_retired_alone(opened: Opened) -> None:
    assert [one.id for one in opened.find("plain")] == ["sour"] and not opened.find("", retired=True)
    retire(opened, "sour")
    assert not opened.find() and [one.id for one in opened.find("plian", retired=True)] == ["sour"]
