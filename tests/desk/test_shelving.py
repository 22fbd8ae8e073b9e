"""New, copied, renamed, retired: every reference follows, every other byte stays, and a failure changes nothing."""

from __future__ import annotations

import fcntl
import json
import multiprocessing
import tempfile
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from library_state import bytes_in, failing_from, figures
from small_library import SMALL, SOUR, demo, demo_copy, drink, open_folder, open_small, stock, write_library

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.shelf import DRINK, ITEM, KINDS, STOCK
from station.desk.checking import check
from station.desk.document import open_document
from station.desk.kept import EDITS, POURS, drafts_of
from station.desk.opening import Opened
from station.desk.renaming import rename
from station.desk.shelving import duplicate, kind_of, lines_of, new_drink, new_stock, retire, titled, unretire
from station.files import disk
from station.files.save import Busy, ChangedOnDisk, digest, save

Question = Callable[[Opened], object]

DATA: dict[str, Any] = {"name": "New One", "method": "stir", "lines": [{"item": "spirit", "amount": "60 ml"}]}
AS_WRITTEN = {name: text.encode() for name, text in SMALL.items()}
ITEMS_FILE = "ingredients/items.toml"
# How people write: comments, CRLF, a byte order mark, quotes of both kinds, an inline table, dotted keys.
UNTIDY = {
    "drinks/untidy.toml": (
        "\ufeff# sour twice, sour first\r\nname = 'Sour sour'  # sour\r\nmethod = \"shake\"\r\n"
        'glass = "sour"\r\ntags = ["sour", "item"]\r\n\r\n'
        '[[lines]]\r\nitem = \'sour\'   # "sour"\r\namount = "20 ml"\r\n\r\n'
        '[[ lines ]]\r\n"item" = "spirit"\r\namount = "60 ml"\r\n\r\n[[lines]]\r\namount = "10 ml"\r\n  item="""sour"""\r\n'
    ).encode(),
    "drinks/inline.toml": (
        'method = "stir"\nlines = [ { item = "sour", amount = "20 ml" }, {amount="60 ml",item="spirit"} ]\nname = "In"'
    ),
    "stocks/mix.toml": 'lines = [{ item = "sour", amount = "1 l" }]\nname = "Mix"\n',
    "ingredients/more.toml": (
        '[fruit]\nname = "Fruit"\nkind = "garnish"\n\n# pressed\n[pressed]\nname = "Pressed"\nkind = "juice"\nbrix = 8\n'
        'from.item = "fruit"\nfrom.low = "20 ml"\n  from.usual = "30 ml"\n'
    ),
}


@pytest.fixture
def small(tmp_path: Path) -> Opened:
    return open_small(tmp_path / "library")


# New and copied.


def test_a_new_drink_is_its_data_in_a_file_of_its_own(small: Opened) -> None:
    before = bytes_in(small.folder)
    answer = new_drink(small, "new-one", DATA)
    assert (answer.did, answer.kind, answer.id, answer.files) == ("new", DRINK, "new-one", ("drinks/new-one.toml",))
    after = bytes_in(small.folder)
    assert tomllib.loads(after.pop("drinks/new-one.toml").decode()) == DATA
    assert after == before
    assert small.library.drinks["new-one"].name == "New One"
    assert [row.id for row in small.find("new one")] == ["new-one"]


def test_a_new_stock_can_be_used_at_once(small: Opened) -> None:
    new_stock(small, "salted", {"name": "Salted", "lines": [{"item": "citric-25", "amount": "10 g"}]})
    new_drink(small, "new-one", {**DATA, "lines": [{"item": "salted", "amount": "1 ml"}]})
    assert [str(fault) for fault in check(small.blends)] == []


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (
            {**DATA, "metod": "stir"},
            "drinks/x.toml would have a fault: metod: the key metod is not known here (did you mean method?)",
        ),
        (
            {**DATA, "lines": [{"item": "spirt", "amount": "60 ml"}]},
            "drinks/x.toml would have a fault: lines 1 item: there is no item or stock spirt (did you mean spirit?)",
        ),
        (
            {**DATA, "lines": [{"item": "spirit", "amount": "2 dorps"}]},
            "drinks/x.toml would have a fault: lines 1 amount: “dorps” is no unit here (did you mean drops?)",
        ),
        ({**DATA, "style": "shakn"}, "drinks/x.toml would have a fault: style: there is no window shakn (did you mean shaken?)"),
        ({**DATA, "lines": []}, "drinks/x.toml would have a fault: lines: there are no lines (add at least one [[lines]])"),
    ],
)
def test_a_drink_with_a_fault_is_not_made(small: Opened, data: dict[str, Any], sentence: str) -> None:
    before = bytes_in(small.folder)
    with pytest.raises(CannotAnswer) as caught:
        new_drink(small, "x", data)
    assert str(caught.value) == sentence
    assert bytes_in(small.folder) == before


