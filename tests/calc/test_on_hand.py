"""What is on hand: the limit, what is made of it, what would limit next; water, rinses, fruit and pieces too."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import ITEMS, NOON, SMALL, demo, drink, open_small, stock

from station.bar.fault import CannotAnswer
from station.calc.answers import Batched
from station.calc.batch import Target, is_diluted
from station.calc.blend import Blends
from station.calc.drink import Drink
from station.calc.drink import drink as one_serve
from station.calc.explode import explode
from station.calc.on_hand import Allowance, TooLittle, allowance
from station.calc.scales import VESSEL
from station.cards import text
from station.desk.batching import batched, target_of_text
from station.science.ethanol import WATER_G_PER_ML

DRINKS = sorted(demo().library.drinks)
names = st.sampled_from(DRINKS)

# Two stocks of one acid: a serve takes 8 g of each solution, 2 g of acid in the one and 1 g in the other.
WEAK = 'name = "Weak"\n\n[[lines]]\nitem = "water"\namount = "70 g"\n\n[[lines]]\nitem = "citric-acid"\namount = "10 g"\n'
# One round fruit gives 30 ml of its juice as a rule and weighs 60 g; an egg is 30 g.
FRUIT = """
[round]
name = "Round fruit"
kind = "other"
form = "solid"
each = "60 g"
allergens = []

[pressed]
name = "Pressed juice, of the day"
kind = "juice"
brix = 10
from = { item = "round", low = "20 ml", usual = "30 ml" }
allergens = []

[egg]
name = "Egg white"
kind = "egg"
per_100_ml = { other = 10 }
each = "30 g"
allergens = ["egg"]
"""
WET = 'dilution = "40 % of initial"'
OWN = {
    "ingredients/items.toml": ITEMS + FRUIT,
    "stocks/weak.toml": WEAK,
    "stocks/shrub.toml": stock("pressed: 90 ml", "sugar: 20 g"),
    "drinks/two.toml": drink("shake", "spirit: 50 g", "citric-25: 8 g", "weak: 8 g"),
    "drinks/wet.toml": drink("stir", "spirit: 50 ml", "twist: 1 each | when = 'finish'", more=WET),
    "drinks/sharp.toml": drink("stir", "spirit: 50 ml", "citric-25: 8 g", more=WET),
    "drinks/long.toml": drink("stir", "spirit: 50 ml", "water: 30 ml", more=WET),
    "drinks/rinsed.toml": drink("shake", "spirit: 50 ml", "sour: rinse 5 ml", "syrup: rinse", "twist: 2 each | when = 'finish'"),
    "drinks/round.toml": drink("shake", "spirit: 50 ml", "pressed: 15 ml", "egg: 1 each", "round: 30 g"),
    "drinks/deep.toml": drink("shake", "spirit: 50 ml", "shrub: 11 g", "twist: 1 each | optional = true"),
}


def of(name: str, **grams: float) -> Allowance:
    spec = demo().library.drinks[name]
    return allowance(one_serve(spec, demo()), {item.replace("_", "-"): one for item, one in grams.items()}, demo())


def small(folder: Path, **grams: float) -> Allowance:
    blends = open_small(folder, {**SMALL, **OWN}).blends
    made = one_serve(blends.library.drinks["two"], blends)
    return allowance(made, {item.replace("_", "-"): one for item, one in grams.items()}, blends)


def asked(folder: Path, name: str, text: str, water: bool | None = None) -> Batched:
    """The small library's card for what is typed."""
    return _asked(open_small(folder, {**SMALL, **OWN}).blends, name, text, water)


def demo_card(name: str, text: str, water: bool | None = None) -> Batched:
    return _asked(demo(), name, text, water)


def _asked(blends: Blends, name: str, text: str, water: bool | None) -> Batched:
    return batched(blends, name, target_of_text(blends, text, blends.library.drinks[name]), water, NOON)


def there(card: Batched) -> Allowance:
    assert card.on_hand is not None
    return card.on_hand


def words(card: Batched, blends: Blends, width: int = text.WIDTH) -> str:
    lines = text.batch_card(card, blends.library, width)
    return " ".join(" ".join(lines).replace("\u00a0", " ").split())


def water_of(made: Drink, water: bool | None = None) -> float:
    return made.dilution.water_g if (is_diluted(made) if water is None else water) else 0.0


def needs_of(made: Drink, water: bool | None = None) -> dict[str, float]:
    """Grams a serve takes, told apart from the engine's own sum: by the lines, a rinse as it is poured, and the water."""
    needs: dict[str, float] = {"water": water_of(made, water)} if water_of(made, water) else {}
    for one in made.poured:
        dose = one.in_batch if one.line.when == "batch" else one.rinse or one.dose
        if dose.mass_g and not one.line.optional:
            needs[one.line.item] = needs.get(one.line.item, 0.0) + dose.mass_g
    return needs


