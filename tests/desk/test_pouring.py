"""A pitcher poured: steps, readings, a mis-pour and the rest of the card after it, undo, and where it was left."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import NOON, SOUR, demo, demo_copy, open_folder, open_small, pitcher_card

from station.bar.amount import AmountError
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.logged import ASKED, CORRECTED, DISCARDED, FINISHED, READ, Lot, Mark, Weighing
from station.calc import correct
from station.calc.batch import Target
from station.calc.mispour import Choice
from station.calc.pour import DONE, OTHER, WAY, Event, Line, Pour, grams_of, reads_before_g, reads_g
from station.calc.pour_events import after
from station.calc.scales import VESSEL
from station.cards import backwards as cards_of_ways
from station.cards import labels
from station.cards import lots as cards
from station.desk import pouring
from station.desk.batching import batched
from station.desk.log_questions import in_date, trace
from station.desk.logging import log_of
from station.desk.logging_lots import label_of
from station.desk.on_shelf import shelf_of
from station.desk.open_pour import Doubtful, OpenPour, open_pour
from station.desk.opening import Opened
from station.desk.pour_log import Asked, Confirmed
from station.desk.receiving import Delivery, log_delivery

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
    spec = opened.library.drinks["tin-lantern"]
    return open_pour(opened, spec, card, Asked("pitcher"), shelf_of(opened, NOON), NOON)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def held(pour: OpenPour) -> dict[str, float]:
    whole = [sum(of_line) for of_line in zip(*pour.pour.held.values(), strict=True)]
    return {line.item: grams for line, grams in zip(pour.pour.lines, whole, strict=True)}


def to_the_end(pour: OpenPour) -> None:
    while not pour.over:
        pour.as_asked(NOON)


def test_a_pour_goes_cup_first_vessel_next_and_tips_the_cup_in_last(pour: OpenPour) -> None:
    assert [step.into for step in pour.steps] == ["into the cup"] * 2 + ["into the vessel"] * 5
    assert pour.steps[-1].title == "Tip the cup in"
    assert "of it citric" in pour.steps[0].note


def test_as_asked_to_the_end_it_is_the_card(pour: OpenPour) -> None:
    reads = []
    while not pour.over:
        reads.append(plain(pour.steps[0].reads))
        pour.as_asked(NOON)
    assert held(pour) == pytest.approx(WANTED)
    assert reads[:2] == ["1.57 g", "4.03 g"] and reads[-1] == f"{round(TIN.mixes[0].g)} g"
    assert [f"{round(line.reads_g)} g" for line in TIN.mixes[0].lines if line.into == VESSEL] == reads[2:-1]


def to_the_vessel(pour: OpenPour) -> None:
    pour.as_asked(NOON)
    pour.as_asked(NOON)


def test_a_reading_within_tolerance_is_taken_and_nothing_is_asked(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("860", NOON)
    assert pour.ways == () and held(pour)["rum-light"] == pytest.approx(860.0)
    assert plain(pour.steps[0].reads) == f"{round(860 + WANTED['lime-juice'])} g"


def test_a_mis_pour_asks_what_to_do_and_the_rest_of_the_card_follows(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked(NOON)
    pour.as_read("1260", NOON)
    over = 1260 - WANTED["rum-light"]
    assert plain(pour.missed) == f"Lime juice, fresh: {round(over)} g in, {round(WANTED['lime-juice'])} g wanted, over by 58 g"
    assert [way.way for way in pour.ways] == [correct.DRAW_OFF, correct.ADD, correct.LEAVE]
    with pytest.raises(CannotAnswer, match="this line missed"):
        pour.as_asked(NOON)
    assert pour.choose(2, NOON) == correct.ADD
    size = over / WANTED["lime-juice"]
    assert pour.pour.size == pytest.approx(size)
    to_the_end(pour)
    for item, grams in held(pour).items():
        assert grams == pytest.approx(size * WANTED[item], rel=1e-9) or abs(grams / WANTED[item] / size - 1.0) < 0.16
    assert held(pour)["rum-light"] == pytest.approx(size * WANTED["rum-light"], rel=1e-9)
    assert held(pour)["syrup-1-1"] == pytest.approx(size * WANTED["syrup-1-1"], rel=1e-9)


def test_drawn_off_and_made_up_it_is_the_card_again(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked(NOON)
    pour.as_read("1275", NOON)
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.DRAW_OFF), NOON)
    assert pour.steps[0].title == "Draw off the mix" and pour.steps[0].into == "out of the vessel"
    to_the_end(pour)
    for item in ("rum-light", "lime-juice", "syrup-1-1"):
        assert held(pour)[item] == pytest.approx(WANTED[item], rel=1e-9)


def test_drawn_off_too_little_what_follows_is_a_little_more(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked(NOON)
    pour.as_read("1275", NOON)
    pour.choose(1, NOON)
    pour.as_read("1260", NOON)
    left = 1260 / 1275 * (1275 - WANTED["rum-light"])
    to_the_end(pour)
    assert held(pour)["lime-juice"] == pytest.approx(left)
    assert held(pour)["syrup-1-1"] == pytest.approx(left / WANTED["lime-juice"] * WANTED["syrup-1-1"])


def test_one_thing_alone_is_taken_out_and_the_reading_goes_back(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("900", NOON)
    assert pour.ways[0].way == correct.TAKE_OUT
    pour.choose(1, NOON)
    step = pour.steps[0]
    assert (step.does, plain(step.reads)) == ("take out", f"{round(WANTED['rum-light'])} g")
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED)


def test_a_cup_is_emptied_and_weighed_again(pour: OpenPour) -> None:
    pour.as_asked(NOON)
    pour.as_read("4.9", NOON)
    assert pour.ways[0].way == correct.AGAIN
    pour.choose(1, NOON)
    assert [step.title for step in pour.steps[:3]] == ["Empty the cup", "Citric solution, 25 % w/w", "Saline, 20 % w/w"]
    pour.as_asked(NOON)
    assert held(pour)["citric-25"] == 0.0 and plain(pour.steps[0].reads) == "1.57 g"
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED)


def test_a_cup_in_which_something_stays_is_not_empty(pour: OpenPour) -> None:
    pour.as_asked(NOON)
    pour.as_read("60", NOON)
    assert pour.choose(1, NOON) == correct.AGAIN
    for _ in range(2):
        with pytest.raises(CannotAnswer, match=r"5\sg would stay in the cup, uncounted"):
            pour.as_read("5", NOON)
        assert pour.steps[0].title == "Empty the cup" and sum(held(pour).values()) == pytest.approx(60.0)
    pour.as_read("0.01", NOON)
    assert pour.steps[0].title == "Citric solution, 25 % w/w" and sum(held(pour).values()) == 0.0


def test_a_tipped_cup_that_does_not_show_is_questioned_once(pour: OpenPour) -> None:
    while pour.steps[0].title != "Tip the cup in":
        pour.as_asked(NOON)
    with pytest.raises(Doubtful):
        pour.as_read("1500", NOON)
    assert plain(pour.doubt).startswith("1500 g? With all of the cup in it reads 1525 g")
    assert "look into the cup" in pour.doubt
    pour.as_read("1500", NOON)
    assert pour.doubt == "" and pour.ways


@pytest.mark.parametrize(
    ("reads", "stayed", "unknown", "said"),
    [
        ("1523", 2.0, 0.0, "short by"),
        ("1560", 0.0, 35.0, "the scale showed 35 g more than was weighed in: what that is is unknown, so are the figures"),
        ("1500", 4.033, -21.0, "the scale showed 21 g less than was weighed in: where that went is unknown"),
        ("1525", 0.0, 0.0, ""),
    ],
)
def test_what_the_scale_shows_with_the_cup_in_counts(
    opened: Opened, reads: str, stayed: float, unknown: float, said: str
) -> None:
    pour = begin(opened)
    while pour.steps[0].title != "Tip the cup in":
        pour.as_asked(NOON)
    should, cup = TIN.mixes[0].g, WANTED["citric-25"] + WANTED["saline-20"]
    if said:
        with pytest.raises(Doubtful):
            pour.as_read(reads, NOON)
        assert ("look into the cup" in pour.doubt) == (float(reads) < should)
    pour.as_read(reads, NOON)
    if stayed:
        assert plain(pour.missed).startswith("Citric solution") or plain(pour.missed).startswith("Saline")
        assert begin(open_folder(opened.folder)).pour == pour.pour
        pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.LEAVE), NOON)
    assert said in plain(pour.mark) and pour.over and "within the taste tolerance" not in pour.mark
    assert sum(held(pour).values()) == pytest.approx(should - stayed, abs=0.5)
    assert held(pour)["citric-25"] == pytest.approx(WANTED["citric-25"] * (1.0 - stayed / cup), abs=0.2)
    assert pour.come_to.unknown_g == pytest.approx(unknown, abs=0.5)
    marks = log_of(opened).of_lots(Mark, [pour.place.lot.uuid]) if pour.place.lot else []
    finished = [mark for mark in marks if mark.kind == FINISHED]
    assert [mark.why for mark in finished] == [pour.mark] and finished[0].g == pytest.approx(float(reads), abs=1.0)
    for _ in range(2 if stayed else 1):
        pour.take_back(NOON)
    assert not pour.over and pour.mark == "" and sum(held(pour).values()) == pytest.approx(should)


def test_what_stayed_in_the_cup_can_be_added_again(pour: OpenPour) -> None:
    while pour.steps[0].title != "Tip the cup in":
        pour.as_asked(NOON)
    for _ in range(2):
        with suppress(Doubtful):
            pour.as_read("1522", NOON)
    assert pour.ways[0].way == correct.ADD
    pour.choose(1, NOON)
    assert [step.into for step in pour.steps] == ["into the cup", "into the cup", "into the vessel"]
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED, rel=1e-3) and pour.mark == ""


def wrong(pour: OpenPour, item: str, more_g: float) -> None:
    """That item went in by mistake, so many grams of it."""
    into = pour.pour.ahead[0].into if pour.pour.ahead[0].kind == "in" else VESSEL
    text = f"{reads_before_g(pour.pour, into) + more_g:.6f}"
    try:
        pour.other(item, text, NOON)
    except Doubtful:
        pour.other(item, text, NOON)


def test_another_spirit_that_went_in_is_marked_left_or_brought_near(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked(NOON)
    wrong(pour, "vodka", 30.0)
    assert plain(pour.missed) == "Vodka: 30 g in, not on the card"
    assert pour.stop == "" and {way.way for way in pour.ways} == {correct.NEAREST, correct.LEAVE}
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.LEAVE), NOON)
    assert plain(pour.mark).startswith("30 g of Vodka, not on the card, left in")
    to_the_end(pour)
    assert pour.come_to.ends.g == pytest.approx(TIN.mixes[0].g + 30.0)
    assert sum(held(pour).values()) == pytest.approx(TIN.mixes[0].g + 30.0)


def test_alone_in_the_vessel_another_bottle_is_poured_out_again(pour: OpenPour) -> None:
    to_the_vessel(pour)
    wrong(pour, "vodka", 852.0)
    assert pour.ways[0].way == correct.TAKE_OUT
    pour.choose(1, NOON)
    assert pour.steps[0].does == "take out" and plain(pour.steps[0].reads) == "0 g"
    to_the_end(pour)
    assert pour.mark == "" and held(pour)["vodka"] == pytest.approx(0.0, abs=1e-9)
    assert held(pour)["light-rum" if "light-rum" in WANTED else "rum-light"] == pytest.approx(WANTED["rum-light"])


def test_a_line_of_the_card_poured_before_its_turn_is_not_asked_for_again(pour: OpenPour) -> None:
    to_the_vessel(pour)
    wrong(pour, "syrup-1-1", WANTED["syrup-1-1"])
    assert pour.pour.off is None and pour.mark == ""
    assert not any("syrup" in step.title for step in pour.steps)
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED) and pour.mark == ""


def test_half_of_a_line_poured_before_its_turn_leaves_the_other_half(pour: OpenPour) -> None:
    to_the_vessel(pour)
    wrong(pour, "lime-juice", 0.5 * WANTED["lime-juice"])
    rest = next(step for step in pour.steps if "Lime juice" in step.title)
    assert rest.title.endswith(", more") and [step.title for step in pour.steps].index(rest.title) == 1
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED)


def test_too_much_of_a_line_before_its_turn_or_a_second_time_asks_for_a_way_on(pour: OpenPour) -> None:
    to_the_vessel(pour)
    wrong(pour, "syrup-1-1", 1.5 * WANTED["syrup-1-1"])
    assert plain(pour.missed).startswith("Sugar syrup") and "over by 138 g" in plain(pour.missed)
    pour.take_back(NOON)
    pour.as_asked(NOON)
    pour.as_asked(NOON)
    wrong(pour, "rum-light", 100.0)
    assert "over by 100 g" in plain(pour.missed)
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.DRAW_OFF), NOON)
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED) and pour.mark == ""


@pytest.mark.parametrize(
    ("item", "said"),
    [
        ("egg-white", "egg"),
        ("unlabelled", "A liquid without a label went in: what is in it cannot be known."),
        ("malic-20", "is an acid the spec does not have"),
    ],
)
def test_what_must_be_discarded_has_no_way_on_and_the_log_says_why(opened: Opened, item: str, said: str) -> None:
    pour = begin(opened)
    to_the_vessel(pour)
    pour.as_asked(NOON)
    wrong(pour, item, 40.0)
    assert said in pour.stop and pour.ways == () and not pour.over
    with pytest.raises(CannotAnswer):
        pour.as_asked(NOON)
    again = begin(open_folder(opened.folder))
    assert again.stop == pour.stop
    again.take_back(NOON)
    assert again.stop == "" and "Lime juice" in again.steps[0].title
    wrong(again, item, 40.0)
    said = again.discard(NOON)
    mark = log_of(opened).of_lots(Mark, [again.place.lot.uuid])[-1] if again.place.lot else None
    assert mark is not None and (mark.kind, mark.why, mark.g) == (DISCARDED, again.stop, None)
    assert again.place.lot is not None and said == f"Tin Lantern: lot {again.place.lot.short} is discarded, the log says why"
    assert not any(row.lot == again.place.lot.short for row in in_date(opened, NOON)) and begin(opened).place.done == 0


def test_into_the_vessel_while_the_cup_is_asked_for(opened: Opened) -> None:
    pour = begin(opened)
    assert pour.can_go_into("rum-light") == (VESSEL, "cup") and pour.can_go_into("saline-20") == ("cup", VESSEL)
    pour.other("rum-light", "852", NOON, VESSEL)
    assert pour.in_vessel_g == 852.0 and pour.in_cups_g == 0.0 and pour.pour.off is None
    assert begin(open_folder(opened.folder)).pour == pour.pour
    to_the_vessel(pour)
    assert "Lime juice" in pour.steps[0].title
    pour.other("saline-20", f"{WANTED['citric-25'] + WANTED['saline-20'] + 1.0:.2f}", NOON, "cup")
    assert "Saline" in pour.missed and begin(open_folder(opened.folder)).pour.held == pour.pour.held


def test_a_wrong_acid_in_the_cup_spoils_the_cup_alone(opened: Opened) -> None:
    pour = begin(opened)
    to_the_vessel(pour)
    pour.as_asked(NOON)
    pour.other("malic-20", "6", NOON, "cup")
    assert pour.stop == "" and "is an acid the spec does not have" in pour.missed and "take a clean one" in pour.missed
    assert [way.way for way in pour.ways] == [correct.AGAIN]
    pour.choose(1, NOON)
    to_the_end(pour)
    assert held(pour)["malic-20"] == 0.0 and pour.mark == ""
    assert held(pour)["citric-25"] == pytest.approx(WANTED["citric-25"], rel=1e-3)


def test_where_nothing_is_put_in_nothing_else_can_have_gone_in(pour: OpenPour) -> None:
    with pytest.raises(CannotAnswer, match="is what goes in now"):
        pour.other("citric-25", "3", NOON)
    with pytest.raises(CannotAnswer, match="it reads more with something else in"):
        pour.other("vodka", "0", NOON)
    to_the_end(pour)
    with pytest.raises(CannotAnswer):
        pour.other("vodka", "1700", NOON)


def test_an_item_that_left_the_library_since_is_taken_up_as_one_without_a_label(opened: Opened) -> None:
    pour = begin(opened)
    to_the_vessel(pour)
    wrong(pour, "vodka", 30.0)
    for file in (opened.folder / "ingredients").glob("*.toml"):
        file.write_text(re.sub(r"^\[vodka\]$", "[grain-spirit]", file.read_text(encoding="utf-8"), flags=re.M), encoding="utf-8")
    again = begin(open_folder(opened.folder))
    assert "without a label" in again.stop


def test_too_little_is_made_up(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("700", NOON)
    number = next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.ADD)
    pour.choose(number, NOON)
    more = next(step for step in pour.steps if step.title == "Light rum, more")
    assert plain(more.amount) == f"{round(WANTED['rum-light'] - 700)} g"
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED)


def test_a_way_says_what_no_scale_can_be_trusted_with(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("900", NOON)
    grown = next(way for way in pour.ways if way.way == correct.ADD)
    said = plain(cards_of_ways.does(grown))
    assert "0.0877 g Citric solution, 25 % w/w (under the 0.82 g Pocket scale can be trusted with)" in said
    assert "350 g Lime" not in said and not next(one for one in grown.adds if one.item == "lime-juice").note


def test_left_as_it_is_the_card_goes_on(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("880", NOON)
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.LEAVE), NOON)
    to_the_end(pour)
    assert held(pour) == pytest.approx({**WANTED, "rum-light": 880.0})


def test_everything_is_taken_back_one_by_one(pour: OpenPour) -> None:
    to_the_vessel(pour)
    before = pour.pour
    pour.as_read("900", NOON)
    asked = pour.pour
    pour.choose(1, NOON)
    assert pour.take_back(NOON) and pour.pour == asked and pour.ways
    assert pour.take_back(NOON) and pour.pour == before and not pour.ways
    while pour.take_back(NOON):
        pass
    assert pour.pour.done == 0 and held(pour) == dict.fromkeys(WANTED, 0.0)


def test_a_zeroed_scale_is_read_from_nothing(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked(NOON)
    pour.zeroed(NOON)
    assert plain(pour.steps[0].reads) == f"{round(WANTED['lime-juice'])} g"
    pour.as_read(f"{WANTED['lime-juice']:.0f}", NOON)
    assert pour.ways == ()


@pytest.mark.parametrize("text", ["1,260", "", "~", "1.2.3", "99999999"])
def test_a_reading_that_is_none_is_refused_and_nothing_has_happened(pour: OpenPour, text: str) -> None:
    to_the_vessel(pour)
    before = (pour.place, list(pour.events))
    with pytest.raises(AmountError):
        pour.as_read(text, NOON)
    assert (pour.place, pour.events) == before


def test_a_scale_that_reads_less_than_before_is_asked_about(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked(NOON)
    with pytest.raises(CannotAnswer, match=r"before this line, so it cannot read less \(z if it was zeroed\)"):
        pour.as_read("300", NOON)


def test_a_way_that_is_not_there_is_refused(pour: OpenPour) -> None:
    with pytest.raises(CannotAnswer, match="there is no way 1"):
        pour.choose(1, NOON)


def test_every_weighing_is_logged_with_what_was_wanted_what_went_in_and_how_it_is_known(pour: OpenPour) -> None:
    pour.as_asked(NOON)
    pour.as_read("~4.05", NOON)
    pour.as_read("900", NOON)
    pour.choose(1, NOON)
    pour.as_read("853", NOON)
    rows = log_of(pour.opened).every(Weighing)
    assert [row.line for row in rows] == [0, 1, 2, 3]
    assert [row.item for row in rows] == ["citric-25", "saline-20", "rum-light", "rum-light"]
    assert [row.known for row in rows] == ["asked", "estimated", "read", "read"]
    assert rows[2].wanted_g == pytest.approx(WANTED["rum-light"]) and rows[2].actual_g == pytest.approx(900.0)
    assert rows[3].actual_g == pytest.approx(-47.0) and rows[3].scale == "bench"
    assert rows[0].actual_g == pytest.approx(WANTED["citric-25"])
    (mark,) = [mark for mark in log_of(pour.opened).every(Mark) if mark.kind == CORRECTED]
    assert (mark.about, mark.why) == (rows[2].uuid, "take out")


def test_what_was_drawn_off_is_logged_in_grams_and_nothing_of_a_line_is(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked(NOON)
    pour.as_read("1275", NOON)
    pour.choose(1, NOON)
    pour.as_read("1050", NOON)
    marks = [mark for mark in log_of(pour.opened).every(Mark) if mark.kind == CORRECTED]
    assert [(mark.why, mark.g) for mark in marks] == [("draw off", None), ("drawn off", pytest.approx(225.0))]
    assert len(log_of(pour.opened).every(Weighing)) == 4


def test_a_pour_goes_on_after_a_kill_where_it_was_also_in_the_middle_of_a_question(opened: Opened) -> None:
    pour = begin(opened)
    to_the_vessel(pour)
    pour.as_read("900", NOON)
    again = begin(open_folder(opened.folder))
    assert again.pour == pour.pour and [way.way for way in again.ways] == [way.way for way in pour.ways]
    again.choose(1, NOON)
    third = begin(open_folder(opened.folder))
    assert third.steps[0].does == "take out"
    assert third.take_back(NOON) and third.ways
    to_the_end_of = begin(open_folder(opened.folder))
    to_the_end_of.choose(1, NOON)
    to_the_end(to_the_end_of)
    assert begin(open_folder(opened.folder)).events == []


@pytest.mark.parametrize("way", [correct.DRAW_OFF, correct.ADD, correct.LEAVE])
def test_after_every_event_the_log_alone_says_where_it_stands(opened: Opened, way: str) -> None:
    pour = begin(opened)

    def as_logged() -> None:
        again = begin(open_folder(opened.folder))
        assert again.pour.held == pour.pour.held and again.pour.size == pour.pour.size and again.pour.off == pour.pour.off
        assert [step.g for step in again.pour.ahead] == [step.g for step in pour.pour.ahead]

    to_the_vessel(pour)
    pour.as_asked(NOON)
    as_logged()
    pour.zeroed(NOON)
    as_logged()
    pour.as_read("423", NOON)
    as_logged()
    pour.choose(next(number for number, one in enumerate(pour.ways, 1) if one.way == way), NOON)
    as_logged()
    while pour.pour.ahead and pour.steps[0].title != "Tip the cup in":
        pour.as_asked(NOON)
        as_logged()
    while pour.take_back(NOON) and pour.place.done:
        as_logged()


def test_after_another_bottle_too_the_log_alone_says_where_it_stands(opened: Opened) -> None:
    pour = begin(opened)

    def as_logged() -> None:
        again = begin(open_folder(opened.folder))
        assert (again.pour.lines, again.pour.off, again.stop) == (pour.pour.lines, pour.pour.off, pour.stop)
        assert {into: pytest.approx(there) for into, there in again.pour.held.items()} == pour.pour.held
        assert [step.g for step in again.pour.ahead] == pytest.approx([step.g for step in pour.pour.ahead])

    pour.as_asked(NOON)
    wrong(pour, "rum-light", 2.0)
    as_logged()
    to_the_vessel(pour)
    pour.as_asked(NOON)
    for item in (TIN.mixes[0].lines[-1].item, "vodka"):
        wrong(pour, item, 30.0)
        as_logged()
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.NEAREST), NOON)
    as_logged()
    while pour.pour.ahead[0].kind != "tip":
        pour.as_asked(NOON)
        as_logged()
    wrong(pour, "gin-dry", 10.0)
    as_logged()
    while pour.take_back(NOON) and pour.place.done:
        as_logged()


def test_another_station_that_confirmed_first_is_named_and_followed(opened: Opened) -> None:
    mine = begin(opened)
    mine.as_asked(NOON)
    theirs = begin(open_folder(opened.folder))
    mine.as_asked(NOON)
    with pytest.raises(Confirmed, match="AB confirmed this line at"):
        theirs.as_asked(NOON)
    assert theirs.pour.done == 2 and theirs.pour == mine.pour


def test_taken_back_after_the_end_it_is_open_again(pour: OpenPour) -> None:
    to_the_end(pour)
    assert pour.finished and begin(pour.opened).place.done == 0
    assert pour.take_back(NOON) and not pour.finished
    again = begin(open_folder(pour.opened.folder))
    assert again.place.done == 6 and again.steps[0].title == "Tip the cup in"


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


def test_what_the_log_refuses_has_not_happened(pour: OpenPour, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("STATION_BY")
    with pytest.raises(AmountError, match="nobody is named"):
        pour.as_asked(NOON)
    assert pour.pour.done == 0 and pour.events == []


SPECS = sorted(demo().library.drinks)


ANOTHER = 0.0


def another_bottle(pour: Pour, choice: int) -> Pour:
    """20 g of something else in the next line's place, and what is done about it."""
    step, vodka = pour.ahead[0], Line("vodka", 0.0, Composition.of(water=0.7, ethanol=0.3), 0.02)
    before = 0.0 if step.apart else reads_before_g(pour, step.into)
    line = pour.lines[choice % len(pour.lines)] if choice else vodka
    pour = after(pour, Event(OTHER, before + 20.0, READ, line=line))
    return pour if pour.off is None else after(pour, Event(WAY, way=pour.ways[choice % len(pour.ways)].way))


