"""The command's answers: golden names of the JSON, exit codes, and what goes to which stream."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from small_library import drink, write_library

from station import cli
from station.files.places import shipped

Asked = tuple[int, str, str]
Ask = Callable[..., Asked]


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str]) -> Ask:
    """One question; its exit code, stdout and stderr."""

    def asked(*arguments: object) -> Asked:
        try:
            code = cli.main([str(one) for one in arguments])
        except SystemExit as left:
            code = int(left.code or 0)
        captured = capsys.readouterr()
        return code, captured.out, captured.err

    return asked


@pytest.fixture
def demo_asked(ask: Ask) -> Ask:
    return lambda *arguments: ask("--library", shipped("specs"), *arguments)


@pytest.fixture
def small(tmp_path: Path, ask: Ask) -> Ask:
    folder = write_library(tmp_path / "library")
    return lambda *arguments: ask("--library", folder, *arguments)


def data(asked: Asked) -> Any:
    code, out, err = asked
    assert code == 0, err
    return json.loads(out)


# The names are promises to scripts: they may grow, never change meaning. `promised` is what the format document lists,
# `besides` what has been added since; a name that is in neither must be added here on purpose.
BALANCE = {
    *("ml", "g", "density_g_per_ml", "abv_pct", "ethanol_g", "sugar_g_per_100ml", "acid_g_per_100ml"),
    *("sugar_acid_ratio", "ph", "ph_note", "brix", "freezing_c"),
}
CAUTION = {"code", "word", "text", "source", "about"}
PROMISED: dict[str, set[str]] = {
    "list": {"id", "name", "method", "style", "tags", "faulty"},
    "show": {"id", "name", "lines", "dilution", "before", "glass", "window", "cautions", "allergens"},
    "show line": {"item", "name", "amount", "ml", "g", "g_sd", "when", "basis"},
    "dilution": {"fraction_of_initial", "fraction_of_final", "water_g", "source", "in_range"},
    "balance": BALANCE,
    "caution": CAUTION,
    "batch": {
        *("id", "serves", "diluted", "water_g", "total_ml", "total_g", "spec_revision", "balance", "glass", "mixes", "fills"),
        *("service", "allergens", "cautions", "ethanol_g", "standard_drinks", "use_by", "full_serves"),
    },
    "mix": {"vessel", "ml", "g", "lines"},
    "mix line": {"item", "ml", "g", "g_sd", "into", "reads_g", "scale", "basis", "note"},
    "fill": {"vessel", "count", "ml", "g"},
    "service": {"item", "when", "each", "total"},
    "make": {"id", "g", "ml", "lines", "strength", "density_g_per_ml", "label"},
    "make line": {"item", "g"},
    "label": set(),
    "check": {"file", "line", "column", "key", "code", "severity", "message", "remedy"},
    "spread": set(),
}
BESIDES: dict[str, set[str]] = {
    "show": {"method", "served_in", "notes", "window_source", "ice", "strain", "steps", "may_contain"}
    | {"acids", "acid_from", "sour_as_citric", "ta_in_house_basis", "sources", "glass_sd", "standard_drinks", "sulphites"},
    "batch": {"name", "limited_by", "on_hand", "for_freezer", "may_contain", "glass_sd", "one_drink_sd", "rounded"}
    | {"ethanol_g_per_serve", "standard_drinks_per_serve", "lots", "glass_by_files", "sulphites", "serving"},
    "spread": {"abv_pct", "sugar_g_per_100ml", "acid_g_per_100ml"},
    "show line": {"optional", "prep", "note"},
    "mix": {"count"},
    "mix line": {"acid_g", "weigh_g", "times", "apart", "intermediate", "rounded"},
    "service": {"total_g", "total_ml"},
    "make": {"name", "method", "notes", "strength_wv", "salt_pct_ww", "brix", "cautions", "steps", "yield_note"}
    | {"parts", "lost_g", "salt_pct_wv", "sugar_pct_wv", "lots"},
    "make line": {"name", "acid_g", "g_sd"},
    "label": {"name", "strength", "made", "use_by", "store", "allergens"}
    | {"may_contain", "diluted", "by", "lot", "finishing", "hazards", "keeps_reason", "off_plan", "of_edit"},
}


def names(kind: str) -> set[str]:
    return PROMISED[kind] | BESIDES.get(kind, set())


def test_the_names_of_list(demo_asked: Ask) -> None:
    rows = data(demo_asked("list", "--json"))
    assert len(rows) >= 14
    for row in rows:
        assert set(row) == names("list")
        assert isinstance(row["tags"], list) and row["faulty"] is False


@pytest.mark.parametrize("spec", ["tin-lantern", "wool-parliament", "green-timetable"])
def test_the_names_of_show(spec: str, demo_asked: Ask) -> None:
    one = data(demo_asked("show", spec, "--json"))
    assert set(one) == names("show")
    assert set(one["dilution"]) == names("dilution")
    assert set(one["before"]) == set(one["glass"]) == names("balance")
    assert set(one["glass_sd"]) == names("spread")
    for line in one["lines"]:
        assert set(line) == names("show line")
    for caution in one["cautions"]:
        assert set(caution) == names("caution")
    for low, high in one["window"].values():
        assert low <= high


@pytest.mark.parametrize("spec", ["tin-lantern", "winter-turnstile", "wool-parliament"])
def test_the_names_of_batch(spec: str, demo_asked: Ask) -> None:
    one = data(demo_asked("batch", spec, "--serves", "40", "--json"))
    assert set(one) == names("batch")
    assert set(one["balance"]) == set(one["glass"]) == names("balance")
    assert set(one["glass_sd"]) == set(one["one_drink_sd"]) == names("spread")
    assert one["mixes"] and one["fills"] and one["service"]
    for mix in one["mixes"]:
        assert set(mix) == names("mix")
        for line in mix["lines"]:
            assert set(line) == names("mix line")
            assert line["into"] in {"cup", "vessel"} and line["scale"] in {"pocket", "bench", "floor"}
    assert {frozenset(fill) for fill in one["fills"]} == {frozenset(names("fill"))}
    assert {frozenset(line) for line in one["service"]} == {frozenset(names("service"))}
    assert one["serves"] == 40.0 and one["full_serves"] == 40


def test_the_names_of_make(demo_asked: Ask) -> None:
    one = data(demo_asked("make", "citric-25", "--amount", "500 g", "--json"))
    assert set(one) == names("make")
    assert set(one["label"]) == names("label")
    assert {frozenset(line) for line in one["lines"]} == {frozenset(names("make line"))}
    assert one["strength"] == {"citric": pytest.approx(25.0)} and one["g"] == pytest.approx(500.0)


def test_the_names_of_check(ask: Ask, tmp_path: Path) -> None:
    folder = write_library(tmp_path, {"drinks/bad.toml": drink("shake", "spirit: 2 dorps")})
    code, out, _ = ask("--library", folder, "check", "--json")
    faults = json.loads(out)
    assert code == 1 and len(faults) == 1 and set(faults[0]) == names("check")
    assert (faults[0]["file"], faults[0]["line"], faults[0]["column"], faults[0]["severity"]) == (
        "drinks/bad.toml",
        6,
        1,
        "error",
    )


def numbers(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for one in value.values():
            yield from numbers(one)
    elif isinstance(value, list):
        for one in value:
            yield from numbers(one)
    elif isinstance(value, float):
        yield value


def test_no_answer_holds_a_nan(demo_asked: Ask) -> None:
    def forbidden(name: str) -> float:
        raise AssertionError(f"{name} in the JSON")

    for row in data(demo_asked("list", "--json")):
        for question in (["show"], ["batch", "--serves", "7"]):
            code, out, _ = demo_asked(question[0], row["id"], *question[1:], "--json")
            assert code == 0
            answer = json.loads(out, parse_constant=forbidden)
            assert all(map(math.isfinite, numbers(answer)))


# Numbers for scripts are unrounded: 60 ml of a 40 % spirit is no round figure in grams.
def test_figures_are_unrounded(small: Ask) -> None:
    spirit = data(small("show", "sour", "--json"))["lines"][0]
    assert spirit["g"] == pytest.approx(56.8827, abs=1e-4) and len(str(spirit["g"])) > 12


@pytest.mark.parametrize(
    ("arguments", "first"),
    [
        (("list",), "sour  Plain Sour  shake  shaken"),
        (("show", "sour"), "Plain Sour"),
        (("batch", "sour", "--serves", "10"), "Plain Sour"),
        (("make", "citric-25"), "Citric solution"),
    ],
)
def test_an_answer_for_people_is_on_stdout_and_nothing_on_stderr(arguments: tuple[str, ...], first: str, small: Ask) -> None:
    code, out, err = small(*arguments)
    assert (code, out.splitlines()[0], err) == (0, first, "")


def test_a_sound_library_checks_silently(small: Ask) -> None:
    assert small("check") == (0, "", "")
    assert data(small("check", "--json")) == []


def test_an_empty_list_is_done(small: Ask) -> None:
    assert small("list", "xyzzy") == (0, "", "")
    assert data(small("list", "xyzzy", "--json")) == []


def test_the_library_may_be_named_behind_the_question_or_by_the_environment(
    ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write_library(tmp_path)
    first = ask("--library", folder, "list")
    assert ask("list", "--library", folder) == first
    monkeypatch.setenv("STATION_LIBRARY", str(folder))
    assert ask("list") == first


def test_without_a_library_the_demo_answers_and_says_so(ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.delenv("STATION_LIBRARY", raising=False)
    code, out, err = ask("list")
    assert code == 0 and "tin-lantern" in out
    assert err == "station: no library of yours yet, so this is the shipped demo, read only\n"
    assert list(tmp_path.iterdir()) == []


# What the data says no to: exit 1, one line a fault on stderr, stdout empty.
SAYS_NO = [
    (("show", "suor"), "station: there is no drink suor (did you mean sour?)"),
    (("show", "sour@1"), "station: sour@1 names a version, which only `station compare` takes (write sour)"),
    (
        ("batch", "sour@edited", "--serves", "3"),
        "station: sour@edited names a version, which only `station compare` takes (write sour)",
    ),
    (("show", "xyzzy@1"), "station: there is no drink xyzzy@1 (see `station list`)"),
    (("batch", "xyzzy", "--serves", "3"), "station: there is no drink xyzzy (see `station list`)"),
    (("make", "citric-52"), "station: there is no stock citric-52 (did you mean citric-25?)"),
    (("batch", "sour", "--serves", "0"), "station: 0 serves is no batch (ask for at least one)"),
    (("batch", "sour", "--serves", "1e400"), "station: inf serves is no batch (ask for at least one)"),
    (("batch", "sour", "--serves", "nan"), "station: nan serves is no batch (ask for at least one)"),
    (("batch", "sour", "--serves=-3"), "station: -3 serves is no batch (ask for at least one)"),
    (("batch", "sour", "--volume", "0 ml"), "station: 0 ml of volume makes no drink (give what there is)"),
    (("batch", "sour", "--vessel", "bucket"), "station: there is no vessel bucket (one of pitcher)"),
    (("batch", "sour", "--on-hand", "sour=0 ml"), "station: 0 ml of sour on hand makes no drink (give what there is)"),
    (
        ("batch", "sour", "--on-hand", "gone=5 ml"),
        "station: there is no “gone” in Plain Sour (its lines: spirit, sour, syrup, citric-25, twist)",
    ),
    (
        ("batch", "sour", "--on-hand", "sugar=5 g"),
        "station: sugar is in no line of Plain Sour (its lines: spirit, sour, syrup, citric-25, twist)",
    ),
    (("batch", "sour", "--on-hand", "sirup=5 g"), "station: there is no “sirup” in Plain Sour (did you mean syrup (Syrup)?)"),
    (
        ("batch", "sour", "--serves", "100"),
        "station: no vessel here holds 10.5 L: the most is 4 × Pitcher of 1.5 L (ask for less, or add a vessel to station.toml)",
    ),
    (("make", "citric-25", "--vessel", "bucket"), "station: there is no vessel bucket (one of pitcher)"),
    (("make", "citric-25", "--on-hand", "sugar=5 g"), "station: sugar is in no line of Citric solution (name one of its lines)"),
]


@pytest.mark.parametrize(("arguments", "said"), SAYS_NO, ids=[" ".join(one[0]) for one in SAYS_NO])
@pytest.mark.parametrize("as_json", [False, True], ids=["text", "json"])
def test_what_the_data_says_no_to_is_one_line_and_exit_1(
    arguments: tuple[str, ...], said: str, as_json: bool, small: Ask
) -> None:
    code, out, err = small(*arguments, *(["--json"] if as_json else []))
    assert (code, out, err.replace("\u00a0", " ")) == (1, "", said + "\n")


def test_a_drink_larger_than_the_vessel_is_one_line_and_exit_1(ask: Ask, tmp_path: Path) -> None:
    cup = 'format = 1\n[vessels.cup]\nname = "Cup"\nbrim = "90 ml"\nfill = "80 ml"\ntare = "50 g"\n'
    code, out, err = ask("--library", write_library(tmp_path, {"station.toml": cup}), "batch", "sour", "--vessel", "cup")
    assert (code, out) == (1, "")
    assert err.replace("\u00a0", " ") == (
        "station: one serve of Plain Sour is 105 ml, Cup is filled to 80 ml: it does not hold one (take a larger vessel)\n"
    )


@pytest.mark.parametrize("kind", ["gone", "file"])
def test_a_named_library_that_is_none_is_exit_1_and_makes_nothing(kind: str, ask: Ask, tmp_path: Path) -> None:
    folder = tmp_path / kind
    if kind == "file":
        folder.write_text("")
    code, out, err = ask("--library", folder, "list")
    assert (code, out) == (1, "") and err.startswith("station: ") and err.count("\n") == 1
    assert folder.exists() == (kind == "file")


def test_a_library_that_cannot_be_opened_is_not_made_by_the_screens_either(ask: Ask, tmp_path: Path) -> None:
    code, out, _ = ask("--library", tmp_path / "gone")
    assert code in {1, 2} and out == "" and list(tmp_path.iterdir()) == []


# Used wrongly: exit 2, stdout empty.
USED_WRONGLY = [
    ("nonsense",),
    ("show",),
    ("batch", "sour"),
    ("batch", "sour", "--serves", "3", "--volume", "1 l"),
    ("batch", "sour", "--serves", "many"),
    ("batch", "sour", "--serves", "3", "--water", "--no-water"),
    ("batch", "sour", "--volume", "5 g"),
    ("batch", "sour", "--volume", "3 buckets"),
    ("batch", "sour", "--volume", "1,500 ml"),
    ("batch", "sour", "--volume", ""),
    ("batch", "sour", "--vessel", ""),
    ("batch", "sour", "--on-hand", "sour"),
    ("make", "citric-25", "--amount", "5 drops"),
    ("list", "--nonsense"),
    ("show", "sour", "--json=yes"),
]


@pytest.mark.parametrize("arguments", USED_WRONGLY, ids=" ".join)
def test_a_question_put_wrongly_is_exit_2(arguments: tuple[str, ...], small: Ask) -> None:
    code, out, err = small(*arguments)
    assert (code, out) == (2, "") and err and "Traceback" not in err


# `1,500` is one and a half to one half of the world and fifteen hundred to the other.
def test_a_number_of_serves_that_can_be_read_two_ways_is_refused(small: Ask) -> None:
    code, out, err = small("batch", "sour", "--serves", "1,500")
    assert (code, out) == (2, "") and "1500" in err


def test_a_half_serve_may_be_written_with_a_comma(small: Ask) -> None:
    assert data(small("batch", "sour", "--serves", "2,5", "--json"))["serves"] == 2.5


def test_without_a_terminal_there_are_no_screens(ask: Ask, tmp_path: Path) -> None:
    code, out, err = ask("--library", write_library(tmp_path))
    assert (code, out) == (2, "")
    assert err.startswith("usage: station") and "ask a question instead" in err


# A fault elsewhere is said and changes nothing; what was asked resting on one is exit 1.


@pytest.fixture
def faulty(tmp_path: Path, ask: Ask) -> Ask:
    files: dict[str, str | bytes] = {
        "drinks/bad.toml": drink("shake", "spirit: 2 dorps"),
        "drinks/rests.toml": drink("shake", "spirit: 60 ml", "broken: 5 g"),
        "stocks/broken.toml": "name = \n",
    }
    folder = write_library(tmp_path / "library", files)
    return lambda *arguments: ask("--library", folder, *arguments)


ELSEWHERE = [
    "drinks/bad.toml:6:1: lines 1 amount: “dorps” is no unit here (did you mean drops?)",
    "drinks/rests.toml:9:1: lines 2 item: broken in stocks/broken.toml has a fault (mend stocks/broken.toml first)",
    "stocks/broken.toml:1:8: is not TOML: invalid value (mend this line; the rest is read after it)",
]


@pytest.mark.parametrize(
    "arguments", [("list",), ("show", "sour"), ("batch", "sour", "--serves", "3"), ("make", "citric-25")], ids=" ".join
)
def test_faults_elsewhere_are_a_line_each_on_stderr_and_exit_0(arguments: tuple[str, ...], faulty: Ask) -> None:
    code, out, err = faulty(*arguments, "--json")
    assert code == 0 and json.loads(out)
    assert err.splitlines() == ELSEWHERE


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("show", "bad"), ELSEWHERE[:1]),
        (("show", "rests"), ELSEWHERE[1:2]),
        (("batch", "rests", "--serves", "3"), ELSEWHERE[1:2]),
        (("make", "broken"), ELSEWHERE[2:]),
    ],
)
def test_what_rests_on_a_fault_is_exit_1_with_the_fault(arguments: tuple[str, ...], said: list[str], faulty: Ask) -> None:
    code, out, err = faulty(*arguments, "--json")
    assert (code, out, err.splitlines()) == (1, "", said)


def test_check_prints_its_faults_and_is_exit_1(faulty: Ask) -> None:
    code, out, err = faulty("check")
    assert (code, out.splitlines(), err) == (1, ELSEWHERE, "")


def test_warnings_alone_are_exit_0(ask: Ask, tmp_path: Path) -> None:
    heavy = '[heavy]\nname = "Heavy"\nkind = "syrup"\nbrix = 50\ndensity = "1.30 g/ml"\nallergens = []\n'
    folder = write_library(tmp_path, {"ingredients/heavy.toml": heavy})
    code, out, _ = ask("--library", folder, "check")
    assert code == 0 and "the density stated is 1.3 g/ml" in out


def test_a_faulty_spec_is_in_the_list_marked(faulty: Ask) -> None:
    rows = {row["id"]: row["faulty"] for row in data(faulty("list", "--json"))}
    assert rows == {"sour": False, "bad": True, "rests": True}


# Concentrates stop the making until somebody says that the caution was read.
def test_a_concentrate_is_made_only_when_acknowledged(demo_asked: Ask) -> None:
    code, out, err = demo_asked("make", "lactic-10")
    assert (code, out) == (1, "")
    assert "corrosive concentrate" in err and err.count("\n") == 1
    code, out, _ = demo_asked("make", "lactic-10", "--acknowledge")
    assert code == 0 and "STOP: Lactic acid, 88 % w/w" in out.replace("\u00a0", " ")


@pytest.mark.parametrize(("flag", "diluted"), [("--water", True), ("--no-water", False)])
def test_water_is_a_choice(flag: str, diluted: bool, demo_asked: Ask) -> None:
    one = data(demo_asked("batch", "winter-turnstile", "--serves", "10", flag, "--json"))
    assert one["diluted"] is diluted and (one["water_g"] > 0.0) is diluted


def test_several_things_on_hand_are_weighed_against_each_other(demo_asked: Ask) -> None:
    on_hand = ("--on-hand", "lime-juice=400 ml", "--on-hand", "rum-light=700 ml")
    one = data(demo_asked("batch", "tin-lantern", *on_hand, "--json"))
    assert one["limited_by"] == "rum-light" and one["serves"] == pytest.approx(700 / 60)
    listed = data(demo_asked("batch", "tin-lantern", "--on-hand", "Lime juice=400,0 ml, rum-light=700 ml", "--json"))
    assert listed["on_hand"] == one["on_hand"]


def test_what_is_counted_stands_apart_from_grams(demo_asked: Ask) -> None:
    one = data(demo_asked("batch", "tin-lantern", "--on-hand", "lime=40 each", "--on-hand", "lime-coin=30 each", "--json"))
    there = one["on_hand"]
    assert (there["on_hand_g"], there["on_hand_pieces"]) == ({}, {"lime": 40.0, "lime-coin": 30.0})
    assert there["press"][0]["fruit"] == "lime" and there["press"][0]["each_ml"] == 30.0
    assert there["then"]["more_g"] is None and there["then"]["more_pieces"] > 0.0


def test_a_batch_into_bottles(demo_asked: Ask) -> None:
    one = data(demo_asked("batch", "tin-lantern", "--serves", "40", "--into", "bottle", "--json"))
    assert [(fill["vessel"], fill["count"]) for fill in one["fills"]] == [("bottle", 6)]


# What files hold reaches a terminal through stderr too: as one plain line.
def test_a_complaint_never_passes_an_escape_on(ask: Ask, tmp_path: Path) -> None:
    spoiled = drink("shake", "spirit: 60 ml", "spirit: 1 spray").replace("A Drink", "A\\u001b[2J\\nDrink")
    odd_key = drink("shake", "spirit: 60 ml", more='"k\\u001b[2J\\n" = 1')
    folder = write_library(tmp_path, {"drinks/spoiled.toml": spoiled, "drinks/odd.toml": odd_key})
    for arguments in (("list",), ("show", "odd"), ("batch", "spoiled", "--on-hand", "sugar=3 g"), ("check",)):
        _, out, err = ask("--library", folder, *arguments)
        assert "\x1b" not in out + err, arguments
