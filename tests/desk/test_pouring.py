"""A pitcher poured: steps, readings, a mis-pour and the rest of the card after it, undo, and where it was left."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import NOON, SOUR, demo, demo_copy, open_folder, open_small

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc import correct
from station.calc.answers import Batched
from station.calc.batch import Target
from station.calc.pour import Event
from station.calc.scales import VESSEL
from station.desk import open_pour as poured
from station.desk import pouring
from station.desk.batching import batched
from station.desk.open_pour import OpenPour, open_pour
from station.desk.opening import Opened
from station.desk.pouring import DONE, ESTIMATED, READ, WAY, Place, Weighed

TIN = batched(demo(), "tin-lantern", Target(vessel="pitcher"), None, NOON)
WANTED = {line.item: line.weigh_g for line in TIN.mixes[0].lines}


@pytest.fixture
def opened(tmp_path: Path) -> Opened:
    return open_folder(demo_copy(tmp_path))


@pytest.fixture
def pour(opened: Opened) -> OpenPour:
    return begin(opened)


def begin(opened: Opened) -> OpenPour:
    card = batched(opened.blends, "tin-lantern", Target(vessel="pitcher"), None, NOON)
    return open_pour(opened, card, "pitcher", None)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def held(pour: OpenPour) -> dict[str, float]:
    whole = [sum(of_line) for of_line in zip(*pour.pour.held.values(), strict=True)]
    return {line.item: grams for line, grams in zip(pour.pour.lines, whole, strict=True)}


def to_the_end(pour: OpenPour) -> None:
    while not pour.over:
        pour.as_asked()


def test_a_pour_goes_cup_first_vessel_next_and_tips_the_cup_in_last(pour: OpenPour) -> None:
    assert [step.into for step in pour.steps] == ["into the cup"] * 2 + ["into the vessel"] * 5
    assert pour.steps[-1].title == "Tip the cup in"
    assert "of it citric" in pour.steps[0].note


def test_as_asked_to_the_end_it_is_the_card(pour: OpenPour) -> None:
    reads = []
    while not pour.over:
        reads.append(plain(pour.steps[0].reads))
        pour.as_asked()
    assert held(pour) == pytest.approx(WANTED)
    assert reads[:2] == ["1.57 g", "4.03 g"] and reads[-1] == f"{round(TIN.mixes[0].g)} g"
    assert [f"{round(line.reads_g)} g" for line in TIN.mixes[0].lines if line.into == VESSEL] == reads[2:-1]


def to_the_vessel(pour: OpenPour) -> None:
    pour.as_asked()
    pour.as_asked()


def test_a_reading_within_tolerance_is_taken_and_nothing_is_asked(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("860")
    assert pour.ways == () and held(pour)["rum-light"] == pytest.approx(860.0)
    assert plain(pour.steps[0].reads) == f"{round(860 + WANTED['lime-juice'])} g"


def test_a_mis_pour_asks_what_to_do_and_the_rest_of_the_card_follows(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked()
    pour.as_read("1260")
    over = 1260 - WANTED["rum-light"]
    assert plain(pour.missed) == f"Lime juice, fresh: {round(over)} g in, {round(WANTED['lime-juice'])} g wanted"
    assert [way.way for way in pour.ways] == [correct.DRAW_OFF, correct.ADD, correct.LEAVE]
    with pytest.raises(CannotAnswer, match="this line missed"):
        pour.as_asked()
    assert pour.choose(2) == correct.ADD
    size = over / WANTED["lime-juice"]
    assert pour.pour.size == pytest.approx(size)
    to_the_end(pour)
    for item, grams in held(pour).items():
        assert grams == pytest.approx(size * WANTED[item], rel=1e-9) or abs(grams / WANTED[item] / size - 1.0) < 0.16
    assert held(pour)["rum-light"] == pytest.approx(size * WANTED["rum-light"], rel=1e-9)
    assert held(pour)["syrup-1-1"] == pytest.approx(size * WANTED["syrup-1-1"], rel=1e-9)


def test_drawn_off_and_made_up_it_is_the_card_again(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked()
    pour.as_read("1275")
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.DRAW_OFF))
    assert pour.steps[0].title == "Draw off the mix" and pour.steps[0].into == "out of the vessel"
    to_the_end(pour)
    for item in ("rum-light", "lime-juice", "syrup-1-1"):
        assert held(pour)[item] == pytest.approx(WANTED[item], rel=1e-9)


def test_drawn_off_too_little_what_follows_is_a_little_more(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked()
    pour.as_read("1275")
    pour.choose(1)
    pour.as_read("1260")
    left = 1260 / 1275 * (1275 - WANTED["rum-light"])
    to_the_end(pour)
    assert held(pour)["lime-juice"] == pytest.approx(left)
    assert held(pour)["syrup-1-1"] == pytest.approx(left / WANTED["lime-juice"] * WANTED["syrup-1-1"])


def test_one_thing_alone_is_taken_out_and_the_reading_goes_back(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("900")
    assert pour.ways[0].way == correct.TAKE_OUT
    pour.choose(1)
    step = pour.steps[0]
    assert (step.does, plain(step.reads)) == ("take out", f"{round(WANTED['rum-light'])} g")
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED)


def test_a_cup_is_emptied_and_weighed_again(pour: OpenPour) -> None:
    pour.as_asked()
    pour.as_read("4.9")
    assert pour.ways[0].way == correct.AGAIN
    pour.choose(1)
    assert [step.title for step in pour.steps[:3]] == ["Empty the cup", "Citric solution, 25 % w/w", "Saline, 20 % w/w"]
    pour.as_asked()
    assert held(pour)["citric-25"] == 0.0 and plain(pour.steps[0].reads) == "1.57 g"
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED)


def test_too_little_is_made_up(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("700")
    number = next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.ADD)
    pour.choose(number)
    more = next(step for step in pour.steps if step.title == "Light rum, more")
    assert plain(more.amount) == f"{round(WANTED['rum-light'] - 700)} g"
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED)


def test_left_as_it_is_the_card_goes_on(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("880")
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.LEAVE))
    to_the_end(pour)
    assert held(pour) == pytest.approx({**WANTED, "rum-light": 880.0})


def test_everything_is_taken_back_one_by_one(pour: OpenPour) -> None:
    to_the_vessel(pour)
    before = pour.pour
    pour.as_read("900")
    asked = pour.pour
    pour.choose(1)
    assert pour.take_back() and pour.pour == asked and pour.ways
    assert pour.take_back() and pour.pour == before and not pour.ways
    while pour.take_back():
        pass
    assert pour.pour.done == 0 and held(pour) == dict.fromkeys(WANTED, 0.0)


def test_a_zeroed_scale_is_read_from_nothing(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked()
    pour.zeroed()
    assert plain(pour.steps[0].reads) == f"{round(WANTED['lime-juice'])} g"
    pour.as_read(f"{WANTED['lime-juice']:.0f}")
    assert pour.ways == ()


@pytest.mark.parametrize("text", ["1,260", "", "~", "1.2.3", "99999999"])
def test_a_reading_that_is_none_is_refused_and_nothing_has_happened(pour: OpenPour, text: str) -> None:
    to_the_vessel(pour)
    before = pour.place
    with pytest.raises(AmountError):
        pour.as_read(text)
    assert pour.place == before


def test_a_scale_that_reads_less_than_before_is_asked_about(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked()
    with pytest.raises(CannotAnswer, match=r"before this line, so it cannot read less \(z if it was zeroed\)"):
        pour.as_read("300")


def test_a_way_that_is_not_there_is_refused(pour: OpenPour) -> None:
    with pytest.raises(CannotAnswer, match="there is no way 1"):
        pour.choose(1)


def test_every_weighing_is_confirmed_with_what_was_wanted_read_and_how_it_is_known(
    pour: OpenPour, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[Weighed] = []
    monkeypatch.setattr(poured, "confirm", lambda opened, spec, place, weighing: told.append(weighing))
    pour.as_asked()
    pour.as_read("~4.05")
    pour.as_read("900")
    pour.choose(1)
    pour.as_read("853")
    assert [one.item for one in told] == ["citric-25", "saline-20", "rum-light", "rum-light"]
    assert [one.known for one in told] == ["asked", "estimated", "read", "read"]
    assert [one.number for one in told] == [0, 1, 2, 3]
    assert told[2].wanted_g == pytest.approx(WANTED["rum-light"]) and told[2].actual_g == pytest.approx(900.0)
    assert told[2].reads_g == 900.0 and told[2].wanted_reads_g == pytest.approx(WANTED["rum-light"])
    assert told[3].actual_g == pytest.approx(-47.0) and told[3].scale == "bench"
    assert told[0].reads_g is None and told[0].actual_g == pytest.approx(WANTED["citric-25"])


def test_a_pour_goes_on_after_a_kill_where_it_was_also_in_the_middle_of_a_question(opened: Opened) -> None:
    pour = begin(opened)
    to_the_vessel(pour)
    pour.as_read("900")
    again = begin(open_folder(opened.folder))
    assert again.pour == pour.pour and [way.way for way in again.ways] == [way.way for way in pour.ways]
    again.choose(1)
    third = begin(open_folder(opened.folder))
    assert third.steps[0].does == "take out"
    assert third.take_back() and third.ways
    to_the_end_of = begin(open_folder(opened.folder))
    to_the_end_of.choose(1)
    to_the_end(to_the_end_of)
    assert begin(open_folder(opened.folder)).place.events == ()


def test_where_a_pour_was_left_is_kept_until_it_is_finished(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    assert pouring.left_at(opened, "sour") is None
    place = Place(
        "pitcher", False, "card", (Event(DONE), Event(DONE, 4.9, ESTIMATED), Event(WAY, way="add"), Event(DONE, 3, READ))
    )
    pouring.keep(opened, "sour", place)
    assert pouring.left_at(open_folder(tmp_path), "sour") == place and place.done == 3
    pouring.finish(opened, "sour")
    assert pouring.left_at(opened, "sour") is None


SPOILED: list[object] = [None, 3, [3], [["done", "x", "read", ""]], [["gone", None, "asked", ""]], [["done", True, "read", ""]]]


@pytest.mark.parametrize("events", SPOILED, ids=str)
def test_a_spoiled_draft_is_no_pour(tmp_path: Path, events: object) -> None:
    opened = open_small(tmp_path)
    content = {"target": "pitcher", "water": None, "card": "card", "events": events}
    pouring.drafts_of(opened).write("pours", "sour", content)
    assert pouring.left_at(opened, "sour") is None


def test_a_draft_that_cannot_have_happened_begins_the_card_again(opened: Opened) -> None:
    pour = begin(opened)
    events = (Event(DONE), Event(WAY, way="add"))
    pouring.keep(opened, "tin-lantern", Place("pitcher", None, pour.place.card, events))
    assert begin(opened).place.events == ()


def test_another_card_is_another_pour(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    cards = [
        batched(opened.blends, "sour", Target(serves=count), water, NOON) for count, water in ((10, None), (11, None), (10, True))
    ]
    assert len({pouring.card_of(one) for one in cards}) == 3
    (tmp_path / "drinks" / "sour.toml").write_text(SOUR.replace('"60 ml"', '"45 ml"'))
    assert pouring.card_of(batched(open_folder(tmp_path).blends, "sour", Target(serves=10), None, NOON)) != pouring.card_of(
        cards[0]
    )


def test_what_cannot_be_kept_is_said_and_the_pour_goes_on(pour: OpenPour, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(poured, "confirm", full)
    pour.as_asked()
    assert pour.message == "where you are cannot be kept: No space left on device"
    assert pour.pour.done == 1


SPECS = sorted(demo().library.drinks)


def card_of(name: str) -> Batched | None:
    try:
        return batched(demo(), name, Target(vessel="pitcher"), None, NOON)
    except CannotAnswer:
        return None


@given(st.sampled_from(SPECS), st.lists(st.tuples(st.floats(0.7, 1.5), st.integers(0, 3)), max_size=6))
@settings(max_examples=60, deadline=None)
def test_whatever_is_poured_and_chosen_it_comes_to_an_end_and_nothing_is_lost(name: str, hands: list[tuple[float, int]]) -> None:
    card = card_of(name)
    if card is None:
        return
    pour = pouring.pour_of(demo(), card)
    went_in = 0.0
    for share, choice in hands:
        if not pour.ahead:
            break
        step = pour.ahead[0]
        before = pouring.reads_g(pour, step) - step.g
        reads = before + step.g * share if step.kind == "in" and not step.apart else None
        went_in += pouring.grams_of(pour, step, reads) if step.kind in {"in", "out", "draw"} else 0.0
        if step.kind == "empty":
            went_in -= sum(sum(there) for into, there in pour.held.items() if into != VESSEL)
        pour = pouring.after(pour, Event(DONE, reads, READ if reads is not None else "asked"))
        if pour.off is not None:
            pour = pouring.after(pour, Event(WAY, way=pour.ways[choice % len(pour.ways)].way))
    for _ in range(60):
        if not pour.ahead:
            break
        step = pour.ahead[0]
        went_in += step.g if step.kind in {"in", "out", "draw"} else 0.0
        if step.kind == "empty":
            went_in -= sum(sum(there) for into, there in pour.held.items() if into != VESSEL)
        pour = pouring.after(pour, Event(DONE))
    assert pour.ahead == () and pour.off is None
    assert sum(pour.held[VESSEL]) == pytest.approx(went_in, rel=1e-6)


def test_what_goes_on_the_scale_adds_up_to_the_card_also_in_weaker_solutions() -> None:
    weaker = 0
    for name in SPECS:
        for target in (Target(serves=1), Target(serves=3), Target(serves=12)):
            card = batched(demo(), name, target, True, NOON)
            whole = correct.wanted(pouring.pour_of(demo(), card).parts)
            weaker += any(line.intermediate is not None for line in card.mixes[0].lines)
            assert whole.volume_ml == pytest.approx(card.total_ml / card.mixes[0].count, rel=1e-9)
            assert whole.mass_g == pytest.approx(card.total_g / card.mixes[0].count, rel=1e-9)
            if card.balance.acid_g_per_100ml:
                assert correct.figures(whole)["acid"] == pytest.approx(card.balance.acid_g_per_100ml, rel=1e-9)
    assert weaker > 0
