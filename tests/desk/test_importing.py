"""Drinks from a sheet: shown first, written whole or not at all, and never anything but data."""

from __future__ import annotations

import io
import sys
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from library_state import bytes_in, failing_from
from small_library import demo_copy, open_folder, open_small

from station.bar.fault import CannotAnswer
from station.bar.kinds import is_id
from station.bar.shelf import ImportPlan
from station.desk.checking import check
from station.desk.importing import imported, slug
from station.desk.opening import Opened
from station.files import disk

HEAD = "drink,item,amount,method,glass\n"
GOOD = HEAD + (
    "Loose Rivet,spirit,60 ml,shake,coupe\nLoose Rivet,SOUR  JUICE,22.5 ml,,\nCold Ledger,spirit,2 oz,stir,\n"
    'Loose Rivet,citric-25,2 drops,,\nCold Ledger,Water,"7,5 ml",Stir,rocks\n'
)


@pytest.fixture
def small(tmp_path: Path) -> Opened:
    return open_small(tmp_path / "library")


def sheet(opened: Opened, text: str | bytes, write: bool = False) -> ImportPlan:
    path = opened.folder.parent / "sheet.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass"))
    return imported(opened, str(path), write)


def said(plan: ImportPlan) -> list[str]:
    """The faults without the folder's name."""
    return [str(fault).rpartition("sheet.csv:")[2] for fault in plan.faults]


def test_a_plan_is_shown_and_nothing_is_written(small: Opened) -> None:
    before = bytes_in(small.folder)
    plan = sheet(small, GOOD)
    assert plan.writable and plan.written == () and plan.faults == plan.unknown == ()
    assert [(one.id, one.name, one.method, one.glass) for one in plan.drinks] == [
        ("loose-rivet", "Loose Rivet", "shake", "coupe"),
        ("cold-ledger", "Cold Ledger", "stir", "rocks"),
    ]
    assert [(line.item, line.amount, line.row) for line in plan.drinks[0].lines] == [
        ("spirit", "60 ml", 2),
        ("sour", "22.5 ml", 3),
        ("citric-25", "2 drops", 5),
    ]
    assert bytes_in(small.folder) == before and not (small.folder / ".station").exists()


def test_what_was_shown_is_written(small: Opened) -> None:
    before = bytes_in(small.folder)
    plan = sheet(small, GOOD, write=True)
    assert plan.written == ("drinks/loose-rivet.toml", "drinks/cold-ledger.toml")
    after = bytes_in(small.folder)
    assert tomllib.loads(after.pop("drinks/cold-ledger.toml").decode()) == {
        "name": "Cold Ledger",
        "method": "stir",
        "glass": "rocks",
        "lines": [{"item": "spirit", "amount": "2 oz"}, {"item": "water", "amount": "7,5 ml"}],
    }
    after.pop("drinks/loose-rivet.toml")
    assert after == before
    assert {"loose-rivet", "cold-ledger"} < set(small.library.drinks) and check(small.blends) == ()


def test_importing_twice_overwrites_nothing(small: Opened) -> None:
    sheet(small, GOOD, write=True)
    before = bytes_in(small.folder)
    plan = sheet(small, GOOD.replace("60 ml", "50 ml"), write=True)
    assert not plan.writable and plan.written == ()
    assert said(plan) == [
        "2:1: drink: there is a drink loose-rivet already (give it another name)",
        "4:1: drink: there is a drink cold-ledger already (give it another name)",
    ]
    assert bytes_in(small.folder) == before


def test_a_faulty_and_a_retired_drink_keep_their_ids_too(tmp_path: Path) -> None:
    opened = open_small(tmp_path / "library", {"drinks/loose-rivet.toml": "= broken"})
    assert not sheet(opened, GOOD, write=True).writable
    assert (opened.folder / "drinks/loose-rivet.toml").read_text() == "= broken"
    assert not (opened.folder / "drinks/cold-ledger.toml").exists()


