"""Acid on the command line: `adjust`, `replace`, the names of their JSON, exit codes, and acid elsewhere on the cards."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from small_library import SMALL, drink, stock, write_library

from station import cli
from station.files.places import shipped

Asked = tuple[int, str, str]
Ask = Callable[..., Asked]


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str]) -> Ask:
    """One question; its exit code, stdout and stderr, gaps that may not be broken as blanks."""

    def asked(*arguments: object) -> Asked:
        try:
            code = cli.main([str(one) for one in arguments])
        except SystemExit as left:
            code = int(left.code or 0)
        captured = capsys.readouterr()
        return code, captured.out.replace("\u00a0", " "), captured.err.replace("\u00a0", " ")

    return asked


@pytest.fixture
def demo_asked(ask: Ask) -> Ask:
    return lambda *arguments: ask("--library", shipped("specs"), *arguments)


def data(asked: Asked) -> Any:
    code, out, err = asked
    assert code == 0, err

    def forbidden(name: str) -> float:
        raise AssertionError(f"{name} in the JSON")

    return json.loads(out, parse_constant=forbidden)


# The names are promises to scripts: they may grow, never change meaning.
BALANCE = {
    *("ml", "g", "density_g_per_ml", "abv_pct", "ethanol_g", "sugar_g_per_100ml", "acid_g_per_100ml"),
    *("sugar_acid_ratio", "ph", "ph_note", "brix", "freezing_c"),
}
ADJUST = {
    *("item", "name", "to", "target_g_per_100ml", "start", "add_to", "make_up_to", "kinds", "target_kinds", "alike"),
}
SIZE = {"juice_ml", "juice_g", "acids_g", "as_bought", "result", "acid_pct_ww", "acid_g_per_100ml"}
REPLACE = {"id", "name", "item", "lines", "before", "after", "kinds", "stand_in_kinds", "loses"}


def test_the_names_of_adjust(demo_asked: Ask) -> None:
    one = data(demo_asked("adjust", "orange-juice", "--to", "lime-juice", "--json"))
    assert set(one) == ADJUST
    assert set(one["start"]) == BALANCE
    for size in (one["add_to"], one["make_up_to"]):
        assert set(size) == SIZE and set(size["result"]) == BALANCE
        assert set(size["acids_g"]) == {"citric", "malic"}
        assert {frozenset(bought) for bought in size["as_bought"]} == {frozenset({"acid", "item", "g"})}
        assert [bought["item"] for bought in size["as_bought"]] == ["citric-acid", "malic-acid"]
    assert one["target_g_per_100ml"] == pytest.approx(6.0, rel=1e-6)


def test_the_names_of_replace(demo_asked: Ask) -> None:
    one = data(demo_asked("replace", "tin-lantern", "lime-juice", "--json"))
    assert set(one) == REPLACE
    assert set(one["before"]) == set(one["after"]) == BALANCE
    assert {frozenset(line) for line in one["lines"]} == {frozenset({"item", "name", "g", "ml"})}
    assert one["after"]["acid_g_per_100ml"] == pytest.approx(one["before"]["acid_g_per_100ml"], rel=0.001)


def numbers(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for one in value:
            yield from numbers(one)
    elif isinstance(value, float):
        yield value


def test_no_answer_about_acid_holds_a_nan(demo_asked: Ask) -> None:
    for item in ("orange-juice", "rum-light", "saline-20", "syrup-2-1", "pomegranate-syrup", "dry-vermouth", "soda-water"):
        one = data(demo_asked("adjust", item, "--to", "6.0 g/100ml", "--json"))
        assert all(map(math.isfinite, numbers(one))), item
        assert one["add_to"]["result"]["ph"] is not None or one["add_to"]["result"]["ph_note"], item


def test_a_ph_that_is_none_has_its_reason_in_every_drink(demo_asked: Ask) -> None:
    for row in data(demo_asked("list", "--json")):
        one = data(demo_asked("show", row["id"], "--json"))
        for balance in (one["before"], one["glass"]):
            assert balance["ph"] is not None or balance["ph_note"]
            if balance["abv_pct"] > 10.0 and balance["ph"] is not None:
                assert "estimate" in balance["ph_note"]


def test_the_card_says_both_ways_as_bought_and_pure_w_w_and_w_v(demo_asked: Ask) -> None:
    code, out, err = demo_asked("adjust", "orange-juice", "--to", "lime-juice")
    assert (code, err) == (0, "")
    for said in (
        "from 1 g/100 ml to 6 g/100 ml as citric, as Lime juice, fresh",
        "Add to 1 L = 1047 g of it:",
        "Or make up to 1 L:",
        "g as bought, ",
        "of it citric",
        "°Bx (sugar, w/w)",
        "% w/w = ",
        "g per 100 ml (w/v)",
        "Acids of the result: citric 91.",
        "In common by kind: 99.9 % of all acid, w/w",
    ):
        assert said in out, said


def test_on_hand_and_yield_and_parts(demo_asked: Ask) -> None:
    on_hand = data(demo_asked("adjust", "orange-juice", "--to", "6.0 g/100ml", "--on-hand", "orange-juice=900 ml", "--json"))
    assert on_hand["add_to"]["juice_ml"] == pytest.approx(900.0)
    made = data(demo_asked("adjust", "orange-juice", "--to", "6.0 g/100ml", "--yield", "500 ml", "--json"))
    assert made["make_up_to"]["result"]["ml"] == pytest.approx(500.0)
    parts = data(demo_asked("adjust", "orange-juice", "--to", "6.0 g/100ml", "--with", "citric=2,malic=1", "--json"))
    acids = parts["add_to"]["acids_g"]
    assert acids["citric"] == pytest.approx(2.0 * acids["malic"])


SAYS_NO = [
    ("adjust", "lime-juice", "--to", "1.0 g/100ml"),
    ("adjust", "orange-juice", "--to", "nothing-such"),
    ("adjust", "nothing-such", "--to", "6.0 g/100ml"),
    ("adjust", "citric-acid", "--to", "6.0 g/100ml"),
    ("adjust", "orange-juice", "--to", "30 g/100ml", "--with", "ascorbic"),
    ("adjust", "orange-juice", "--to", "6.0 g/100ml", "--yield", "0 l"),
    ("replace", "tin-lantern", "rum-light"),
    ("replace", "tin-lantern", "lemon-juice"),
    ("replace", "nothing-such", "lime-juice"),
    ("replace", "tin-lantern", "lime-juice", "--acid", "cider-vinegar"),
    ("replace", "tin-lantern", "lime-juice", "--acid", "syrup-1-1"),
    ("replace", "tin-lantern", "lime-juice", "--sugar", "saline-20"),
    ("replace", "tin-lantern", "lime-juice", "--acid", "lactic-acid-88"),
]
USED_WRONGLY = [
    ("adjust", "orange-juice"),
    ("adjust", "--to", "6.0 g/100ml"),
    ("adjust", "orange-juice", "--to", "6.0 g/100 ounces"),
    ("adjust", "orange-juice", "--to", "31 g/100ml"),
    ("adjust", "orange-juice", "--to", "6.0 g/100ml", "--with", "citric=0"),
    ("adjust", "orange-juice", "--to", "6.0 g/100ml", "--with", "oxalic=1"),
    ("adjust", "orange-juice", "--to", "6.0 g/100ml", "--yield", "1,500 ml"),
    ("adjust", "orange-juice", "--to", "6.0 g/100ml", "--on-hand", "lime-juice=900 ml"),
    ("adjust", "orange-juice", "--to", "6.0 g/100ml", "--on-hand", "orange-juice=1 l", "--yield", "1 l"),
    ("replace", "tin-lantern"),
]


@pytest.mark.parametrize(
    ("arguments", "exit_code"),
    [*((one, 1) for one in SAYS_NO), *((one, 2) for one in USED_WRONGLY)],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else str(one),
)
@pytest.mark.parametrize("json_too", [(), ("--json",)], ids=["text", "json"])
def test_what_cannot_be_answered_is_on_stderr_with_its_exit_code(
    arguments: tuple[str, ...], exit_code: int, json_too: tuple[str, ...], demo_asked: Ask
) -> None:
    code, out, err = demo_asked(*arguments, *json_too)
    assert (code, out) == (exit_code, "")
    assert err.strip() and "Traceback" not in err
    if exit_code == 1:
        assert err.startswith("station: ") and err.count("\n") == 1


JUICE = '[juice]\nname = "Juice"\nkind = "juice"\nallergens = []\n'


@pytest.mark.parametrize(
    "figures",
    ['ta = "1.0 g/100ml"\nph = 1.5\nacid_split = { citric = 1 }\n', "per_100_ml = { citric = 1 }\nph = 1.5\n"],
    ids=["ta and ph", "acids and ph"],
)
def test_an_impossible_pair_is_a_fault_of_its_file_that_says_what_is_possible(figures: str, ask: Ask, tmp_path: Path) -> None:
    folder = write_library(tmp_path, {"ingredients/juice.toml": JUICE + figures, "drinks/d.toml": drink("shake", "juice: 20 ml")})
    code, out, _ = ask("--library", folder, "check")
    assert code == 1
    first = out.splitlines()[1] if out.startswith("drinks") else out.splitlines()[0]
    assert first.startswith("ingredients/juice.toml:1:")
    # The acid alone is pH 2.23: nothing lower is possible.
    assert "pH 1.5" in first and "2.23" in first
    # What rests on it says so and exits 1; what does not is answered.
    assert ask("--library", folder, "show", "d")[0] == 1
    assert ask("--library", folder, "show", "sour")[0] == 0


@pytest.mark.parametrize(
    "figures",
    [
        'hydrate = "citric-monohydrate"\nassay = { citric = 91 }',
        'hydrate = "citric-monohydrate"\nper_100_g = { citric = 91 }',
        "assay = { citric = 91 }\nper_100_g = { citric = 91 }",
        "assay = { citric = 91 }\nper_100_ml = { citric = 91 }",
        "per_100_g = { citric = 91 }\nper_100_ml = { citric = 91 }",
        'hydrate = "citric-monohydrate"\nta = "6 g/100ml"\nacid_split = { citric = 1 }',
        "assay = { lactic = 60, citric = 60 }",
    ],
)
def test_purity_said_twice_or_over_100_percent_is_a_fault(figures: str, ask: Ask, tmp_path: Path) -> None:
    text = f'[x]\nname = "X"\nkind = "acid"\nallergens = []\n{figures}\n'
    code, out, _ = ask("--library", write_library(tmp_path, {"ingredients/x.toml": text}), "check", "--json")
    faults = json.loads(out)
    assert code == 1 and {fault["file"] for fault in faults} == {"ingredients/x.toml"}
    assert all(fault["line"] >= 1 and fault["remedy"] for fault in faults)


ACIDS = """\
[mono]
name = "Citric acid monohydrate"
kind = "acid"
form = "solid"
hydrate = "citric-monohydrate"
allergens = []
[lactic-88]
name = "Lactic acid, 88 %"
kind = "acid"
assay = { lactic = 88 }
allergens = []
[phosphoric-10]
name = "Phosphoric acid, 10 %"
kind = "acid"
assay = { phosphoric = 10 }
allergens = []
"""


@pytest.mark.parametrize(
    ("item", "water", "acid", "said"),
    [
        # 100 g of monohydrate are 91.4 g of citric: 192.124 / 210.139.
        ("mono", "300 g", "citric", "100 g  91.4 g of it citric"),
        ("lactic-88", "780 g", "lactic", "100 g  88 g of it lactic"),
        ("phosphoric-10", "100 g", "phosphoric", "100 g  10 g of it phosphoric"),
    ],
)
def test_the_making_card_says_grams_as_bought_and_grams_of_acid(
    item: str, water: str, acid: str, said: str, ask: Ask, tmp_path: Path
) -> None:
    files = {"ingredients/acids.toml": ACIDS, "stocks/s.toml": stock(f"water: {water}", f"{item}: 100 g")}
    folder = write_library(tmp_path, files)
    code, out, err = ask("--library", folder, "make", "s", "--acknowledge")
    assert code == 0, err
    assert said in out
    assert f"Strength: {acid} " in out and "% w/w = " in out and "(w/v)" in out
    lines = data(ask("--library", folder, "make", "s", "--acknowledge", "--json"))["lines"]
    whole = {line["item"]: line for line in lines}[item]
    assert whole["g"] == pytest.approx(100.0)
    assert whole["acid_g"][acid] == pytest.approx(float(said.split()[2]), abs=0.05)


def test_the_batch_card_too(ask: Ask, tmp_path: Path) -> None:
    files = {"ingredients/acids.toml": ACIDS, "drinks/d.toml": drink("shake", "spirit: 60 ml", "mono: 1 g")}
    code, out, _ = ask("--library", write_library(tmp_path, files), "batch", "d", "--serves", "10")
    assert code == 0 and "9.14 g of it citric" in out


def test_making_from_lactic_says_it_may_titrate_low(demo_asked: Ask) -> None:
    code, out, _ = demo_asked("make", "lactic-10", "--acknowledge")
    said = " ".join(out.split())
    assert code == 0 and "NOTE: Lactic acid, 88 % w/w" in said and "may titrate low" in said
    assert "common practice, no source" in said


def test_a_stock_stronger_than_dissolves_is_refused_with_the_limit_and_its_source(ask: Ask, tmp_path: Path) -> None:
    folder = write_library(tmp_path, {"stocks/s.toml": stock("water: 400 g", "citric-acid: 600 g", more='store = "fridge"')})
    code, out, err = ask("--library", folder, "make", "s")
    assert (code, out) == (1, "")
    assert "150 g citric per 100 g of water" in err and "at 4 °C only 10" in err and "handbook tables" in err


@pytest.mark.parametrize(("ph", "told"), [("", True), ("ph = 2.4", False)], ids=["ta alone", "ta and ph"])
def test_unbuffered_acid_is_noted_only_where_no_ph_is_stated(ph: str, told: bool, ask: Ask, tmp_path: Path) -> None:
    sour = SMALL["ingredients/items.toml"].replace('ta = "6.0 g/100ml"', f'ta = "6.0 g/100ml"\n{ph}')
    folder = write_library(tmp_path, {"ingredients/items.toml": sour})
    said = [
        one for one in data(ask("--library", folder, "show", "sour", "--json"))["cautions"] if one["code"] == "acid-unbuffered"
    ]
    assert bool(said) is told
    if told:
        assert said[0]["word"] == "NOTE" and "Sour juice" in said[0]["text"]
        # There is a remedy now, and it is the file's pH: nothing is "not reckoned yet".
        assert "yet" not in said[0]["text"] and "pH" in said[0]["text"]


def test_the_acids_of_a_drink_by_kind_and_by_line(demo_asked: Ask) -> None:
    one = data(demo_asked("show", "tin-lantern", "--json"))
    assert set(one["acids"]) == {"citric", "malic"}
    assert sum(one["acid_from"].values()) == pytest.approx(1.0)
    assert set(one["acid_from"]) == {"lime-juice", "citric-25"}
    assert one["sour_as_citric"] == pytest.approx(0.93, abs=0.02)
    code, out, _ = demo_asked("show", "tin-lantern")
    said = " ".join(out.split())
    assert code == 0 and "Acids in the glass: citric 0.86 g/100 ml (91.2 % of all acid by weight)" in said
    assert "(by molecules, Neta et al. 2007; an estimate)" in said and "pH 2.4 2.5" in said


def test_a_drink_without_acid_says_nothing_of_acids(ask: Ask, tmp_path: Path) -> None:
    folder = write_library(tmp_path, {"drinks/d.toml": drink("stir", "spirit: 60 ml", "syrup: 5 ml")})
    one = data(ask("--library", folder, "show", "d", "--json"))
    assert (one["acids"], one["acid_from"], one["sour_as_citric"]) == ({}, {}, None)
    assert (one["glass"]["ph"], one["glass"]["ph_note"]) == (None, "there is no acid in it")
    assert "Acids in the glass" not in ask("--library", folder, "show", "d")[1]