def on_the_card(card: Batched, blends: Blends) -> dict[str, float]:
    """Grams of each item by the card's own lines, those for the glass and those of the stocks it says to make."""
    grams: dict[str, float] = {}
    for mix in card.mixes:
        for line in mix.lines:
            grams[line.item] = grams.get(line.item, 0.0) + mix.count * line.g
    for added in card.service:
        if "optional" not in added.when:
            grams[added.item] = grams.get(added.item, 0.0) + (added.total_g or 0.0)
    for made, size in there(card).make_g.items():
        grams[made] = grams.get(made, 0.0) - size
        for dose in blends.making(made).doses:
            grams[dose.item] = grams.get(dose.item, 0.0) + dose.mass_g * size / blends.making(made).composition.mass_g
    return grams


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
    with pytest.raises(CannotAnswer, match=r"^vodka is in no line of Tin Lantern \(its lines: rum-light, lime-juice, "):
        of("tin-lantern", vodka=100.0)


def test_what_is_only_optional_limits_nothing_and_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CannotAnswer, match="twist is optional in A Drink: it limits nothing"):
        asked(tmp_path, "deep", "twist=3 each")


def test_what_is_counted_cannot_be_said_in_grams() -> None:
    with pytest.raises(CannotAnswer, match=r"lime-coin is counted in Tin Lantern \(say how many, e.g. lime-coin=12 each\)"):
        of("tin-lantern", lime_coin=100.0)


# By hand: 40 % of 50 ml is 20 ml of water a serve; 200 ml are 10 serves, 700 ml of spirit 14, for which 80 ml more are needed.
def test_dilution_water_is_taken_and_limits(tmp_path: Path) -> None:
    card = asked(tmp_path, "wet", "spirit=700 ml, water=200 ml, twist=20 each")
    assert (card.serves, card.limited_by) == (pytest.approx(10.0), "water")
    found = there(card)
    assert found.then is not None and (found.then.serves, found.then.limited_by) == (pytest.approx(14.0), "spirit")
    assert found.then.more_g == pytest.approx(80.0 * WATER_G_PER_ML)
    assert found.used_pieces == {"twist": pytest.approx(10.0)}
    alone = asked(tmp_path, "sharp", "water=200 ml")
    assert (alone.limited_by, there(alone).make_g, alone.water_g) == ("water", {}, pytest.approx(200 * WATER_G_PER_ML))


# By hand: without dilution water 30 ml a serve, 500 ml are 16.67.
def test_an_undiluted_batch_takes_no_dilution_water(tmp_path: Path) -> None:
    dry = asked(tmp_path, "long", "spirit=900 ml, water=500 ml", False)
    assert (dry.serves, dry.limited_by) == (pytest.approx(500 / 30), "water")
    none = asked(tmp_path, "wet", "spirit=500 ml, water=200 ml", False)
    assert (none.serves, none.limited_by, there(none).used_g["water"]) == (pytest.approx(10.0), "spirit", 0.0)
    assert "water 200 g, all of it stays" in words(none, open_small(tmp_path, {**SMALL, **OWN}).blends)
    with pytest.raises(CannotAnswer, match="no water goes into this batch of A Drink"):
        asked(tmp_path, "wet", "water=200 ml", False)


# By hand: 8 g of the solution are 2 g of acid and 6 g of water. For ten serves 60 g of water beside what dilutes them.
def test_water_of_a_stock_to_be_made_comes_out_of_the_water_there_is(tmp_path: Path) -> None:
    ten = batched(open_small(tmp_path, {**SMALL, **OWN}).blends, "sharp", Target(serves=10), None, NOON)
    card = asked(tmp_path, "sharp", f"water={ten.water_g + 60:.4f} g, citric-acid=100 g")
    assert (card.serves, card.limited_by) == (pytest.approx(10.0, rel=1e-5), "water")
    assert there(card).make_g == {"citric-25": pytest.approx(80.0, rel=1e-5)}
    assert there(card).used_g["citric-acid"] == pytest.approx(20.0, rel=1e-5)
    assert card.water_g == pytest.approx(ten.water_g, rel=1e-5)