@given(
    st.sampled_from(SPECS),
    st.lists(st.tuples(st.one_of(st.floats(0.7, 1.5), st.just(ANOTHER)), st.integers(0, 3)), max_size=6),
)
@settings(max_examples=60, deadline=None)
def test_whatever_is_poured_and_chosen_it_comes_to_an_end_and_nothing_is_lost(name: str, hands: list[tuple[float, int]]) -> None:
    card = pitcher_card(name)
    if card is None:
        return
    pour = pouring.pour_of(demo(), card)
    went_in = 0.0
    for share, choice in hands:
        if not pour.ahead:
            break
        step = pour.ahead[0]
        if share == ANOTHER and step.kind in {"in", "tip"}:
            pour, went_in = another_bottle(pour, choice), went_in + 20.0
            continue
        before = reads_g(pour, step) - step.g
        reads = before + step.g * share if step.kind == "in" and not step.apart else None
        went_in += grams_of(pour, step, reads) if step.kind in {"in", "out", "draw"} else 0.0
        if step.kind == "empty":
            went_in -= sum(sum(there) for into, there in pour.held.items() if into != VESSEL)
        pour = after(pour, Event(DONE, reads, READ if reads is not None else ASKED))
        if pour.off is not None:
            pour = after(pour, Event(WAY, way=pour.ways[choice % len(pour.ways)].way))
    for _ in range(60):
        if not pour.ahead:
            break
        step = pour.ahead[0]
        went_in += step.g if step.kind in {"in", "out", "draw"} else 0.0
        if step.kind == "empty":
            went_in -= sum(sum(there) for into, there in pour.held.items() if into != VESSEL)
        pour = after(pour, Event(DONE))
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


