"""What a person is told before they pour, and allergens that stick."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import NOON, demo, drink, open_small, stock

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.calc.answers import Batched, Shown
from station.calc.batch import Target
from station.calc.caution import allergens
from station.calc.making import Yield
from station.calc.stuff import Stuff
from station.desk.batching import batched
from station.desk.checking import check
from station.desk.look import show
from station.desk.making import made
from station.desk.opening import Opened

ACIDS = """\
[lactic-88]
name = "Lactic, 88 %"
kind = "acid"
per_100_g = { lactic = 88 }
allergens = []
[phosphoric-75]
name = "Phosphoric, 75 %"
kind = "acid"
per_100_g = { phosphoric = 75 }
allergens = []
[egg]
name = "Egg"
kind = "egg"
each = "30 g"
allergens = ["egg"]
[almond]
name = "Almond syrup"
kind = "syrup"
brix = 50
allergens = ["nuts"]
[mystery]
name = "Mystery bitters"
kind = "bitters"
abv = 40
[salt]
name = "Salt"
kind = "salt"
form = "solid"
per_100_g = { salt = 100 }
allergens = []
"""


def opened(folder: Path, *lines: str, method: str = "shake", more: str = "", **stocks: str) -> Opened:
    files = {f"stocks/{name.replace('_', '-')}.toml": text for name, text in stocks.items()}
    spec = drink(method, *lines, more=more)
    return open_small(folder, {"ingredients/acids.toml": ACIDS, "drinks/d.toml": spec, **files})


def shown(folder: Path, *lines: str, more: str = "", **stocks: str) -> Shown:
    return show(opened(folder, *lines, more=more, **stocks).blends, "d")


def codes(answer: Shown | Batched) -> list[str]:
    return [one.code for one in answer.cautions]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            "lactic-88: 1 g",
            "Lactic, 88 % is 88 % w/w lactic, a concentrate: never a drink line (dilute it to a stock of 20 % w/w or less first)",
        ),
        (
            "phosphoric-75: 1 g",
            "Phosphoric, 75 % is 75 % w/w phosphoric, a concentrate: never a drink line "
            "(dilute it to a stock of 10 % w/w or less first)",
        ),
    ],
)
def test_a_concentrate_is_never_a_drink_line(line: str, said: str, tmp_path: Path) -> None:
    one = opened(tmp_path, "spirit: 60 ml", line)
    asks = (
        lambda: show(one.blends, "d"),
        lambda: batched(one.blends, "d", Target(serves=3), None, NOON),
    )
    for ask in asks:
        with pytest.raises(CannotAnswer) as refused:
            ask()
        assert str(refused.value).replace("\u00a0", " ") == said
    assert [fault.severity for fault in check(one.blends) if fault.file == "drinks/d.toml"] == ["error"]


# Lactic over 20 % w/w, phosphoric and acetic over 10: at the limit it is a drink line, a hair over it is none.
@pytest.mark.parametrize(("acid", "parts", "refused"), [("lactic-88", 4400, False), ("lactic-88", 4399, True)])
def test_the_limit_itself_is_allowed(acid: str, parts: int, refused: bool, tmp_path: Path) -> None:
    # 1000 g of 88 % in 4400 g are 20 % w/w.
    weak = stock(f"{acid}: 1000 g", f"water: {parts - 1000} g")
    one = opened(tmp_path, "weak: 5 g", weak=weak)
    if refused:
        with pytest.raises(CannotAnswer, match="never a drink line"):
            show(one.blends, "d")
    else:
        assert "lactic" in one.blends.stuff("weak").per_g.acids and show(one.blends, "d")


def test_a_concentrate_hidden_in_a_stock_is_refused_too(tmp_path: Path) -> None:
    one = opened(tmp_path, "thin: 5 g", thin=stock("lactic-88: 50 g", "water: 50 g"))
    with pytest.raises(CannotAnswer, match=r"A Stock is 44\D%\Dw/w lactic"):
        show(one.blends, "d")


def test_an_acid_over_25_percent_is_asked_about(tmp_path: Path) -> None:
    strong, plain = stock("water: 74 g", "citric-acid: 26 g"), stock("water: 75 g", "citric-acid: 25 g")
    one = shown(tmp_path, "strong: 1 g", "plain: 1 g", strong=strong, plain=plain)
    assert [(caution.word, caution.about) for caution in one.cautions if caution.code == "acid-strong"] == [("CHECK", "strong")]


@pytest.mark.parametrize(("grams", "told"), [("1.9 g", False), ("2.1 g", True)])
def test_over_two_grams_of_acid_in_a_serve_is_asked_about(grams: str, told: bool, tmp_path: Path) -> None:
    assert ("serve-acid" in codes(shown(tmp_path, "spirit: 60 ml", f"citric-acid: {grams}"))) is told


@pytest.mark.parametrize(("grams", "told"), [("0.9 g", False), ("1.1 g", True)])
def test_over_a_gram_of_salt_in_a_serve_is_asked_about(grams: str, told: bool, tmp_path: Path) -> None:
    assert ("serve-salt" in codes(shown(tmp_path, "spirit: 60 ml", f"salt: {grams}"))) is told


def test_over_twice_its_window_is_asked_about(tmp_path: Path) -> None:
    one = shown(tmp_path, "spirit: 60 ml", "syrup: 120 ml", more='style = "shaken"')
    said = [caution.text.replace("\u00a0", " ") for caution in one.cautions if caution.code == "serve-window"]
    assert len(said) == 1 and said[0].startswith("Sugar, g/100 ml is ") and "upper end of 8.9" in said[0]


def test_an_egg_is_told_in_the_drink_and_in_the_batch(tmp_path: Path) -> None:
    one = opened(tmp_path, "spirit: 60 ml", 'egg: 1 each | when = "service"')
    assert "egg" in codes(show(one.blends, "d"))
    assert "egg" in codes(batched(one.blends, "d", Target(serves=3), None, NOON))


def test_shaking_a_diluted_batch_is_warned_of_and_only_that(tmp_path: Path) -> None:
    one = opened(tmp_path, "spirit: 60 ml", "syrup: 20 ml")
    wet, dry = (batched(one.blends, "d", Target(serves=3), water, NOON) for water in (True, False))
    assert "shake-diluted" in codes(wet) and "shake-diluted" not in codes(dry)


def test_permission_stands_once_at_the_foot_of_every_batch() -> None:
    for name in demo().library.drinks:
        told = codes(batched(demo(), name, Target(serves=6), None, NOON))
        assert told.count("permission") == 1 and told[-1] == "permission"
        assert "permission" not in codes(show(demo(), name))


def test_allergens_stick_through_stocks_in_stocks_and_straining(tmp_path: Path) -> None:
    inner = stock("almond: 50 g | strained = true", "water: 50 g")
    outer = stock("inner: 10 g", "mystery: 10 g", "water: 80 g")
    one = opened(tmp_path, "spirit: 60 ml", "outer: 5 ml", inner=inner, outer=outer)
    assert one.blends.stuff("outer").allergens == {"nuts"}
    assert show(one.blends, "d").allergens == ("?", "nuts")
    assert batched(one.blends, "d", Target(serves=3), None, NOON).allergens == ("?", "nuts")
    assert made(one.blends, "outer", Yield(), NOON).label.allergens == ("?", "nuts")
    told = [caution.text for caution in show(one.blends, "d").cautions if caution.code == "allergen-unknown"]
    assert told == ["Allergens of Mystery bitters are not known: ask the supplier before anyone is told anything."]


def test_what_is_added_at_the_glass_counts_too(tmp_path: Path) -> None:
    one = opened(tmp_path, "spirit: 60 ml", 'almond: 5 ml | when = "finish"')
    assert batched(one.blends, "d", Target(serves=3), None, NOON).allergens == ("nuts",)


def test_suppliers_that_say_none_leave_an_empty_list_never_a_free_from(tmp_path: Path) -> None:
    assert shown(tmp_path, "spirit: 60 ml").allergens == ()


known = st.frozensets(st.sampled_from(["egg", "milk", "nuts", "sesame"]))
stuffs = st.builds(lambda has, unknown: Stuff(Composition(), None, has, unknown), known, st.frozensets(st.sampled_from("xy")))


@given(st.lists(stuffs, max_size=5))
@settings(max_examples=60, deadline=None)
def test_no_allergen_is_lost_and_unknown_is_never_hidden(many: list[Stuff]) -> None:
    found = allergens(many)
    assert set(found) - {"?"} == set().union(*(one.allergens for one in many))
    assert ("?" in found) == any(one.unknown for one in many)
    assert list(found) == sorted(set(found))


# Making from a concentrate stops until somebody has acknowledged it: phosphoric and acetic from 25 %, lactic from 20.
@pytest.mark.parametrize("acid", ["lactic-88", "phosphoric-75"])
def test_making_from_a_concentrate_stops_until_it_is_acknowledged(acid: str, tmp_path: Path) -> None:
    one = opened(tmp_path, "spirit: 60 ml", weak=stock("water: 780 g", f"{acid}: 100 g"))
    with pytest.raises(CannotAnswer) as refused:
        made(one.blends, "weak", Yield(), NOON)
    said = str(refused.value)
    assert "Eye protection and gloves" in said and "safety data sheet" in said and said.endswith("--acknowledge)")
    answer = made(one.blends, "weak", Yield(), NOON, acknowledged=True)
    assert [caution.word for caution in answer.cautions if caution.code not in {"lactic-ester", "keeping"}] == ["STOP"]


def test_making_from_a_weak_solution_does_not_stop(tmp_path: Path) -> None:
    weak = stock("water: 1120 g", "lactic-88: 200 g")
    one = opened(tmp_path, "spirit: 60 ml", weak=weak, weaker=stock("weak: 100 g", "water: 100 g"))
    assert [caution.word for caution in made(one.blends, "weaker", Yield(), NOON).cautions if caution.word == "STOP"] == []


def test_the_demos_lactic_solution_stops_first() -> None:
    with pytest.raises(CannotAnswer, match=r"88 % w/w lactic: a corrosive concentrate"):
        made(demo(), "lactic-10", Yield(), NOON)
    assert made(demo(), "lactic-10", Yield(), NOON, acknowledged=True).strength["lactic"] == pytest.approx(10.0)


def test_a_powdered_acid_is_handled_with_eye_protection(tmp_path: Path) -> None:
    answer = made(open_small(tmp_path).blends, "citric-25", Yield(), NOON)
    assert [(caution.word, caution.code, caution.about) for caution in answer.cautions] == [
        ("CHECK", "acid-powder", "citric-acid"),
        ("NOTE", "keeping", ""),
    ]
