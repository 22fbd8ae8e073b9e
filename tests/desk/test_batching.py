"""What a person asks a batch for, in one field or in options."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import NOON, demo

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.batch import Target
from station.cards import text
from station.cards.serving import at_the_glass
from station.desk.batching import batched, target_of, target_of_text
from station.desk.plainly import as_json

DRINKS = sorted(demo().library.drinks)
COUNTED = re.compile(r"\b(drops?|dash|dashes)\b", re.IGNORECASE)


@pytest.mark.parametrize(
    ("asked", "target"),
    [
        ("40", Target(serves=40.0)),
        ("40 serves", Target(serves=40.0)),
        ("40 s", Target(serves=40.0)),
        ("12,5", Target(serves=12.5)),
        ("1.5 l", Target(volume_ml=1500.0)),
        ("1,5 l", Target(volume_ml=1500.0)),
        ("50 oz", Target(volume_ml=50 * 29.5735295625)),
        ("pitcher", Target(vessel="pitcher")),
        ("pit", Target(vessel="pitcher")),
        ("2 pitcher", Target(volume_ml=3000.0, into="pitcher")),
        ("2 pitchers", Target(volume_ml=3000.0, into="pitcher")),
        ("11 x bottle", Target(volume_ml=7920.0, into="bottle")),
        ("11 × bottles", Target(volume_ml=7920.0, into="bottle")),
        ("  tub ", Target(vessel="tub")),
    ],
)
def test_a_target_is_read_from_one_field(asked: str, target: Target) -> None:
    read = target_of_text(demo(), asked)
    assert (read.serves, read.vessel, read.into) == (target.serves, target.vessel, target.into)
    assert read.volume_ml == (None if target.volume_ml is None else pytest.approx(target.volume_ml))


def test_what_is_on_hand_is_read_in_any_measure() -> None:
    read = target_of_text(demo(), "lime-juice=400 ml")
    assert read.on_hand_g == {"lime-juice": pytest.approx(400 * (demo().stuff("lime-juice").g_per_ml or 0.0))}
    assert target_of(demo().library, demo(), on_hand=("citric-25=100 g",)).on_hand_g == {"citric-25": 100.0}


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("0", "0 serves is no batch (ask for at least one)"),
        ("0 ml", "0 ml of volume makes no drink (give what there is)"),
        ("lime-juice=0 ml", "0 ml of lime-juice on hand makes no drink (give what there is)"),
        ("gone=3 g", "there is no item or stock gone (see `station check`)"),
    ],
)
def test_a_target_of_nothing_is_the_datas_no(asked: str, said: str) -> None:
    with pytest.raises(CannotAnswer) as refused:
        target_of_text(demo(), asked)
    assert str(refused.value) == said


@pytest.mark.parametrize("asked", ["", "   ", "1,500", "3 buckets", "5 g", "lime-juice=", "nonsense", "-3", "top"])
def test_a_target_that_is_none_is_refused_with_a_remedy(asked: str) -> None:
    with pytest.raises(AmountError) as refused:
        batched(demo(), "tin-lantern", target_of_text(demo(), asked), None, NOON)
    assert refused.value.reason and refused.value.remedy


def test_a_total_by_weight_is_refused_in_words_that_say_how_it_is_asked_for() -> None:
    with pytest.raises(AmountError) as refused:
        target_of_text(demo(), "1500 g")
    assert str(refused.value) == ("a total is asked for by volume or in serves, not by weight (write e.g. 1.5 l or 15 serves)")


@pytest.mark.parametrize("asked", ["300 guests", "300 Guest", "300 people"])
def test_guests_are_said_to_be_no_serves_and_what_to_type(asked: str) -> None:
    with pytest.raises(AmountError) as refused:
        target_of_text(demo(), asked)
    said = "guests are not serves (type 300 serves for one each, or make an order)"
    assert str(refused.value) == said and len(said) < 80  # the row it stands in


@pytest.mark.parametrize("count", [0.0, -1.0, math.nan, math.inf])
def test_a_number_of_serves_that_is_none_is_refused(count: float) -> None:
    with pytest.raises(CannotAnswer, match=r"serves is no batch \(ask for at least one\)$"):
        target_of(demo().library, demo(), serves=count)


@given(st.one_of(st.text(max_size=15), st.text(alphabet="0123456789.,= xlmpitcherbotluservs-", max_size=15)))
@settings(max_examples=100, deadline=None)
def test_whatever_is_typed_is_a_batch_or_a_sentence(asked: str) -> None:
    try:
        card = batched(demo(), "tin-lantern", target_of_text(demo(), asked), None, NOON)
    except (AmountError, CannotAnswer) as refused:
        assert str(refused)
    else:
        assert card.serves > 0.0


# Counted units end at the single drink: what is weighed has no drop and no dash in it, on paper or in JSON.
@pytest.mark.parametrize("target", [Target(serves=1), Target(serves=40), Target(vessel="pitcher"), Target(serves=250)], ids=str)
@pytest.mark.parametrize("name", DRINKS)
def test_no_card_shows_a_drop_or_a_dash_but_at_the_glass(name: str, target: Target) -> None:
    try:
        card = batched(demo(), name, target, None, NOON)
    except CannotAnswer as refused:
        assert "vessel" in str(refused)
        return
    per_glass = tuple(replace(one, each="") for one in card.service)
    served = replace(card.serving, steps=())  # at the glass, too
    assert COUNTED.findall(as_json(replace(card, service=per_glass, serving=served))) == []
    for width in (48, text.WIDTH):
        shown = text.batch_card(card, demo().library, width)
        glass = set(at_the_glass(card.serving, card.service, demo().library, width))
        assert [line for line in shown if COUNTED.search(line) and line not in glass] == []


def test_a_dash_at_the_glass_stays_a_dash() -> None:
    card = batched(demo(), "wool-parliament", Target(serves=10), None, NOON)
    each = {line.item: line.each for line in card.service}
    assert each["aromatic-bitters"] == "3 dashes"
    assert any("3 dashes" in line for line in text.batch_card(card, demo().library))


def test_a_batch_belongs_to_the_exact_text_of_its_spec() -> None:
    card = batched(demo(), "tin-lantern", Target(serves=10), None, NOON)
    assert card.spec_revision == demo().library.drinks["tin-lantern"].revision and len(card.spec_revision) == 64


@pytest.mark.parametrize("name", DRINKS)
def test_alcohol_is_counted_for_what_leaves_the_station(name: str) -> None:
    card = batched(demo(), name, Target(serves=10), None, NOON)
    assert card.ethanol_g == card.balance.ethanol_g
    assert card.standard_drinks == pytest.approx(card.ethanol_g / 10.0)