# The gin is 11.67 serves, its card's water 240 g: 200 g are 11.67 · 200 / 240 = 9.7.
def test_the_water_of_a_freezer_drink_limits_it() -> None:
    whole = demo_card("winter-turnstile", "gin-dry=700 ml")
    card = demo_card("winter-turnstile", "gin-dry=700 ml, water=200 g")
    assert card.limited_by == "water" and there(card).make_g == {}
    assert card.serves == pytest.approx(whole.serves * 200.0 / whole.water_g) == pytest.approx(9.74, abs=0.005)
    assert card.water_g == pytest.approx(200.0)
    assert there(card).used_g["gin-dry"] < there(card).on_hand_g["gin-dry"]


# By hand: 5 ml are poured into each glass, of which 0.75 ml stay: 50 ml are 10 serves, not 66.
def test_of_a_rinse_what_is_poured_is_taken(tmp_path: Path) -> None:
    card = demo_card("foundry-psalm", "smoky-whisky=50 ml")
    ready = next(one for one in card.service if one.item == "smoky-whisky")
    assert card.serves == pytest.approx(10.0) and ready.total_ml == pytest.approx(50.0)
    said_in_the_amount = asked(tmp_path, "rinsed", "sour=50 ml")
    assert said_in_the_amount.serves == pytest.approx(10.0)
    assert asked(tmp_path, "rinsed", "syrup=7.5 ml").serves == pytest.approx(10.0)  # of one nobody measured, what stays


# By hand: 40 fruit at 30 ml are 1.2 L; at 22.5 ml a serve 53.33 serves.
def test_fruit_on_hand_counts_as_the_juice_it_usually_gives() -> None:
    card = demo_card("tin-lantern", "lime=40 each")
    assert (card.serves, card.limited_by) == (pytest.approx(1200 / 22.5), "lime")
    (press,) = there(card).press
    assert (press.juice, press.fruit, press.pieces, press.each_ml) == ("lime-juice", "lime", pytest.approx(40.0), 30.0)
    assert press.ml == pytest.approx(1200.0)
    said = words(card, demo())
    assert "40 × Limes give about 1.2 L Lime juice, fresh, by the usual yield of 30 ml each. To press first: all of them." in said


# By hand: 400 ml of juice and 275 ml of 10 fruit (9.17) are 675 ml: 30 serves, as many as there are coins.
def test_juice_on_hand_is_used_before_fruit_is_pressed_and_coins_limit() -> None:
    card = demo_card("tin-lantern", "lime=40 each; Lime juice=400 ml, LIME COIN=30 coins")
    assert (card.serves, card.limited_by) == (pytest.approx(30.0), "lime-coin")
    found = there(card)
    assert found.on_hand_pieces == {"lime": 40.0, "lime-coin": 30.0}
    assert found.used_pieces["lime"] == pytest.approx(275 / 30)
    assert found.then is not None and found.then.limited_by == "lime" and found.then.more_g is None
    assert found.then.more_pieces == pytest.approx((400 + 1200) / 22.5 - 30)
    said = words(card, demo())
    assert "Limes 40 pieces, 30 stay; Lime coin all 30 pieces." in said
    assert "To press first: 10 of them, 275 ml." in said and "NOT ENOUGH" not in said
    assert "The limit is Lime coin. With 42 pieces more of it at hand: 71.11 serves, then it is Limes." in said


# By hand: a serve takes 15 ml of juice, half a fruit, and 30 g cut up, half a fruit of 60 g: 12 fruit are 12 serves.
def test_fruit_that_is_pressed_and_cut_up_is_counted_for_both(tmp_path: Path) -> None:
    card = asked(tmp_path, "round", "round=12 each")
    assert (card.serves, card.limited_by) == (pytest.approx(12.0), "round")
    by_weight = asked(tmp_path, "round", "Round fruit=720 g")
    assert by_weight.serves == pytest.approx(12.0) and there(by_weight).on_hand_pieces == {"round": pytest.approx(12.0)}


# By hand: the shrub is 90 ml of juice, 3 fruit, and 20 g of sugar: 6 fruit make it twice.
def test_fruit_is_pressed_for_a_stock_of_its_juice(tmp_path: Path) -> None:
    card = asked(tmp_path, "deep", "round=6 each")
    blends = open_small(tmp_path, {**SMALL, **OWN}).blends
    assert there(card).make_g == {"shrub": pytest.approx(2.0 * blends.making("shrub").composition.mass_g)}
    assert card.serves == pytest.approx(there(card).make_g["shrub"] / 11.0)
    assert there(card).press[0].ml == pytest.approx(180.0)


def test_what_is_bought_by_the_piece_is_said_in_pieces_too(tmp_path: Path) -> None:
    card = asked(tmp_path, "round", "egg=10 eggs, spirit=1 l")
    assert (card.serves, card.limited_by) == (pytest.approx(10.0), "egg")
    said = words(card, open_small(tmp_path, {**SMALL, **OWN}).blends)
    assert "Egg white all 300 g (10 pieces);" in said
    assert "The limit is Egg white. With 300 g (10 pieces) more of it at hand: 20 serves, then it is Spirit." in said