# What it comes to by what is in the vessel.


def left_in(pour: OpenPour, reads: str = "1275") -> None:
    to_the_vessel(pour)
    pour.as_read(reads, NOON)
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.LEAVE), NOON)


def test_planned_it_is_the_card(pour: OpenPour) -> None:
    one = pour.come_to
    assert one.planned.abv_pct == pytest.approx(TIN.balance.abv_pct) and one.planned.g == pytest.approx(TIN.mixes[0].g)
    assert one.ends == one.planned and one.now.g == 0.0 and pour.mark == ""
    assert one.glass.acid_g_per_100ml == pytest.approx(TIN.glass.acid_g_per_100ml)
    assert one.planned.ethanol_g == pytest.approx(TIN.ethanol_g) and one.serves == pytest.approx(TIN.serves)


def test_a_lot_that_was_measured_counts_in_what_is_planned(opened: Opened) -> None:
    log_delivery(opened, Delivery("lime-juice", ta="7.4 g/100ml"), "CD", NOON)
    shelf = shelf_of(opened, NOON)
    card = batched(opened.blends, "tin-lantern", Target(vessel="pitcher"), None, NOON, shelf=shelf)
    pour = open_pour(opened, opened.library.drinks["tin-lantern"], card, Asked("pitcher"), shelf, NOON)
    assert card.balance.acid_g_per_100ml is not None and TIN.balance.acid_g_per_100ml is not None
    assert card.balance.acid_g_per_100ml > 1.1 * TIN.balance.acid_g_per_100ml
    assert pour.come_to.planned.acid_g_per_100ml == pytest.approx(card.balance.acid_g_per_100ml)


