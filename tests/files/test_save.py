"""A save is whole or not at all, never over somebody else's work, and never out of the library."""

from __future__ import annotations

import errno
import fcntl
import multiprocessing
import os
import random
import stat
import time
import tomllib
from multiprocessing.synchronize import Event
from pathlib import Path
from typing import Any

import pytest

from station.files import save as module
from station.files.save import KEPT_PER_FILE, Busy, ChangedOnDisk, NotWritable, OutsideLibrary, digest, save

OLD, NEW = b"name = 'old'\n", "name = 'new'\n"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    root = tmp_path / "bar"
    (root / "drinks").mkdir(parents=True)
    (root / "drinks" / "a.toml").write_bytes(OLD)
    return root


def spec(library: Path) -> Path:
    return library / "drinks" / "a.toml"


def replaced(library: Path) -> list[Path]:
    folder = library / ".station" / "replaced"
    return sorted(folder.iterdir()) if folder.exists() else []


def spares(library: Path) -> list[Path]:
    return [path for path in library.rglob("*") if path.suffix == ".new"]


def test_a_save_replaces_the_text_and_gives_its_digest(library: Path) -> None:
    assert save(library, "drinks/a.toml", NEW, digest(OLD)) == digest(NEW.encode())
    assert spec(library).read_text() == NEW
    assert spares(library) == []