def test_a_stock_that_rests_on_itself_is_not_made(small: Opened) -> None:
    with pytest.raises(CannotAnswer, match="stocks go round in a circle: x → x"):
        new_stock(small, "x", {"name": "X", "lines": [{"item": "x", "amount": "1 g"}]})


@pytest.mark.parametrize("name", ["", "A", "a b", "../x", "a/b", "-a", "a--b", "ä", "a\n", "x" * 65, ".a"])
@pytest.mark.parametrize(
    "question",
    [
        lambda opened, name: new_drink(opened, name, DATA),
        lambda opened, name: duplicate(opened, DRINK, "sour", name),
        lambda opened, name: rename(opened, ITEM, "sour", name),
    ],
    ids=["new", "copy", "rename"],
)
def test_what_is_no_id_is_refused(small: Opened, name: str, question: Callable[[Opened, str], object]) -> None:
    before = bytes_in(small.folder.parent)
    with pytest.raises(CannotAnswer, match="is no id"):
        question(small, name)
    assert bytes_in(small.folder.parent) == before


@pytest.mark.parametrize(
    ("question", "taken"),
    [
        (lambda opened: new_drink(opened, "sour", DATA), "sour"),
        (lambda opened: rename(opened, DRINK, "sour", "sour"), "sour"),
        (lambda opened: new_stock(opened, "spirit", DATA), "spirit"),
        (lambda opened: duplicate(opened, STOCK, "citric-25", "water"), "water"),
        (lambda opened: duplicate(opened, ITEM, "spirit", "citric-25"), "citric-25"),
        (lambda opened: rename(opened, ITEM, "spirit", "sugar"), "sugar"),
        (lambda opened: rename(opened, STOCK, "citric-25", "faulty"), "faulty"),
        (lambda opened: rename(opened, ITEM, "spirit", "wrong"), "wrong"),
    ],
)
def test_an_id_is_given_once(tmp_path: Path, question: Question, taken: str) -> None:
    faulty = {"stocks/faulty.toml": "nam = 1\n", "ingredients/more.toml": '[wrong]\nname = "no kind"\n'}
    opened = open_small(tmp_path, faulty)
    before = bytes_in(tmp_path)
    with pytest.raises(CannotAnswer, match=rf"^the id {taken} is taken \(choose another\)$"):
        question(opened)
    assert bytes_in(tmp_path) == before


def test_a_drink_and_an_item_may_share_an_id(small: Opened) -> None:
    new_drink(small, "citric-25", DATA)
    with pytest.raises(CannotAnswer, match="citric-25 is the id of more than one: drink, stock"):
        kind_of(small, "citric-25")
    rename(small, STOCK, "citric-25", "citric")
    assert kind_of(small, "citric-25") == DRINK and kind_of(small, "citric") == STOCK


@pytest.mark.parametrize("name", ["sour-2", "spirits"])
def test_the_nearest_id_is_offered(small: Opened, name: str) -> None:
    with pytest.raises(CannotAnswer, match=f"there is no drink, stock or item {name}") as caught:
        kind_of(small, name)
    assert caught.value.remedy.startswith("did you mean s")
    for kind in KINDS:
        with pytest.raises(CannotAnswer, match=f"there is no {kind} {name}"):
            duplicate(small, kind, name, "x")


def test_a_copied_drink_keeps_its_comments_and_gets_a_name(tmp_path: Path) -> None:
    opened = open_small(tmp_path, UNTIDY)
    before = bytes_in(tmp_path)
    duplicate(opened, DRINK, "untidy", "untidy-two")
    after = bytes_in(tmp_path)
    copy = after.pop("drinks/untidy-two.toml")
    assert copy == before["drinks/untidy.toml"].replace(b"'Sour sour'", b'"Untidy Two"')
    assert after == before
    duplicate(opened, DRINK, "untidy", "untidy-three", "Third")
    assert opened.library.drinks["untidy-three"].name == "Third"