def test_left_in_the_mark_stays_through_kill_and_undo(opened: Opened) -> None:
    pour = begin(opened)
    left_in(pour)
    outside = "outside the taste tolerance (2 % relative), in the glass:"
    assert plain(pour.mark).startswith(f"over by 423 g of Light rum, left in; {outside}")
    assert "acid 0.675 g/100 ml as citric (planned 0.893; outside its window 0.76 to 0.94)" in plain(pour.mark)
    assert re.search(r"sugar \S+ g/100 ml \(planned 6\.82; its window 5 to 8\.9 holds\)", plain(pour.mark))
    again = begin(open_folder(opened.folder))
    assert again.mark == pour.mark and again.come_to == pour.come_to
    again.take_back(NOON)
    assert again.mark == "" and again.ways
    again.take_back(NOON)
    assert again.mark == "" and again.come_to.ends.g == pytest.approx(TIN.mixes[0].g)


def test_a_fill_that_is_passed_is_said_to_the_end(pour: OpenPour) -> None:
    pour.as_asked(NOON)
    pour.as_read("60", NOON)
    assert pour.overflow == ""
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.LEAVE), NOON)
    assert re.fullmatch(r"over by .* of Saline.*, left in: salt \+\d+ % \(relative\)", plain(pour.brief_mark)), pour.brief_mark
    assert plain(pour.overflow) == "1.55 L when full, 48.5 ml over its fill of 1.5 L"
    to_the_end(pour)
    assert plain(pour.overflow) == "1.55 L in it, 48.5 ml over its fill of 1.5 L"


