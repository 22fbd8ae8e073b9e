"""Lots on the command line: `lot`, `log`, `prep`, `label`, `make --log`; the names of their JSON, exit codes, who."""

from __future__ import annotations

import json
import xml.dom.minidom
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from small_library import ITEMS, demo_copy, in_the_evening, stock, write_library

from station import cli

Asked = tuple[int, str, str]
Ask = Callable[..., Asked]

LIME = '[lime]\nname = "Lime"\nkind = "garnish"\nallergens = []\n'
PRESSED = 'keeps = "1 day"\npar = "1 l"\nfrom = { item = "lime", low = "22 ml", usual = "30 ml" }'
# The juice of the small library, pressed, with a par.
FILES = {"ingredients/items.toml": ITEMS.replace('keeps = "1 day"', PRESSED) + LIME}


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Ask:
    """One question to a small library of its own; exit code, stdout and stderr, gaps that may not be broken as blanks."""
    folder = write_library(tmp_path / "library", FILES)

    def asked(*arguments: object) -> Asked:
        try:
            code = cli.main(["--library", str(folder), *(str(one) for one in arguments)])
        except SystemExit as left:
            code = int(left.code or 0)
        captured = capsys.readouterr()
        return code, captured.out.replace("\u00a0", " "), captured.err.replace("\u00a0", " ")

    return asked


def data(asked: Asked) -> Any:
    code, out, err = asked
    assert code == 0, err
    return json.loads(out)


ROW = {
    *("lot", "uuid", "kind", "item", "name", "made", "by", "use_by", "g", "left_g", "diluted", "half_made", "store", "code"),
    *("allergens", "off_plan", "of_edit"),
}
LOT = {
    *(
        "row",
        "ta",
        "ph",
        "brix",
        "temp_c",
        "spec_g_per_100ml",
        "measured_g_per_100ml",
        "to_spec",
        "moved",
        "ml_per_piece",
        "notes",
    ),
}
PREP = {
    *("item", "name", "par_g", "needed_g", "on_hand_g", "g", "ml", "cap", "use_by", "store", "lots", "unmeasured", "pieces"),
}
TRACED = {"row", "went_into", "made_of", "unknown", "weighings", "measurements", "marks", "revision", "text"}


def test_a_delivery_measured_says_what_brings_it_to_spec_and_how_far_the_drinks_moved(ask: Ask) -> None:
    one = data(ask("lot", "sour", "--ta", "5.2 g/100ml", "--amount", "900 ml", "--pieces", 31, "--json"))
    assert set(one) == LOT and set(one["row"]) == ROW
    assert one["spec_g_per_100ml"] == pytest.approx(6.0, rel=1e-6)
    assert one["measured_g_per_100ml"] == pytest.approx(5.2, rel=1e-6)
    assert [acid["acid"] for acid in one["to_spec"]["acids"]] == ["citric"]
    assert 8.0 < one["to_spec"]["acid_g"] < 8.5
    assert one["to_spec"]["result"]["acid_g_per_100ml"] == pytest.approx(6.0, rel=1e-6)
    assert [drink["id"] for drink in one["moved"]] == ["sour"]
    moved = one["moved"][0]
    share = (6.0 - 5.2) * 22.5 / 100.0
    before, after = (moved[when]["acid_g_per_100ml"] * moved[when]["ml"] / 100.0 for when in ("before", "after"))
    assert before - after == pytest.approx(share, rel=0.01)
    assert one["ml_per_piece"] == pytest.approx(900 / 31)


def test_the_batch_card_takes_from_the_lot_that_ends_first_and_names_it(ask: Ask) -> None:
    lot = data(ask("lot", "sour", "--ta", "5.2 g/100ml", "--json"))["row"]
    card = data(ask("batch", "sour", "--serves", 10, "--json"))
    assert [(used["item"], used["lot"], used["ta"]) for used in card["lots"]] == [("sour", lot["lot"], "5.2 g/100ml")]
    assert card["glass"]["acid_g_per_100ml"] < card["glass_by_files"]["acid_g_per_100ml"]
    _, out, _ = ask("batch", "sour", "--serves", 10)
    assert f"Sour juice: lot {lot['lot']}, TA 5.2 g/100ml, measured" in " ".join(out.split())
    assert "(by the files " in out


