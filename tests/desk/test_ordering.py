"""The answer to an order as a whole: every gram accounted for, every wrong order told in one sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from orders import DAY, SUPPER, answered, menu, of, orders
from small_library import demo, drink, open_small, stock

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Order, OrderPour
from station.bar.quantity import given as amount
from station.calc.menu import Menu
from station.calc.ordered import Masses, Ordered
from station.desk.ordering import find_order, ordered, with_guests


def in_and_out(masses: Masses) -> tuple[float, float]:
    came = masses.bought_g + masses.pressed_g + masses.on_hand_g + masses.water_g
    used = masses.in_glasses_g + masses.held_back_g
    return came, used + masses.lost_in_making_g + masses.poured_away_g + masses.wasted_g + masses.left_over_g


@settings(max_examples=60)
@given(orders())
def test_what_is_bought_is_in_the_glasses_or_lost_as_stated_or_left_over(order: Order) -> None:
    came, went = in_and_out(answered(order).masses)
    assert came == pytest.approx(went, rel=1e-9)


@settings(max_examples=60)
@given(orders())
def test_of_every_item_as_much_is_there_as_is_used_lost_and_left(order: Order) -> None:
    for one in answered(order).shop:
        assert one.bought + one.on_hand == pytest.approx(one.need + one.lost + one.left_over, rel=1e-9, abs=1e-9)
        assert one.left_over >= -1e-6
        assert one.bought == pytest.approx(sum(pack.count * pack.holds for pack in one.packs) if one.packs else one.bought)


@settings(max_examples=30)
@given(orders())
def test_what_is_in_the_glasses_is_what_the_drinks_are(order: Order) -> None:
    """Against the drinks themselves, substance by substance reckoned on its own."""
    answer, made = answered(order), menu()
    weight = 0.0
    for one, pour in zip(answer.batches, order.pours, strict=True):
        serve = made.serve(demo().library.drinks[one.id], pour)
        water = Composition.of(water=serve.water_g)
        garnish = sum(each.dose.mass_g for each in serve.drink.poured if not each.stuff.in_liquid)
        melt = Composition.of(water=serve.drink.dilution.water_g)
        held = sum(each.dose.mass_g - each.in_batch.mass_g for each in serve.drink.poured if each.line.when == "batch")
        weight += one.serves * (serve.drink.glass.mass_g - melt.mass_g + water.mass_g + garnish - held)
    assert answer.masses.in_glasses_g == pytest.approx(weight, rel=1e-9)


@given(st.integers(1, 3000))
def test_twice_the_serves_take_twice_as_much(serves: int) -> None:
    def needs(count: int) -> Mapping[str, float]:
        one = answered(replace(SUPPER, pours=(OrderPour("kettle-regatta", serves=count),)))
        return {line.item: line.need for line in one.shop}

    once, twice = needs(serves), needs(2 * serves)
    assert list(once.values()) == pytest.approx([0.5 * need for need in twice.values()])


def test_a_stock_that_two_drinks_use_is_made_in_one_go() -> None:
    both = answered(of("tin-lantern", "wool-parliament"))
    alone = [answered(of(name, guests=60)) for name in ("tin-lantern", "wool-parliament")]
    syrup = [one.g for answer in (both, *alone) for one in answer.stocks if one.id == "syrup-1-1"]
    assert syrup[0] == pytest.approx(syrup[1] + syrup[2])


def test_the_batches_weigh_what_the_stocks_and_the_shopping_come_to() -> None:
    answer = answered(of("winter-turnstile", "glass-commuter", guests=40))
    for one in answer.batches:
        assert sum(mix.count * mix.g for mix in one.mixes) == pytest.approx(one.total_g)
        assert sum(fill.count * fill.g for fill in one.fills) == pytest.approx(one.total_g)
        for mix in one.mixes:
            assert sum(line.g for line in mix.lines) == pytest.approx(mix.g)


def test_on_hand_is_taken_off_and_what_is_too_much_of_it_stays() -> None:
    without, there = answered(SUPPER), answered(replace(SUPPER, on_hand={"rum-light": amount("2.1 l")}))
    rum = [next(one for one in answer.shop if one.item == "rum-light") for answer in (without, there)]
    assert rum[0].need == rum[1].need and rum[1].on_hand > 0.0
    assert sum(pack.count * pack.holds for pack in rum[1].packs) < sum(pack.count * pack.holds for pack in rum[0].packs)
    plenty = answered(replace(SUPPER, on_hand={"syrup-1-1": amount("90 kg"), "lime-juice": amount("90 l")}))
    assert "syrup-1-1" not in {one.id for one in plenty.stocks}
    assert next(one for one in plenty.shop if one.item == "lime").bought == 0.0
    assert [one.id for one in plenty.prep if one.do == "press"] == []


def test_waste_is_of_what_is_bought() -> None:
    rum = next(one for one in answered(replace(SUPPER, waste=0.05)).shop if one.item == "rum-light")
    assert rum.lost / (rum.need + rum.lost) == pytest.approx(0.05)


def test_a_drink_without_a_price_has_no_share_of_one() -> None:
    one = answered(of("slow-semaphore")).batches[0]
    assert one.cost.complete and one.cost.amount > 0.0
    assert one.price is None and one.cost_share is None


def test_an_unknown_price_makes_the_cost_at_least(tmp_path: Path) -> None:
    files = {"drinks/d.toml": drink("shake", "spirit: 60 ml", "sour: 20 ml", more="price = 9"), "orders/o.toml": COUNTED}
    opened = open_small(tmp_path, files)
    answer = ordered(Menu.of(opened.blends), opened.library.orders["o"], datetime(2027, 1, 1, tzinfo=UTC))
    assert not answer.cost.complete and not answer.batches[0].cost.complete
    assert {one.note for one in answer.shop} == {"no pack stated"}
    told = next(one for one in answer.cautions if one.code == "order-pack")
    assert "Spirit" in told.text and "Sour juice" in told.text
    assert all(one.bought == pytest.approx(one.need) for one in answer.shop)


COUNTED = 'name = "O"\ndate = 2027-05-01\nguests = 10\n[[pours]]\nspec = "d"\nserves = 20\n'
PRICED = """
[a]
name = "A"
kind = "spirit"
abv = 40
allergens = []
packs = [{ size = "500 ml" }, { size = "1 l" }]