def test_a_pour_that_is_done_names_its_lot(pour: OpenPour) -> None:
    to_the_vessel(pour)
    assert pour.logged == ""
    to_the_end(pour)
    (lot,) = log_of(pour.opened).every(Lot)
    assert pour.logged == f"Lot {lot.short}: write it on the vessel."


def test_left_a_little_over_it_is_marked_and_within_taste(pour: OpenPour) -> None:
    left_in(pour, "872")
    assert plain(pour.mark) == "over by 20 g of Light rum, left in; within the taste tolerance (2 % relative)"


@pytest.mark.parametrize("way", [correct.ADD, correct.DRAW_OFF, correct.TAKE_OUT])
def test_corrected_there_is_no_mark_and_the_figures_are_of_what_is_in(pour: OpenPour, way: str) -> None:
    to_the_vessel(pour)
    if way == correct.DRAW_OFF:
        pour.as_asked(NOON)
    pour.as_read("1275" if way == correct.DRAW_OFF else "900", NOON)
    number, chosen = next((number, one) for number, one in enumerate(pour.ways, 1) if one.way == way)
    pour.choose(number, NOON)
    assert pour.mark == "" and pour.come_to.outside == ()
    assert pour.come_to.ends.g == pytest.approx(chosen.total_g) and pour.come_to.serves == pytest.approx(chosen.serves)
    to_the_end(pour)
    assert pour.come_to.ends.g == pytest.approx(sum(held(pour).values()))


