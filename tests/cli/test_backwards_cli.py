"""`station correct` and `station tune`: the names of their JSON, exit codes, and what is refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from station import cli
from station.files.places import shipped

Asked = tuple[int, str, str]
Ask = Callable[..., Asked]
PITCHER = ("correct", "tin-lantern", "--vessel", "pitcher")

CORRECT = {
    *("id", "name", "vessel", "diluted", "serves", "total_g", "total_ml", "lines", "stop", "ways", "balance", "possible"),
    "notes",
}
WAY = {
    *("way", "takes_out", "draws_g", "adds", "total_g", "total_ml", "serves", "full_serves", "size", "restores"),
    *("fits_vessel", "fits_scale", "note", "moved", "balance", "off"),
}
TUNE = {
    *("id", "name", "possible", "conflict", "why", "wishes", "lines", "before", "exact", "pourable", "notes", "cautions"),
    "out_of_range",
}
WISHED = {
    *("figure", "low", "high", "was", "exact", "pourable", "met", "met_as_poured", "rounding"),
    *("finer", "finer_name"),
}
TUNED_LINE = {
    *("item", "name", "unit", "was", "exact", "pourable", "was_text", "exact_text", "pourable_text", "exact_g", "pourable_g"),
}


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str]) -> Ask:
    """One question of the demo; its exit code, stdout and stderr, gaps that may not be broken as blanks."""

    def asked(*arguments: object) -> Asked:
        try:
            code = cli.main(["--library", str(shipped("specs")), *(str(one) for one in arguments)])
        except SystemExit as left:
            code = int(left.code or 0)
        captured = capsys.readouterr()
        return code, captured.out.replace("\u00a0", " "), captured.err.replace("\u00a0", " ")

    return asked


def data(asked: Asked, code: int = 0) -> Any:
    assert asked[0] == code, asked[2]
    return json.loads(asked[1])


def test_correct_names_its_fields(ask: Ask) -> None:
    found = data(ask(*PITCHER, "--in", "rum-light=920 g", "--in", "lime-juice", "--json"))
    assert set(found) == CORRECT
    assert all(set(way) == WAY for way in found["ways"])
    assert [way["way"] for way in found["ways"]] == ["draw off", "add", "leave"]
    of_item = {"let_down", "wanted_of_item_g", "in_of_item_g"}
    assert set(found["lines"][0]) == {"item", "name", "wanted_g", "in_g", "known", *of_item}
    assert set(found["ways"][0]["adds"][0]) == {"item", "name", "g", "ml", "slight", "note", "let_down", "of_item_g"}
    assert set(found["ways"][-1]["off"][0]) == {"item", "name", "wanted_g", "ends_g", "by"}
    assert set(found["ways"][0]["moved"]) == {"abv", "sugar", "acid", "salt"}


def test_correct_reads_the_vessels_scale(ask: Ask) -> None:
    tared = data(ask(*PITCHER, "--in", "rum-light", "--in", "lime-juice=?", "--reading", "1240 g", "--json"))
    gross = data(ask(*PITCHER, "--in", "rum-light", "--in", "lime-juice=?", "--gross", "1880 g", "--json"))
    assert tared["lines"] == gross["lines"]


def test_what_must_be_discarded_is_a_no_with_its_reason(ask: Ask) -> None:
    code, out, err = ask(*PITCHER, "--in", "rum-light", "--in", "sesame-whisky=20 g")
    assert code == 1 and err == ""
    assert "STOP: Sesame whisky brings an allergen the drink does not have: sesame." in out
    assert data(ask(*PITCHER, "--in", "unlabelled", "--json"), 1)["ways"] == []


def test_tune_names_its_fields(ask: Ask) -> None:
    found = data(
        ask("tune", "tin-lantern", "--move", "lime-juice,syrup-1-1", "--want", "acid=0.8", "--want", "ratio=8", "--json")
    )
    assert set(found) == TUNE and set(found["lines"][0]) == TUNED_LINE
    assert set(found["wishes"][0]) == WISHED
    assert found["exact"]["acid_g_per_100ml"] == pytest.approx(0.8, rel=1e-6)
    assert found["exact"]["sugar_acid_ratio"] == pytest.approx(8.0, rel=1e-6)


def test_lines_may_be_named_one_by_one_or_together(ask: Ask) -> None:
    together = data(ask("tune", "tin-lantern", "--move", "lime-juice, syrup-1-1", "--want", "acid=0.8", "--json"))
    apart = data(ask("tune", "tin-lantern", "--move", "lime-juice", "--move", "syrup-1-1", "--want", "acid=0.8", "--json"))
    assert together == apart


def test_a_wish_that_cannot_be_had_is_a_no_with_the_nearest_drink(ask: Ask) -> None:
    code, out, err = ask("tune", "tin-lantern", "--move", "rum-light", "--want", "abv=60 %")
    assert code == 1 and err == ""
    assert "what was wished cannot be had; this is the nearest" in out and "not met" in out
    found = data(ask("tune", "tin-lantern", "--move", "rum-light", "--want", "abv=60 %", "--json"), 1)
    assert not found["possible"] and found["conflict"] == ["abv"]


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("tune", "tin-lantern", "--move", "lime-juice", "--want", "acid=-0.2 g/100ml"), 1),
        (("tune", "tin-lantern", "--want", "acid=0.8"), 1),
        (("tune", "tin-lantern", "--move", "lime-juice"), 1),
        (("tune", "tin-lantern", "--move", "lime-coin", "--want", "acid=0.8"), 1),
        (("tune", "tin-lantern", "--move", "lime-juice", "--want", "sour=0.8"), 2),
        (("tune", "nothing", "--move", "lime-juice", "--want", "acid=0.8"), 1),
        (("correct", "tin-lantern", "--vessel", "pitcher"), 2),
        (("correct", "tin-lantern", "--in", "rum-light"), 2),
        ((*PITCHER, "--in", "rum-light=lots"), 2),
        ((*PITCHER, "--in", "rum-light=?"), 1),
        ((*PITCHER, "--in", "rum-light", "--reading", "1 l"), 2),
        ((*PITCHER, "--in", "citric-25", "--in", "saline-20=?", "--gross", "12 g"), 1),
        ((*PITCHER, "--in", "rum-light=?", "--gross", "12 g"), 1),
        (("correct", "attic-glacier", "--vessel", "bottle", "--in", "saline-20=4 g"), 1),
    ],
)
def test_what_cannot_be_answered_leaves_stdout_empty(ask: Ask, arguments: tuple[str, ...], code: int) -> None:
    found, out, err = ask(*arguments, "--json")
    assert (found, out) == (code, "") and err
