"""Several files change as one: all of them, or none, also when the disk is full or the program is killed in between."""

from __future__ import annotations

import json
import multiprocessing
import os
from pathlib import Path

import pytest
from library_state import bytes_in, failing_from

from station.files import disk, journal
from station.files.save import Change, ChangedOnDisk, NotWritable, OutsideLibrary, digest, mend, save, save_all

OLD = {"a.toml": b"x = 1\n", "b.toml": b"x = 2\n", "c.toml": b"\xef\xbb\xbfx = 3\r\n"}
WANTED = {"a.toml": b"x = 10\n", "d.toml": b"x = 4\n", "e.toml": b"\xef\xbb\xbfx = 3\r\n", "b.toml": b"x = 2\n"}


@pytest.fixture
def library(tmp_path: Path) -> Path:
    root = tmp_path / "bar"
    root.mkdir()
    for name, raw in OLD.items():
        (root / name).write_bytes(raw)
    return root


def changes() -> list[Change]:
    """One file changed, one new, one moved."""
    return [
        Change("a.toml", "x = 10\n", digest(OLD["a.toml"])),
        Change("d.toml", "x = 4\n", None),
        Change("e.toml", "x = 3\r\n", None, like="c.toml"),
        Change("c.toml", None, digest(OLD["c.toml"])),
    ]


def test_all_changes_are_made_and_what_they_replace_is_kept(library: Path) -> None:
    save_all(library, changes())
    assert bytes_in(library) == WANTED
    kept = {path.name.partition("~")[2]: path.read_bytes() for path in (library / ".station" / "replaced").iterdir()}
    assert kept == {name: OLD[name] for name in ("a.toml", "c.toml")}
    assert not journal.pending(library)


def test_a_moved_file_keeps_its_mode(library: Path) -> None:
    (library / "c.toml").chmod(0o640)
    save_all(library, changes())
    assert disk.mode_of(library / "e.toml") == 0o640


@pytest.mark.parametrize("changed", ["a.toml", "c.toml", "d.toml"])
def test_nothing_is_changed_if_one_file_is_not_what_was_read(library: Path, changed: str) -> None:
    (library / changed).write_bytes(b"x = 99\n")
    before = bytes_in(library)
    with pytest.raises(ChangedOnDisk) as caught:
        save_all(library, changes())
    assert caught.value.relative == changed
    assert bytes_in(library) == before


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_failure_midway_puts_back_what_was_replaced(library: Path, number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(disk, "put", failing_from(number))
    with pytest.raises(NotWritable, match="No space left on device"):
        save_all(library, changes())
    assert bytes_in(library) == OLD
    assert not journal.pending(library)
    monkeypatch.undo()
    save_all(library, changes())
    assert bytes_in(library) == WANTED


def test_a_failure_to_remove_the_moved_file_puts_all_back(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(target: Path) -> None:
        if target.name == "c.toml":
            raise PermissionError(13, "Permission denied")
        remove(target)

    remove = disk.remove
    monkeypatch.setattr(disk, "remove", refuse)
    with pytest.raises(NotWritable, match=r"^c\.toml: .*Permission denied"):
        save_all(library, changes())
    assert bytes_in(library) == OLD


def test_half_a_change_that_cannot_be_put_back_is_told_and_taken_back_later(
    library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk, "put", failing_from(2, times=100))
    with pytest.raises(NotWritable, match="half of a change is in place and is taken back at the next save or start"):
        save_all(library, changes())
    assert bytes_in(library)["a.toml"] == b"x = 10\n"
    monkeypatch.undo()
    mend(library)
    assert bytes_in(library) == OLD


def killed_at(library: Path, number: int) -> None:
    """A program that is killed just before its change of that number."""
    calls = 0
    do = journal.do

    def die(root: Path, step: journal.Step) -> None:
        nonlocal calls
        calls += 1
        if calls == number:
            os._exit(9)
        do(root, step)

    journal.do = die
    save_all(library, changes())


@pytest.mark.parametrize("number", [1, 2, 3, 4])
@pytest.mark.parametrize("by_a_save", [False, True])
def test_what_a_killed_program_left_is_taken_back(library: Path, number: int, by_a_save: bool) -> None:
    process = multiprocessing.get_context("fork").Process(target=killed_at, args=(library, number))
    process.start()
    process.join()
    assert process.exitcode == 9 and journal.pending(library)
    if by_a_save:
        save(library, "b.toml", "x = 20\n", digest(OLD["b.toml"]))
        assert bytes_in(library) == {**OLD, "b.toml": b"x = 20\n"}
    else:
        mend(library)
        assert bytes_in(library) == OLD
    assert not journal.pending(library)


def test_what_somebody_else_changed_since_is_left_alone(library: Path) -> None:
    process = multiprocessing.get_context("fork").Process(target=killed_at, args=(library, 3))
    process.start()
    process.join()
    (library / "a.toml").write_bytes(b"x = 77\n")
    mend(library)
    assert bytes_in(library) == {**OLD, "a.toml": b"x = 77\n"}


@pytest.mark.parametrize("text", ["", "{", "[1]", '[{"file": "a.toml"}]', "\x00", "[" * 3000])
def test_a_journal_that_is_not_whole_was_cut_off_before_any_change(library: Path, text: str) -> None:
    save(library, "n.toml", "x = 1\n", None)
    (library / ".station" / "unfinished.json").write_text(text)
    mend(library)
    assert not journal.pending(library)
    assert bytes_in(library) == {**OLD, "n.toml": b"x = 1\n"}


def test_a_forged_journal_reaches_nothing_outside(library: Path) -> None:
    outside = library.parent / "outside.toml"
    outside.write_bytes(b"mine\n")
    save(library, "n.toml", "x = 1\n", None)
    noted = [{"file": "../outside.toml", "becomes": digest(b"mine\n"), "copy": "", "mode": None}]
    (library / ".station" / "unfinished.json").write_text(json.dumps(noted))
    with pytest.raises(OutsideLibrary):
        mend(library)
    assert outside.read_bytes() == b"mine\n"


def test_a_link_is_not_moved(library: Path) -> None:
    (library / "l.toml").symlink_to("a.toml")
    moved = [Change("m.toml", "x = 1\n", None, like="l.toml"), Change("l.toml", None, digest(OLD["a.toml"]))]
    with pytest.raises(NotWritable, match="it is a link to another file"):
        save_all(library, moved)
    assert (library / "l.toml").is_symlink() and not (library / "m.toml").exists()


def test_no_changes_are_no_change(library: Path) -> None:
    save_all(library, [])
    assert bytes_in(library) == OLD and not (library / ".station").exists()