def test_a_garnish_counted_by_twos_limits_by_twos(tmp_path: Path) -> None:
    card = asked(tmp_path, "rinsed", "twist=15 each")
    assert (card.serves, card.limited_by) == (pytest.approx(7.5), "twist")
    assert next(one for one in card.service if one.item == "twist").total == "15 pieces"


# By hand: 600 ml at 60 and 225 ml at 22.5 are 10 serves each.
def test_two_that_run_out_together_are_both_the_limit() -> None:
    said = words(demo_card("tin-lantern", "rum-light=600 ml, lime-juice=225 ml"), demo())
    assert "The limits are Light rum and Lime juice, fresh: they run out together." in said


# By hand: 1.86 g of the solution hold 0.465 g of acid. The finest scale here, 0.01 g, is trusted at 1 % from
# 2 · 0.41 · 0.01 / 0.01 = 0.82 g (USP <41>): 3.28 g of the solution.
def test_a_stock_too_small_to_weigh_is_said_with_the_least_of_it() -> None:
    card = demo_card("tin-lantern", "lime-juice=400 ml, citric-acid=20 g")
    assert there(card).make_g == {"citric-25": pytest.approx(1.86, abs=0.005)}
    assert there(card).too_little == (TooLittle("citric-25", pytest.approx(3.28), ""),)  # type: ignore[arg-type]
    said = words(card, demo())
    assert "So little Citric solution, 25 % w/w cannot be weighed here: make at least 3.28 g of it. " in said
    assert there(demo_card("tin-lantern", "lime-juice=800 ml, citric-acid=20 g")).too_little == ()


def test_where_there_is_not_even_the_least_that_is_said() -> None:
    card = demo_card("tin-lantern", "lime-juice=400 ml, citric-acid=0.2 g")
    assert [one.short_of for one in there(card).too_little] == ["citric-acid"]
    assert "of it; there is too little Citric acid, anhydrous, food grade for that." in words(card, demo())


# By hand: 0.5 g of the solution is under the 0.82 g the scale sees. The card lets it down: 20 g from 4 g of it and 16 g of water.
def test_what_a_weaker_solution_takes_more_of_than_there_is_is_said() -> None:
    card = demo_card("winter-turnstile", "citric-25=0.5 g")
    assert "NOT ENOUGH Citric solution, 25 % w/w: as this card weighs it 3.5 g more is taken than there is." in words(
        card, demo()
    )
    assert "NOT ENOUGH" not in words(demo_card("winter-turnstile", "citric-25=1 g"), demo())


def test_nothing_on_hand_makes_nothing() -> None:
    assert of("tin-lantern", lime_juice=0.0).serves == 0.0
    with pytest.raises(CannotAnswer, match="nothing makes no drink"):
        batched(demo(), "tin-lantern", Target(on_hand_g={"lime-juice": 0.0}), None, NOON)


@given(names, st.floats(1.0, 5_000.0), st.sampled_from([None, True, False]), st.data())
@settings(max_examples=60, deadline=None)
def test_what_is_on_hand_is_used_up_and_names_itself_as_the_limit(
    name: str, grams: float, water: bool | None, data: st.DataObject
) -> None:
    made = one_serve(demo().library.drinks[name], demo())
    needs = needs_of(made, water)
    item = data.draw(st.sampled_from(sorted(needs)))
    found = allowance(made, {item: grams}, demo(), water_of(made, water))
    assert (found.limited_by, found.used_g[item]) == (item, pytest.approx(grams, rel=1e-9))
    assert found.serves * needs[item] == pytest.approx(grams, rel=1e-9)