def test_a_digest_is_the_sha_256_of_the_bytes() -> None:
    # FIPS 180-2, appendix B.1.
    assert digest(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_a_new_file_and_its_folder_are_made(library: Path) -> None:
    assert save(library, "orders/b.toml", NEW, None) == digest(NEW.encode())
    assert (library / "orders" / "b.toml").read_text() == NEW
    assert replaced(library) == []


def test_what_was_replaced_is_kept(library: Path) -> None:
    save(library, "drinks/a.toml", NEW, digest(OLD))
    (copy,) = replaced(library)
    assert copy.read_bytes() == OLD
    assert copy.name.endswith("Z~drinks~a.toml")


def test_the_newest_fifty_of_each_file_are_kept(library: Path) -> None:
    save(library, "b.toml", "x = 0\n", None)
    save(library, "b.toml", "x = 1\n", digest(b"x = 0\n"))
    have = digest(OLD)
    for number in range(KEPT_PER_FILE + 5):
        have = save(library, "drinks/a.toml", f"n = {number}\n", have)
    kept = [path.read_text() for path in replaced(library) if path.name.endswith("~drinks~a.toml")]
    assert kept == [f"n = {number}\n" for number in range(4, KEPT_PER_FILE + 4)]
    assert len(replaced(library)) == KEPT_PER_FILE + 1


def test_two_texts_replaced_at_one_moment_are_both_kept(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(time, "time_ns", lambda: 1_793_777_400_000_000_000)
    save(library, "drinks/a.toml", NEW, digest(OLD))
    save(library, "drinks/a.toml", "x = 1\n", digest(NEW.encode()))
    assert [path.name[:26] for path in replaced(library)] == ["20261104T073000.000000000Z", "20261104T073000.000000001Z"]


def test_the_same_text_touches_nothing(library: Path) -> None:
    os.utime(spec(library), ns=(1, 1))
    before = spec(library).stat()
    assert save(library, "drinks/a.toml", OLD.decode(), digest(OLD)) == digest(OLD)
    after = spec(library).stat()
    assert (after.st_mtime_ns, after.st_ino) == (1, before.st_ino)
    assert replaced(library) == []


def test_a_save_that_was_made_already_is_no_conflict(library: Path) -> None:
    assert save(library, "drinks/a.toml", OLD.decode(), "another digest") == digest(OLD)


@pytest.mark.parametrize(
    ("relative", "expected", "message"),
    [
        ("drinks/a.toml", "0" * 64, "drinks/a.toml: was changed since it was read (look at both, then decide)"),
        ("drinks/a.toml", None, "drinks/a.toml: a file of this name is there already (choose another name)"),
        ("drinks/b.toml", "0" * 64, "drinks/b.toml: was removed since it was read (save it under a name, or let it go)"),
    ],
)
def test_what_is_not_as_it_was_read_is_left_alone(library: Path, relative: str, expected: str | None, message: str) -> None:
    with pytest.raises(ChangedOnDisk) as caught:
        save(library, relative, NEW, expected)
    assert str(caught.value) == message
    assert (caught.value.relative, caught.value.expected) == (relative, expected)
    assert caught.value.found == (digest(OLD) if relative == "drinks/a.toml" else None)
    assert spec(library).read_bytes() == OLD
    assert not (library / "drinks" / "b.toml").exists()
    assert isinstance(caught.value, OSError)


def test_a_byte_order_mark_is_written_back(library: Path) -> None:
    marked = b"\xef\xbb\xbf" + OLD
    spec(library).write_bytes(marked)
    assert save(library, "drinks/a.toml", OLD.decode(), digest(marked)) == digest(marked)
    save(library, "drinks/a.toml", NEW, digest(marked))
    assert spec(library).read_bytes() == b"\xef\xbb\xbf" + NEW.encode()


@pytest.mark.parametrize("mode", [0o644, 0o600, 0o664, 0o755])
def test_mode_bits_stay(library: Path, mode: int) -> None:
    spec(library).chmod(mode)
    save(library, "drinks/a.toml", NEW, digest(OLD))
    assert stat.S_IMODE(spec(library).stat().st_mode) == mode


def test_a_new_file_has_the_usual_mode(library: Path) -> None:
    before = os.umask(0o027)
    try:
        save(library, "b.toml", NEW, None)
    finally:
        os.umask(before)
    assert stat.S_IMODE((library / "b.toml").stat().st_mode) == 0o640


def test_the_private_folder_is_closed_to_others_and_to_git(library: Path) -> None:
    save(library, "drinks/a.toml", NEW, digest(OLD))
    private = library / ".station"
    assert stat.S_IMODE(private.stat().st_mode) == 0o700
    assert (private / ".gitignore").read_text() == "*\n"
    assert all(stat.S_IMODE(path.stat().st_mode) == 0o600 for path in replaced(library))


# Places.


@pytest.mark.parametrize(
    "relative",
    ["", ".", "..", "../b.toml", "drinks/../../b.toml", "/elsewhere/b.toml", "a\0b", ".station/lock", "drinks/../b.toml"],
)
def test_a_path_that_is_no_place_in_the_library_is_refused(library: Path, relative: str) -> None:
    with pytest.raises(OutsideLibrary) as caught:
        save(library, relative, NEW, None)
    assert caught.value.relative == relative
    assert isinstance(caught.value, ValueError)
    assert not (library.parent / "b.toml").exists()


def test_a_link_out_of_the_library_is_refused(library: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside.toml"
    outside.write_bytes(OLD)
    (library / "link.toml").symlink_to(outside)
    (library / "folder").symlink_to(tmp_path)
    for relative in ["link.toml", "folder/outside.toml"]:
        with pytest.raises(OutsideLibrary, match=r"is no place inside the library \(nothing was written\)"):
            save(library, relative, NEW, digest(OLD))
    assert outside.read_bytes() == OLD


def test_a_link_within_the_library_stays_and_its_target_is_replaced(library: Path) -> None:
    link = library / "link.toml"
    link.symlink_to("drinks/a.toml")
    save(library, "link.toml", NEW, digest(OLD))
    assert link.is_symlink()
    assert spec(library).read_text() == NEW
    assert replaced(library)[0].name.endswith("~drinks~a.toml")


def test_links_in_a_circle_are_refused(library: Path) -> None:
    (library / "a.toml").symlink_to("b.toml")
    (library / "b.toml").symlink_to("a.toml")
    with pytest.raises((OutsideLibrary, NotWritable)):
        save(library, "a.toml", NEW, None)


def test_a_library_that_is_itself_reached_by_a_link_is_written(library: Path, tmp_path: Path) -> None:
    (tmp_path / "door").symlink_to(library)
    save(tmp_path / "door", "drinks/a.toml", NEW, digest(OLD))
    assert spec(library).read_text() == NEW


@pytest.mark.parametrize("name", [".station", ".station/replaced", ".station/lock"])
def test_a_link_in_the_place_of_the_librarys_own_is_not_followed(library: Path, tmp_path: Path, name: str) -> None:
    elsewhere = tmp_path / "elsewhere"
    if name != ".station/lock":
        elsewhere.mkdir()
    (library / name).parent.mkdir(exist_ok=True)
    (library / name).symlink_to(elsewhere)
    with pytest.raises(NotWritable):
        save(library, "drinks/a.toml", NEW, digest(OLD))
    assert not elsewhere.exists() or list(elsewhere.iterdir()) == []
    assert spec(library).read_bytes() == OLD


# What goes wrong.


def test_a_missing_library_is_said_and_not_made(tmp_path: Path) -> None:
    with pytest.raises(NotWritable, match="there is no library folder"):
        save(tmp_path / "none", "a.toml", NEW, None)
    assert not (tmp_path / "none").exists()


def test_a_folder_or_a_pipe_in_the_place_is_refused(library: Path) -> None:
    (library / "b.toml").mkdir()
    os.mkfifo(library / "c.toml")
    for relative in ["b.toml", "c.toml"]:
        with pytest.raises(NotWritable, match="it is not a plain file"):
            save(library, relative, NEW, None)


def test_a_write_protected_file_is_respected(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    if os.geteuid() == 0:  # root may write anything: only the answer can be checked
        monkeypatch.setattr(os, "access", lambda path, mode: False)
    spec(library).chmod(0o444)
    with pytest.raises(NotWritable) as caught:
        save(library, "drinks/a.toml", NEW, digest(OLD))
    assert str(caught.value) == "drinks/a.toml: cannot be written: it is write-protected (mend that, then save again)"
    assert spec(library).read_bytes() == OLD


def test_a_library_where_nothing_can_be_made_is_not_writable(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(path: Path, *_: Any, **__: Any) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(NotWritable) as caught:
        save(library, "drinks/a.toml", NEW, digest(OLD))
    assert caught.value.reason == "Permission denied"
    assert spec(library).read_bytes() == OLD


@pytest.mark.parametrize("nth", [1, 2])  # the copy that is kept, then the file itself
@pytest.mark.parametrize("call", ["write", "fsync"])
def test_a_full_disk_leaves_the_old_text_whole_and_no_spare(
    library: Path, monkeypatch: pytest.MonkeyPatch, call: str, nth: int
) -> None:
    calls = 0
    original = getattr(os, call)

    def full(file: int, *raw: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls < nth:
            return original(file, *raw)
        if raw and calls == nth:
            return original(file, raw[0][:3])  # a disk fills up in the middle
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, call, full)
    with pytest.raises(NotWritable) as caught:
        save(library, "drinks/a.toml", NEW, digest(OLD))
    assert caught.value.reason == "No space left on device"
    assert spec(library).read_bytes() == OLD
    assert spares(library) == []
    assert [path.read_bytes() for path in replaced(library)] == [OLD] * (nth - 1)


def test_a_write_in_pieces_is_written_whole(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    original = os.write
    monkeypatch.setattr(os, "write", lambda file, raw: original(file, raw[:4]))
    save(library, "drinks/a.toml", NEW, digest(OLD))
    assert spec(library).read_text() == NEW


def test_text_and_folder_are_on_the_disk_before_and_after_the_replacement(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    steps: list[str] = []
    fsync, replace = os.fsync, Path.replace

    def noted_fsync(file: int) -> None:
        steps.append("folder" if stat.S_ISDIR(os.fstat(file).st_mode) else "file")
        fsync(file)

    def noted_replace(path: Path, target: Path) -> Path:
        steps.append("replace")
        return replace(path, target)

    monkeypatch.setattr(os, "fsync", noted_fsync)
    monkeypatch.setattr(Path, "replace", noted_replace)
    save(library, "drinks/a.toml", NEW, digest(OLD))
    assert steps == ["file", "file", "replace", "folder"]


@pytest.mark.parametrize(("code", "raised"), [(errno.EINVAL, False), (errno.EIO, True)])
def test_a_drive_that_cannot_sync_folders_is_borne_and_a_broken_one_is_not(
    library: Path, monkeypatch: pytest.MonkeyPatch, code: int, raised: bool
) -> None:
    fsync = os.fsync

    def refuse(file: int) -> None:
        if stat.S_ISDIR(os.fstat(file).st_mode):
            raise OSError(code, os.strerror(code))
        fsync(file)

    monkeypatch.setattr(os, "fsync", refuse)
    if raised:
        with pytest.raises(NotWritable, match="Input/output error"):
            save(library, "drinks/a.toml", NEW, digest(OLD))
    else:
        save(library, "drinks/a.toml", NEW, digest(OLD))
    assert spec(library).read_text() == NEW


def test_an_interruption_leaves_no_spare(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(path: Path, target: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "replace", interrupt)
    with pytest.raises(KeyboardInterrupt):
        save(library, "drinks/a.toml", NEW, digest(OLD))
    assert spares(library) == []
    assert spec(library).read_bytes() == OLD


def test_a_spare_that_a_crash_left_is_in_nobodys_way(library: Path) -> None:
    spec(library).with_name(".a.toml.new").write_text("half a te")
    save(library, "drinks/a.toml", NEW, digest(OLD))
    assert spec(library).read_text() == NEW
    assert spares(library) == []


def test_text_that_utf8_cannot_hold_is_refused(library: Path) -> None:
    with pytest.raises(NotWritable, match=r"'\\udcff' is no character of UTF-8"):
        save(library, "drinks/a.toml", "x = '\udcff'\n", digest(OLD))


# Several programs.


def test_a_lock_that_is_held_too_long_is_said(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "LOCK_SECONDS", 0.05)
    (library / ".station").mkdir()
    with (library / ".station" / "lock").open("w") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        with pytest.raises(Busy) as caught:
            save(library, "drinks/a.toml", NEW, digest(OLD))
    assert str(caught.value) == "drinks/a.toml: another program has been writing to the library for 0.05 s (try again)"
    assert isinstance(caught.value, TimeoutError)
    assert spec(library).read_bytes() == OLD
    save(library, "drinks/a.toml", NEW, digest(OLD))


def counted(number: int, by: str) -> str:
    """A text that shows at once if it is not whole: the number at both ends, and a length that varies."""
    return f"first = {number}\nby = '{by}'\n" + "# filler\n" * (number % 50) + f"last = {number}\n"


def writer(root: Path, name: str, times: int, seed: int) -> None:
    """Adds one to the file's number, `times` times, reading again whenever it is told that it lost."""
    rng = random.Random(seed)
    path = root / "shared.toml"
    done = lost = 0
    while done < times:
        raw = path.read_bytes()
        if rng.random() < 0.1:
            time.sleep(rng.random() / 500)
        try:
            save(root, "shared.toml", counted(tomllib.loads(raw.decode())["first"] + 1, name), digest(raw))
            done += 1
        except ChangedOnDisk as error:
            assert error.expected == digest(raw) != error.found
            lost += 1
    (root / f"{name}.lost").write_text(str(lost))


def reader(path: Path, stop: Event) -> None:
    """Reads without a lock, as the screens do: what it sees is whole, and never older than before."""
    newest = 0
    while not stop.is_set():
        seen = tomllib.loads(path.read_text())
        assert newest <= seen["first"] == seen["last"]
        newest = seen["first"]


def run_two_writers(root: Path, times: int) -> None:
    root.mkdir()
    shared = root / "shared.toml"
    shared.write_text(counted(0, "nobody"))
    context = multiprocessing.get_context("fork")
    stop = context.Event()
    watching = context.Process(target=reader, args=(shared, stop))
    writing = [context.Process(target=writer, args=(root, name, times, seed)) for seed, name in enumerate("ab")]
    for process in [watching, *writing]:
        process.start()
    for process in writing:
        process.join()
    stop.set()
    watching.join()
    assert [process.exitcode for process in [watching, *writing]] == [0, 0, 0]
    assert tomllib.loads(shared.read_text())["first"] == 2 * times
    assert sum(int((root / f"{name}.lost").read_text()) for name in "ab") > 0
    assert [path.name for path in root.iterdir() if path.suffix == ".new"] == []


def test_two_programs_saving_one_file_lose_nothing(tmp_path: Path) -> None:
    run_two_writers(tmp_path / "bar", 200)


@pytest.mark.long
def test_two_programs_saving_one_file_a_thousand_times_lose_nothing(tmp_path: Path) -> None:
    run_two_writers(tmp_path / "bar", 1000)