def test_the_lot_is_what_went_in_and_its_log_and_label_say_what_was_left(opened: Opened) -> None:
    pour = begin(opened)
    left_in(pour)
    to_the_end(pour)
    lot = pour.place.lot
    assert lot is not None
    traced = trace(opened, lot.short)
    assert traced.row.g == traced.row.left_g == pytest.approx(sum(held(pour).values()))
    assert traced.row.off_plan == pour.mark
    assert "NOT AS PLANNED: over by 423 g" in plain("\n".join(cards.traced(traced, opened.library)))
    label = label_of(opened, lot.short)
    assert plain(label.strength) == "28.3 % vol" and label.off_plan == pour.mark
    said = plain(" ".join(labels.label(label, opened.library.house)))
    assert "NOT AS PLANNED: over by 423 g of Light rum, left in; outside the taste tolerance" in said
    (row,) = [one for one in in_date(opened, NOON) if one.uuid == lot.uuid]
    assert any("NOT AS PLANNED" in line for line in cards.in_date([row], opened.library.house))
    assert pour.take_back(NOON)
    traced = trace(opened, lot.short)
    assert traced.row.off_plan == "" and label_of(opened, lot.short).off_plan == ""


def test_poured_as_asked_neither_log_nor_label_says_more(pour: OpenPour) -> None:
    to_the_end(pour)
    assert pour.place.lot is not None
    label = label_of(pour.opened, pour.place.lot.short)
    assert label.off_plan == "" and not any("PLANNED" in line for line in labels.label(label, pour.opened.library.house))