def test_a_copy_of_a_retired_drink_is_on_the_list(small: Opened) -> None:
    retire(small, "sour")
    duplicate(small, DRINK, "sour", "sour-2")
    assert [row.id for row in small.find()] == ["sour-2"]


def test_a_copied_item_and_stock_are_alike_but_for_the_name(small: Opened) -> None:
    before = bytes_in(small.folder)
    duplicate(small, ITEM, "sour", "sour-two")
    duplicate(small, STOCK, "citric-25", "citric-26")
    after = bytes_in(small.folder)
    assert after["ingredients/items.toml"].startswith(before["ingredients/items.toml"].rstrip())
    items = tomllib.loads(after["ingredients/items.toml"].decode())
    assert items["sour-two"] == {**items["sour"], "name": "Sour Two"}
    assert after["stocks/citric-26.toml"] == before["stocks/citric-25.toml"].replace(b"Citric solution", b"Citric 26")
    assert check(small.blends) == ()


# Retired.


@pytest.mark.parametrize("file", ["untidy", "inline", "sour"])
def test_a_retired_drink_is_off_the_list_and_comes_back_as_it_was(tmp_path: Path, file: str) -> None:
    opened = open_small(tmp_path, UNTIDY)
    before = bytes_in(tmp_path)
    assert retire(opened, file).files == (f"drinks/{file}.toml",)
    assert opened.library.drinks[file].retired and file not in {row.id for row in opened.find()}
    assert retire(opened, file).files == ()
    assert unretire(opened, file).did == "unretire"
    assert file in {row.id for row in opened.find()}
    assert bytes_in(tmp_path) == before


# Renamed.


def paths_changed(before: dict[str, bytes], after: dict[str, bytes]) -> set[str]:
    return {name for name in before.keys() | after.keys() if before.get(name) != after.get(name)}


@pytest.mark.parametrize(
    ("kind", "name", "files"),
    [
        (ITEM, "sour", {*(f"drinks/{name}.toml" for name in ("untidy", "inline", "sour")), "stocks/mix.toml", ITEMS_FILE}),
        (ITEM, "fruit", {"ingredients/more.toml"}),
        (STOCK, "citric-25", {"drinks/sour.toml", "measures.toml", "stocks/citric-25.toml", "stocks/zz-new.toml"}),
        (STOCK, "mix", {"stocks/mix.toml", "stocks/zz-new.toml"}),
        (DRINK, "untidy", {"drinks/untidy.toml", "drinks/zz-new.toml"}),
    ],
)
def test_every_reference_follows_and_only_ids_are_spelled_anew(tmp_path: Path, kind: str, name: str, files: set[str]) -> None:
    opened = open_small(tmp_path, UNTIDY)
    before = bytes_in(tmp_path)
    answer = rename(opened, kind, name, "zz-new")
    after = bytes_in(tmp_path)
    assert paths_changed(before, after) == files
    assert set(answer.files) == {file for file in files if file in after}
    assert (answer.did, answer.kind, answer.id, answer.was) == ("rename", kind, "zz-new", name)
    assert check(opened.blends) == ()
    for file, raw in after.items():
        was = before.get(file.replace("zz-new", name), b"")
        assert raw.count(b"\r") == was.count(b"\r") and raw.count(b"#") == was.count(b"#")


def test_water_keeps_its_id(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"ingredients/water.toml": '[water]\nname = "Water"\nkind = "water"\n'})
    with pytest.raises(CannotAnswer, match="it keeps its id"):
        rename(opened, ITEM, "water", "h2o")


def test_what_only_looks_like_the_id_stays(tmp_path: Path) -> None:
    opened = open_small(tmp_path, UNTIDY)
    rename(opened, ITEM, "sour", "zz-new")
    assert (tmp_path / "drinks/untidy.toml").read_bytes() == UNTIDY["drinks/untidy.toml"].replace(  # type: ignore[union-attr]
        b"item = 'sour'", b'item = "zz-new"'
    ).replace(b'"""sour"""', b'"zz-new"')
    assert "sour" in opened.library.drinks