def test_what_is_over_is_taken_from_no_more(ask: Ask) -> None:
    data(ask("lot", "sour", "--ta", "5.2 g/100ml", "--made", "2026-01-05 12:00", "--json"))
    assert data(ask("batch", "sour", "--serves", 10, "--json"))["lots"] == []
    found = data(ask("log", "discard", "--json"))
    assert set(found) == {"over", "ends_today"}
    assert [row["item"] for row in found["over"]] == ["sour"]
    assert data(ask("log", "--json")) == []
    data(ask("log", "discarded", found["over"][0]["lot"], "--why", "over", "--json"))
    assert data(ask("log", "discard", "--json"))["over"] == []


def test_a_stock_made_is_a_lot_and_a_trace_finds_both_ways(ask: Ask) -> None:
    juice = data(ask("lot", "sour", "--amount", "2 l", "--code", "L-77", "--json"))["row"]
    stock_text = stock("sour: 500 g", "citric-acid: 10 g", more='keeps = "30 days"')
    write_library(_folder(ask), {**FILES, "stocks/cordial.toml": stock_text})
    made = data(ask("make", "cordial", "--amount", "510 g", "--read", "sour=505 g", "--json"))
    lot = made["label"]["lot"]
    assert made["label"]["by"] == "AB" and made["label"]["use_by"] == juice["use_by"]
    trace = data(ask("log", "trace", "L-77", "--json"))
    assert set(trace) == TRACED
    assert [(met["row"]["item"], met["steps"], met["g"]) for met in trace["went_into"]] == [("cordial", 1, 505.0)]
    back = data(ask("log", "trace", lot, "--json"))
    assert [met["row"]["lot"] for met in back["made_of"]] == [juice["lot"]]
    assert back["unknown"] == ["Citric acid"] and back["text"] == stock_text
    assert [(one["item"], one["known"]) for one in back["weighings"]] == [("sour", "read"), ("citric-acid", "asked")]
    (row,) = data(ask("log", "deviations", "--json"))
    assert (row["by"], row["item"], row["readings"]) == ("AB", "sour", 1) and row["mean"] == pytest.approx(0.01)
    left = {one["item"]: one["left_g"] for one in data(ask("log", "--json"))}
    assert left["cordial"] == pytest.approx(510.0) and left["sour"] == pytest.approx(juice["g"] - 505.0)


def _folder(ask: Ask) -> Path:
    """The library `ask` asks."""
    cells = dict(zip(ask.__code__.co_freevars, ask.__closure__ or (), strict=True))
    return Path(str(cells["folder"].cell_contents))


def test_a_row_that_was_wrong_is_void_and_stays(ask: Ask) -> None:
    lot = data(ask("lot", "sour", "--ta", "52 g/l", "--json"))["row"]
    trace = data(ask("log", "trace", lot["lot"], "--json"))
    void = data(ask("log", "void", trace["measurements"][0]["uuid"], "--why", "misread", "--json"))
    assert set(void) == {"uuid", "what"}
    again = data(ask("log", "trace", lot["lot"], "--json"))
    assert again["measurements"] == [] and [mark["kind"] for mark in again["marks"]] == ["voided"]
    assert data(ask("batch", "sour", "--serves", 10, "--json"))["lots"][0]["ta"] == ""


def test_a_lot_can_be_measured_again(ask: Ask) -> None:
    lot = data(ask("lot", "sour", "--ta", "5.2 g/100ml", "--json"))["row"]
    data(ask("lot", "sour", "--of", lot["lot"], "--ta", "5.6 g/100ml", "--json"))
    (used,) = data(ask("batch", "sour", "--serves", 10, "--json"))["lots"]
    assert (used["lot"], used["ta"]) == (lot["lot"], "5.6 g/100ml")
    assert len(data(ask("log", "--json"))) == 1


@pytest.mark.parametrize(
    "said",
    [("--amount", "3 l"), ("--pieces", 20), ("--made", "2026-11-25 09:00"), ("--use-by", "2026-12-01"), ("--code", "X9")],
    ids=lambda said: said[0],
)
def test_what_a_lot_measured_again_cannot_take_is_refused_not_forgotten(said: tuple[str, object], ask: Ask) -> None:
    lot = data(ask("lot", "sour", "--ta", "5.2 g/100ml", "--json"))["row"]
    code, out, err = ask("lot", "sour", "--of", lot["lot"], "--ta", "5.6 g/100ml", *said)
    assert code == 1 and out == "" and "is logged already" in err
    assert data(ask("batch", "sour", "--serves", 10, "--json"))["lots"][0]["ta"] == "5.2 g/100ml"


