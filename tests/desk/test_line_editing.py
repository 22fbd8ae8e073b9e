"""Lines come, go, move, change item, time and unit; every sequence can be undone, saved, killed, and reads back as it was."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from small_library import SOUR, open_folder, open_small, write_library

from station.bar.fault import CannotAnswer
from station.calc.answers import Shown
from station.desk.document import Document, open_document
from station.desk.open_line import opened_lines, table_of
from station.desk.opening import Opened
from station.desk.resuming import draft_of, edited_spec, take_up

SPIRIT, JUICE, SYRUP, DROPS, TWIST = range(5)

COMMENTED = """\
# Invented.
name = "Plain Sour"
method = "shake"

# the base
[[lines]]
item = "spirit"
amount = "60 ml"   # jigger

# the acid
[[lines]]
item = "citric-25"
amount = "2 drops"
with = "dropper"
note = "last"
# a drop, not a splash

# loose

[[lines]]
item = "syrup"
amount = "22.5 ml"
"""
BASE = '# the base\n[[lines]]\nitem = "spirit"\namount = "60 ml"   # jigger\n'
ACID = '# the acid\n[[lines]]\nitem = "citric-25"\namount = "2 drops"\nwith = "dropper"\nnote = "last"\n# a drop, not a splash\n'
SWEET = '[[lines]]\nitem = "syrup"\namount = "22.5 ml"\n'
HEAD = '# Invented.\nname = "Plain Sour"\nmethod = "shake"\n'


@pytest.fixture
def document(tmp_path: Path) -> Document:
    return open_document(open_small(tmp_path), "sour")


@pytest.fixture
def commented(tmp_path: Path) -> Document:
    return open_document(open_small(tmp_path, {"drinks/sour.toml": COMMENTED}), "sour")


def edit(document: Document, place: int, text: str) -> None:
    document.type(place, text)
    assert document.commit()


def items(document: Document) -> list[str]:
    return [line.item for line in document.lines]


def saved_text(document: Document) -> str:
    document.save()
    return (document.opened.folder / document.saved.file).read_text()


def killed(document: Document) -> Document:
    again = open_document(open_folder(document.opened.folder), "sour")
    draft = draft_of(again)
    if draft is not None:
        take_up(again, draft)
    return again


def test_a_line_more_is_reckoned_from_its_amount_on(document: Document) -> None:
    before = document.answer
    assert document.add(JUICE + 1, "sugar")
    assert items(document) == ["spirit", "sour", "sugar", "syrup", "citric-25", "twist"]
    assert document.answer == "Sugar has no amount yet"
    document.type(JUICE + 1, "4")
    assert document.lines[JUICE + 1].amount == ""
    assert isinstance(document.answer, Shown) and isinstance(before, Shown)
    assert document.answer.glass.sugar_g_per_100ml > before.glass.sugar_g_per_100ml  # type: ignore[operator]
    document.commit()
    assert document.texts[JUICE + 1] == "4 g"


@pytest.mark.parametrize(("item", "amount"), [("sour", "5 ml"), ("sugar", "5 g"), ("twist", "5 each"), ("citric-25", "5 ml")])
def test_a_bare_number_of_a_new_line_is_what_its_item_is_measured_in(item: str, amount: str, document: Document) -> None:
    document.add(0, item)
    edit(document, 0, "5")
    assert document.texts[0] == amount


def test_leaving_a_new_line_without_an_amount_is_no_edit(document: Document) -> None:
    document.add(0, "sugar")
    document.type(0, "")
    assert document.commit() and len(document.states) == 2


def test_a_new_line_can_be_stepped_up_from_nothing(document: Document) -> None:
    document.add(0, "sour")
    document.nudge(0, -1)
    assert document.texts[0] == ""
    document.nudge(0, 1)
    assert document.texts[0] == "7.5 ml"


def test_a_drink_without_lines_says_so_and_is_not_saved(document: Document) -> None:
    for _ in range(5):
        document.remove(0)
    assert document.answer == "Plain Sour has no line yet"
    with pytest.raises(CannotAnswer, match=r"^not saved: Plain Sour has no line yet \(the edit is kept as a draft\)$"):
        document.save()
    document.remove(0)
    document.nudge(0, 1)
    document.turn_when(0)
    assert document.turn_unit(0) == "" and not document.shift(0, 1)
    again = killed(document)
    assert again.lines == ()
    for _ in range(5):
        assert again.undo()
    assert not again.unsaved


def test_a_removed_line_takes_what_was_typed_in_it(document: Document) -> None:
    document.type(JUICE, "nonsense")
    document.remove(JUICE)
    assert document.typing is None and items(document) == ["spirit", "syrup", "citric-25", "twist"]


def test_what_is_no_amount_holds_every_other_edit_back(document: Document) -> None:
    document.type(JUICE, "nonsense")
    document.remove(SPIRIT)
    document.set_item(SPIRIT, "sour")
    document.turn_when(SPIRIT)
    assert not document.add(0, "sugar") and not document.shift(SPIRIT, 1) and document.turn_unit(SPIRIT) == ""
    assert len(document.states) == 1 and document.typing is not None


def test_a_line_moves_as_far_as_there_are_lines(document: Document) -> None:
    assert document.shift(SPIRIT, 1) and items(document)[:2] == ["sour", "spirit"]
    assert not document.shift(0, -1) and not document.shift(TWIST, 1)
    assert document.shift(1, -1) and not document.unsaved


def test_another_item_keeps_the_rest_of_the_line(commented: Document) -> None:
    commented.set_item(1, "syrup")
    assert table_of(commented.lines[1]) == {"item": "syrup", "amount": "2 drops", "with": "dropper", "note": "last"}
    assert saved_text(commented) == COMMENTED.replace('item = "citric-25"', 'item = "syrup"')


def test_when_goes_round_and_moves_the_balance(document: Document) -> None:
    before = document.answer
    assert document.when(SYRUP) == "batch"
    document.turn_when(SYRUP)
    assert document.when(SYRUP) == document.spec.lines[SYRUP].when == "service"
    document.turn_when(SYRUP)
    assert document.when(SYRUP) == "finish"
    assert isinstance(document.answer, Shown) and isinstance(before, Shown)
    assert document.answer.before.sugar_g_per_100ml != before.before.sugar_g_per_100ml
    document.turn_when(SYRUP)
    assert document.answer == before and not document.unsaved


@pytest.mark.parametrize(("typed", "plain"), [("top 60 ml", "60 ml"), ("float 15 ml", "15 ml"), ("rinse", "")])
def test_a_line_that_goes_in_at_another_time_no_longer_tops(typed: str, plain: str, document: Document) -> None:
    edit(document, SYRUP, typed)
    assert document.when(SYRUP) == "finish"
    document.turn_when(SYRUP)
    assert (document.when(SYRUP), document.texts[SYRUP]) == ("batch", plain)


def test_a_line_that_is_made_to_top_forgets_when_it_went_in(document: Document) -> None:
    document.turn_when(SYRUP)
    edit(document, SYRUP, "top 60 ml")
    assert table_of(document.lines[SYRUP]) == {"item": "syrup", "amount": "top 60 ml"}


def test_drops_become_grams_and_come_round_to_the_same_drops(document: Document) -> None:
    assert isinstance(document.answer, Shown)
    grams = document.answer.lines[DROPS].g
    said = []
    for _ in range(3):
        said.append(document.turn_unit(DROPS))
        assert document.answer.lines[DROPS].g == pytest.approx(grams, rel=0.005)
    assert document.lines[DROPS].amount == "2 drops" and not document.unsaved
    assert [one.partition(":")[0] for one in said] == ["0.105 g for 2 drops", "0.094 ml for 2 drops", "2 drops for 2 drops"]
    assert said[-1].endswith(": the same") and said[0].endswith("% more by weight")


def test_the_dispenser_counts_again_when_the_amount_is_back_in_its_unit(document: Document) -> None:
    edit(document, DROPS, "0.1 g")
    assert document.spec.lines[DROPS].dispenser == ""
    assert 'with = "dropper"' not in saved_text(document)
    edit(document, DROPS, "3 drops")
    assert document.spec.lines[DROPS].dispenser == "dropper"


def test_a_unit_turned_anew_starts_from_what_stands(document: Document) -> None:
    document.turn_unit(DROPS)
    edit(document, DROPS, "1 ml")
    assert document.turn_unit(DROPS).startswith("1.11 g for 1 ml")


@pytest.mark.parametrize(
    ("place", "said"),
    [(TWIST, "Twist is counted, not weighed"), (SYRUP, "“top” does not say how much (type an amount)")],
)
def test_what_has_no_weight_of_its_own_has_no_other_unit(place: int, said: str, document: Document) -> None:
    if place == SYRUP:
        edit(document, SYRUP, "top")
    with pytest.raises(CannotAnswer) as refused:
        document.turn_unit(place)
    assert str(refused.value) == said


def test_a_line_without_an_amount_has_no_unit_to_turn(document: Document) -> None:
    document.add(0, "sugar")
    with pytest.raises(CannotAnswer, match=r"^Sugar has no amount yet"):
        document.turn_unit(0)


# What a save does to the file's text.


def test_a_new_line_is_one_block_more(commented: Document) -> None:
    commented.add(1, "sour")
    edit(commented, 1, "22.5")
    assert saved_text(commented) == COMMENTED.replace(BASE, BASE + '\n[[lines]]\nitem = "sour"\namount = "22.5 ml"\n')


def test_a_removed_line_is_one_block_less(commented: Document) -> None:
    commented.remove(1)
    assert saved_text(commented) == COMMENTED.replace("\n" + ACID, "")


def test_a_moved_line_takes_its_comments_and_its_other_keys_along_also_as_another_item(commented: Document) -> None:
    commented.shift(0, 1)
    commented.set_item(0, "sour")
    commented.shift(0, 1)
    commented.shift(1, 1)
    assert saved_text(commented) == "\n".join([HEAD, BASE, "# loose\n", SWEET, ACID.replace("citric-25", "sour")])


def test_undo_survives_a_save_of_lines(commented: Document) -> None:
    commented.remove(0)
    commented.shift(0, 1)
    saved_text(commented)
    assert commented.undo() and commented.undo() and commented.unsaved
    assert items(commented) == ["spirit", "citric-25", "syrup"]
    text = saved_text(commented)
    assert ACID in text and [line["item"] for line in tomllib.loads(text)["lines"]] == items(commented)


def test_a_draft_that_would_be_a_fault_is_never_written(document: Document) -> None:
    edit(document, JUICE, "30 ml")
    path = document.opened.folder / ".station" / "drafts" / "drinks" / "sour.json"
    kept = json.loads(path.read_text())
    kept["lines"][kept["states"][1][JUICE]][2] = "to 1 l"
    path.write_text(json.dumps(kept))
    again = killed(document)
    with pytest.raises(CannotAnswer):
        again.save()
    assert (again.opened.folder / again.saved.file).read_text() == SOUR


@pytest.mark.parametrize(
    "change",
    [
        {"lines": None},
        {"lines": [[0, "spirit"]]},
        {"lines": [[0, "no id!", "60 ml", "", "", {}]], "states": [[0]], "at": 0},
        {"lines": [[0, "spirit", "60 mx", "", "", {}]], "states": [[0]], "at": 0},
        {"lines": [[0, "spirit", "60 ml", "", "later", {}]], "states": [[0]], "at": 0},
        {"lines": [[0, "spirit", "60 ml", "", "", {"x": 1}]], "states": [[0]], "at": 0},
        {"lines": [[0, "spirit", "60 ml", "", "", {"amount": "1 ml"}]], "states": [[0]], "at": 0},
        {"states": []},
        {"states": [[99]], "at": 0},
        {"states": [[-1]], "at": 0},
        {"states": [["0"]], "at": 0},
        {"states": [3], "at": 0},
        {"at": 7},
        {"at": "0"},
        {"typing": [99, "x"]},
        {"typing": [0]},
        {"shape": 3},
        {"shape": []},
    ],
    ids=str,
)
def test_a_draft_that_is_not_whole_is_put_aside(change: dict[str, object], document: Document) -> None:
    edit(document, JUICE, "30 ml")
    path = document.opened.folder / ".station" / "drafts" / "drinks" / "sour.json"
    path.write_text(json.dumps(json.loads(path.read_text()) | change))
    again = open_document(open_folder(document.opened.folder), "sour")
    assert draft_of(again) is None and again.message
    assert not path.exists()


def test_the_spec_of_a_kept_edit_can_be_had_without_writing(document: Document) -> None:
    assert edited_spec(open_document(document.opened, "sour")) is None
    edit(document, JUICE, "30 ml")
    document.remove(SPIRIT)
    document.type(0, "40")
    path = document.opened.folder / ".station" / "drafts" / "drinks" / "sour.json"
    before = path.read_text()
    spec = edited_spec(open_document(open_folder(document.opened.folder), "sour"))
    assert spec is not None and [line.amount.text for line in spec.lines] == ["30 ml", "22.5 ml", "2 drops", "1 each"]
    assert path.read_text() == before
    document.cancel()
    document.add(0, "sugar")
    assert edited_spec(open_document(open_folder(document.opened.folder), "sour")) is None


# Any sequence of edits.

PLACES = st.integers(0, 6)
AMOUNTS = st.sampled_from(
    ["30 ml", "3/4 oz", "2 dashes", "top 60 ml", "rinse", "5", "2 drops", "4 g", "", "x", "1 each", "to 1 l"]
)
STEPS = st.one_of(
    st.tuples(st.just("type"), PLACES, AMOUNTS),
    st.tuples(st.just("nudge"), PLACES, st.sampled_from([-2, -1, 1, 2])),
    st.tuples(st.just("add"), PLACES, st.sampled_from(["spirit", "sour", "sugar", "twist", "citric-25", "water"])),
    st.tuples(st.just("remove"), PLACES),
    st.tuples(st.just("shift"), PLACES, st.sampled_from([-1, 1])),
    st.tuples(st.just("set_item"), PLACES, st.sampled_from(["spirit", "sour", "sugar"])),
    st.tuples(st.just("turn_when"), PLACES),
    st.tuples(st.just("turn_unit"), PLACES),
    st.sampled_from([("commit",), ("cancel",), ("undo",), ("redo",), ("save",), ("kill",)]),
)


def fresh(folder: Path) -> Path:
    for path in (folder / ".station" / "drafts").rglob("*.json"):
        path.unlink()
    return write_library(folder)


def do(document: Document, name: str, arguments: tuple[object, ...]) -> Document:
    """One step, where the screens could take it."""
    if name == "kill":
        again = killed(document)
        assert (again.lines, again.typing) == (document.lines, document.typing)
        return again
    if name in {"type", "set_item", "turn_unit", "nudge", "shift", "remove", "turn_when"} and arguments[0] >= len(document.lines):  # type: ignore[operator]
        return document
    try:
        getattr(document, name)(*arguments)
    except CannotAnswer:
        return document
    if name == "save":
        library = open_folder(document.opened.folder)
        assert not document.unsaved and not library.library.faults
        assert library.library.drinks["sour"].lines == document.spec.lines
        rows = tomllib.loads((library.folder / "drinks" / "sour.toml").read_text())["lines"]
        assert opened_lines(rows) == document.saved_lines
    return document


@given(st.lists(STEPS, max_size=12))
@example([("remove", 0), ("save",), ("undo",), ("kill",), ("redo",)])
@example([("type", 3, "1 ml"), ("save",), ("type", 3, "2 drops"), ("kill",), ("save",)])
@example([("add", 0, "sugar"), ("type", 0, "5"), ("kill",), ("shift", 0, 1), ("save",), ("undo",), ("save",)])
@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_edited_a_save_reads_back_a_kill_loses_nothing_and_undo_comes_to_the_beginning(
    tmp_path: Path, steps: list[tuple[object, ...]]
) -> None:
    document = open_document(open_folder(fresh(tmp_path)), "sour")
    first, saves = document.lines, 0
    for name, *arguments in steps:
        document = do(document, str(name), tuple(arguments))
        saves += name == "save" and not document.unsaved
        assert isinstance(document.answer, Shown | str)
        assert (document.opened.folder / ".station/drafts/drinks/sour.json").exists() == document.unsaved
    while document.undo():
        pass
    assert document.lines == (first if not saves else document.states[0])
    if not saves:
        assert not document.unsaved and document.spec == document.saved


@given(st.lists(STEPS.filter(lambda step: step[0] not in {"save", "kill"}), max_size=10))
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_comments_of_lines_that_stay_are_in_the_file_to_the_byte(tmp_path: Path, steps: list[tuple[object, ...]]) -> None:
    folder = fresh(tmp_path)
    (folder / "drinks" / "sour.toml").write_text(COMMENTED)
    document = open_document(open_folder(folder), "sour")
    for name, *arguments in steps:
        document = do(document, str(name), tuple(arguments))
    try:
        text = saved_text(document)
    except CannotAnswer:
        return
    keys = {line.key for line in document.lines}
    assert HEAD in text and "# loose\n" in text
    for key, comment in ((0, "# the base"), (1, "# a drop, not a splash")):
        assert (comment in text) == (key in keys) or not keys & {0, 1, 2}


def test_a_library_that_is_read_only_keeps_the_edit(tmp_path: Path) -> None:
    document = open_document(Opened(write_library(tmp_path), demo=True), "sour")
    document.remove(JUICE)
    with pytest.raises(CannotAnswer, match=r"^this library is read only"):
        document.save()
    assert items(killed(document)) == ["spirit", "syrup", "citric-25", "twist"]
