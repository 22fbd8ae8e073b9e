"""Changing the library from a script: one line or one JSON document, the documented exit codes, nothing done by halves."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from library_state import bytes_in
from small_library import HOUSE, drink, write_library

from station import cli
from station.files.places import shipped

Asked = tuple[int, str, str]
Ask = Callable[..., Asked]

NAMES = {
    "shelved": {"did", "kind", "id", "was", "files"},
    "import": {"file", "drinks", "unknown", "faults", "ignored_columns", "writable", "written"},
    "drink": {"id", "name", "method", "glass", "lines"},
    "line": {"item", "amount", "row"},
    "unknown": {"name", "rows", "nearest"},
    "migrate": {
        *("was", "becomes", "amounts", "files", "largest_change_ml", "largest_change_pct", "written", "copy"),
    },
    "reading": {"format", "ounce", "spoons"},
    "amount": {"file", "line", "column", "key", "was", "becomes", "ml_was", "ml_becomes"},
}
SHEET = "drink,item,amount,method,glass,notes\nLoose Rivet,spirit,60 ml,shake,coupe,\nLoose Rivet,Sour juice,22.5 ml,,,\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    ounces = drink("stir", "spirit: 2 oz", "syrup: 1 tsp")
    return write_library(tmp_path / "library", {"drinks/ounces.toml": ounces})


@pytest.fixture
def ask(folder: Path, capsys: pytest.CaptureFixture[str]) -> Ask:
    """One question to the small library; its exit code, stdout and stderr."""

    def asked(*arguments: object) -> Asked:
        try:
            code = cli.main(["--library", str(folder), *map(str, arguments)])
        except SystemExit as left:
            code = int(left.code or 0)
        captured = capsys.readouterr()
        return code, captured.out, captured.err

    return asked


def data(asked: Asked, code: int = 0) -> Any:
    assert asked[0] == code, asked[2]
    return json.loads(asked[1])


CHANGES: list[tuple[list[str], str]] = [
    (["new", "led", "--method", "stir", "--line", "spirit=60 ml", "--line", "syrup=1 tsp"], "led is new: drinks/led.toml"),
    (["new", "salted", "--stock", "--line", "citric-25=10 g"], "salted is new: stocks/salted.toml"),
    (["copy", "sour", "tart"], "tart is a copy of sour: drinks/tart.toml"),
    (["copy", "spirit", "spirit-2", "--name", "Other"], "spirit-2 is a copy of spirit: ingredients/items.toml"),
    (["rename", "syrup", "gum"], "syrup is now gum, in 2 other files too"),
    (["rename", "citric-25", "citric"], "citric-25 is now citric, in 2 other files too"),
    (["rename", "sour", "tart", "--kind", "drink"], "sour is now tart"),
    (["retire", "ounces"], "ounces is retired: off the list, its file stays"),
    (["retire", "ounces", "--undo"], "ounces is on the list"),
]


@pytest.mark.parametrize(("arguments", "line"), [one for one in CHANGES if one[0][:3] != ["copy", "sour", "tart"]])
def test_a_change_is_said_in_one_line(ask: Ask, arguments: list[str], line: str) -> None:
    assert ask(*arguments) == (0, f"{line}\n", "")
    assert ask("check")[0] == 0


@pytest.mark.parametrize("arguments", [arguments for arguments, _ in CHANGES if arguments[:3] != ["copy", "sour", "tart"]])
def test_a_change_is_one_json_document(ask: Ask, folder: Path, arguments: list[str]) -> None:
    answer = data(ask(*arguments, "--json"))
    assert set(answer) == NAMES["shelved"]
    assert all((folder / file).is_file() for file in answer["files"])


def test_an_id_that_two_kinds_share_needs_its_kind(ask: Ask) -> None:
    code, out, err = ask("copy", "sour", "tart")
    assert (code, out) == (1, "")
    assert err == "station: sour is the id of more than one: drink, item (say which with --kind, e.g. --kind drink)\n"
    assert ask("copy", "sour", "tart", "--kind", "drink") == (0, "tart is a copy of sour: drinks/tart.toml\n", "")


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["new", "sour", "--method", "stir", "--line", "spirit=60 ml"], 1, "station: the id sour is taken (choose another)"),
        (["new", "A b", "--method", "stir", "--line", "spirit=60 ml"], 1, "station: “A b” is no id"),
        (["new", "x", "--method", "stir", "--line", "spirt=60 ml"], 1, "station: drinks/x.toml would have a fault: lines 1 item"),
        (["new", "x", "--line", "spirit=60 ml"], 1, "station: drinks/x.toml would have a fault: method: method is missing"),
        (["new", "x", "--method", "stir", "--line", "spirit=2 dorps"], 2, "station: “dorps” is no unit here"),
        (["new", "x", "--method", "stir", "--line", "spirit"], 2, "station: “spirit” names no amount"),
        (["new", "x", "--method", "stir"], 2, "usage: station new"),
        (["copy", "nothing", "x"], 1, "station: there is no drink, stock or item nothing"),
        (["copy", "spirit"], 2, "usage: station copy"),
        (["rename", "spirit", "syrup"], 1, "station: the id syrup is taken"),
        (["rename", "spirit", "x", "--kind", "vessel"], 2, "usage: station rename"),
        (["retire", "spirit"], 1, "station: there is no drink spirit"),
        (["import", "/nowhere.csv"], 1, "station: /nowhere.csv cannot be read"),
        (["import"], 2, "usage: station import"),
        (["migrate", "--ounce", "uk"], 2, "usage: station migrate"),
    ],
)
def test_what_cannot_be_done_is_said_on_stderr(ask: Ask, folder: Path, arguments: list[str], code: int, said: str) -> None:
    before = bytes_in(folder)
    for more in ([], ["--json"]):
        got, out, err = ask(*arguments, *more)
        assert (got, out) == (code, "") and err.startswith(said)
        assert code == 2 or err.count("\n") == 1
    assert bytes_in(folder) == before


def test_a_sheet_is_shown_then_written(ask: Ask, folder: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "s.csv"
    sheet.write_text(SHEET)
    before = bytes_in(folder)
    code, out, err = ask("import", sheet)
    assert (code, err) == (0, "")
    assert out.splitlines() == [
        f"{sheet}: 1 drink, 2 lines",
        "",
        "loose-rivet · Loose Rivet · shake · coupe",
        "    60 ml  Spirit",
        "  22.5 ml  Sour juice",
        "columns left out: notes",
        "nothing is written yet: --write writes it",
    ]
    assert bytes_in(folder) == before
    assert ask("import", sheet, "--write")[1].splitlines()[-1] == "written: 1 new file"
    assert set(bytes_in(folder)) - set(before) == {"drinks/loose-rivet.toml"}
    assert ask("show", "loose-rivet")[0] == 0


def test_a_plan_that_cannot_be_written_is_shown_and_exit_1(ask: Ask, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = bytes_in(folder)
    for more in ([], ["--write"]):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(SHEET.replace("60 ml", "60 mll").encode())))
        code, out, err = ask("import", "-", *more)
        assert (code, err) == (1, "")
        assert "-:2:1: amount: “mll” is no unit here (did you mean ml?)" in out.splitlines()
        assert out.splitlines()[-1] == "nothing can be written until this is mended"
    assert bytes_in(folder) == before


def test_the_names_of_a_plan(ask: Ask, tmp_path: Path) -> None:
    (tmp_path / "s.csv").write_text(SHEET + "B,sour jiuce,1 ml,stir,,\nB,spirit,1 mll,,,\n")
    plan = data(ask("import", tmp_path / "s.csv", "--json"), code=1)
    assert set(plan) == NAMES["import"] and plan["writable"] is False and plan["written"] == []
    assert {frozenset(one) for one in plan["drinks"]} == {frozenset(NAMES["drink"])}
    assert {frozenset(line) for one in plan["drinks"] for line in one["lines"]} == {frozenset(NAMES["line"])}
    assert [set(one) for one in plan["unknown"]] == [NAMES["unknown"]]
    assert [(one["line"], one["key"], one["code"]) for one in plan["faults"]] == [(5, "amount", "bad-quantity")]


def test_a_migration_is_shown_then_written(ask: Ask, folder: Path) -> None:
    before = bytes_in(folder)
    shown = data(ask("migrate", "--ounce", "30 ml", "--spoons", "metric", "--json"))
    assert set(shown) == NAMES["migrate"] and shown["written"] is False
    assert set(shown["was"]) == set(shown["becomes"]) == NAMES["reading"]
    assert [set(one) for one in shown["amounts"]] == [NAMES["amount"]] * 2
    assert bytes_in(folder) == before
    code, out, err = ask("migrate", "--ounce", "30 ml", "--spoons", "metric", "--write")
    assert (code, err) == (0, "") and "2 oz → 1.9716 oz" in out
    assert "written; the library as it was is in .station/replaced/" in out
    assert ask("migrate", "--ounce", "30 ml") == (0, "nothing to do: format 1, ounce 30 ml, spoons metric\n", "")
    assert ask("check")[0] == 0


def test_a_current_library_needs_no_migration(ask: Ask) -> None:
    assert ask("migrate") == (0, "nothing to do: format 1, ounce us, spoons us\n", "")


def test_a_newer_format_is_refused(folder: Path, ask: Ask) -> None:
    (folder / "station.toml").write_text(HOUSE.replace("format = 1", "format = 9"))
    for arguments in (["migrate"], ["migrate", "--ounce", "imperial", "--write"], ["retire", "sour"]):
        code, out, err = ask(*arguments)
        assert (code, out) == (1, "") and "newer" in err


def test_a_change_loads_nothing_heavy(tmp_path: Path) -> None:
    folder = write_library(tmp_path / "library")
    (tmp_path / "s.csv").write_text(SHEET)
    sheet = str(tmp_path / "s.csv")
    changes = (["rename", "syrup", "gum"], ["import", sheet, "--write"], ["migrate", "--ounce", "imperial", "--write"])
    for arguments in changes:
        code = f"import sys\nfrom station import cli\nassert cli.main({['--library', str(folder), *arguments]!r}) == 0\n"
        code += "print([name for name in ('textual', 'rich', 'pint', 'sqlite3') if name in sys.modules])"
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
        assert done.stdout.splitlines()[-1] == "[]"


def test_the_shipped_demo_is_not_written(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("STATION_LIBRARY", raising=False)
    before = bytes_in(shipped("specs"))
    assert cli.main(["retire", "tin-lantern"]) == 1
    captured = capsys.readouterr()
    assert captured.out == "" and captured.err.splitlines()[-1].startswith("station: the demo library is read only")
    assert bytes_in(shipped("specs")) == before
