"""Where a pour stands: in the log before the screen says so, once, and taken up there, whatever kills the program."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest
from small_library import NOON, SMALL, SOUR, demo_copy, drink, open_folder, open_small

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.logged import ASKED, READ, Lot, Mark, Weighing
from station.bar.nouns import OF_EDIT
from station.calc.batch import Target
from station.cards import labels
from station.cards import lots as cards
from station.desk import pour_log
from station.desk.batching import batched, batched_spec
from station.desk.log_questions import everything, in_date, trace
from station.desk.logging import log_of
from station.desk.logging_lots import label_of
from station.desk.on_shelf import shelf_of
from station.desk.opening import Opened
from station.desk.pour_log import Asked, Confirmed, Place
from station.lots.log import Log

CHILD = Path(__file__).parent.parent / "support" / "pour_and_die.py"


def begun(opened: Opened, serves: float = 10.0) -> Place:
    answer = batched(opened.blends, "sour", Target(serves=serves), None, NOON, shelf=shelf_of(opened, NOON))
    return pour_log.begin(opened, opened.library.drinks["sour"], answer, Asked(f"{serves:g}"), shelf_of(opened, NOON), NOON)


def confirmed(opened: Opened, place: Place, known: str = ASKED) -> Place:
    line = place.lines[place.done]
    return pour_log.confirm(opened, place, place.done, line.g, line.g, known, NOON)


def test_a_pour_is_taken_up_at_its_last_confirmed_weighing_until_it_is_finished(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    assert pour_log.left_at(opened, "sour") is None
    place = begun(opened)
    assert place.done == 0 and log_of(opened).every(Lot) == []
    place = confirmed(opened, confirmed(opened, place))
    left = pour_log.left_at(open_folder(tmp_path), "sour")
    assert left is not None and (left.done, left.asked.target, left.card) == (2, "10", place.card)
    again = begun(open_folder(tmp_path))
    assert again.done == 2 and again.lot == place.lot
    pour_log.finish(opened, place, NOON)
    assert pour_log.left_at(opened, "sour") is None
    assert begun(opened).lot != place.lot


def test_a_lot_keeps_what_it_was_made_by(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    confirmed(opened, begun(opened))
    (lot,) = log_of(opened).every(Lot)
    assert lot.text == SOUR and lot.revision == opened.library.drinks["sour"].revision
    assert (lot.kind, lot.diluted, lot.by, lot.target) == ("batch", False, "AB", "10")
    assert lot.made.utcoffset() is not None and "shake it on ice" in lot.finishing


@pytest.mark.parametrize(("revision", "said"), [("edited from x", True), ("not saved yet", True), ("", False)])
def test_a_lot_poured_from_an_edit_says_so_on_its_label_and_in_the_log(tmp_path: Path, revision: str, said: bool) -> None:
    opened = open_small(tmp_path)
    spec = opened.library.drinks["sour"]
    spec = replace(spec, revision=revision or spec.revision)
    answer = batched_spec(opened.blends, spec, Target(serves=10.0), None, NOON)
    confirmed(opened, pour_log.begin(opened, spec, answer, Asked("10"), shelf_of(opened, NOON), NOON))
    (lot,), house = log_of(opened).every(Lot), opened.library.house
    label = labels.label(label_of(opened, lot.short), house)
    (entry,) = [one for one in everything(opened) if one.what == "pour begun"]
    rows = cards.traced(trace(opened, lot.short), opened.library)
    assert ("Of an edit not saved" in label) == (OF_EDIT in cards.about_entry(entry)) == said
    assert ("Made by an edit of its spec that was not saved." in rows) == said
    assert (OF_EDIT in " ".join(cards.in_date(in_date(opened, NOON), house))) == said


def test_an_edit_that_was_not_saved_says_so_in_the_lots_text(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    spec = replace(opened.library.drinks["sour"], revision="edited from x")
    text = pour_log.text_of(opened, spec)
    assert text.endswith(SOUR) and text.startswith("# Poured from an edit that was not saved") and "# 60 ml spirit\n" in text


def test_what_was_weighed_is_kept_with_how_it_is_known_and_from_which_lot(tmp_path: Path) -> None:
    from station.desk.receiving import Delivery, log_delivery

    opened = open_small(tmp_path)
    juice, _ = log_delivery(opened, Delivery("sour", ta="5.2 g/100ml"), "CD", NOON)
    place = begun(opened)
    line = next(place for place, one in enumerate(place.lines) if one.item == "sour")
    for number, known in ((line, READ), (0 if line else 1, ASKED)):
        pour_log.confirm(opened, place, number, 100.0, 101.5, known, NOON)
    rows = {row.line: row for row in log_of(opened).every(Weighing)}
    assert (rows[line].part, rows[line].known, rows[line].wanted_g, rows[line].actual_g) == (juice.uuid, "read", 100.0, 101.5)
    assert rows[0 if line else 1].part == "" and rows[line].scale in {"fine", "bench"}


def test_a_line_confirmed_at_another_station_is_not_confirmed_again(tmp_path: Path) -> None:
    one, other = open_small(tmp_path), open_folder(tmp_path)
    one.by, other.by = "AB", "CD"
    mine = confirmed(one, begun(one))
    theirs = begun(other)
    confirmed(one, mine)
    with pytest.raises(Confirmed, match="AB confirmed this line at 12:00 already") as told:
        confirmed(other, theirs)
    assert told.value.place.done == 2
    assert [row.line for row in log_of(one).every(Weighing)] == [0, 1]


def test_a_second_opener_is_told_who_has_it_open(tmp_path: Path) -> None:
    one, other = open_small(tmp_path), open_folder(tmp_path)
    one.by, other.by = "AB", "CD"
    mine = begun(one)
    assert pour_log.hold(one, mine, NOON) == ""
    mine = confirmed(one, mine)
    theirs = begun(other)
    assert pour_log.hold(other, theirs, NOON) == "AB has it open since 12:00: only one of you pours."
    pour_log.release(other, theirs, NOON)
    assert pour_log.hold(one, mine, NOON) == ""
    pour_log.release(one, mine, NOON)
    assert pour_log.hold(other, begun(other), NOON) == ""


def test_a_folder_for_sessions_that_cannot_be_had_is_said(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    place = confirmed(opened, begun(opened))
    sessions = log_of(opened).sessions.folder
    if sessions.exists():
        sessions.rmdir()
    sessions.write_text("in the way", encoding="ascii")
    with pytest.raises(CannotAnswer, match="the log cannot be used"):
        pour_log.hold(opened, place, NOON)


def test_taking_back_makes_the_last_weighing_void_and_the_end_too(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    place = confirmed(opened, confirmed(opened, begun(opened)))
    place = pour_log.take_back(opened, place, NOON)
    assert place.done == 1 and [row.line for row in log_of(opened).every(Weighing)] == [0]
    place = confirmed(opened, place)
    pour_log.finish(opened, place, NOON)
    pour_log.unfinish(opened, place, NOON)
    left = pour_log.left_at(opened, "sour")
    assert left is not None and left.done == 2
    assert pour_log.take_back(opened, begun(opened, 11.0), NOON).done == 0


def test_another_target_is_another_lot_and_the_first_stays_half_made(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    confirmed(opened, begun(opened, 10.0))
    confirmed(opened, begun(opened, 11.0))
    assert len(log_of(opened).every(Lot)) == 2
    assert begun(opened, 10.0).done == begun(opened, 11.0).done == 1
    left = pour_log.left_at(opened, "sour")
    assert left is not None and left.asked.target == "11"


def test_nobody_named_confirms_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("STATION_BY")
    opened = open_small(tmp_path)
    with pytest.raises(AmountError, match="nobody is named"):
        confirmed(opened, begun(opened))
    assert pour_log.left_at(opened, "sour") is None


def test_a_log_damaged_between_two_pours_is_begun_anew_with_all_that_is_known(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    place = confirmed(opened, confirmed(opened, begun(opened)))
    (tmp_path / ".station" / "log.db").write_bytes(b"no database" * 999)
    place = confirmed(opened, place)
    assert place.done == 3 and [row.line for row in log_of(opened).every(Weighing)] == [0, 1, 2]
    assert any("damaged" in said for said in log_of(opened).news())
    assert list((tmp_path / ".station").glob("log-damaged-*"))


def test_a_log_that_cannot_be_written_confirms_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = open_small(tmp_path)
    place = confirmed(opened, begun(opened))

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("station.lots.store.Store.write", full)
    with pytest.raises(CannotAnswer, match="No space left"):
        confirmed(opened, place)


def test_an_unbatched_drinks_card_is_still_whole(tmp_path: Path) -> None:
    files = {**SMALL, "drinks/plain.toml": drink("build", "spirit: 50 ml", "twist: 1 each | when = 'finish'")}
    opened = open_small(tmp_path, files)
    answer = batched(opened.blends, "plain", Target(serves=4), None, NOON)
    place = pour_log.begin(opened, opened.library.drinks["plain"], answer, Asked("4"), shelf_of(opened, NOON), NOON)
    assert confirmed(opened, place).done == 1


# Killed.


@pytest.mark.parametrize(("kills", "seed"), [(5, 1), pytest.param(100, 2, marks=pytest.mark.long)])
def test_killed_at_any_moment_no_weighing_is_lost_or_twice(kills: int, seed: int, tmp_path: Path) -> None:
    rng, library = random.Random(seed), demo_copy(tmp_path)
    path, met = library / ".station" / "log.db", 0
    before = 0
    while met < kills:
        where = rng.choice(["in the transaction", "after the commit", "before the paint", "after the paint", "any time"])
        shown, killed = _poured(library, where, rng)
        met += killed
        if shown:
            assert shown[0] == min(before, 6), (where, shown, "taken up where the log stood")
        before = _checked(path, shown, before)
    shown, _ = _poured(library, "never", rng)
    assert shown[-1] == 99
    _checked(path, shown, before)


def _poured(library: Path, where: str, rng: random.Random) -> tuple[list[int], bool]:
    """One run of the program: how many lines it showed as confirmed each time, and whether it was killed."""
    inside = where if where != "any time" else "never"
    command = [sys.executable, str(CHILD), str(library), inside, str(rng.randint(1, 9))]
    run = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert run.stdout is not None and run.stderr is not None
    shown = []
    if where == "any time":
        shown.append(run.stdout.readline())
        time.sleep(rng.uniform(0.0, 0.5))
        run.kill()
    rest, errors = run.communicate(timeout=60)
    assert run.returncode in {0, -9}, errors
    return [int(line) for line in [*shown, *rest.splitlines()] if line.strip().isdigit()], run.returncode == -9


def _checked(path: Path, shown: list[int], before: int) -> int:
    """Every weighing the screen said was confirmed is in the log, once, and at most one more; how many of the open pour are."""
    if not path.exists():
        assert not shown or max(shown) == 0
        return 0
    log = Log(path)
    weighings, over = log.every(Weighing), {mark.lot for mark in log.every(Mark) if mark.kind == "finished"}
    for lot in log.every(Lot):
        lines = sorted(row.line for row in weighings if row.lot == lot.uuid)
        assert lines == list(range(len(lines))), "each line once, none missing before another"
        assert lot.uuid not in over or len(lines) == 6
    pending = [lot for lot in log.every(Lot) if lot.uuid not in over]
    assert len(pending) <= 1
    there = len([row for row in weighings if pending and row.lot == pending[0].uuid])
    said = max(shown, default=before)
    if pending and said < 99:
        assert said <= there <= said + 1
    return there
