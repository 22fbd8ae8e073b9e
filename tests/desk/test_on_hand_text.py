"""Things on hand as people write them: lists, names, what is counted, and what is said of what is none."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import ITEMS, demo, drink, open_small

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.desk.on_hand_text import on_hand_of

TIN, WINTER = demo().library.drinks["tin-lantern"], demo().library.drinks["winter-turnstile"]


def ml(item: str, amount: float) -> object:
    return pytest.approx(amount * (demo().stuff(item).g_per_ml or 0.0))


# Three ways of giving two things; a comma between digits is a decimal mark, and a name may hold commas.
@pytest.mark.parametrize(
    "texts",
    [
        ("lime-juice=400.5 ml, rum-light=2 l",),
        ("lime-juice=400,5 ml", "rum-light=2 l"),
        ("lime-juice=400,5 ml,rum-light=2 l",),
        ("rum-light=2,0 l; lime-juice=400,5 ml;",),
        ("  LIME Juice = 400.5 ml ,  light rum = 2 l , ",),
        ("Lime juice, fresh=400,5 ml, Light rum=2 l",),
        ("lime-juice=200 ml, rum-light=1 l", "lime juice=200.5 ml, rum light=1000 ml"),
    ],
)
def test_a_list_is_read_whole_or_in_parts(texts: tuple[str, ...]) -> None:
    grams, pieces = on_hand_of(texts, demo(), TIN)
    assert grams == {"lime-juice": ml("lime-juice", 400.5), "rum-light": ml("rum-light", 2000)} and pieces == {}


def test_a_name_with_commas_may_stand_after_a_comma() -> None:
    grams, _ = on_hand_of(["rum-light=2 l, Sugar syrup, 1:1 by weight, 50 °Bx=1 l, Citric solution=8 g"], demo(), TIN)
    assert list(grams) == ["rum-light", "syrup-1-1", "citric-25"] and grams["citric-25"] == 8.0


@pytest.mark.parametrize("name", ["gin-dry", "Dry gin", "dry gin", "DRY GIN", "gin dry"])
def test_an_item_goes_by_its_id_or_its_name(name: str) -> None:
    assert on_hand_of([f"{name}=700 ml"], demo(), WINTER)[0] == {"gin-dry": ml("gin-dry", 700)}


def test_parts_of_stocks_fruit_and_water_go_by_their_names_too() -> None:
    grams, pieces = on_hand_of(["Citric acid=20 g, Limes=40, Water=1 l".replace("40", "40 each")], demo(), TIN)
    assert grams == {"citric-acid": 20.0, "water": ml("water", 1000)} and pieces == {"lime": 40.0}


@pytest.mark.parametrize(
    ("spec", "asked", "said"),
    [
        (WINTER, "gin=700 ml", "there is no “gin” in Winter Turnstile (did you mean gin-dry (Dry gin)?)"),
        (WINTER, "gni-dry=700 ml", "there is no “gni-dry” in Winter Turnstile (did you mean gin-dry (Dry gin)?)"),
        (
            WINTER,
            "dry=1 l",
            "there is no “dry” in Winter Turnstile (did you mean gin-dry (Dry gin) or dry-vermouth (Dry vermouth)?)",
        ),
        (TIN, "lime-juice=4 dl, rumm=1 l", "there is no “rumm” in Tin Lantern (did you mean rum-light (Light rum)?)"),
        (
            WINTER,
            "vodka=1 l",
            "vodka is in no line of Winter Turnstile (its lines: gin-dry, dry-vermouth, elderflower-liqueur, orange-bitters, "
            "citric-25, lemon-twist)",
        ),
        (TIN, "lime=40 each, lime-juice=0 ml", "0 ml of lime-juice on hand makes no drink (give what there is)"),
        (TIN, "lime-coin=3 ml", "lime-coin is counted in Tin Lantern (say how many, e.g. lime-coin=12 each)"),
    ],
)
def test_what_is_not_in_the_drink_is_refused_with_what_might_be_meant(spec: object, asked: str, said: str) -> None:
    from station.calc.drink import drink as one_serve
    from station.calc.on_hand import allowance

    with pytest.raises(CannotAnswer) as refused:
        grams, pieces = on_hand_of([asked], demo(), spec)  # type: ignore[arg-type]
        allowance(one_serve(spec, demo()), grams, demo(), on_hand_pieces=pieces)  # type: ignore[arg-type]
    assert str(refused.value) == said


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (
            "rum-light=2 l, lime-juice=400",
            "“400” of lime-juice on hand: no unit here (say which, e.g. ml, oz, g, drops, dashes, barspoon)",
        ),
        (
            "lime-juice=4oo ml",
            "“4oo ml” of lime-juice on hand: “oo ml” is no unit here (e.g. ml, oz, g, drops, dashes, barspoon)",
        ),
        ("lime=40", "“40” of lime on hand: no unit here (say which, e.g. 40 each)"),
        ("Lime coin=12", "“12” of Lime coin on hand: no unit here (say which, e.g. 12 each)"),
        ("lime-juice=", "lime-juice on hand: no number here (write a number and a unit, e.g. 22.5 ml, 3/4 oz or 2 drops)"),
        ("lime-juice=top 60 ml", "“top 60 ml” of lime-juice on hand says when it goes in, not how much (write e.g. 400 ml)"),
        ("lime-juice=400 ml, rum", "“rum” names no amount (write e.g. lime-juice=400 ml)"),
        ("lime-juice", "“lime-juice” names no amount (write e.g. lime-juice=400 ml)"),
        ("=400 ml", "“=400 ml” does not name what is on hand (write e.g. lime-juice=400 ml)"),
        (
            "lime-juice=1,500 ml",
            "“1,500 ml” of lime-juice on hand: 1,500 can be read two ways: 1.5 ml or 1500 ml? (write it without the comma)",
        ),
    ],
)
def test_what_is_no_amount_is_refused_naming_the_item_and_the_text(asked: str, said: str) -> None:
    with pytest.raises(AmountError) as refused:
        on_hand_of([asked], demo(), TIN)
    assert str(refused.value) == said


def test_a_name_two_lines_go_by_is_no_name(tmp_path: Path) -> None:
    two = ITEMS.replace('name = "Sour juice"', 'name = "Syrup, sour"')
    opened = open_small(tmp_path, {"ingredients/items.toml": two, "drinks/d.toml": drink("shake", "sour: 20 ml", "syrup: 10 ml")})
    with pytest.raises(CannotAnswer, match=r"^“Syrup” could be sour \(Syrup, sour\) or syrup \(Syrup\) \(write the id\)$"):
        on_hand_of(["Syrup=1 l"], opened.blends, opened.library.drinks["d"])
    assert list(on_hand_of(["syrup=1 l"], opened.blends, opened.library.drinks["d"])[0]) == ["syrup"]


def test_fruit_by_weight_counts_by_the_weight_of_one() -> None:
    assert on_hand_of(["lime=6.7 kg", "lime=2 each"], demo(), TIN) == ({}, {"lime": pytest.approx(102.0)})


ITEM = st.sampled_from(sorted({line.item for line in TIN.lines} - {"lime-coin"}))
TYPED = st.text(alphabet="0123456789.,;= mlgLimeruc-½", max_size=25)


@given(
    st.lists(
        st.tuples(ITEM, st.integers(1, 9999), st.sampled_from([".", ","]), st.sampled_from([", ", ",", "; ", " ;"])), min_size=1
    )
)
@settings(max_examples=60, deadline=None)
def test_whatever_parts_them_each_thing_keeps_its_amount(things: list[tuple[str, int, str, str]]) -> None:
    written = "".join(f"{item}={whole}{mark}5 g{part}" for item, whole, mark, part in things)
    wanted: dict[str, float] = {}
    for item, whole, _, _ in things:
        wanted[item] = wanted.get(item, 0.0) + whole + 0.5
    assert on_hand_of([written], demo(), TIN)[0] == pytest.approx(wanted)


@given(TYPED)
@settings(max_examples=200, deadline=None)
def test_whatever_is_typed_is_read_or_refused_in_words(written: str) -> None:
    try:
        grams, pieces = on_hand_of([written], demo(), TIN)
    except (AmountError, CannotAnswer) as refused:
        assert str(refused)
    else:
        assert all(amount > 0.0 for amount in (*grams.values(), *pieces.values()))
