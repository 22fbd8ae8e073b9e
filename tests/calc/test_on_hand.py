"""What is on hand: the limit, what is made of it, what would limit next."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import NOON, SMALL, demo, drink, open_small

from station.bar.fault import CannotAnswer
from station.calc.batch import Target
from station.calc.drink import Drink
from station.calc.drink import drink as one_serve
from station.calc.explode import explode
from station.calc.on_hand import Allowance, allowance
from station.calc.scales import VESSEL
from station.cards import text
from station.desk.batching import batched, target_of_text

DRINKS = sorted(demo().library.drinks)
names = st.sampled_from(DRINKS)

# Two stocks of one acid: a serve takes 8 g of each solution, 2 g of acid in the one and 1 g in the other.
WEAK = 'name = "Weak"\n\n[[lines]]\nitem = "water"\namount = "70 g"\n\n[[lines]]\nitem = "citric-acid"\namount = "10 g"\n'
TWO = {"stocks/weak.toml": WEAK, "drinks/two.toml": drink("shake", "spirit: 50 g", "citric-25: 8 g", "weak: 8 g")}


def of(name: str, **grams: float) -> Allowance:
    spec = demo().library.drinks[name]
    return allowance(one_serve(spec, demo()), {item.replace("_", "-"): one for item, one in grams.items()}, demo())


def small(folder: Path, **grams: float) -> Allowance:
    blends = open_small(folder, {**SMALL, **TWO}).blends
    made = one_serve(blends.library.drinks["two"], blends)
    return allowance(made, {item.replace("_", "-"): one for item, one in grams.items()}, blends)


def needs_of(made: Drink) -> dict[str, float]:
    needs: dict[str, float] = {}
    for one in made.poured:
        dose = one.in_batch if one.line.when == "batch" else one.dose
        if dose.mass_g and not one.line.optional:
            needs[one.line.item] = needs.get(one.line.item, 0.0) + dose.mass_g
    return needs


def test_the_scarcest_is_the_limit_and_the_next_is_named() -> None:
    lime = 22.5 * (demo().stuff("lime-juice").g_per_ml or 0.0)
    found = of("tin-lantern", lime_juice=4 * lime, rum_light=56.88270917 * 10)
    assert (found.limited_by, found.serves) == ("lime-juice", pytest.approx(4.0, rel=1e-6))
    assert found.then is not None and found.then.limited_by == "rum-light"
    assert found.then.serves == pytest.approx(10.0, rel=1e-6)
    assert found.then.more_g == pytest.approx(6 * lime, rel=1e-6)


def test_one_thing_on_hand_has_no_next_limit() -> None:
    assert of("tin-lantern", lime_juice=100.0).then is None


# By hand: 12 g of citric acid. A serve takes 2 g of it through the one solution and 1 g through the other: 4 serves.
def test_two_stocks_share_the_acid_they_are_made_from(tmp_path: Path) -> None:
    found = small(tmp_path, citric_acid=12.0)
    assert (found.serves, found.limited_by) == (pytest.approx(4.0), "citric-acid")
    assert found.make_g == {"citric-25": pytest.approx(32.0), "weak": pytest.approx(32.0)}


# By hand: 40 g of the strong solution last 5 serves, in which the weak one takes 5 g of acid. 11 g are there: 6 g are left,
# 3 g a serve from there on, so 2 serves more: 7, of which 2 serves of the strong solution, 16 g, are made.
def test_a_stock_on_hand_is_used_first_then_its_parts(tmp_path: Path) -> None:
    found = small(tmp_path, citric_acid=11.0, citric_25=40.0)
    assert (found.serves, found.limited_by) == (pytest.approx(7.0), "citric-acid")
    assert found.make_g == {"citric-25": pytest.approx(16.0), "weak": pytest.approx(56.0)}
    assert found.used_g == {"citric-acid": pytest.approx(11.0), "citric-25": pytest.approx(40.0)}


# By hand: spirit for 9 serves. Two serves more take 3 g of acid each: 6 g.
def test_what_to_have_more_of_counts_the_stocks_it_goes_through(tmp_path: Path) -> None:
    found = small(tmp_path, citric_acid=11.0, citric_25=40.0, spirit=450.0)
    assert found.limited_by == "citric-acid" and found.then is not None
    assert (found.then.serves, found.then.limited_by) == (pytest.approx(9.0), "spirit")
    assert found.then.more_g == pytest.approx(6.0)


def test_a_stock_none_of_whose_parts_is_on_hand_is_a_limit_itself(tmp_path: Path) -> None:
    found = small(tmp_path, citric_25=40.0, spirit=500.0)
    assert (found.serves, found.limited_by) == (pytest.approx(5.0), "citric-25")
    assert found.make_g == {}
    assert found.then is not None and found.then.more_g == pytest.approx(40.0)


def test_what_the_drink_does_not_take_is_refused() -> None:
    with pytest.raises(CannotAnswer, match="vodka is weighed in no line of Tin Lantern"):
        of("tin-lantern", vodka=100.0)
    with pytest.raises(CannotAnswer, match="lime-coin is weighed in no line of Tin Lantern"):
        of("tin-lantern", lime_coin=100.0)


def test_nothing_on_hand_makes_nothing() -> None:
    assert of("tin-lantern", lime_juice=0.0).serves == 0.0
    with pytest.raises(CannotAnswer, match="nothing makes no drink"):
        batched(demo(), "tin-lantern", Target(on_hand_g={"lime-juice": 0.0}), None, NOON)


@given(names, st.floats(1.0, 5_000.0), st.data())
@settings(max_examples=60, deadline=None)
def test_what_is_on_hand_is_used_up_and_names_itself_as_the_limit(name: str, grams: float, data: st.DataObject) -> None:
    made = one_serve(demo().library.drinks[name], demo())
    item = data.draw(st.sampled_from(sorted(set(needs_of(made)) - {"water"})))
    found = allowance(made, {item: grams}, demo())
    assert (found.limited_by, found.used_g[item]) == (item, pytest.approx(grams, rel=1e-9))
    assert found.serves * needs_of(made)[item] == pytest.approx(grams, rel=1e-9)


@given(names, st.data())
@settings(max_examples=60, deadline=None)
def test_exploded_again_it_takes_what_is_there_and_no_more(name: str, data: st.DataObject) -> None:
    """Against the explosion of an order, which knows no limits: at these serves nothing is short, and the limit is all gone."""
    made = one_serve(demo().library.drinks[name], demo())
    needs = needs_of(made)
    bought = explode(needs, demo()).bought_g
    takes = sorted({*needs, *bought} - {"water"})
    chosen = data.draw(st.lists(st.sampled_from(takes), min_size=1, max_size=4, unique=True))
    on_hand = {item: data.draw(st.floats(5.0, 3_000.0)) for item in chosen}
    found = allowance(made, on_hand, demo())
    stocks = {item: grams for item, grams in on_hand.items() if item in demo().library.stocks}
    at_these = explode({item: grams * found.serves for item, grams in needs.items()}, demo(), stocks)
    for item, grams in on_hand.items():
        if item not in stocks:
            assert at_these.bought_g.get(item, 0.0) <= grams * (1.0 + 1e-9)
    assert found.used_g[found.limited_by] == pytest.approx(on_hand[found.limited_by], rel=1e-9)


@given(names, st.data())
@settings(max_examples=40, deadline=None)
def test_with_so_much_more_the_next_thing_limits_at_those_serves(name: str, data: st.DataObject) -> None:
    made = one_serve(demo().library.drinks[name], demo())
    items = sorted(needs_of(made))
    chosen = data.draw(st.lists(st.sampled_from(items), min_size=2, max_size=4, unique=True))
    on_hand = {item: data.draw(st.floats(5.0, 3_000.0)) for item in chosen}
    found = allowance(made, on_hand, demo())
    if found.then is None:
        return
    enough = {**on_hand, found.limited_by: on_hand[found.limited_by] + found.then.more_g * (1.0 + 1e-9)}
    again = allowance(made, enough, demo())
    assert again.serves == pytest.approx(found.then.serves, rel=1e-6)


def test_several_things_on_hand_in_one_field() -> None:
    read = target_of_text(demo(), "lime-juice=400,5 ml, rum-light=2 l; citric-acid=80 g")
    assert sorted(read.on_hand_g) == ["citric-acid", "lime-juice", "rum-light"]
    assert read.on_hand_g["lime-juice"] == pytest.approx(400.5 * (demo().stuff("lime-juice").g_per_ml or 0.0))


def test_the_card_says_how_far_it_goes_what_to_make_and_what_would_limit_next() -> None:
    target = target_of_text(demo(), "lime-juice=400 ml, rum-light=2 l, citric-acid=2 g")
    card = batched(demo(), "tin-lantern", target, None, NOON)
    said = " ".join(" ".join(text.batch_card(card, demo().library)).replace("\u00a0", " ").split())
    assert card.limited_by == "lime-juice" and card.on_hand is not None
    assert "On hand: Lime juice, fresh all 415 g;" in said
    assert "To make first:" in said and "Citric solution" in said
    assert "Lime juice, fresh is the limit. With" in said


def test_a_batch_takes_no_more_of_it_than_there_is() -> None:
    card = batched(demo(), "tin-lantern", target_of_text(demo(), "lime-juice=400 ml"), None, NOON)
    lime = sum(line.g for mix in card.mixes for line in mix.lines if line.item == "lime-juice") * card.mixes[0].count
    assert lime == pytest.approx(400 * (demo().stuff("lime-juice").g_per_ml or 0.0))
    assert any(line.into == VESSEL for line in card.mixes[0].lines)