def test_a_reading_of_an_item_of_two_lines_is_logged_once(ask: Ask) -> None:
    files = {"stocks/twice.toml": stock("sugar: 100 g", "water: 200 g", "sugar: 200 g", more='keeps = "9 days"')}
    write_library(_folder(ask), {**FILES, **files})
    made = data(ask("make", "twice", "--amount", "500 g", "--read", "sugar=330 g", "--log", "--json"))
    weighed = data(ask("log", "trace", made["label"]["lot"], "--json"))["weighings"]
    sugar = [one for one in weighed if one["item"] == "sugar"]
    assert [round(one["actual_g"], 6) for one in sugar] == [110.0, 220.0]
    assert [one["actual_g"] / one["wanted_g"] for one in sugar] == pytest.approx([1.1, 1.1])


def test_prep_is_par_less_what_is_there(ask: Ask) -> None:
    whole = data(ask("prep", "--json"))
    assert set(whole) == {"day", "make", "get", "notes"}
    (one,) = whole["get"]
    assert set(one) == PREP and one["ml"] == pytest.approx(1000.0) and one["pieces"] == [34.0, 46.0]
    data(ask("lot", "sour", "--amount", "400 ml", "--json"))
    assert data(ask("prep", "--json"))["get"][0]["ml"] == pytest.approx(600.0)
    assert data(ask("prep", "--date", "2027-03-01", "--json"))["get"][0]["ml"] == pytest.approx(1000.0)


def test_prep_makes_the_parts_of_what_is_made_and_first(ask: Ask) -> None:
    files = {
        "stocks/base.toml": stock("water: 300 g", "citric-acid: 100 g", more='keeps = "90 days"'),
        "stocks/cordial.toml": stock("base: 100 g", "sugar: 100 g", more='keeps = "9 days"\npar = "1 kg"'),
    }
    write_library(_folder(ask), {**FILES, **files})
    made = data(ask("prep", "--json"))["make"]
    assert [(one["item"], round(one["g"]), round(one["par_g"])) for one in made] == [("base", 500, 0), ("cordial", 1000, 1000)]
    data(ask("make", "base", "--amount", "450 g", "--log", "--json"))
    assert [round(one["g"]) for one in data(ask("prep", "--json"))["make"]] == [50, 1000]


def test_yields_of_fruit_are_counted_and_written_on_request(ask: Ask) -> None:
    for ml, pieces in ((900, 31), (600, 24), (1000, 40)):
        data(ask("lot", "sour", "--amount", f"{ml} ml", "--pieces", pieces, "--json"))
    (row,) = data(ask("log", "yields", "--json"))
    assert (row["lots"], row["pieces"]) == (3, 95)
    assert row["mean_ml"] == pytest.approx(2500 / 95) and row["least_ml"] == pytest.approx(25.0)
    code, out, _ = ask("log", "yields", "--write")
    assert code == 0 and "written: ingredients/items.toml" in out
    assert 'from = { item = "lime", low = "25 ml", usual = "26.3 ml" }' in (_folder(ask) / "ingredients/items.toml").read_text()


def test_too_few_lots_write_nothing(ask: Ask) -> None:
    data(ask("lot", "sour", "--amount", "900 ml", "--pieces", 31, "--json"))
    before = (_folder(ask) / "ingredients/items.toml").read_bytes()
    assert ask("log", "yields", "--write")[0] == 1
    assert (_folder(ask) / "ingredients/items.toml").read_bytes() == before


SAYS_NO = [
    ("lot", "nothing-such"),
    ("lot", "citric-acid", "--ta", "5 g/100ml"),
    ("lot", "spirit", "--ta", "5 g/100ml"),
    ("log", "trace", "ffff-ffff"),
    ("log", "void", "ffff"),
    ("label", "nothing-such"),
    ("lot", "sour", "--of", "ffff", "--ta", "5 g/100ml"),
    ("lot", "sour", "--amount", "0 ml"),
]
USED_WRONGLY = [
    ("lot", "sour", "--ta", "sour"),
    ("lot", "sour", "--ph", "15"),
    ("lot", "sour", "--brix", "-1"),
    ("lot", "sour", "--made", "yesterday"),
    ("lot", "sour", "--made", "2999-01-01 12:00"),
    ("lot", "sour", "--use-by", "soon"),
    ("lot", "sour", "--use-by", "9999-12-31"),
    ("lot", "sour", "--made", "0001-01-01"),
    ("prep", "--date", "9999-12-31"),
    ("lot", "sour", "--pieces", "0", "--amount", "1 l"),
    ("prep", "--date", "monday"),
    ("log", "trace"),
    ("log", "dance"),
    ("make", "citric-25", "--amount", "1:9"),
    ("make", "citric-25", "--read", "citric-acid"),
]