def test_unknown_items_are_listed_with_the_nearest_ids(tmp_path: Path) -> None:
    opened = open_folder(demo_copy(tmp_path))
    plan = sheet(opened, HEAD + "A,lime jiuce,20 ml,shake,\nB,Lime Jiuce,20 ml,shake,\nB,light rumm,50 ml,,\nB,zzzz,1 g,,\n")
    assert not plan.writable and plan.faults == ()
    assert [(one.name, one.rows) for one in plan.unknown] == [
        ("lime jiuce", (2,)),
        ("Lime Jiuce", (3,)),
        ("light rumm", (4,)),
        ("zzzz", (5,)),
    ]
    assert plan.unknown[0].nearest[0] == "lime-juice" and plan.unknown[2].nearest[0] == "rum-light"
    assert plan.unknown[3].nearest == ()
    assert all(len(one.nearest) <= 3 for one in plan.unknown)
    assert plan.drinks[0].lines[0].item == "lime jiuce"


def test_a_name_that_two_items_bear_is_not_guessed(tmp_path: Path) -> None:
    twin = '[sour-b]\nname = "Sour Juice"\nkind = "juice"\nbrix = 8\n'
    opened = open_small(tmp_path / "library", {"ingredients/twin.toml": twin})
    plan = sheet(opened, HEAD + "A,sour juice,20 ml,shake,\n")
    assert [(one.name, set(one.nearest[:2])) for one in plan.unknown] == [("sour juice", {"sour", "sour-b"})]
    assert sheet(opened, HEAD + "A,sour-b,20 ml,shake,\n").drinks[0].lines[0].item == "sour-b"


@pytest.mark.parametrize(
    ("rows", "sentences"),
    [
        ("A,spirit,2 dorps,shake,\n", ["2:1: amount: “dorps” is no unit here (did you mean drops?)"]),
        ("A,spirit,,shake,\n", ["2:1: amount: amount is missing (add it: a number and a unit, e.g. 22.5 ml or 2 drops)"]),
        ('A,spirit,"1,500 ml",shake,\n', ["2:1: amount: 1,500 can be read two ways: 1.5 ml or 1500 ml? (write it without"]),
        ("A,spirit,-5 ml,shake,\n", ["2:1: amount: an amount cannot be below zero (write a positive number, e.g. 22.5 ml)"]),
        ("A,,20 ml,shake,\n", ["2:1: item: the item is missing (say what goes in)"]),
        (",spirit,20 ml,shake,\n", ["2:1: drink: the drink's name is missing (name it in every row)"]),
        ("A,spirit,20 ml,,\n", ["2:1: method: method is missing (add it)"]),
        ("A,spirit,20 ml,shaek,\n", ["2:1: method: “shaek” is not known here (did you mean shake? one of "]),
        ("A,spirit,20 ml,blend,\n", ["2:1: dilution: a blended drink's dilution is its own (add e.g. dilution = "]),
        ("A,spirit,3 parts,shake,\n", ['2:1: amount: parts of what? there is no total (add e.g. total = "90 ml")']),
        ("B,spirit,20 ml,shake,\nA,spirit,20 ml,shake,\nA,spirit,to 1 l,,\n", ["4:1: amount: “to” is for stocks (write how"]),
        ("A,spirit,20 ml,shake,\nA,spirit,20 ml,stir,\n", ["3:1: method: “stir”, but “shake” above, for the drink a (make them"]),
        ("A b,spirit,20 ml,shake,\na-B,spirit,20 ml,,\n", ["3:1: drink: “a-B”, but “A b” above, for the drink a-b (make"]),
        ("酒,spirit,20 ml,shake,\n", ["2:1: drink: no id can be made of “酒” (give it a name with letters from a to z)"]),
        ("a" * 70 + ",spirit,20 ml,shake,\n", ["2:1: drink: no id can be made of “" + "a" * 59 + "…” (give it a name"]),
    ],
)
def test_what_is_wrong_is_said_with_the_sheets_line(small: Opened, rows: str, sentences: list[str]) -> None:
    before = bytes_in(small.folder)
    plan = sheet(small, HEAD + rows, write=True)
    assert not plan.writable and plan.written == ()
    assert len(said(plan)) == len(sentences)
    for fault, sentence in zip(said(plan), sentences, strict=True):
        assert fault.startswith(sentence)
    assert bytes_in(small.folder) == before


