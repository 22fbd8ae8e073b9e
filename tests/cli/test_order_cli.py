"""`station order`: its JSON's names, its exit codes, the files it writes."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from small_library import demo_copy, drink, write_library

from station.cli import main

KEYS = [
    *("id", "name", "date", "guests", "notes", "invented", "revision", "starts", "ready", "ends", "assumptions", "drinks"),
    *(
        "mixed",
        "other",
        "shared",
        "overage",
        "pours",
        "without_alcohol",
        "serves",
        "batches",
        "stocks",
        "prep",
        "shop",
        "cost",
        "beside",
    ),
    *("standard_drinks_per_guest", "allergens", "may_contain", "masses", "cautions"),
]
COUNTED = 'name = "O"\ndate = 2027-05-01\nguests = 10\n[[pours]]\nspec = "d"\nserves = 20\n'


@pytest.fixture
def library(tmp_path: Path) -> str:
    return str(demo_copy(tmp_path))


def asked(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    try:
        code = main(["order", *arguments])
    except SystemExit as left:
        code = int(str(left.code))
    out, err = capsys.readouterr()
    return code, out, err


def test_the_json_s_names_are_a_promise(library: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = asked(capsys, "harvest-supper", "--json", "--library", library)
    answer = json.loads(out)
    assert (code, err, list(answer)) == (0, "", KEYS)
    assert answer["serves"] == {"tin-lantern": 159, "kettle-regatta": 106, "noon-librarian": 60}
    assert answer["pours"][0] == {"spec": "tin-lantern", "expected": 144.0, "serves": 159, "share": 0.6}
    assert {"item", "need_g", "need_ml", "packs", "cost"} <= set(answer["shop"][0])
    assert {"id", "g"} <= set(answer["stocks"][0])
    assert {"amount", "currency", "complete"} <= set(answer["cost"])
    assert set(answer["allergens"]) == set(answer["serves"])
    assert {"mixes", "fills", "service", "diluted", "glass"} <= set(answer["batches"][0])


def test_without_an_order_the_orders_there_are(library: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = asked(capsys, "--library", library)
    assert code == 0 and "harvest-supper" in out and "2027-09-18" in out
    code, out, _ = asked(capsys, "--json", "--library", library)
    assert json.loads(out)[0] == {"id": "harvest-supper", "name": "Harvest supper", "date": "2027-09-18", "guests": 120}


def test_other_guests(library: str, capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = asked(capsys, "harvest-supper", "--guests", "300", "--json", "--library", library)
    answer = json.loads(out)
    assert answer["guests"] == 300 and answer["serves"]["noon-librarian"] == 60
    assert answer["serves"]["tin-lantern"] == 456  # 0.6 × (750 − 60) × 1.1 = 455.4


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["harvest-super"], 1, "did you mean harvest-supper?"),
        (["harvest-supper", "--guests", "0"], 1, "0 guests is no event"),
        (["harvest-supper", "--guests", "many"], 2, "invalid int value"),
    ],
)
def test_what_cannot_be_answered(
    arguments: list[str], code: int, said: str, library: str, capsys: pytest.CaptureFixture[str]
) -> None:
    found, out, err = asked(capsys, *arguments, "--library", library)
    assert (found, out) == (code, "") and said in err


def test_shares_that_do_not_sum_to_1_are_one_line(library: str, capsys: pytest.CaptureFixture[str]) -> None:
    path = Path(library) / "orders" / "harvest-supper.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("share = 0.4", "share = 0.3"), encoding="utf-8")
    code, out, err = asked(capsys, "harvest-supper", "--library", library)
    assert (code, out, err.count("\n")) == (1, "", 1)
    assert "sum to 0.9. Of the 240 mixed drinks they are 216, 24 of them not planned; as proportions they are all 240" in (
        err.replace("\u00a0", " ")
    )


def test_out_writes_a_sheet_a_mix_and_a_vessel_the_csv_and_the_json(
    library: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out" / "deep"
    code, said, _ = asked(capsys, "harvest-supper", "--guests", "400", "--out", str(out), "--library", library)
    assert code == 0 and said.splitlines()[0] == str(out / "order.txt")
    names = {path.name for path in out.iterdir()}
    drinks = ("tin-lantern", "kettle-regatta", "noon-librarian")
    assert names == {
        *("order.txt", "prep.txt", "shopping.txt", "shopping.csv", "order.json"),
        *(f"{kind}-{name}.txt" for kind in ("mix", "vessels") for name in drinks),
    }
    answer = json.loads((out / "order.json").read_text(encoding="utf-8"))
    for batch in answer["batches"]:
        whole = sum(fill["count"] for fill in batch["fills"])
        sheets = (out / f"vessels-{batch['id']}.txt").read_text(encoding="utf-8").split("\f")
        heads = [sheet.splitlines()[1].split(" · ")[0].rpartition(", ")[2] for sheet in sheets]
        assert heads == [f"{place} of {whole}" for place in range(1, whole + 1)]
        assert all("UNDILUTED" in sheet and "Allergens: " in sheet and "Use by: " in sheet for sheet in sheets)
    assert any(sum(fill["count"] for fill in batch["fills"]) > 1 for batch in answer["batches"])
    mix = (out / "mix-tin-lantern.txt").read_text(encoding="utf-8")
    assert "drop" not in mix.replace("dropper", "") and "Pocket scale" in mix and "reads" in mix
    assert answer["id"] == "harvest-supper"
    assert asked(capsys, "harvest-supper", "--out", str(out), "--library", library)[0] == 0  # again, over its own files


def test_out_that_cannot_be_written_is_one_line(library: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("")
    code, out, err = asked(capsys, "harvest-supper", "--out", str(tmp_path / "file"), "--library", library)
    assert (code, out) == (1, "") and "cannot be written" in err and err.count("\n") == 1


EVIL = """
[evil]
name = "=HYPERLINK(1)"
kind = "spirit"
abv = 40
allergens = []
packs = [{ size = "1 l", price = 3 }]

[worse]
name = "\\t+1\\u202e\\n@SUM"
kind = "spirit"
abv = 40
allergens = []
"""


def test_no_name_is_a_formula_or_a_line_of_its_own_in_the_csv(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = {
        "ingredients/evil.toml": EVIL,
        "drinks/d.toml": drink("stir", "evil: 60 ml", "worse: 5 ml"),
        "orders/o.toml": COUNTED,
    }
    library = write_library(tmp_path / "library", files)
    asked(capsys, "o", "--out", str(tmp_path / "out"), "--library", str(library))
    with (tmp_path / "out" / "shopping.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["item"] for row in rows] == ["evil", "worse"]
    assert rows[0]["name"] == "'=HYPERLINK(1)" and rows[1]["name"].startswith("'")
    assert not any(cell.startswith(("=", "+", "-", "@", "\t")) for row in rows for cell in row.values())
    assert float(rows[0]["need_ml"]) == pytest.approx(1200.0) and rows[1]["cost"] == ""
    text = (tmp_path / "out" / "order.txt").read_text(encoding="utf-8")
    assert "\u202e" not in text and "\t" not in text


@pytest.mark.parametrize("option", [("--guests", "200"), ("--out", "somewhere")])
def test_an_option_of_no_order_is_refused(option: tuple[str, str], library: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = asked(capsys, *option, "--library", library)
    assert (code, out) == (2, "") and f"{option[0]} of which order?" in err and not Path("somewhere").exists()