DEMO_IDS = [
    *((DRINK, name) for name in demo().library.drinks),
    *((STOCK, name) for name in demo().library.stocks),
    *((ITEM, name) for name in demo().library.items if name != "water"),
]


@settings(max_examples=12, deadline=None)
@given(st.sampled_from(DEMO_IDS), st.from_regex(r"zz[a-z0-9]{1,6}(-[a-z0-9]{1,5}){0,3}", fullmatch=True))
def test_after_a_rename_every_figure_and_every_other_byte_is_as_it_was(which: tuple[str, str], new: str) -> None:
    kind, name = which
    with tempfile.TemporaryDirectory() as folder:
        opened = open_folder(demo_copy(Path(folder)))
        before, answers = bytes_in(opened.folder), figures(opened)
        rename(opened, kind, name, new)
        after = bytes_in(opened.folder).items()
        assert {file.replace(new, name): raw.replace(new.encode(), name.encode()) for file, raw in after} == before
        again = open_folder(opened.folder)
        for one in (opened, again):
            assert json.loads(json.dumps(figures(one)).replace(f'"{new}"', f'"{name}"')) == answers
        rename(opened, kind, new, name)
        assert bytes_in(opened.folder) == before
        assert not [fault for fault in check(opened.blends) if fault.severity == "error"]


def test_unsaved_work_goes_with_a_renamed_drink(small: Opened) -> None:
    document = open_document(small, "sour")
    document.type(0, "50 ml")
    document.commit()
    kept = drafts_of(small)
    kept.write(POURS, "sour", {"target": "pitcher"})
    draft = kept.read(EDITS, "sour")
    rename(small, DRINK, "sour", "tart")
    assert (kept.read(EDITS, "tart"), kept.read(POURS, "tart")) == (draft, {"target": "pitcher"})
    assert [*kept.names(EDITS), *kept.names(POURS)] == ["tart", "tart"]