@given(names, st.sampled_from([None, True, False]), st.data())
@settings(max_examples=60, deadline=None)
def test_exploded_again_it_takes_what_is_there_and_no_more(name: str, water: bool | None, data: st.DataObject) -> None:
    """Against the explosion of an order, which knows no limits: at these serves nothing is short, and the limit is all gone."""
    made = one_serve(demo().library.drinks[name], demo())
    needs = needs_of(made, water)
    bought = explode(needs, demo()).bought_g
    chosen = data.draw(st.lists(st.sampled_from(sorted({*needs, *bought})), min_size=1, max_size=4, unique=True))
    on_hand = {item: data.draw(st.floats(5.0, 3_000.0)) for item in chosen}
    if set(chosen) == {"water"} and "water" not in needs:
        return
    found = allowance(made, on_hand, demo(), water_of(made, water))
    stocks = {item: grams for item, grams in on_hand.items() if item in demo().library.stocks}
    stocks |= {item: 1e9 for item in demo().library.stocks if item not in found.make_g and item not in on_hand}
    at_these = explode({item: grams * found.serves for item, grams in needs.items()}, demo(), stocks)
    for item, grams in on_hand.items():
        if item not in demo().library.stocks:
            assert at_these.bought_g.get(item, 0.0) <= grams * (1.0 + 1e-9)
            assert at_these.bought_g.get(item, 0.0) == pytest.approx(found.used_g[item], rel=1e-9, abs=1e-9)
    assert all(found.used_g[item] <= grams * (1.0 + 1e-9) for item, grams in on_hand.items())
    assert found.used_g[found.limited_by] == pytest.approx(on_hand[found.limited_by], rel=1e-9)


@given(names, st.sampled_from([None, True, False]), st.floats(0.5, 12.0), st.data())
@settings(max_examples=60, deadline=None)
def test_the_cards_own_grams_are_those_that_are_used(name: str, water: bool | None, serves: float, data: st.DataObject) -> None:
    made = one_serve(demo().library.drinks[name], demo())
    needs = needs_of(made, water)
    bought = {item: grams for item, grams in explode(needs, demo()).bought_g.items() if item not in needs and item != "water"}
    takes = needs | bought
    chosen = data.draw(st.lists(st.sampled_from(sorted(takes)), min_size=1, max_size=4, unique=True))
    on_hand = {item: takes[item] * serves * data.draw(st.floats(1.0, 3.0)) for item in chosen}
    card = batched(demo(), name, Target(on_hand_g=on_hand), water, NOON)
    taken, found = on_the_card(card, demo()), there(card)
    for item, grams in on_hand.items():
        assert taken.get(item, 0.0) == pytest.approx(found.used_g[item], rel=1e-9, abs=1e-9)
        assert found.used_g[item] <= grams * (1.0 + 1e-9)
    assert found.used_g[found.limited_by] == pytest.approx(on_hand[found.limited_by], rel=1e-9)


@given(st.floats(1.0, 400.0), st.floats(0.0, 2_000.0), st.integers(1, 300))
@settings(max_examples=40, deadline=None)
def test_fruit_juice_and_coins_are_never_overdrawn(limes: float, juice_g: float, coins: int) -> None:
    made = one_serve(demo().library.drinks["tin-lantern"], demo())
    found = allowance(made, {"lime-juice": juice_g}, demo(), on_hand_pieces={"lime": limes, "lime-coin": coins})
    per_g = 1.0 / (demo().stuff("lime-juice").g_per_ml or 0.0)
    assert found.used_pieces["lime"] <= limes * (1.0 + 1e-9) and found.used_pieces["lime-coin"] <= coins * (1.0 + 1e-9)
    assert found.used_g["lime-juice"] * per_g + 30.0 * found.used_pieces["lime"] == pytest.approx(22.5 * found.serves)
    used, all_of_it = {"lime": (found.used_pieces["lime"], limes), "lime-coin": (found.used_pieces["lime-coin"], coins)}[
        found.limited_by
    ]
    assert used == pytest.approx(all_of_it, rel=1e-9)


@given(names, st.data())
@settings(max_examples=40, deadline=None)
def test_with_so_much_more_the_next_thing_limits_at_those_serves(name: str, data: st.DataObject) -> None:
    made = one_serve(demo().library.drinks[name], demo())
    items, water_g = sorted(needs_of(made)), water_of(made)
    chosen = data.draw(st.lists(st.sampled_from(items), min_size=2, max_size=4, unique=True))
    on_hand = {item: data.draw(st.floats(5.0, 3_000.0)) for item in chosen}
    found = allowance(made, on_hand, demo(), water_g)
    if found.then is None:
        return
    more_g = found.then.more_g or 0.0
    again = allowance(made, {**on_hand, found.limited_by: on_hand[found.limited_by] + more_g * (1.0 + 1e-9)}, demo(), water_g)
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
    assert "The limit is Lime juice, fresh. With" in said


def test_a_batch_takes_no_more_of_it_than_there_is() -> None:
    card = batched(demo(), "tin-lantern", target_of_text(demo(), "lime-juice=400 ml"), None, NOON)
    lime = sum(line.g for mix in card.mixes for line in mix.lines if line.item == "lime-juice") * card.mixes[0].count
    assert lime == pytest.approx(400 * (demo().stuff("lime-juice").g_per_ml or 0.0))
    assert any(line.into == VESSEL for line in card.mixes[0].lines)
