"""The open order: fields as typed, edits, undo, drafts, a save that changes nothing else, bad input in one sentence."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_library import demo_copy, open_folder

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.ordered import Ordered
from station.desk.order_document import OrderDocument, open_order, take_up
from station.desk.order_fields import texts_of, with_text

NAME = "harvest-supper"


@pytest.fixture
def document(tmp_path: Path) -> OrderDocument:
    return open_order(open_folder(demo_copy(tmp_path)), NAME)


def again(document: OrderDocument) -> OrderDocument:
    return open_order(open_folder(document.opened.folder), NAME)


def text_of(document: OrderDocument) -> str:
    return (document.opened.folder / document.file).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("key", "typed", "stands"),
    [
        ("guests", "300", 300),
        ("hours", "4,5", 4.5),
        ("hours", "5", 5),
        ("mixed_share", "60 %", 0.6),
        ("overage", "15", "15 %"),
        ("garnish_spoilage", "20 %", "20 %"),
        ("starts", "19", "19:00"),
        ("ready", "3", "3 hours"),
        ("ice_per_guest", "800", "800 g"),
        ("fruit", "usual", "usual"),
    ],
)
def test_a_field_takes_what_a_person_types(key: str, typed: str, stands: object, document: OrderDocument) -> None:
    document.type(key, typed)
    assert document.typing is not None and document.typing.wrong == ""
    assert document.data[key] == stands
    assert document.commit() and document.unsaved


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("guests", "0", "0 is out of range"),
        ("guests", "12.5", "no whole number"),
        ("guests", "many", "no number"),
        ("guests", "", "an order needs its guests"),
        ("date", "soon", "is no date"),
        ("hours", "1,500", "two ways"),
        ("overage", "110 %", "leaves nothing"),
        ("starts", "25:00", "no time of day"),
        ("fruit", "lots", "not known here"),
        ("on_hand.+", "rum-light", "names an item and says no more"),
        ("on_hand.+", "rum-lite=2 l", "there is no item or stock rum-lite"),
        ("lead.+", "tea-gin=soon", "no length of time"),
        ("pours.0.share", "2", "out of range"),
        ("pours.0.share", "", "needs its share"),
    ],
)
def test_what_cannot_be_is_one_sentence_and_the_last_good_answer_stands(
    key: str, typed: str, said: str, document: OrderDocument
) -> None:
    before = document.answer
    document.type(key, typed)
    assert document.typing is not None and said in document.typing.wrong and "\n" not in document.typing.wrong
    assert not document.commit()
    assert isinstance(before, Ordered) and isinstance(document.answer, Ordered)
    assert document.answer.serves == before.serves
    with pytest.raises(CannotAnswer):
        document.save()


def test_the_two_ways_to_say_how_many_take_one_another_s_place(document: OrderDocument) -> None:
    document.type("drinks_per_guest", "3")
    assert document.commit() and not {"first_hour", "per_hour"} & set(document.data)
    document.type("first_hour", "2")
    assert document.commit() and "drinks_per_guest" not in document.data


def test_an_empty_field_goes_back_to_what_is_taken(document: OrderDocument) -> None:
    document.type("starts", "20:00")
    assert document.commit()
    document.type("starts", "")
    assert document.commit() and "starts" not in document.data and document.order.starts is None
    document.type("on_hand.rum-light", "")
    assert document.commit() and list(document.data["on_hand"]) == ["citric-acid"]


def test_undo_and_redo_go_through_every_edit_and_survive_a_save(document: OrderDocument) -> None:
    before = text_of(document)
    for guests in ("200", "300"):
        document.type("guests", guests)
        assert document.commit()
    document.save()
    assert text_of(document) == before.replace("guests = 120", "guests = 300")
    assert not document.unsaved
    assert document.undo() and document.order.guests == 200 and document.unsaved
    assert document.undo() and document.order.guests == 120
    assert not document.undo()
    assert document.redo() and document.redo() and not document.redo()
    assert document.order.guests == 300 and not document.unsaved


def test_a_save_over_another_program_s_change_is_refused_and_the_edit_stays(document: OrderDocument) -> None:
    path = document.opened.folder / document.file
    document.type("guests", "200")
    path.write_text(text_of(document) + "\n# theirs\n", encoding="utf-8")
    document.opened.reread()
    with pytest.raises(CannotAnswer, match="changed by another program"):
        document.save()
    assert document.order.guests == 200
    document.undo()
    document.follow()
    document.type("guests", "200")
    document.save()
    assert "# theirs" in text_of(document) and "guests = 200" in text_of(document)


def test_a_draft_is_there_before_the_next_key_and_is_taken_up(document: OrderDocument) -> None:
    document.type("guests", "250")
    assert document.commit()
    document.type("hours", "6")
    killed = again(document)
    assert take_up(killed)
    assert killed.order.guests == 250 and killed.order.hours == 6.0 and killed.typing is not None
    killed.cancel()
    assert killed.undo() and not killed.unsaved
    assert take_up(again(killed)) == ""  # nothing is left unsaved, so no draft


@pytest.mark.parametrize(
    "content", [{}, {"changes": 3}, {"changes": {"pours.9.share": "1"}}, {"changes": {"guests": "-4"}}, {"changes": {"x": "1"}}]
)
def test_a_draft_that_does_not_fit_is_not_taken_up(content: dict[str, object], document: OrderDocument) -> None:
    from station.desk.kept import ORDERS, drafts_of

    drafts_of(document.opened).write(ORDERS, NAME, content)
    assert take_up(document) == "" and not document.unsaved


@given(
    st.text(max_size=20), st.sampled_from(["guests", "hours", "overage", "date", "on_hand.+", "pours.1.share", "starts", "fruit"])
)
def test_no_text_ends_the_program(text: str, key: str) -> None:
    from datetime import date

    data = {"date": date(2027, 5, 1), "guests": 3, "pours": [{"spec": "a", "share": 1}, {"spec": "b", "share": 0}]}
    try:
        changed = with_text(data, key, text)
    except AmountError as error:
        assert error.reason and error.remedy
    else:
        assert isinstance(texts_of(changed), dict)


def test_an_order_whose_file_is_gone_stays_on_the_screen_and_its_save_says_so(document: OrderDocument) -> None:
    (document.opened.folder / document.file).unlink()
    assert document.opened.reread()
    document.follow()
    document.type("guests", "80")
    with pytest.raises(CannotAnswer, match="is gone"):
        document.save()
    assert document.unsaved and document.data["guests"] == 80