def test_a_rename_that_fails_leaves_the_draft_where_it_was(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    drafts_of(small).write(POURS, "sour", {"target": "pitcher"})
    monkeypatch.setattr(disk, "put", failing_from(1))
    with pytest.raises(CannotAnswer):
        rename(small, DRINK, "sour", "tart")
    assert [*drafts_of(small).names(POURS)] == ["sour"]


@pytest.mark.parametrize("raw", [b"= sour\n", b"\xff\xfe"])
def test_a_file_that_cannot_be_read_may_refer_to_it(tmp_path: Path, raw: bytes) -> None:
    opened = open_small(tmp_path, {"drinks/broken.toml": raw})
    before = bytes_in(tmp_path)
    with pytest.raises(CannotAnswer, match="a file that may refer to sour cannot be read") as caught:
        rename(opened, ITEM, "sour", "tart")
    assert [fault.file for fault in caught.value.faults] == ["drinks/broken.toml"]
    assert bytes_in(tmp_path) == before


def test_a_broken_file_that_does_not_name_it_is_in_nobodys_way(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/broken.toml": "= other\n", "drinks/faulty.toml": drink("shake", "sour: 2 dorps")})
    rename(opened, ITEM, "sour", "tart")
    assert b'item = "tart"' in bytes_in(tmp_path)["drinks/faulty.toml"]


# Refused, failed, at odds with others.

CHANGES: dict[str, Question] = {
    "new": lambda opened: new_drink(opened, "x", DATA),
    "copy": lambda opened: duplicate(opened, ITEM, "spirit", "x"),
    "retire": lambda opened: retire(opened, "sour"),
    "rename drink": lambda opened: rename(opened, DRINK, "sour", "x"),
    "rename stock": lambda opened: rename(opened, STOCK, "citric-25", "x"),
    "rename item": lambda opened: rename(opened, ITEM, "citric-acid", "x"),
}


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("newer", [False, True])
def test_a_library_that_is_read_only_is_not_changed(tmp_path: Path, change: str, newer: bool) -> None:
    files = {"station.toml": SMALL["station.toml"].replace("format = 1", "format = 2")} if newer else {}
    opened = open_folder(write_library(tmp_path, files), demo=not newer)
    with pytest.raises(CannotAnswer, match="read only"):
        CHANGES[change](opened)
    assert not (tmp_path / ".station").exists()


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_failure_midway_leaves_the_library_as_it_was(
    small: Opened, change: str, number: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, answers = bytes_in(small.folder), figures(small)
    monkeypatch.setattr(disk, "put", failing_from(number))
    try:
        CHANGES[change](small)
    except CannotAnswer as error:
        assert str(error).startswith("nothing was changed: ") and "No space left on device" in str(error)
        assert bytes_in(small.folder) == before and figures(small) == answers
    else:
        assert number > 1
    monkeypatch.undo()


def test_what_another_program_changed_meanwhile_is_not_overwritten(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    import station.desk.writing as module

    def meddle(root: Path, changes: object) -> None:
        (root / "drinks/sour.toml").write_text(SOUR.replace("60 ml", "50 ml"))
        save_all(root, changes)  # type: ignore[arg-type]

    save_all = module.save_all
    monkeypatch.setattr(module, "save_all", meddle)
    with pytest.raises(CannotAnswer, match=r"nothing was changed: drinks/sour\.toml: was changed since it was read"):
        rename(small, ITEM, "sour", "tart")
    assert bytes_in(small.folder) == {**AS_WRITTEN, "drinks/sour.toml": SOUR.replace("60 ml", "50 ml").encode()}


def test_a_library_that_another_program_holds_is_told(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    from station.files import save as module

    monkeypatch.setattr(module, "LOCK_SECONDS", 0.05)
    (small.folder / ".station").mkdir()
    with (small.folder / ".station" / "lock").open("w") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        with pytest.raises(CannotAnswer, match="another program has been writing to the library"):
            retire(small, "sour")


def test_half_a_change_is_taken_back_when_the_library_is_next_opened(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    before = bytes_in(small.folder)
    monkeypatch.setattr(disk, "put", failing_from(2, times=100))
    with pytest.raises(CannotAnswer, match="half of a change is in place"):
        rename(small, ITEM, "sour", "tart")
    monkeypatch.undo()
    assert bytes_in(small.folder) != before
    assert open_folder(small.folder).library.drinks["sour"].lines[1].item == "sour"
    assert bytes_in(small.folder) == before


def _renamer(folder: Path, times: int) -> None:
    opened = open_folder(folder)
    done, names = 0, ["sour", "tart"]
    while done < times:
        try:
            rename(opened, ITEM, *names)
        except CannotAnswer as error:
            assert "was changed since it was read" in str(error), error
            continue
        names.reverse()
        done += 1


def _saver(folder: Path, times: int) -> None:
    done = 0
    while done < times:
        raw = (folder / "drinks/sour.toml").read_bytes()
        text = raw.decode().replace(f'"{60 + done} ml"', f'"{61 + done} ml"')
        try:
            save(folder, "drinks/sour.toml", text, digest(raw))
        except (ChangedOnDisk, Busy):
            continue
        done += 1


def test_two_programs_one_renaming_and_one_saving_lose_nothing(tmp_path: Path) -> None:
    folder, times = write_library(tmp_path / "library"), 30
    context = multiprocessing.get_context("fork")
    both = [context.Process(target=work, args=(folder, times)) for work in (_renamer, _saver)]
    for process in both:
        process.start()
    for process in both:
        process.join()
    assert [process.exitcode for process in both] == [0, 0]
    saved = SOUR.replace('"60 ml"', f'"{60 + times} ml"').encode()
    assert bytes_in(folder) == {**AS_WRITTEN, "drinks/sour.toml": saved}


# Small things.


def test_an_id_makes_a_name() -> None:
    assert titled("tin-lantern-2") == "Tin Lantern 2"


def test_lines_are_given_as_item_and_amount() -> None:
    assert lines_of(["spirit=60 ml", " sour = 3/4 oz"]) == [
        {"item": "spirit", "amount": "60 ml"},
        {"item": "sour", "amount": "3/4 oz"},
    ]
    for text in ("spirit", "spirit=", "spirit=2 dorps"):
        with pytest.raises(AmountError):
            lines_of([text])


def test_an_item_named_by_a_renamed_stock_of_a_stock_follows(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"stocks/second.toml": stock("citric-25: 10 g", "water: 10 g")})
    before = figures(opened)
    rename(opened, STOCK, "citric-25", "x")
    assert opened.library.stocks["second"].lines[0].item == "x"
    assert json.loads(json.dumps(figures(opened)).replace('"x"', '"citric-25"')) == before
