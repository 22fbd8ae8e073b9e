"""Looking up, checking, opening, pouring, and answers as plain data."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import NOON, demo, drink, open_folder, open_small, stock, write_library

from station.bar.fault import CannotAnswer, Fault
from station.calc.batch import Target
from station.cards import text
from station.desk import opening
from station.desk.batching import batched
from station.desk.checking import check, exit_code, one_line
from station.desk.look import find_spec, show
from station.desk.plainly import as_json, plainly
from station.files import places

BAD = drink("shake", "spirit: 2 dorps")


# Looking up.


def test_the_list_is_in_order_and_marks_what_is_faulty(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/a-bad.toml": BAD, "drinks/other.toml": drink("stir", "spirit: 60 ml")})
    rows = [(row.id, row.name, row.faulty) for row in opened.find()]
    assert rows == [("other", "A Drink", False), ("a-bad", "a-bad", True), ("sour", "Plain Sour", False)]


@pytest.mark.parametrize("words", ["", "tin", "TIN lan", "rum lime", "sour egg", "carbonate", "Citric solution", "xyzzy"])
def test_words_are_looked_for_in_all_of_a_spec(words: str) -> None:
    library = demo().library

    def holds(name: str) -> bool:
        spec = library.drinks[name]
        items = [line.item for line in spec.lines]
        said = " ".join([spec.id, spec.name, spec.method, spec.style, *spec.tags, *items, *map(library.name_of, items)])
        return all(word in said.casefold() for word in words.casefold().split())

    assert {row.id for row in open_folder(places.shipped("specs"), demo=True).find(words)} == set(filter(holds, library.drinks))


def test_an_unknown_spec_offers_the_nearest() -> None:
    with pytest.raises(CannotAnswer, match=r"^there is no drink tin-lantren \(did you mean tin-lantern\?\)$"):
        find_spec(demo().library, "tin-lantren")
    with pytest.raises(CannotAnswer, match=r"^there is no drink xyzzy \(see `station list`\)$"):
        find_spec(demo().library, "xyzzy")


def test_a_faulty_spec_is_refused_with_its_faults(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/bad.toml": BAD})
    with pytest.raises(CannotAnswer) as refused:
        show(opened.blends, "bad")
    assert [fault.line for fault in refused.value.faults] == [6]


def test_a_serve_is_shown_line_by_line(tmp_path: Path) -> None:
    one = show(open_small(tmp_path).blends, "sour")
    assert [(line.item, line.amount, line.when) for line in one.lines] == [
        ("spirit", "60 ml", "batch"),
        ("sour", "22.5 ml", "batch"),
        ("syrup", "22.5 ml", "batch"),
        ("citric-25", "2 drops", "batch"),
        ("twist", "1 each", "finish"),
    ]
    assert [line.g_sd is None for line in one.lines] == [line.g is None for line in one.lines]
    assert one.window == {"abv": (15.0, 20.0), "sugar": (5.0, 8.9), "acid": (0.76, 0.94)}
    assert one.window_source == "invented"


# Checking.


def test_check_reckons_everything_once_and_tells_what_only_reckoning_finds(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {
        "ingredients/more.toml": '[heavy]\nname = "Heavy"\nkind = "syrup"\nbrix = 50\ndensity = "1.30 g/ml"\nallergens = []\n',
        "stocks/dry.toml": stock("syrup: 100 g", more='evaporated = "60 %"'),
        "drinks/unweighable.toml": drink("shake", "spirit: 1 spray"),
    }
    told = [str(fault) for fault in check(open_small(tmp_path, files).blends)]
    # ICUMSA SPS-4: 50 °Bx is 1.2296 g/ml at 20 °C.
    assert told == [
        "drinks/unweighable.toml:6:1: lines 1 amount: what one spray of spirit weighs is not known "
        "(calibrate a spray, or give [defaults] spray)",
        "ingredients/more.toml:5:1: heavy density: the density stated is 1.3 g/ml, its figures make 1.23 g/ml (check both)",
        "stocks/dry.toml:1:1: A Stock boils off more water than it holds (lower `evaporated` in stocks/dry.toml)",
    ]


def test_warnings_alone_are_no_failure() -> None:
    warning = Fault("f", 0, 0, "", "density", "warning", "m", "r")
    assert (exit_code(()), exit_code((warning,)), exit_code((warning, replace(warning, severity="error")))) == (0, 0, 1)


def test_faults_elsewhere_are_a_line_each(tmp_path: Path) -> None:
    library = open_small(tmp_path, {"drinks/bad.toml": BAD}).library
    assert one_line(library) == tuple(map(str, library.faults)) and len(library.faults) == 1


# Opening.


def test_a_named_folder_is_opened(tmp_path: Path) -> None:
    opened = opening.opened(str(write_library(tmp_path)))
    assert (opened.folder, opened.demo, opened.read_only) == (tmp_path, False, False)


def test_without_a_library_the_demo_answers_read_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    opened = opening.opened()
    assert opened.demo and opened.read_only and opened.folder == places.shipped("specs")
    assert list(tmp_path.iterdir()) == []


def test_the_users_own_library_comes_before_the_demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    write_library(places.user_library())
    opened = opening.opened()
    assert not opened.demo and set(opened.library.drinks) == {"sour"}


def test_ones_own_library_is_made_once_from_the_demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    first, made = opening.own_library()
    assert made and not first.read_only and "tin-lantern" in first.library.drinks
    (first.folder / "drinks" / "tin-lantern.toml").unlink()
    second, made = opening.own_library()
    assert not made and "tin-lantern" not in second.library.drinks


def test_a_place_where_nothing_can_be_made_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "bar-station").write_text("in the way")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    with pytest.raises(CannotAnswer, match=r"cannot be made: .+ \(name a folder with --library\)$"):
        opening.own_library()


@pytest.mark.parametrize("kind", ["gone", "file"])
def test_a_named_folder_that_is_none_makes_nothing(kind: str, tmp_path: Path) -> None:
    target = tmp_path / kind
    if kind == "file":
        target.write_text("")
    said = "no folder" if kind == "file" else "nothing was made"
    with pytest.raises(CannotAnswer, match=said):
        opening.opened(str(target))
    assert target.exists() == (kind == "file")


# Answers as plain data.


@dataclass(frozen=True, slots=True)
class Answer:
    number: float
    when: datetime
    day: date
    inner: tuple[Mapping[str, object], ...]


def test_an_answer_is_its_fields() -> None:
    one = Answer(1 / 3, datetime(2026, 11, 25, 12, tzinfo=UTC), date(2026, 11, 25), ({"a": None, "b": ("x", True)},))
    assert json.loads(as_json(one)) == {
        "number": 1 / 3,
        "when": "2026-11-25T12:00:00+00:00",
        "day": "2026-11-25",
        "inner": [{"a": None, "b": ["x", True]}],
    }


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_a_figure_that_is_none_is_never_printed(bad: float) -> None:
    with pytest.raises(ValueError, match="in an answer"):
        as_json({"deep": [{"x": bad}]})


@given(st.floats(allow_nan=False, allow_infinity=False))
@settings(max_examples=60, deadline=None)
def test_numbers_are_unrounded(value: float) -> None:
    assert json.loads(as_json({"x": value})) == {"x": value}
    assert plainly(value) == value


def test_what_may_be_left_out_and_how_an_item_is_prepared_is_shown() -> None:
    lines = {line.item: line for line in show(demo(), "ebb-calendar").lines}
    left_out = [line for line in lines.values() if line.optional]
    assert left_out and all("optional" in line.occasion for line in left_out)
    dairy = [line for line in show(demo(), "lighthouse-dairy").lines if line.prep]
    assert dairy and dairy[0].prepared == f"{dairy[0].name}, {dairy[0].prep}"
    card = "\n".join(text.shown(show(demo(), "lighthouse-dairy"), demo().library))
    assert dairy[0].prepared in card


def test_of_a_rinse_what_is_poured_is_to_be_had_ready_not_what_stays() -> None:
    spec = demo().library.drinks["foundry-psalm"]
    rinse = next(line for line in spec.lines if line.poured is not None)
    assert rinse.poured is not None and rinse.kept is not None and rinse.poured.value and rinse.kept.value
    answer = batched(demo(), spec.id, Target(serves=10), None, NOON)
    ready = next(one for one in answer.service if one.item == rinse.item)
    assert ready.total_ml == pytest.approx(10 * rinse.poured.value)
    assert rinse.poured.value > rinse.kept.value, "else this test shows nothing"


def test_of_a_rinse_that_says_so_in_its_amount_what_is_poured_is_to_be_had_ready(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/d.toml": drink("shake", "spirit: 50 ml", "sour: rinse 5 ml")})
    answer = batched(opened.blends, "d", Target(serves=10), None, NOON)
    assert [(one.item, one.total_ml) for one in answer.service] == [("sour", pytest.approx(50.0))]