HOSTILE = {
    "formula": ("=cmd|' /C calc'!A0", "begins as a formula does"),
    "formula by another sign": ("@SUM(1)", "begins as a formula does"),
    "escape": ("A\x1b]0;owned\x07", "holds a character that cannot be shown"),
    "right to left": ("A\u202egnihton", "holds a character that cannot be shown"),
    "long": ("A" * 100_000, "the cell has 100000 characters"),
    "newline": ('"A\nB"', "the cell holds a line break"),
    "dots alone": ("../..", "no id can be made of"),
    "nothing but space": ("\u200b", "holds a character that cannot be shown"),
}


@pytest.mark.parametrize(
    ("kind", "column"),
    [(kind, column) for kind in HOSTILE for column in ("drink", "item", "glass") if column == "drink" or kind != "dots alone"],
)
def test_hostile_text_is_refused_in_one_line(small: Opened, kind: str, column: str) -> None:
    cell, reason = HOSTILE[kind]
    before = bytes_in(small.folder.parent)
    cells = {"drink": "A", "item": "spirit", "amount": "20 ml", "method": "shake", "glass": "coupe"} | {column: cell}
    plan = sheet(small, HEAD + ",".join(cells.values()) + "\n", write=True)
    (small.folder.parent / "sheet.csv").unlink()
    assert not plan.writable and len(plan.faults) == 1
    assert reason in str(plan.faults[0]) and str(plan.faults[0]).isprintable() and len(str(plan.faults[0])) < 500
    assert bytes_in(small.folder.parent) == before


@pytest.mark.parametrize("name", ["../../x", "/etc/passwd", "..\\x", "drinks/../../x", ".station/lock", "x.toml"])
def test_a_path_is_only_a_name(small: Opened, name: str) -> None:
    plan = sheet(small, HEAD + f"{name},spirit,20 ml,shake,../../y\n", write=True)
    (written,) = plan.written
    assert (small.folder / written).parent == small.folder / "drinks" and is_id(Path(written).stem)
    assert tomllib.loads((small.folder / written).read_text())["name"] == name
    assert {path.name for path in small.folder.parent.iterdir()} == {"library", "sheet.csv"}


def test_toml_in_a_cell_is_text(small: Opened) -> None:
    name = 'A"" ]] [[lines]] # x'
    plan = sheet(small, HEAD + '"A"""" ]] [[lines]] # x",spirit,20 ml,shake,\n', write=True)
    assert tomllib.loads((small.folder / plan.written[0]).read_text())["name"] == name


def test_standard_input_is_a_sheet_too(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(GOOD.encode())))
    plan = imported(small, "-")
    assert plan.file == "-" and len(plan.drinks) == 2


def test_a_sheet_without_rows_is_said(small: Opened) -> None:
    with pytest.raises(CannotAnswer, match="has no rows under its header"):
        sheet(small, HEAD)


def test_a_failure_midway_leaves_no_new_drink(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    before = bytes_in(small.folder)
    monkeypatch.setattr(disk, "put", failing_from(2))
    with pytest.raises(CannotAnswer, match=r"nothing was changed: .*No space left on device"):
        sheet(small, GOOD, write=True)
    assert bytes_in(small.folder) == before


def test_the_demo_shows_a_plan_and_is_not_written(small: Opened) -> None:
    opened = open_folder(small.folder, demo=True)
    assert sheet(opened, GOOD).writable
    with pytest.raises(CannotAnswer, match="the demo library is read only"):
        sheet(opened, GOOD, write=True)


@pytest.mark.parametrize(
    ("name", "made"),
    [
        ("Tin Lantern", "tin-lantern"),
        ("  Drover’s  No. 2! ", "drovers-no-2"),
        ("Crème Brûlée", "creme-brulee"),
        ("Smørbrød & Æble", "smorbrod-aeble"),
        ("Straße", "strasse"),
        ("½ Moon", "1-2-moon"),
        ("…", ""),
    ],
)
def test_a_name_makes_an_id(name: str, made: str) -> None:
    assert slug(name) == made


@given(st.text(max_size=60))
def test_whatever_the_name_it_makes_an_id_or_nothing(name: str) -> None:
    made = slug(name)
    assert made == "" or is_id(made) or len(made) > 64
    assert slug(made) == made
