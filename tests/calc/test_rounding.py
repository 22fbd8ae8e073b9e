"""A batch rounded to what a hand can measure, and what that does."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import HOUSE, ITEMS, NOON, demo, drink, open_small, stock

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import ROUNDINGS
from station.calc.answers import Batched
from station.calc.balance import balance
from station.calc.batch import Target
from station.calc.mixing import BatchLine
from station.cards.text import batch_card
from station.desk.batching import batched

JIGGERS = '[jiggers]\nsteps = ["7.5 ml", "15 ml", "22.5 ml", "30 ml", "60 ml"]\n'
names, hows = st.sampled_from(sorted(demo().library.drinks)), st.sampled_from(ROUNDINGS)
quick = settings(max_examples=60, deadline=None)


def card(how: str, serves: float, *lines: str, folder: Path, house: str = HOUSE + JIGGERS, method: str = "shake") -> Batched:
    packs = ITEMS.replace('kind = "spirit"', 'kind = "spirit"\npacks = [{ size = "200 ml" }, { size = "700 ml" }]')
    files = {"station.toml": house, "ingredients/items.toml": packs, "drinks/sour.toml": drink(method, *lines)}
    return batched(open_small(folder, files).blends, "sour", Target(serves=serves), None, NOON, how)


def line_of(made: Batched, item: str) -> BatchLine:
    return next(line for line in made.mixes[0].lines if line.item == item)


def said(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_whole_and_half_grams(tmp_path: Path) -> None:
    whole = card("whole g", 10, "spirit: 60 g", "syrup: 20.33 g", folder=tmp_path / "a")
    assert [line.g for line in whole.mixes[0].lines] == [600.0, 203.0]
    half = card("half g", 10, "spirit: 60 g", "syrup: 20.33 g", folder=tmp_path / "b")
    assert [line.g for line in half.mixes[0].lines] == [600.0, pytest.approx(203.5)]


# A whole gram of 1.05 g of acid solution would be 5 % less, and it is weighed to 1 %: it stays as it is.
def test_a_line_that_grams_would_move_more_than_it_is_weighed_to_stays_exact(tmp_path: Path) -> None:
    made = card("whole g", 10, "spirit: 60 g", "citric-25: 2 drops", folder=tmp_path)
    assert line_of(made, "citric-25").g == pytest.approx(10 * 2 * (2.61 + 2.58 + 2.66) / 150)


# A whole gram moves 24.49 g by 2.0008 %, over the 2 % it is weighed to; 24.51 g by 1.9992 %, under it.
@pytest.mark.parametrize(("grams", "rounded_g"), [(24.49, 24.49), (24.51, 25.0)])
def test_the_edge_is_the_tolerance_a_line_is_weighed_to(grams: float, rounded_g: float, tmp_path: Path) -> None:
    made = card("whole g", 1, "spirit: 600 g", f"syrup: {grams} g", folder=tmp_path)
    assert line_of(made, "syrup").g == pytest.approx(rounded_g)


# 20 % saline moves no acid, sugar or alcohol; a third less of it is tasted.
def test_salt_counts_as_taste(tmp_path: Path) -> None:
    salt = ITEMS + '[salt]\nname = "Salt"\nkind = "salt"\nform = "solid"\nper_100_g = { salt = 100 }\nallergens = []\n'
    files = {
        "station.toml": HOUSE + '[jiggers]\nsteps = ["10 ml"]\n',
        "ingredients/items.toml": salt,
        "stocks/saline.toml": stock("water: 80 g", "salt: 20 g"),
        "drinks/sour.toml": drink("shake", "spirit: 60 ml", "saline: 1.4 ml"),
    }
    with pytest.raises(CannotAnswer, match=r"of the salt.*A Stock, 16.2.g, becomes 10.ml"):
        batched(open_small(tmp_path, files).blends, "sour", Target(serves=10), None, NOON, "jigger")


# 3.3 serves of 22.5 ml are 74.25 ml: 60 + 15 = 75 is the nearest of one jigger's fills and at most one of another's.
def test_fills_of_one_jigger_and_at_most_one_of_another(tmp_path: Path) -> None:
    made = card("jigger", 3.3, "spirit: 60 ml", "sour: 22.5 ml", folder=tmp_path)
    assert line_of(made, "sour").ml == pytest.approx(75.0)
    assert said(line_of(made, "sour").rounded) == "60 ml + 15 ml (+1 % of the line)"
    assert (line_of(made, "spirit").ml, said(line_of(made, "spirit").rounded)) == (
        pytest.approx(195.0),
        "3 × 60 ml + 15 ml (−1.5 % of the line)",
    )


def test_quarters_of_the_largest_bottle_it_is_bought_in(tmp_path: Path) -> None:
    made = card("bottle", 17.6, "spirit: 60 ml", "syrup: 20 ml", folder=tmp_path)
    assert (line_of(made, "spirit").ml, said(line_of(made, "spirit").rounded)) == (
        pytest.approx(1050.0),
        "1.5 × 700 ml (−0.57 % of the line)",
    )
    assert line_of(made, "syrup").rounded == ""


def test_pre_dilution_water_is_rounded_too(tmp_path: Path) -> None:
    made = card("whole g", 10, "spirit: 60 ml", "syrup: 10 ml", folder=tmp_path, method="stir")
    water = line_of(made, "water")
    assert water.g == round(water.g) == pytest.approx(made.water_g)


def test_what_is_smaller_than_a_step_stays_as_it_is(tmp_path: Path) -> None:
    made = card("jigger", 10, "spirit: 60 ml", "citric-25: 2 drops", folder=tmp_path)
    acid = line_of(made, "citric-25")
    assert (acid.g, acid.rounded) == (pytest.approx(10 * 2 * (2.61 + 2.58 + 2.66) / 150), "")


# Where no half-filled jigger is allowed, 1.6 fills of the only jigger become 2: a quarter more acid.
def test_past_the_taste_tolerance_it_is_refused_and_the_line_named(tmp_path: Path) -> None:
    house = HOUSE + '[jiggers]\nsteps = ["30 ml"]\n'
    with pytest.raises(CannotAnswer) as refused:
        card("jigger", 2, "spirit: 60 ml", "sour: 24 ml", "syrup: 15 ml", folder=tmp_path, house=house)
    text = said(str(refused.value))
    assert text.startswith("rounded by jigger it would be off by") and "becomes 2 × 30 ml (+25 % of the line)" in text
    assert "Sour juice, 49.4 g, becomes" in text
    assert "past the 2 % of taste allowed" in text


def test_a_line_that_moves_by_more_than_a_tenth_is_named_though_no_figure_moves(tmp_path: Path) -> None:
    """10.75 ml of bitters become one jigger of 7.5 ml, by hand 7.5 / 10.75 = 0.698; acid, sugar and ABV stay within 1 %."""
    made = batched(demo(), "winter-turnstile", Target(vessel="pitcher"), None, NOON, "jigger")
    assert made.rounded is not None
    assert made.rounded.lines == (("Orange bitters", pytest.approx(-0.302, abs=0.001)),)
    head = said(" ".join(batch_card(made, demo().library))).partition("Mix in")[0]
    assert "Far from the recipe: Orange bitters −30 %, of the line's amount." in head
    exact = batched(demo(), "tin-lantern", Target(vessel="pitcher"), None, NOON, "jigger")
    assert exact.rounded is not None and exact.rounded.lines == ()


@given(names, st.floats(1.0, 200.0), hows)
@quick
def test_a_rounding_that_is_given_keeps_the_taste_and_loses_no_line(name: str, serves: float, how: str) -> None:
    try:
        made = batched(demo(), name, Target(serves=serves), None, NOON, how)
    except CannotAnswer:
        return
    exact = batched(demo(), name, Target(serves=serves), None, NOON)
    assert made.rounded is not None
    for figure, change in (
        ("acid_g_per_100ml", made.rounded.acid),
        ("sugar_g_per_100ml", made.rounded.sugar),
        ("abv_pct", made.rounded.abv),
    ):
        was, now = getattr(exact.balance, figure), getattr(made.balance, figure)
        if change is not None:
            assert abs(change) <= 0.02
            assert now == pytest.approx(was * (1 + change), rel=1e-6)
    assert all(line.g > 0 for line in made.mixes[0].lines)
    assert made.total_g == pytest.approx(made.mixes[0].count * sum(line.g for line in made.mixes[0].lines))


def test_every_figure_of_a_rounded_card_is_of_what_is_poured(tmp_path: Path) -> None:
    made = card("whole g", 7, "spirit: 31 ml", "sour: 13 ml", "syrup: 11 ml", folder=tmp_path)
    blends = open_small(tmp_path).blends
    poured = Composition.total(blends.stuff(line.item).per_g * line.g for line in made.mixes[0].lines)
    assert made.balance.acid_g_per_100ml == pytest.approx(balance(poured).acid_g_per_100ml, rel=1e-9)
    assert made.total_ml == pytest.approx(poured.volume_ml)


def test_a_house_without_jiggers_cannot_round_to_them(tmp_path: Path) -> None:
    with pytest.raises(CannotAnswer, match=r"add \[jiggers\] steps to station.toml"):
        card("jigger", 7, "spirit: 31 ml", folder=tmp_path, house=HOUSE)