@pytest.mark.parametrize(("text", "doubt"), [("5500", "Bench scale ends at 5360 g"), ("1800", "the Pitcher's brim 1.8 L")])
def test_what_can_hardly_be_is_refused_once_and_taken_when_said_again(pour: OpenPour, text: str, doubt: str) -> None:
    to_the_vessel(pour)
    before = (pour.place, list(pour.events))
    with pytest.raises(Doubtful) as told:
        pour.as_read(text, NOON)
    assert doubt in plain(str(told.value)) and plain(pour.doubt) == plain(str(told.value))
    assert (pour.place, pour.events) == before
    with pytest.raises(Doubtful):
        pour.as_read("6000", NOON)
    with pytest.raises(Doubtful):
        pour.as_read(text, NOON)
    pour.as_read(text, NOON)
    assert pour.doubt == "" and held(pour)["rum-light"] == pytest.approx(float(text))


def test_a_zeroed_scale_bears_what_it_was_zeroed_on(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_asked(NOON)
    pour.zeroed(NOON)
    with pytest.raises(Doubtful, match="Bench scale ends at"):
        pour.as_read("4600", NOON)


def test_a_cups_scale_ends_at_its_own_capacity(pour: OpenPour) -> None:
    with pytest.raises(Doubtful, match="Pocket scale ends at"):
        pour.as_read("5000", NOON)


def test_what_one_pours_is_counted(pour: OpenPour) -> None:
    assert (pour.pour.poured, pour.pour.weighings) == (0, 6)
    to_the_vessel(pour)
    pour.as_read("900", NOON)
    pour.choose(1, NOON)
    assert (pour.pour.poured, pour.pour.weighings) == (3, 6) and not pour.putting_in
    to_the_end(pour)
    assert (pour.pour.poured, pour.pour.weighings) == (6, 6)


def exactly(pour: Pour) -> Pour:
    """The same pour, weighed without any tolerance."""
    lines = tuple(replace(line, tolerance=1e-12) for line in pour.lines)
    scales = {name: replace(scale, readability_g=1e-12) for name, scale in pour.scales.items()}
    return replace(pour, lines=lines, scales=scales)


def missed(pour: Pour, share: float, other_g: float) -> Pour:
    """The next line poured to that share; or so much of something else first."""
    step = pour.ahead[0]
    if step.kind != "in":
        return after(pour, Event(DONE))
    if other_g:
        before = 0.0 if step.apart else reads_before_g(pour, step.into)
        vodka = Line("vodka", 0.0, Composition.of(water=0.6, ethanol=0.4), 1e-12)
        return after(pour, Event(OTHER, before + other_g, READ, line=vodka))
    reads = reads_g(pour, step) + (share - 1.0) * step.g / (step.times if step.apart else 1)
    return after(pour, Event(DONE, reads, READ))


SHARES = st.sampled_from([1.0, 1.0, 1.0, 0.6, 0.9, 1.04, 1.5])


@given(st.sampled_from(SPECS), st.lists(st.tuples(SHARES, st.sampled_from([0.0] * 6 + [5.0, 40.0])), min_size=1, max_size=7))
@settings(max_examples=60, deadline=None)
def test_every_way_on_carried_out_step_by_step_ends_in_what_it_said(name: str, hands: list[tuple[float, float]]) -> None:
    card = pitcher_card(name)
    if card is None:
        return
    pour = exactly(pouring.pour_of(demo(), card))
    for share, other_g in hands:
        if not pour.ahead:
            return
        pour = missed(pour, share, other_g)
        if pour.off is not None:
            for chosen in pour.ways:
                assert_carried_out(pour, chosen)
            left = next(way for way in pour.ways if way.way == correct.LEAVE)
            pour = after(pour, Event(WAY, way=left.way))


def assert_carried_out(pour: Pour, chosen: Choice) -> None:
    done = after(pour, Event(WAY, way=chosen.way))
    for _ in range(60):
        if done.ahead:
            done = after(done, Event(DONE))
    assert done.ahead == () and done.off is None
    whole = sum(done.held[VESSEL])
    assert whole == pytest.approx(sum(chosen.ends_g), rel=1e-6), chosen.way
    for place, end in enumerate(chosen.ends_g):
        there = done.held[VESSEL][place] if place < len(done.lines) else 0.0
        assert there == pytest.approx(end, rel=1e-6, abs=1e-6 * whole), chosen.way
    if chosen.restores:
        wants = [line.wanted_g for line in done.lines]
        assert [g / whole for g in done.held[VESSEL]] == pytest.approx([g / sum(wants) for g in wants], abs=1e-9)


def test_a_bottle_that_ran_out_makes_the_batch_smaller_and_the_cup_is_weighed_again(pour: OpenPour) -> None:
    to_the_vessel(pour)
    pour.as_read("600", NOON)
    number = next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.LESS)
    assert cards_of_ways.title(pour.ways[number - 1]) == "There is no more of it: make less, in proportion"
    assert pour.ways[number - 1].size == pytest.approx(600.0 / WANTED["rum-light"])
    pour.choose(number, NOON)
    assert pour.steps[0].title == "Empty the cup"
    to_the_end(pour)
    by = 600.0 / WANTED["rum-light"]
    assert held(pour) == pytest.approx({item: by * g for item, g in WANTED.items()}, rel=1e-3)
    assert pour.mark == "" and pour.come_to.serves == pytest.approx(by * pour.come_to.planned_serves, rel=1e-3)


