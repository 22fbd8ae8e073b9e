"""Measuring on the command line: `convert`, `calibrate`, `batch --round`: names of their JSON, exit codes, what is printed."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from small_library import MEASURES, SMALL, demo_copy, write_library

from station import cli
from station.files.places import shipped
from station.verbs import measuring

Ask = Callable[..., tuple[int, str, str]]


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Ask:
    """One question on 25 November 2026; its exit code, stdout and stderr, gaps that may not be broken as blanks."""
    monkeypatch.setattr(measuring, "now", lambda: datetime(2026, 11, 25, 12, tzinfo=UTC))

    def asked(*arguments: object) -> tuple[int, str, str]:
        try:
            code = cli.main([str(one) for one in arguments])
        except SystemExit as left:
            code = int(left.code or 0)
        captured = capsys.readouterr()
        return code, captured.out.replace("\u00a0", " "), captured.err.replace("\u00a0", " ")

    return asked


def data(asked: tuple[int, str, str]) -> Any:
    code, out, err = asked
    assert (code, err) == (0, "")
    return json.loads(out)


CALIBRATE = ("calibrate", "dropper-red", "citric-25", "--count", 50)


def test_the_names_of_convert(ask: Ask) -> None:
    one = data(ask("--library", shipped("specs"), "convert", "2 drops", "citric-25", "--in", "1.5 l", "--json"))
    assert set(one) == {"item", "name", "amount", "g", "g_sd", "ml", "basis", "rows", "share"}
    assert {frozenset(row) for row in one["rows"]} == {frozenset({"unit", "value", "basis", "said"})}
    assert set(one["share"]) == {"whole", "fraction", "basis"}


def test_convert_prints_every_unit_with_its_basis(ask: Ask) -> None:
    code, out, _ = ask("--library", shipped("specs"), "convert", "2 drops", "citric-25", "--with", "dropper-red")
    assert code == 0
    assert out.startswith("2 drops Citric solution, 25 % w/w = 0.1047 g ± 0.0081 g (Red-cap dropper, 3 weighings, 4 Nov 2026)")
    assert "fl oz (imperial)" in out and "Small dasher, never weighed with this; with Aromatic bitters" in out


def test_the_names_of_calibrate(ask: Ask, tmp_path: Path) -> None:
    one = data(ask("--library", demo_copy(tmp_path), *CALIBRATE, "--reads", "2.91 g", "2.88 g", "--json"))
    assert set(one) == {
        *("dispenser", "name", "unit", "item", "item_name", "date", "by", "count", "reads_g", "mean_g", "mean_ml", "scatter_g"),
        *("mean_sd_g", "spread_g", "outlier", "was_g", "was_basis", "remarks", "changes", "written"),
    }
    assert {frozenset(change) for change in one["changes"]} == {
        frozenset({"id", "name", "item", "item_name", "why", "amount", "was_g", "now_g", "was", "now"})
    }
    assert set(one["changes"][0]["was"]) == {"abv_pct", "sugar_g_per_100ml", "acid_g_per_100ml"}
    assert one["date"] == "2026-11-25" and one["written"] is False


def test_calibrate_shows_first_and_writes_when_it_is_told(ask: Ask, tmp_path: Path) -> None:
    library = demo_copy(tmp_path)
    before = (library / "measures.toml").read_bytes()
    code, out, _ = ask("--library", library, *CALIBRATE, "--reads", "2.91 g", "2.88 g", "2.96 g")
    assert code == 0 and "nothing is written yet" in out and "Tin Lantern" in out and out.rstrip().endswith("--write keeps it")
    assert (library / "measures.toml").read_bytes() == before
    code, out, _ = ask("--library", library, *CALIBRATE, "--reads", "2.91 g", "2.88 g", "2.96 g", "--write")
    assert code == 0 and "written into measures.toml" in out
    assert "25 Nov 2026" in ask("--library", library, "convert", "1 drop", "citric-25")[1]


@pytest.mark.parametrize(
    ("more", "code", "said"),
    [
        (("--reads", "2.61 kg"), 1, "52.2 g a drop"),
        (("--reads", "2.61", "2.5", "--running"), 1, "reading 2, 2.5 g, is not over the one before, 2.61 g"),
        (("--reads", "2.61", "--date", "2026-11-26"), 1, "26 Nov 2026 is yet to come"),
        (("--reads", "2.61", "--date", "yesterday"), 2, "“yesterday” is no date"),
        (("--reads", "two"), 2, "no number here"),
        ((), 2, "--reads"),
    ],
)
def test_exit_codes_of_calibrate(more: tuple[str, ...], code: int, said: str, ask: Ask) -> None:
    found, out, err = ask("--library", shipped("specs"), *CALIBRATE, *more)
    assert (found, out) == (code, "") and said in err


def test_zero_drops_are_none(ask: Ask) -> None:
    code, out, err = ask("--library", shipped("specs"), "calibrate", "dropper-red", "citric-25", "--count", 0, "--reads", "2.6")
    assert (code, out) == (1, "") and "0 counts weigh nothing" in err


def test_a_liquid_that_was_deleted_is_named(ask: Ask, tmp_path: Path) -> None:
    folder = write_library(tmp_path, without=("stocks/citric-25.toml", "drinks/sour.toml"))
    code, out, err = ask("--library", folder, "calibrate", "dropper", "citric-25", "--count", 50, "--reads", "2.6 g")
    assert (code, out) == (1, "") and "there is no item or stock citric-25" in err
    assert "citric-25" in SMALL["measures.toml"] == MEASURES


def test_a_batch_can_be_rounded_and_says_what_that_did(ask: Ask) -> None:
    library = ("--library", shipped("specs"), "batch", "tin-lantern", "--vessel", "pitcher", "--round")
    code, out, _ = ask(*library, "jigger")
    assert code == 0 and "Rounded by jigger: acid +" in out and "15 × 60 ml" in out
    code, out, _ = ask(*library, "whole g")
    assert code == 0 and out.count("852 g") == 2, "what goes in and what the scale reads, no more"
    one = data(ask(*library, "whole g", "--json"))
    assert set(one["rounded"]) == {"how", "acid", "sugar", "abv", "salt", "lines"}
    assert ask(*library, "spoon")[0] == 2


def test_a_rounding_past_the_taste_is_refused_and_names_the_line(ask: Ask) -> None:
    code, out, err = ask("--library", shipped("specs"), "batch", "tin-lantern", "--serves", 1.3, "--round", "jigger")
    assert (code, out) == (1, "") and "past the 2 % of taste allowed" in err and "becomes" in err