@pytest.mark.parametrize("arguments", SAYS_NO, ids=" ".join)
def test_what_the_data_refuses_is_exit_1_in_one_line_and_logs_nothing(arguments: tuple[str, ...], ask: Ask) -> None:
    code, out, err = ask(*arguments)
    assert (code, out) == (1, "") and err.count("\n") == 1, (code, err)
    assert data(ask("log", "--json")) == []


@pytest.mark.parametrize("arguments", USED_WRONGLY, ids=" ".join)
def test_what_cannot_be_read_is_exit_2_and_logs_nothing(arguments: tuple[str, ...], ask: Ask) -> None:
    code, out, err = ask(*arguments)
    assert (code, out) == (2, "") and err, (code, out)
    assert data(ask("log", "--json")) == []


def test_nobody_is_guessed(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("STATION_BY")
    code, out, err = ask("lot", "sour")
    assert (code, out) == (2, "") and "nobody is named" in err
    assert data(ask("log", "--json")) == []
    assert data(ask("lot", "sour", "--by", "CD", "--json"))["row"]["by"] == "CD"
    monkeypatch.setenv("STATION_BY", "EF")
    assert data(ask("lot", "sour", "--json"))["row"]["by"] == "EF"
    assert data(ask("lot", "sour", "--by", "GH", "--json"))["row"]["by"] == "GH"


def test_times_have_the_houses_offset(ask: Ask) -> None:
    summer = data(ask("lot", "sour", "--made", "2026-07-01 12:00", "--json"))["row"]
    assert summer["made"] == "2026-07-01T12:00:00+01:00" and summer["use_by"] == "2026-07-02T05:00:00+01:00"
    night = data(ask("lot", "sour", "--made", "2026-07-02 03:00", "--json"))["row"]
    assert night["use_by"] == "2026-07-02T05:00:00+01:00"


def test_a_bare_ratio_is_refused_with_both_readings(ask: Ask) -> None:
    _, _, err = ask("make", "citric-25", "--amount", "1:9")
    assert "1 part + 9 parts = 10 % w/w, or 1 part in 9 = 11.1 % w/w" in err
    _, _, err = ask("make", "citric-25", "--amount", "2:1")
    assert "2 parts + 1 part = 66.7 % w/w, or the other way round = 33.3 % w/w" in err


def test_reading_a_log_makes_none(ask: Ask) -> None:
    for arguments in (
        ("log",),
        ("log", "discard"),
        ("log", "yields"),
        ("log", "deviations"),
        ("prep",),
        ("batch", "sour", "--serves", 2),
    ):
        assert ask(*arguments)[0] == 0
    assert not (_folder(ask) / ".station" / "log.db").exists()


def test_a_damaged_log_is_said_once_and_the_card_still_stands(ask: Ask) -> None:
    data(ask("lot", "sour", "--json"))
    log = _folder(ask) / ".station" / "log.db"
    log.write_bytes(b"no database" * 1000)
    code, out, err = ask("batch", "sour", "--serves", 10)
    assert code == 0 and "Plain Sour" in out
    assert err.count("\n") == 1 and "damaged" in err and "set aside whole" in err
    assert ask("batch", "sour", "--serves", 10)[2] == ""


def test_the_demo_is_never_logged_to(capsys: pytest.CaptureFixture[str]) -> None:
    code = cli.main(["lot", "lime-juice", "--by", "AB"])
    assert code == 1 and "read only" in capsys.readouterr().err


# Labels.

HOSTILE = "<script>alert(1)</script>{code}</pre>[bold]&amp;\\u001b]0;x\\u0007\\u202e"


def test_a_stocks_label_says_all_a_bottle_must(ask: Ask) -> None:
    code, out, _ = ask("label", "citric-25")
    assert code == 0 and all(len(line) <= 40 for line in out.splitlines())
    said = " ".join(out.split())
    for words in ("CITRIC SOLUTION", "citric 25 % w/w", "UNDILUTED", "IRRITATES eyes", "See the supplier's safety data sheet."):
        assert words in said, words
    for words in ("Made ", "Use by ", "Store: fridge", "Lot ________", "Allergens: none stated by the suppliers"):
        assert words in said, words


def test_a_sheet_goes_into_the_very_file_and_names_stay_text(ask: Ask, tmp_path: Path) -> None:
    write_library(_folder(ask), {**FILES, "stocks/odd.toml": stock("water: 1 l").replace("A Stock", HOSTILE)})
    svg, html = tmp_path / "out" / "sheet.svg", tmp_path / "out" / "sheet.html"
    svg.parent.mkdir()
    assert ask("label", "odd", "citric-25", "--svg", svg, "--html", html)[0] == 0
    assert sorted(path.name for path in svg.parent.iterdir()) == ["sheet.html", "sheet.svg"]
    picture = xml.dom.minidom.parseString(svg.read_text(encoding="utf-8"))
    words = "".join(node.data for text in picture.getElementsByTagName("text") for node in text.childNodes)
    assert "<SCRIPT>ALERT(1)</SCRIPT>{CODE}" in words.replace("\u00a0", " ")
    assert not picture.getElementsByTagName("script") and "http://www.w3.org/2000/svg" in svg.read_text()
    assert svg.read_text(encoding="utf-8").count("http") == 1, "nothing is fetched"
    tags = Tags()
    tags.feed(html.read_text(encoding="utf-8"))
    assert set(tags.seen) == {"html", "head", "meta", "title", "body", "pre"} and tags.seen.count("pre") == 1
    for text in (svg.read_text(encoding="utf-8"), html.read_text(encoding="utf-8")):
        assert not {"\x1b", "\x07", "\u202e"} & set(text)


class Tags(HTMLParser):
    """The tags a reader of the page would see."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)


def test_a_label_is_written_through_no_link_and_over_no_folder(ask: Ask, tmp_path: Path) -> None:
    target = tmp_path / "elsewhere"
    target.write_text("kept")
    (tmp_path / "link.svg").symlink_to(target)
    (tmp_path / "folder.svg").mkdir()
    for name in ("link.svg", "folder.svg", "missing/sheet.svg"):
        assert ask("label", "citric-25", "--svg", tmp_path / name)[0] == 1
    assert target.read_text() == "kept" and not list((tmp_path / "folder.svg").iterdir())
    assert not (tmp_path / "missing").exists()


def test_a_lots_label_says_what_was_true_when_it_was_made(ask: Ask) -> None:
    lot = data(ask("make", "citric-25", "--amount", "500 g", "--log", "--json"))["label"]["lot"]
    write_library(_folder(ask), {**FILES, "stocks/citric-25.toml": stock("water: 900 g", "citric-acid: 100 g")})
    said = " ".join(ask("label", lot)[1].split())
    assert "citric 25 % w/w" in said and f"Lot {lot}" in said and "by AB" in said


def test_the_invented_month_is_imported_once(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    library = in_the_evening(demo_copy(tmp_path))

    def asked(*arguments: str) -> Any:
        assert cli.main(["--library", str(library), *arguments, "--json"]) == 0
        return json.loads(capsys.readouterr().out)

    first = asked("log", "import-demo")
    assert first["lots"] > 150 and first["weighings"] > 400 and first["left_out"] == []
    assert asked("log", "import-demo") == {"lots": 0, "weighings": 0, "left_out": []}
    assert {row["kind"] for row in asked("log")} == {"bought", "stock", "batch"}
    assert any(row["half_made"] for row in asked("log"))
    assert len(asked("log", "deviations")) > 20 and len(asked("log", "yields")) >= 4
    gin = next(row for row in asked("log") if row["item"] == "gin-dry")
    assert asked("log", "trace", gin["lot"])["went_into"]


@pytest.mark.parametrize("question", ["used-up abc --amount 300g", "in-date --write", "trace abc --why x"])
def test_an_option_of_another_question_is_refused(question: str, ask: Ask) -> None:
    code, out, err = ask("log", *question.split())
    assert (code, out) == (2, "") and f"log {question.split(maxsplit=1)[0]} takes no --" in err
