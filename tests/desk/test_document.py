"""The open spec: edits, undo across a save, drafts that outlive a killed program, saves that are refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from small_library import SOUR, open_folder, open_small, write_library

from station.bar.fault import CannotAnswer
from station.calc.answers import Shown
from station.desk.document import Document, open_document
from station.desk.kept import drafted
from station.desk.opening import Opened
from station.desk.resuming import draft_of, take_up

SPIRIT, JUICE, SYRUP, DROPS, TWIST = range(5)


@pytest.fixture
def document(tmp_path: Path) -> Document:
    return open_document(open_small(tmp_path), "sour")


def draft_path(document: Document) -> Path:
    return document.opened.folder / ".station" / "drafts" / "drinks" / "sour.json"


def file_text(document: Document) -> str:
    return (document.opened.folder / document.saved.file).read_text()


def acid(document: Document) -> float:
    assert isinstance(document.answer, Shown)
    return document.answer.glass.acid_g_per_100ml or 0.0


def killed(document: Document) -> Document:
    """What another start of the program finds: a new document, the draft offered and taken up."""
    opened = open_folder(document.opened.folder)
    again = open_document(opened, "sour")
    content = draft_of(open_document(opened, "sour"))
    if content is not None:
        take_up(again, content)
    return again


def edit(document: Document, place: int, text: str) -> None:
    document.type(place, text)
    assert document.commit()


def test_an_opened_spec_is_as_it_is_saved(document: Document) -> None:
    assert document.texts == ("60 ml", "22.5 ml", "22.5 ml", "2 drops", "1 each")
    assert not document.unsaved
    assert document.answer == document.answer_saved
    assert document.spec == document.saved


def test_the_balance_moves_while_an_amount_is_typed(document: Document) -> None:
    was = acid(document)
    for text, more in (("3", False), ("30", True), ("30 ", True), ("30 ml", True)):
        document.type(JUICE, text)
        assert (acid(document) > was) is more, text
    assert document.answer_saved == Document(document.opened, document.saved, [document.states[0]]).answer


def test_what_cannot_be_read_yet_leaves_the_balance_as_it_was(document: Document) -> None:
    before = document.answer
    for text, wrong in (
        ("", "no number here"),
        ("22.", ""),
        ("22.5 mx", "“mx” is no unit here"),
        ("-1", "below zero"),
        ("0", "zero"),
    ):
        document.type(JUICE, text)
        assert document.typing is not None and wrong in document.typing.wrong, text
        if wrong:
            assert document.answer == before
            assert not document.commit()
    assert len(document.states) == 1


def test_a_bare_number_is_in_the_lines_unit(document: Document) -> None:
    edit(document, JUICE, "30")
    assert document.texts[JUICE] == "30 ml"
    edit(document, DROPS, "5")
    assert document.texts[DROPS] == "5 drops"


# Four decimals are what is written: what would be written as nothing is refused, not crashed on.
@pytest.mark.parametrize("text", ["0.00001", "0.00004", ".00001 ml"])
def test_an_amount_too_small_to_write_is_refused_or_kept(text: str, document: Document) -> None:
    document.type(JUICE, text)
    assert isinstance(document.answer, Shown | str)
    if document.commit():
        assert isinstance(document.answer, Shown)


amounts = st.one_of(
    st.sampled_from(
        ["30 ml", "1 oz", "3/4 oz", "½ oz", "2 dashes", "1,500 ml", "top", "top 60 ml", "to 1 l", "5", "0", "-", "", "1 each"]
    ),
    st.floats(0.0, 500.0).map(lambda value: f"{value:g}"),
    st.text(alphabet="0123456789. /mlgozdrps½", max_size=8),
)
steps = st.one_of(
    st.tuples(st.just("type"), st.integers(0, 4), amounts),
    st.tuples(st.just("nudge"), st.integers(0, 4), st.integers(-3, 3).filter(bool)),
    st.sampled_from([("commit",), ("cancel",), ("undo",), ("redo",), ("save",), ("kill",)]),
)


@given(st.lists(steps, max_size=10))
@example([("type", JUICE, "30 ml"), ("save",), ("type", JUICE, "35"), ("commit",), ("kill",)])
@example([("type", JUICE, "30 ml"), ("save",), ("undo",), ("kill",), ("redo",)])
@example([("type", DROPS, "1 ml"), ("save",), ("kill",)])
@example([("type", JUICE, "0.00001"), ("kill",)])
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_typed_nothing_breaks_and_a_kill_loses_nothing(tmp_path: Path, many: list[tuple[object, ...]]) -> None:
    document = open_document(open_folder(fresh(tmp_path)), "sour")
    for name, *arguments in many:
        if name == "kill":
            again = killed(document)
            assert again.texts == document.texts
            assert (again.typing and again.typing.text) == (document.typing and document.typing.text)
            document = again
        elif name == "save":
            try:
                document.save()
            except CannotAnswer:
                continue
            assert not document.unsaved and not open_folder(document.opened.folder).library.faults
        else:
            getattr(document, str(name))(*arguments)
        assert isinstance(document.answer, Shown | str)
        assert draft_path(document).exists() == document.unsaved


def fresh(folder: Path) -> Path:
    """The library as it was, without drafts."""
    for path in (folder / ".station" / "drafts").rglob("*.json"):
        path.unlink()
    return write_library(folder)


def test_undo_returns_the_balance_exactly(document: Document) -> None:
    answers = [document.answer]
    for text in ("25 ml", "30 ml", "7 ml"):
        edit(document, JUICE, text)
        answers.append(document.answer)
    for answer in reversed(answers[:-1]):
        assert document.undo()
        assert document.answer == answer
    assert not document.undo() and not document.unsaved
    for answer in answers[1:]:
        assert document.redo()
        assert document.answer == answer
    assert not document.redo()


def test_what_is_being_typed_is_the_first_to_be_undone(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    document.type(JUICE, "35 ml")
    assert document.undo()
    assert (document.typing, document.texts[JUICE]) == (None, "30 ml")


def test_a_new_edit_ends_what_could_be_redone(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    document.undo()
    edit(document, JUICE, "20 ml")
    assert not document.redo()


def test_the_same_amount_again_is_no_edit(document: Document) -> None:
    edit(document, JUICE, "22.5 ml")
    assert len(document.states) == 1 and not document.unsaved


def test_cancel_forgets_what_was_typed(document: Document) -> None:
    document.type(JUICE, "30 ml")
    document.cancel()
    assert not document.unsaved and not draft_path(document).exists()


@pytest.mark.parametrize(
    ("place", "by", "text"),
    [
        (SPIRIT, 1, "67.5 ml"),
        (SPIRIT, -1, "52.5 ml"),
        (JUICE, 2, "37.5 ml"),
        (DROPS, 1, "3 drops"),
        (DROPS, -1, "1 drop"),
        (TWIST, 1, "2 each"),
        (TWIST, -1, "1 each"),
    ],
)
def test_a_nudge_is_a_jigger_step_or_one_more_and_never_to_nothing(place: int, by: int, text: str, document: Document) -> None:
    document.nudge(place, by)
    assert document.texts[place] == text


def test_a_nudge_goes_to_the_next_step_from_between(document: Document) -> None:
    edit(document, SPIRIT, "61 ml")
    document.nudge(SPIRIT, 1)
    assert document.texts[SPIRIT] == "67.5 ml"
    edit(document, SPIRIT, "61 ml")
    document.nudge(SPIRIT, -1)
    assert document.texts[SPIRIT] == "60 ml"


@pytest.mark.parametrize(("text", "more"), [("1 oz", "1.25 oz"), ("20 g", "21 g"), ("0.06 kg", "0.061 kg"), ("6 cl", "6.75 cl")])
def test_a_nudge_is_in_the_lines_own_unit(text: str, more: str, document: Document) -> None:
    edit(document, SPIRIT, text)
    document.nudge(SPIRIT, 1)
    assert document.texts[SPIRIT] == more


def test_a_nudge_takes_what_was_typed_first(document: Document) -> None:
    document.type(SPIRIT, "45")
    document.nudge(SPIRIT, 1)
    assert document.texts[SPIRIT] == "52.5 ml"
    document.type(SPIRIT, "nonsense")
    document.nudge(SPIRIT, 1)
    assert document.typing is not None and document.texts[SPIRIT] == "52.5 ml"


# Drafts.


def test_the_draft_is_there_after_every_key_and_gone_when_clean(document: Document) -> None:
    for text in ("3", "30", "30 m", "30 ml"):
        document.type(JUICE, text)
        assert json.loads(draft_path(document).read_text())["typing"] == [JUICE, text]
    document.commit()
    kept = json.loads(draft_path(document).read_text())
    assert kept["lines"][kept["states"][-1][JUICE]][2] == "30 ml"
    document.undo()
    assert not draft_path(document).exists()


def test_a_kill_while_typing_loses_nothing(document: Document) -> None:
    edit(document, SPIRIT, "50 ml")
    document.type(JUICE, "30 m")
    assert drafted(open_folder(document.opened.folder)) == ("sour",)
    again = killed(document)
    assert again.typing is not None
    assert (again.texts[SPIRIT], again.typing.place, again.typing.text) == ("50 ml", JUICE, "30 m")
    again.cancel()
    assert again.undo() and again.lines == document.states[0]


def test_a_kill_after_an_undo_keeps_what_can_be_redone(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    edit(document, JUICE, "35 ml")
    document.undo()
    again = killed(document)
    assert again.texts[JUICE] == "30 ml"
    assert again.redo() and again.texts[JUICE] == "35 ml"


# Save, go on editing, and be killed: the newest edit is what must come back, not the one that was saved.
def test_a_kill_after_a_save_and_another_edit_brings_back_the_newest(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    document.save()
    edit(document, JUICE, "35 ml")
    again = killed(document)
    assert again.texts[JUICE] == "35 ml"
    assert again.unsaved


def test_a_kill_after_a_save_and_an_undo_brings_back_the_undone(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    document.save()
    document.undo()
    assert document.unsaved
    assert killed(document).texts[JUICE] == "22.5 ml"


def test_a_draft_of_a_file_that_was_changed_since_brings_back_the_edit(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    path = document.opened.folder / "drinks" / "sour.toml"
    path.write_text(SOUR.replace('"60 ml"', '"45 ml"'))
    again = killed(document)
    assert again.texts[JUICE] == "30 ml"
    assert again.undo()


def test_a_draft_of_a_file_that_has_other_lines_since_brings_back_its_own(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    path = document.opened.folder / "drinks" / "sour.toml"
    path.write_text(SOUR.partition('[[lines]]\nitem = "twist"')[0])
    again = killed(document)
    assert again.texts == ("60 ml", "30 ml", "22.5 ml", "2 drops", "1 each")
    assert again.undo() and again.undo() and again.lines == again.saved_lines and len(again.lines) == 4


# Drafts of before there were lines in them: amounts alone, which must fit as many lines.


def of_amounts(document: Document, *states: list[object], typing: object = None) -> None:
    content = {"base": "x", "states": states, "at": len(states) - 1, "typing": typing, "when": "2026-11-25T11:00:00+00:00"}
    draft_path(document).parent.mkdir(parents=True, exist_ok=True)
    draft_path(document).write_text(json.dumps(content))


def test_a_draft_of_amounts_alone_is_taken_up(document: Document) -> None:
    of_amounts(document, list(document.texts), ["60 ml", "30 ml", "22.5 ml", "3 drops", "1 each"], typing=[SPIRIT, "5"])
    again = killed(document)
    assert again.typing is not None and again.typing.text == "5"
    again.cancel()
    assert again.texts == ("60 ml", "30 ml", "22.5 ml", "3 drops", "1 each")
    assert again.spec.lines[DROPS].dispenser == "dropper"
    assert again.undo() and not again.unsaved


def test_a_draft_of_amounts_that_no_longer_fits_is_put_aside_with_one_sentence(document: Document) -> None:
    of_amounts(document, ["60 ml", "30 ml"])
    again = open_document(open_folder(document.opened.folder), "sour")
    assert draft_of(again) is None
    assert again.message == "a kept edit of Plain Sour does not fit it any more and was put aside"
    assert not draft_path(document).exists() and draft_path(document).with_suffix(".unreadable").exists()
    assert draft_of(open_document(open_folder(document.opened.folder), "sour")) is None


@pytest.mark.parametrize(
    "content",
    [
        {},
        {"states": [], "at": 0},
        {"states": [["60 ml"]], "at": 0},
        {"states": [["60 ml"] * 5], "at": 1},
        {"states": [["60 ml"] * 5], "at": -1},
        {"states": [["60 ml"] * 5], "at": True},
        {"states": [["60 ml"] * 4 + ["nonsense"]], "at": 0},
        {"states": [["60 ml"] * 4 + [3]], "at": 0},
        {"states": "60 ml", "at": 0},
        {"states": [["60 ml"] * 5], "at": 0, "typing": [9, "x"]},
        {"states": [["60 ml"] * 5], "at": 0, "typing": [0, 3]},
        {"states": [["60 ml"] * 5], "at": 0, "typing": "x"},
    ],
    ids=str,
)
def test_a_draft_that_is_not_whole_is_not_offered(content: dict[str, object], document: Document) -> None:
    edit(document, JUICE, "30 ml")
    draft_path(document).write_text(json.dumps(content))
    offered = draft_of(open_document(open_folder(document.opened.folder), "sour"))
    assert offered is None or content["at"] is True, "a draft that is not whole was offered"


# Amounts that can be read and cannot stand in a spec (`to`, a bare `top` where the line tops nothing).
@pytest.mark.parametrize("text", ["to 1 l", "top", "top 60 ml"])
def test_a_draft_with_an_amount_the_line_cannot_take_does_no_harm(text: str, document: Document) -> None:
    edit(document, JUICE, "30 ml")
    states = [["60 ml", "22.5 ml", "22.5 ml", "2 drops", "1 each"], ["60 ml", text, "22.5 ml", "2 drops", "1 each"]]
    draft_path(document).write_text(json.dumps({"states": states, "at": 1, "typing": None}))
    again = killed(document)
    assert isinstance(again.answer, Shown | str)


def test_a_draft_that_cannot_be_kept_is_said_once_and_editing_goes_on(document: Document) -> None:
    (document.opened.folder / ".station").write_text("in the way")
    document.type(JUICE, "30 ml")
    assert document.message.startswith("the draft cannot be kept: ")
    assert document.commit() and document.texts[JUICE] == "30 ml"


# Saving.


def test_a_save_changes_the_amount_and_not_another_byte(document: Document) -> None:
    before = file_text(document)
    edit(document, JUICE, "30 ml")
    document.save()
    assert file_text(document) == before.replace('item = "sour"\namount = "22.5 ml"', 'item = "sour"\namount = "30 ml"')
    assert not document.unsaved and not draft_path(document).exists()
    assert document.answer == document.answer_saved
    assert document.opened.library.drinks["sour"].lines[JUICE].amount.text == "30 ml"


def test_undo_survives_a_save(document: Document) -> None:
    first = document.answer
    edit(document, JUICE, "30 ml")
    document.save()
    assert document.undo()
    assert document.unsaved
    assert isinstance(first, Shown) and isinstance(document.answer, Shown)
    assert document.answer.glass == first.glass
    document.save()
    assert file_text(document) == SOUR


def test_saving_twice_changes_nothing(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    document.save()
    path = document.opened.folder / "drinks" / "sour.toml"
    stamp = path.stat().st_mtime_ns
    document.save()
    assert path.stat().st_mtime_ns == stamp


def test_a_save_takes_what_is_being_typed(document: Document) -> None:
    document.type(JUICE, "30")
    document.save()
    assert 'amount = "30 ml"' in file_text(document)


@pytest.mark.parametrize(
    ("place", "text", "said"),
    [
        (JUICE, "30 mx", "“mx” is no unit here"),
        (JUICE, "1,500", "can be read two ways"),
        (JUICE, "2 each", "not saved: what one sour weighs is not known"),
        (JUICE, "2 parts", "not saved: “2 parts” of sour is in parts"),
        (TWIST, "2 ml", None),
    ],
)
def test_nonsense_is_not_saved_and_is_kept_as_a_draft(place: int, text: str, said: str | None, document: Document) -> None:
    document.type(place, text)
    if said is None:
        document.save()
        assert open_folder(document.opened.folder).library.faults == ()
        return
    with pytest.raises(CannotAnswer) as refused:
        document.save()
    assert said in str(refused.value) and "\n" not in str(refused.value)
    assert file_text(document) == SOUR
    assert draft_path(document).exists()


# A line that names a dropper is counted in drops: another unit either stays out of the file or leaves a file that reads.
def test_another_unit_on_a_line_with_a_dispenser_leaves_a_sound_library(document: Document) -> None:
    edit(document, DROPS, "1 ml")
    try:
        document.save()
    except CannotAnswer as refused:
        assert file_text(document) == SOUR, str(refused)
    else:
        assert 'amount = "1 ml"' in file_text(document)
    assert open_folder(document.opened.folder).library.faults == ()


def test_the_demo_is_never_written_and_the_edit_is_kept(tmp_path: Path) -> None:
    opened = open_folder(write_library(tmp_path), demo=True)
    document = open_document(opened, "sour")
    edit(document, JUICE, "30 ml")
    with pytest.raises(CannotAnswer, match=r"^this library is read only \(.*the edit is kept\)$"):
        document.save()
    assert file_text(document) == SOUR
    assert killed(document).texts[JUICE] == "30 ml"


def test_a_library_of_a_newer_format_is_never_written(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"station.toml": "format = 2\n"})
    assert opened.read_only
    document = open_document(opened, "sour")
    edit(document, JUICE, "30 ml")
    with pytest.raises(CannotAnswer, match="read only"):
        document.save()


def test_a_file_changed_on_disk_is_not_written_over(document: Document) -> None:
    theirs = SOUR.replace('"60 ml"', '"45 ml"')
    (document.opened.folder / "drinks" / "sour.toml").write_text(theirs)
    edit(document, JUICE, "30 ml")
    with pytest.raises(CannotAnswer) as refused:
        document.save()
    assert str(refused.value) == (
        "not saved: drinks/sour.toml: was changed since it was read (look at both, then decide) (the edit is kept as a draft)"
    )
    assert file_text(document) == theirs and draft_path(document).exists()


def test_a_file_changed_on_disk_and_read_again_is_not_written_over(document: Document) -> None:
    theirs = SOUR.replace('"60 ml"', '"45 ml"')
    (document.opened.folder / "drinks" / "sour.toml").write_text(theirs)
    document.opened.reread()
    edit(document, JUICE, "30 ml")
    with pytest.raises(CannotAnswer, match="was changed by another program"):
        document.save()
    assert file_text(document) == theirs


def test_a_file_that_is_gone_is_said(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    (document.opened.folder / "drinks" / "sour.toml").unlink()
    with pytest.raises(CannotAnswer, match="was removed since it was read"):
        document.save()


# Another part of the program may have read the folder again after the file was gone.
def test_a_file_that_is_gone_and_read_again_is_said(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    (document.opened.folder / "drinks" / "sour.toml").unlink()
    document.opened.reread()
    with pytest.raises(CannotAnswer):
        document.save()


TOPPED = SOUR.replace(
    'amount = "22.5 ml"\n\n[[lines]]\nitem = "citric-25"', 'amount = "top 60 ml"\n\n[[lines]]\nitem = "citric-25"'
)


@pytest.fixture
def topped(tmp_path: Path) -> Opened:
    return open_small(tmp_path, {"drinks/sour.toml": TOPPED})


@pytest.mark.parametrize(
    ("typed", "kept"), [("90", "top 90 ml"), ("90 ml", "top 90 ml"), ("top 90 ml", "top 90 ml"), ("3 oz", "top 3 oz")]
)
def test_a_line_that_tops_the_glass_goes_on_topping_it(typed: str, kept: str, topped: Opened) -> None:
    document = open_document(topped, "sour")
    edit(document, SYRUP, typed)
    assert document.texts[SYRUP] == kept
    assert document.spec.lines[SYRUP].when == "finish"
    document.save()
    assert f'amount = "{kept}"' in file_text(document)


@pytest.mark.parametrize("typed", ["top 60 ml", "float 15 ml", "rinse"])
def test_a_line_is_made_to_top_float_or_rinse_by_typing_so(typed: str, topped: Opened) -> None:
    document = open_document(topped, "sour")
    edit(document, JUICE, typed)
    assert document.when(JUICE) == document.spec.lines[JUICE].when == "finish"
    document.save()
    assert open_folder(topped.folder).library.drinks["sour"].lines[JUICE].amount.text == typed


@pytest.mark.parametrize(
    ("typed", "said"),
    [("to 1 l", "“to” is for stocks (write how much goes in"), ("float", "it does not say how much (write e.g. float 15 ml)")],
)
def test_what_a_drinks_line_cannot_say_is_refused(typed: str, said: str, topped: Opened) -> None:
    document = open_document(topped, "sour")
    document.type(JUICE, typed)
    assert document.typing is not None and document.typing.wrong.startswith(said)


def test_a_top_that_no_washline_measures_is_not_saved(topped: Opened) -> None:
    document = open_document(topped, "sour")
    document.type(SYRUP, "top")
    assert isinstance(document.answer, str) and "no washline" in document.answer
    with pytest.raises(CannotAnswer, match="no washline"):
        document.save()
