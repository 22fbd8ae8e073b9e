"""A juice brought to an acidity, two ways; acid, sugar and water in place of a juice."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from small_library import demo

from station.bar.composition import ACIDS, Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Item
from station.bar.quantity import Acidity
from station.calc.acidity import ta_g
from station.calc.adjust import add_to, alike, make_up_to, parts_towards, stand_in
from station.calc.balance import balance
from station.calc.stuff import WATER_STUFF, Stuff, bought

quick = settings(max_examples=60, deadline=None)
MILD = ("orange-juice", "grapefruit-juice", "pineapple-juice", "apple-juice", "pomegranate-juice", "verjus", "dry-sherry")
SOUR = ("lime-juice", "lemon-juice", "orange-juice", "apple-juice", "verjus", "orange-sharp", "grapefruit-cordial")

mild = st.sampled_from(MILD)
parts = st.dictionaries(st.sampled_from(ACIDS), st.floats(0.1, 5.0), min_size=1, max_size=3)
targets = st.floats(2.0, 9.0)


def juice(name: str) -> Stuff:
    return demo().stuff(name)


LINE = demo().stuff("lime-juice").per_g * (22.5 * (demo().stuff("lime-juice").g_per_ml or 0.0))


def per_100(liquid: Composition) -> float:
    return 100.0 * ta_g(liquid) / liquid.volume_ml


@given(mild, targets, parts, st.floats(10.0, 5000.0))
@quick
def test_the_result_titrates_as_wanted(name: str, target: float, shares: dict[str, float], grams: float) -> None:
    assume(per_100(juice(name).per_g) < 0.98 * target)
    found = add_to(juice(name), grams, Acidity(target), shares)
    assert per_100(found.liquid) == pytest.approx(target, rel=1e-6)
    # What it says to add is what it reckoned with: the juice, those acids, nothing else.
    assert found.liquid.mass_g == pytest.approx(grams + sum(found.acids_g.values()), rel=1e-9)
    by_hand = juice(name).per_g * found.juice_g + Composition.of(found.acids_g)
    assert per_100(by_hand) == pytest.approx(target, rel=1e-6)
    whole = sum(shares.values())
    for acid, share in shares.items():
        assert found.acids_g[acid] / sum(found.acids_g.values()) == pytest.approx(share / whole, rel=1e-9)


@given(mild, targets, parts, st.floats(10.0, 2000.0), st.floats(0.1, 20.0))
@quick
def test_twice_the_juice_takes_twice_the_acid(
    name: str, target: float, shares: dict[str, float], grams: float, factor: float
) -> None:
    assume(per_100(juice(name).per_g) < 0.98 * target)
    one, more = (add_to(juice(name), g, Acidity(target), shares) for g in (grams, grams * factor))
    assert more.juice_ml == pytest.approx(factor * one.juice_ml, rel=1e-9)
    for acid, g in one.acids_g.items():
        assert more.acids_g[acid] == pytest.approx(factor * g, rel=1e-6)


@given(mild, targets, parts, st.floats(5.0, 20_000.0))
@quick
def test_made_up_to_a_volume_it_is_that_volume_in_the_same_proportion(
    name: str, target: float, shares: dict[str, float], ml: float
) -> None:
    assume(per_100(juice(name).per_g) < 0.98 * target)
    whole, added = make_up_to(juice(name), ml, Acidity(target), shares), add_to(juice(name), 1000.0, Acidity(target), shares)
    assert whole.liquid.volume_ml == pytest.approx(ml, rel=1e-9)
    assert per_100(whole.liquid) == pytest.approx(target, rel=1e-6)
    for acid, grams in added.acids_g.items():
        assert whole.acids_g[acid] / whole.juice_g == pytest.approx(grams / 1000.0, rel=1e-9)
    # To a litre of juice goes more acid than into a litre: the acid takes room.
    assert whole.juice_ml < ml


def test_the_two_answers_differ_by_the_room_the_acid_takes() -> None:
    added = add_to(juice("orange-juice"), 1000.0 * (juice("orange-juice").g_per_ml or 0.0), Acidity(6.0), {"citric": 1.0})
    whole = make_up_to(juice("orange-juice"), 1000.0, Acidity(6.0), {"citric": 1.0})
    assert added.juice_ml == pytest.approx(1000.0)
    assert added.acids_g["citric"] / whole.acids_g["citric"] == pytest.approx(added.liquid.volume_ml / 1000.0, rel=1e-9)
    assert 1.025 < added.liquid.volume_ml / 1000.0 < 1.04


def test_citric_into_water_against_the_closed_form() -> None:
    # g grams in V ml: 100 g / (V + 0.6126 g) = t, the volume of citric at 10 % (CRC Handbook 102nd ed., 1.0402 g/ml).
    found = add_to(WATER_STUFF, 1000.0, Acidity(6.0), {"citric": 1.0})
    ml = 1000.0 / 0.998203
    assert found.acids_g["citric"] == pytest.approx(0.06 * ml / (1.0 - 0.06 * 0.6126), rel=0.002)


@pytest.mark.parametrize("name", MILD)
def test_a_juice_that_is_there_already_needs_nothing(name: str) -> None:
    found = add_to(juice(name), 500.0, Acidity(per_100(juice(name).per_g)), {"citric": 1.0})
    assert found.acids_g == {} and found.liquid.mass_g == pytest.approx(500.0)
    made = make_up_to(juice(name), 750.0, Acidity(per_100(juice(name).per_g)), {"citric": 1.0})
    assert made.juice_ml == pytest.approx(750.0) and made.liquid.volume_ml == pytest.approx(750.0)


@pytest.mark.parametrize("ask", [add_to, make_up_to])
def test_a_sharper_juice_is_refused_in_a_sentence(ask: object) -> None:
    with pytest.raises(CannotAnswer) as refused:
        ask(juice("lime-juice"), 500.0, Acidity(1.0), {"citric": 1.0})  # type: ignore[operator]
    assert str(refused.value) == (
        "it titrates at 6 g/100 ml as citric already, over 1 (acid only adds; ask for more, or dilute with water)"
    )


def test_more_acid_than_a_juice_can_be_is_refused() -> None:
    with pytest.raises(CannotAnswer, match=r"^so much acid is no juice any more \(ask for a lower acidity\)$"):
        # Over 400 g of tartaric to the litre.
        add_to(juice("orange-juice"), 500.0, Acidity(30.0), {"tartaric": 1.0})


def test_a_powder_cannot_be_adjusted() -> None:
    with pytest.raises(CannotAnswer, match="powder"):
        add_to(juice("citric-acid"), 100.0, Acidity(6.0), {"citric": 1.0})


@pytest.mark.parametrize(
    ("name", "other"), [("orange-juice", "lime-juice"), ("apple-juice", "verjus"), ("verjus", "lemon-juice")]
)
def test_what_it_is_given_brings_its_kinds_towards_the_other(name: str, other: str) -> None:
    shares = parts_towards(juice(name), juice(other))
    target = max(per_100(juice(other).per_g), per_100(juice(name).per_g) + 1.0)
    found = add_to(juice(name), 1000.0, Acidity(target), shares)
    goal = juice(other).per_g.acids
    before, after, plain = (
        alike(acids, goal)
        for acids in (
            juice(name).per_g.acids,
            found.liquid.acids,
            add_to(juice(name), 1000.0, Acidity(target), {"lactic": 1.0}).liquid.acids,
        )
    )
    assert before is not None and after is not None and plain is not None
    assert after >= before - 1e-9 and after > plain


acid_shares = st.dictionaries(st.sampled_from(ACIDS), st.floats(0.01, 50.0), max_size=5)


@given(acid_shares, acid_shares, st.floats(0.01, 100.0))
@quick
def test_likeness_is_of_kinds_not_of_amounts(one: dict[str, float], other: dict[str, float], factor: float) -> None:
    found = alike(one, other)
    assert found == (None if alike(other, one) is None else pytest.approx(alike(other, one)))
    if not one or not other:
        assert found is None
        return
    assert found is not None and -1e-12 <= found <= 1.0 + 1e-9
    assert alike({name: grams * factor for name, grams in one.items()}, other) == pytest.approx(found)
    assert alike(one, one) == pytest.approx(1.0)
    if not set(one) & set(other):
        assert found == 0.0


@given(st.sampled_from(SOUR), st.floats(2.0, 200.0))
@quick
def test_what_stands_in_has_the_acidity_the_sugar_and_the_volume(name: str, grams: float) -> None:
    line = juice(name).per_g * grams
    found = stand_in(line, juice("citric-25"), juice("syrup-2-1"))
    was, now = balance(line), balance(found.liquid)
    assert now.ml == pytest.approx(was.ml, rel=1e-6)
    assert now.acid_g_per_100ml == pytest.approx(was.acid_g_per_100ml, rel=1e-6)
    assert now.sugar_g_per_100ml == pytest.approx(was.sugar_g_per_100ml, rel=1e-6)
    assert min(found.acid_g, found.sugar_g, found.water_g) >= 0.0
    by_hand = (
        juice("citric-25").per_g * found.acid_g + juice("syrup-2-1").per_g * found.sugar_g + Composition.of(water=found.water_g)
    )
    assert by_hand.amounts == pytest.approx(found.liquid.amounts)


def test_without_sugar_no_syrup_is_needed() -> None:
    vinegar = juice("cider-vinegar").per_g * 30.0
    found = stand_in(vinegar, juice("citric-25"), None)
    assert found.sugar_g == 0.0
    assert ta_g(found.liquid) == pytest.approx(ta_g(vinegar), rel=1e-9)


def test_a_source_too_weak_for_the_line_is_refused_with_both_volumes() -> None:
    weak = bought(Item("x", "x", "acid", per_100_ml={"citric": 2.0}))
    with pytest.raises(CannotAnswer) as refused:
        stand_in(LINE, weak, juice("syrup-2-1"))
    said = str(refused.value).replace("\u00a0", " ")
    # 22.5 ml of 6 g/100 ml hold 1.35 g, for which 67.5 ml of a 2 % solution are needed, and its syrup.
    assert said.startswith("acid and syrup alone would be 67.") and said.endswith("the line is 22.5 ml (name a stronger source)")


def test_a_source_without_acid_is_named_as_one_not_as_a_sea() -> None:
    with pytest.raises(CannotAnswer) as refused:
        stand_in(LINE, juice("syrup-1-1"), juice("syrup-2-1"))
    # What a person can use is that it holds no acid, not how many thousand tons of it would do.
    assert " L," not in str(refused.value).replace("\u00a0", " ") and "acid" in str(refused.value)


def test_a_source_without_sugar_is_refused() -> None:
    with pytest.raises(CannotAnswer, match=r"sugar|syrup"):
        stand_in(LINE, juice("citric-25"), juice("citric-25"))


def test_an_unbuffered_juice_takes_the_acid_its_titration_lacks() -> None:
    plain = bought(Item("x", "x", "juice", ta=Acidity(1.0), acid_split={"citric": 1.0}))
    litre = plain.per_g * (1000.0 * (plain.g_per_ml or 0.0))
    found = add_to(plain, litre.mass_g, Acidity(6.0), {"citric": 1.0})
    assert found.acids_g["citric"] == pytest.approx(0.06 * found.liquid.volume_ml - 10.0, rel=0.001)