def test_cup_and_vessel_both_over_are_mended_together(pour: OpenPour) -> None:
    pour.as_read(f"{1.5 * WANTED['citric-25']:.2f}", NOON)
    pour.choose(next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.LEAVE), NOON)
    to_the_vessel(pour)
    pour.as_asked(NOON)
    step = pour.pour.ahead[0]
    pour.as_read(f"{reads_g(pour.pour, step) + 0.4 * step.g:.0f}", NOON)
    number = next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.AGAIN_DRAW_OFF)
    pour.choose(number, NOON)
    assert [step.title for step in pour.steps[:2]] == ["Empty the cup", "Draw off the mix"]
    to_the_end(pour)
    assert held(pour) == pytest.approx(WANTED, rel=1e-3) and pour.mark == ""


def test_water_that_brings_it_near_is_asked_for_and_named_to_the_end(pour: OpenPour) -> None:
    to_the_vessel(pour)
    for _ in range(2):
        pour.as_asked(NOON)
    wrong(pour, "syrup-2-1", WANTED["syrup-1-1"])
    number = next(number for number, way in enumerate(pour.ways, 1) if way.way == correct.NEAREST)
    assert any(move.item == "water" for move in pour.ways[number - 1].adds)
    pour.choose(number, NOON)
    assert any(step.title.startswith("Water") for step in pour.steps)
    to_the_end(pour)
    assert "not on the card" in pour.mark