[b]
name = "B"
kind = "sugar"
form = "solid"
per_100_g = { sucrose = 100 }
allergens = []
packs = [{ size = "1 cup", price = 2 }]
"""


def test_a_pack_without_a_price_and_one_that_says_no_weight_are_told_apart(tmp_path: Path) -> None:
    files = {"ingredients/more.toml": PRICED, "drinks/d.toml": drink("stir", "a: 60 ml", "b: 5 g"), "orders/o.toml": COUNTED}
    opened = open_small(tmp_path, files)
    answer = ordered(Menu.of(opened.blends), opened.library.orders["o"], datetime(2027, 1, 1, tzinfo=UTC))
    notes = {one.item: (one.note, [(pack.count, pack.size) for pack in one.packs]) for one in answer.shop}
    assert notes == {"a": ("no price stated", [(1, "500 ml"), (1, "1 l")]), "b": ("no pack stated", [])}
    assert {one.code for one in answer.cautions} >= {"order-pack", "order-price"}


def test_something_on_hand_that_has_no_weight_is_refused(tmp_path: Path) -> None:
    order = replace(of("tin-lantern"), on_hand={"rum-light": amount("3 each")})
    with pytest.raises(CannotAnswer, match="on hand does not say how much"):
        answered(order)


def test_a_day_that_has_passed_is_said() -> None:
    late = answered(SUPPER, datetime(2027, 9, 19, 12, tzinfo=UTC))
    assert next(one for one in late.cautions if one.code == "order-past").text == "18 Sep 2027 has passed."
    assert "order-past" not in {one.code for one in answered(SUPPER, datetime(2027, 9, 18, 12, tzinfo=UTC)).cautions}


@pytest.mark.parametrize("guests", [0, -3, 1_000_001])
def test_no_guests_and_more_than_a_town_are_refused(guests: int) -> None:
    with pytest.raises(CannotAnswer, match="is no event"):
        with_guests(SUPPER, guests)


def test_a_hundred_thousand_guests_are_answered_and_what_finds_no_vessel_is_said() -> None:
    answer = answered(with_guests(of("tin-lantern"), 100_000))
    assert answer.serves == {"tin-lantern": 250_000}
    short = next(one for one in answer.cautions if one.code == "order-vessels")
    assert "finds no vessel here" in short.text and "more would hold it" in short.text
    came, went = in_and_out(answer.masses)
    assert came == pytest.approx(went, rel=1e-9)


def test_an_order_that_is_not_there_and_one_with_a_fault_are_told(tmp_path: Path) -> None:
    with pytest.raises(CannotAnswer) as missing:
        find_order(demo().library, "harvest-super")
    assert missing.value.remedy == "did you mean harvest-supper?"
    opened = open_small(tmp_path, {"orders/o.toml": COUNTED.replace('"d"', '"nowhere"')})
    with pytest.raises(CannotAnswer) as faulty:
        find_order(opened.library, "o")
    assert faulty.value.faults


def test_a_drink_that_is_all_made_at_the_glass_has_no_mix_and_is_bought(tmp_path: Path) -> None:
    files = {"drinks/d.toml": drink("build", 'spirit: 60 ml | when = "service"', "water: top 90 ml"), "orders/o.toml": COUNTED}
    opened = open_small(tmp_path, files)
    answer = ordered(Menu.of(opened.blends), opened.library.orders["o"], datetime(2027, 1, 1, tzinfo=UTC))
    one = answer.batches[0]
    assert (one.mixes, one.fills, one.total_ml) == ((), (), 0.0)
    assert [line.item for line in one.service] == ["spirit", "water"]
    assert next(line for line in answer.shop if line.item == "spirit").need_ml == pytest.approx(1200.0)
    assert answer.prep == ()


def test_optional_lines_are_not_bought_and_what_is_held_back_and_poured_away_is(tmp_path: Path) -> None:
    lines = ("spirit: 50 ml", 'syrup: 10 ml | hold_back = "20 %"', "sour: 5 ml | optional = true", "citric-25: rinse 5 ml")
    files = {"drinks/d.toml": drink("stir", *lines), "orders/o.toml": COUNTED}
    opened = open_small(tmp_path, files)
    answer = ordered(Menu.of(opened.blends), opened.library.orders["o"], datetime(2027, 1, 1, tzinfo=UTC))
    need = {one.item: one.need for one in answer.shop}
    assert "sour" not in need
    density = opened.blends.stuff("syrup").g_per_ml or 0.0
    assert need["syrup"] == pytest.approx(20 * 10.0 * density)
    assert answer.masses.held_back_g == pytest.approx(20 * 2.0 * density)
    rinse = opened.blends.stuff("citric-25").g_per_ml or 0.0
    assert answer.masses.poured_away_g == pytest.approx(20 * (5.0 - 0.75) * rinse)
    came, went = in_and_out(answer.masses)
    assert came == pytest.approx(went, rel=1e-12)


def freezer(folder: Path, celsius: str) -> Ordered:
    bottle = '[vessels.bottle]\nname = "Bottle"\nbrim = "1 l"\nfill = "900 ml"\ntare = "1 g"\n'
    house = f'format = 1\n[cold]\nfreezer = "{celsius}"\n{bottle}'
    spec = drink("stir", "spirit: 60 ml", "syrup: 10 ml", more='batch = "freezer"\ndilution = "30 % of initial"')
    opened = open_small(
        folder, {"station.toml": house, "drinks/d.toml": spec, "orders/o.toml": COUNTED.replace("serves = 20", "serves = 5")}
    )
    return ordered(Menu.of(opened.blends), opened.library.orders["o"], datetime(2027, 1, 1, tzinfo=UTC))


def test_a_freezer_batch_says_whether_it_stays_liquid(tmp_path: Path) -> None:
    warm, cold = freezer(tmp_path / "warm", "-12 °C"), freezer(tmp_path / "cold", "-24 °C")
    liquid, slush = warm.batches[0].cold, cold.batches[0].cold
    assert liquid is not None and slush is not None
    # 60 ml of 40 % and 10 of syrup with 21 of water are 26 % vol: -12 °C without sugar (CRC), its sugar some half a degree more.
    assert liquid.freezing_c == pytest.approx(-13.0, abs=0.7)
    assert liquid.stays_liquid and liquid.ice_share == 0.0
    assert slush.stays_liquid is False and 0.2 < (slush.ice_share or 0.0) < 0.6
    assert "freezer-ice" in {one.code for one in cold.cautions} and "freezer-ice" not in {one.code for one in warm.cautions}


def test_the_order_can_say_how_a_drink_is_batched_and_into_what() -> None:
    pour = OrderPour("tin-lantern", share=1.0, batch="diluted", into="bottle")
    one = answered(replace(SUPPER, pours=(pour,), guests=20)).batches[0]
    assert one.diluted and one.water_g > 0.0
    assert {fill.vessel for fill in one.fills} == {"bottle"}


def test_standard_drinks_are_of_the_drinks_expected_without_what_is_made_beyond() -> None:
    plain, more = answered(SUPPER), answered(replace(SUPPER, overage=0.2))
    assert plain.standard_drinks_per_guest == pytest.approx(more.standard_drinks_per_guest)
    # 2 + 3 drinks a guest, half of them this one.
    assert plain.standard_drinks_per_guest == pytest.approx(2.5 * plain.batches[0].standard_drinks)


def test_every_allergen_of_a_drink_is_in_its_row_and_unknown_is_a_question_mark() -> None:
    answer = answered(of("copper-almanac", "wool-parliament"))
    assert answer.allergens["copper-almanac"] == ("?", "sesame", "sulphites")
    assert set(answer.allergens["wool-parliament"]) >= {"egg"}


def test_days_are_the_house_s_and_the_order_s(tmp_path: Path) -> None:
    files = {"stocks/slow.toml": stock("spirit: 1 kg", more='keeps = "9 days"\ntakes = "2 days"'), "orders/o.toml": COUNTED}
    opened = open_small(tmp_path, {**files, "drinks/d.toml": drink("stir", "slow: 50 ml")})
    answer = ordered(Menu.of(opened.blends), opened.library.orders["o"], datetime(2027, 1, 1, tzinfo=UTC))
    assert answer.starts.isoformat() == "2027-05-01T18:00:00+01:00"
    assert [(one.do, one.id, one.start_by.isoformat()) for one in answer.prep] == [
        ("make", "slow", "2027-04-29T16:00:00+01:00"),
        ("mix", "d", "2027-05-01T16:00:00+01:00"),
    ]
    assert DAY.year == 2027
