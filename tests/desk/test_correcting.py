"""What a person says went in, read against the card: amounts, the unknown one from the scale, what must be thrown away."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pytest
from small_library import NOON, demo

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.answers import Batched
from station.calc.backwards import Corrected
from station.calc.batch import Target
from station.cards import backwards
from station.desk.batching import batched
from station.desk.correcting import corrected
from station.desk.went_in import Given, given, net_reading

TIN = batched(demo(), "tin-lantern", Target(vessel="pitcher"), None, NOON)
CUP = ("citric-25", "saline-20")


def grams(item: str, card: Batched = TIN) -> float:
    return sum(line.g for line in card.mixes[0].lines if line.item == item)


def asked(
    *ins: str, reading: float | None = None, tipped: bool = False, none_left: Sequence[str] = (), card: Batched = TIN
) -> Corrected:
    return corrected(demo(), card, [given(one, demo()) for one in ins], reading, tipped, none_left)


def test_what_went_in_is_read() -> None:
    assert given("rum-light", demo()) == Given("rum-light", None, asked=True)
    assert given("rum-light = 860 g", demo()) == Given("rum-light", 860.0)
    assert given("rum-light=?", demo()) == Given("rum-light")
    read = given("lime-juice=400 ml", demo())
    assert read.g == pytest.approx(400.0 * (demo().stuff("lime-juice").g_per_ml or 0.0))


def test_as_asked_as_read_by_the_scale_and_not_yet() -> None:
    found = asked("rum-light", "lime-juice=?", "syrup-1-1=280 g", reading=grams("rum-light") + 280.0 + 360.0)
    known = {line.item: line.known for line in found.lines}
    assert known["rum-light"] == "as asked" and known["lime-juice"] == "by the scale"
    assert known["syrup-1-1"] == "as read" and known["citric-25"] == "not yet"
    there = {line.item: line.in_g for line in found.lines}
    assert there["lime-juice"] == pytest.approx(360.0) and there["citric-25"] == 0.0


def test_the_scale_of_the_vessel_does_not_see_the_cup_until_it_is_tipped_in() -> None:
    vessel = grams("rum-light") + 400.0
    cup = sum(grams(item) for item in CUP)
    apart = asked(*CUP, "rum-light", "lime-juice=?", reading=vessel)
    tipped = asked(*CUP, "rum-light", "lime-juice=?", reading=vessel + cup, tipped=True)
    for found in (apart, tipped):
        assert next(line.in_g for line in found.lines if line.item == "lime-juice") == pytest.approx(400.0)
    in_cup = asked("citric-25", "saline-20=?", reading=grams("citric-25") + 3.0)
    assert next(line.in_g for line in in_cup.lines if line.item == "saline-20") == pytest.approx(3.0)


def test_a_reading_with_the_vessel_on_the_scale_has_its_tare_taken_off() -> None:
    house = demo().library.house
    assert net_reading("1240 g", "", TIN, house) == 1240.0
    assert net_reading("", "1.88 kg", TIN, house) == pytest.approx(1240.0)
    assert net_reading("", "", TIN, house) is None
    with pytest.raises(AmountError, match="a scale reads a mass"):
        net_reading("1.2 l", "", TIN, house)


@pytest.mark.parametrize(
    ("ins", "reading", "said"),
    [
        (("rum-light=?",), None, "how much rum-light went in is not known (say what the scale reads with --reading)"),
        (
            ("rum-light=?", "lime-juice=?"),
            900.0,
            "rum-light and lime-juice are both unknown (the scale tells one unknown amount; give the others)",
        ),
        (("rum-light=860 g", "rum-light=3 g"), None, "rum-light is said twice (say each once, with all of it)"),
        (
            ("rum-light=860 g", "lime-juice=?"),
            800.0,
            "the scale reads 800 g and what is known to be in weighs 860 g: nothing is left for Lime juice, fresh "
            "(check the tare and the amounts)",
        ),
        (
            ("rum-light=860 g",),
            1000.0,
            "what is said to be in weighs 860 g, the scale reads 1000 g (say which amount is unknown, e.g. lime-juice=?)",
        ),
        (("vodka",), None, "vodka is in no line of this card (say how much of it went in: vodka=… g)"),
    ],
)
def test_what_does_not_add_up_is_said(ins: Sequence[str], reading: float | None, said: str) -> None:
    with pytest.raises(CannotAnswer) as refused:
        asked(*ins, reading=reading)
    assert str(refused.value).replace("\u00a0", " ") == said


def test_an_item_nobody_knows_is_asked_back() -> None:
    with pytest.raises(CannotAnswer, match=r"there is no item or stock lime-juise \(did you mean lime-juice\?\)"):
        given("lime-juise=3 g", demo())
    with pytest.raises(CannotAnswer, match=r"what has no label is unlabelled"):
        given("xxxxxxxx=3 g", demo())


@pytest.mark.parametrize(
    ("ins", "said"),
    [
        (("rum-light", "unlabelled=30 g"), "A liquid without a label went in: what is in it cannot be known."),
        (("rum-light", "sesame-whisky=30 g"), "Sesame whisky brings an allergen the drink does not have: sesame."),
        (("rum-light", "lactic-10=5 g"), "Lactic solution, 10 % w/w is an acid the spec does not have."),
        (("rum-light", "herbal-liqueur=5 g"), "Herbal liqueur brings allergens nobody has stated."),
    ],
)
def test_what_must_be_discarded_has_no_way_on(ins: Sequence[str], said: str) -> None:
    found = asked(*ins)
    assert found.stop == said and found.ways == () and not found.possible
    text = "\n".join(backwards.corrected(found, demo().library))
    assert "STOP: " in text and "Discard" in text and "the mix, do not correct it" in " ".join(text.split())


def test_a_strange_spirit_is_no_reason_to_discard_and_is_never_restored() -> None:
    found = asked("rum-light", "vodka=30 g")
    assert found.stop == "" and not any(way.restores for way in found.ways)
    assert found.ways[0].way == "nearest"


def test_each_way_says_its_size_and_whether_it_fits() -> None:
    found = asked("rum-light=920 g", "lime-juice")
    ways = {way.way: way for way in found.ways}
    assert found.ways[0].way == "draw off"
    size = 920.0 / grams("rum-light")
    assert ways["add"].size == pytest.approx(size) and ways["add"].serves == pytest.approx(size * found.serves)
    assert ways["add"].total_g == pytest.approx(size * found.total_g, rel=1e-9)
    assert not ways["add"].fits_vessel and ways["add"].note.startswith("over the 1.5")
    assert ways["draw off"].serves == pytest.approx(found.serves) and ways["draw off"].fits_vessel
    assert ways["draw off"].balance.acid_g_per_100ml == pytest.approx(found.balance.acid_g_per_100ml)
    assert ways["leave"].moved["acid"] == pytest.approx(
        (ways["leave"].balance.acid_g_per_100ml or 0.0) / (found.balance.acid_g_per_100ml or 1.0) - 1.0
    )


def test_what_is_within_its_weighing_tolerance_is_not_worth_a_movement() -> None:
    add = next(way for way in asked(*CUP, "maraschino-liqueur", "rum-light=860 g").ways if way.way == "add")
    slight = {one.item: one.slight for one in add.adds}
    assert slight["saline-20"] and slight["maraschino-liqueur"] and not slight["lime-juice"]


def test_an_item_in_two_lines_is_shared_as_they_ask() -> None:
    card = batched(demo(), "tin-lantern", Target(vessel="pitcher"), True, NOON)
    lines = [line.item for line in card.mixes[0].lines]
    assert "water" in lines
    found = asked("water", "rum-light=900 g", card=card)
    assert next(line.in_g for line in found.lines if line.item == "water") == pytest.approx(grams("water", card))


def test_a_bottle_that_ran_out() -> None:
    found = asked("lime-juice=280 g", none_left=["lime-juice"])
    add = next(way for way in found.ways if way.way == "add")
    assert add.size == pytest.approx(280.0 / grams("lime-juice"))
    with pytest.raises(CannotAnswer, match="vodka is in no line"):
        asked("rum-light", none_left=["vodka"])


def test_one_of_several_equal_mixes_is_corrected() -> None:
    card = batched(demo(), "tin-lantern", Target(volume_ml=30_000.0, into="tub"), None, NOON)
    assert card.mixes[0].count == 2
    found = asked("rum-light", card=card)
    assert found.serves == pytest.approx(card.serves / 2)
    assert found.balance.abv_pct == pytest.approx(card.balance.abv_pct)


def test_the_card_names_every_way_with_what_the_hands_do() -> None:
    text = " ".join(" ".join(backwards.corrected(asked("rum-light=920 g", "lime-juice"), demo().library)).split())
    assert re.search(r"1 Draw off, then add: stir it, draw off 93\.\d g, then add \d", text.replace("\u00a0", " "))
    assert "ABV, sugar, acid and salt as on the card" in text
    assert "does not fit: over the 1.5" in text
