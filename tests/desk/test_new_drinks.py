"""A drink that no file holds yet: its id, its draft, its first save."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_library import SOUR, open_folder, open_small, write_library

from station.bar.fault import CannotAnswer
from station.calc.answers import Shown
from station.desk.new_drinks import begun, id_of, let_go, reopened, unwritten, usual_style
from station.desk.opening import Opened
from station.desk.resuming import draft_of, take_up


@pytest.fixture
def opened(tmp_path: Path) -> Opened:
    return open_small(tmp_path)


@pytest.mark.parametrize(
    ("name", "made"),
    [
        ("Brass Kettle", "brass-kettle"),
        ("  Señor Kohl’s—N° 3! ", "senor-kohls-n-3"),
        ("a" * 70, "a" * 64),
        ("a" * 63 + " b", "a" * 63),
        ("銀の鐘", "drink-1"),
    ],
)
def test_a_names_id_is_its_letters_and_digits(name: str, made: str, opened: Opened) -> None:
    assert id_of(opened, name) == made


@pytest.mark.parametrize(("name", "said"), [(" ", "it has no name yet"), ("Sour", "the id sour is taken"), ("sour!", "is taken")])
def test_a_name_that_cannot_be_is_refused(name: str, said: str, opened: Opened) -> None:
    with pytest.raises(CannotAnswer, match=said):
        id_of(opened, name)


def test_two_unsaved_drinks_have_two_ids(opened: Opened) -> None:
    begun(opened, "Brass Kettle", "stir", "")
    with pytest.raises(CannotAnswer, match="the id brass-kettle is taken by a drink not saved yet"):
        id_of(opened, "Brass kettle")
    begun(opened, "銀の鐘", "stir", "")
    assert id_of(opened, "金の鐘") == "drink-2"


def test_the_usual_style_is_that_of_most_drinks_of_the_method(tmp_path: Path) -> None:
    long = SOUR.replace('style = "shaken"', 'style = "long"')
    windows = '[long]\nabv = [1, 2]\nsource = "x"\n[shaken]\nabv = [1, 2]\nsource = "x"\n'
    opened = open_small(tmp_path, {"windows.toml": windows, "drinks/a.toml": long, "drinks/b.toml": long})
    assert (usual_style(opened, "shake"), usual_style(opened, "stir")) == ("long", "")


def test_a_new_drink_is_a_draft_until_it_is_saved(opened: Opened) -> None:
    document = begun(opened, "Brass Kettle", "stir", "shaken")
    assert document.unsaved and document.answer == document.answer_saved == "Brass Kettle has no line yet"
    assert [(one.id, one.name, one.method) for one in unwritten(opened).values()] == [("brass-kettle", "Brass Kettle", "stir")]
    assert not (opened.folder / "drinks/brass-kettle.toml").exists() and not opened.library.faults
    with pytest.raises(CannotAnswer, match=r"^not saved: Brass Kettle has no line yet"):
        document.save()
    document.add(0, "spirit")
    document.type(0, "60")
    assert isinstance(document.answer, Shown)
    assert document.spec.revision == "not saved yet"
    document.save()
    assert (opened.folder / "drinks/brass-kettle.toml").read_text() == (
        'name = "Brass Kettle"\nmethod = "stir"\nstyle = "shaken"\n\n[[lines]]\nitem = "spirit"\namount = "60 ml"\n'
    )
    assert not document.unsaved and not unwritten(opened) and "brass-kettle" in opened.library.drinks
    document.type(0, "45")
    document.save()
    assert 'amount = "45 ml"' in (opened.folder / "drinks/brass-kettle.toml").read_text()
    while document.undo():
        pass
    assert document.lines == () and document.unsaved


def test_a_kill_loses_nothing_of_a_new_drink(opened: Opened) -> None:
    document = begun(opened, "Brass Kettle", "stir", "")
    document.add(0, "spirit")
    document.type(0, "6")
    again = reopened(open_folder(opened.folder), "brass-kettle")
    draft = draft_of(again)
    assert draft is not None
    take_up(again, draft)
    assert (again.saved, again.lines, again.typing) == (document.saved, document.lines, document.typing)
    assert again.unsaved and again.follow()


def test_a_new_drink_without_lines_can_be_let_go(opened: Opened) -> None:
    document = begun(opened, "Brass Kettle", "stir", "")
    document.add(0, "spirit")
    with pytest.raises(CannotAnswer, match="has lines"):
        let_go(opened, "brass-kettle")
    document.undo()
    let_go(opened, "brass-kettle")
    assert not unwritten(opened)


def test_a_file_of_that_id_that_came_meanwhile_is_not_written_over(opened: Opened) -> None:
    document = begun(opened, "Brass Kettle", "stir", "")
    document.add(0, "spirit")
    document.type(0, "60")
    (opened.folder / "drinks/brass-kettle.toml").write_text(SOUR)
    opened.reread()
    assert not document.follow()
    with pytest.raises(CannotAnswer, match="the id brass-kettle is taken"):
        document.save()
    assert (opened.folder / "drinks/brass-kettle.toml").read_text() == SOUR


@pytest.mark.parametrize(
    "head", [None, [], {"name": 3}, {"name": "X", "method": "fly"}, {"name": "X", "method": "stir", "id": "y"}]
)
def test_a_draft_that_names_no_drink_is_not_listed(head: object, opened: Opened) -> None:
    begun(opened, "Brass Kettle", "stir", "")
    path = opened.folder / ".station/drafts/drinks/brass-kettle.json"
    path.write_text(json.dumps(json.loads(path.read_text()) | {"unwritten": head}))
    assert not unwritten(opened)
    with pytest.raises(CannotAnswer, match="there is no drink brass-kettle"):
        reopened(opened, "brass-kettle")


def test_a_read_only_library_says_so_and_keeps_the_draft(tmp_path: Path) -> None:
    opened = Opened(write_library(tmp_path), demo=True)
    document = begun(opened, "Brass Kettle", "stir", "")
    document.add(0, "spirit")
    document.type(0, "60")
    with pytest.raises(CannotAnswer, match="read only"):
        document.save()
    assert unwritten(opened)
