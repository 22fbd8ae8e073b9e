"""A whole pitcher poured in a real terminal, with one mistake, seen on the scale and corrected; a kill in between."""

from __future__ import annotations

import os
import re
import shutil
import signal
import sys
import time
from pathlib import Path

import pytest
from pty_app import PtyApp
from small_library import demo_copy

from station.bar.logged import CORRECTED, FINISHED, Lot, Mark, Weighing
from station.cards import labels
from station.desk.logging import log_of
from station.desk.logging_lots import label_of
from station.desk.opening import opened

STATION = shutil.which("station", path=str(Path(sys.executable).parent)) or ""
# Longer than a wet finger bounces.
PAUSE = 0.35


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


def station(library: Path) -> PtyApp:
    return PtyApp([STATION, "--library", str(library)], {"STATION_BY": "AB"}, 80, 24)


def plain(app: PtyApp) -> str:
    return " ".join(" ".join(app.screen).replace("\u00a0", " ").split())


def to_the_pour(app: PtyApp, card: str) -> None:
    """From the list to the pour of a pitcher, past a card that says so."""
    app.wait_for("The Wren & Gasket")
    app.send("tin\rb")
    app.wait_for(lambda screen: card in plain(app))
    app.send("\rp")


def tap(app: PtyApp, then: str) -> None:
    time.sleep(PAUSE)
    app.send(" ")
    app.wait_for(lambda screen: then in plain(app))


def choose(app: PtyApp, number: str) -> None:
    time.sleep(PAUSE)
    app.send(f"{number}\r")


def test_a_pitcher_with_one_mistake_is_corrected_and_comes_out_as_the_card(library: Path) -> None:
    with station(library) as app:
        to_the_pour(app, "UNDILUTED · 15 full serves")
        app.wait_for("line 1 of 6")
        for line in (2, 3, 4):
            tap(app, f"line {line} of 6")
        app.send("1275\r")
        app.wait_for(lambda screen: "Lime juice, fresh: 423 g in, 350 g wanted" in plain(app))
        os.kill(app.process.pid, signal.SIGKILL)
        app.wait()
    with station(library) as app:
        to_the_pour(app, "AB left a pour")
        app.wait_for(lambda screen: "1 draw off, make up" in plain(app))
        choose(app, "3")
        app.wait_for(lambda screen: "line 5 of 6" in plain(app) and "Sugar syrup" in plain(app))
        app.send("\x7f")
        app.wait_for(lambda screen: "1 draw off, make up" in plain(app))
        choose(app, "1")
        app.wait_for("Draw off the mix")
        for line in (5, 6, 7):
            tap(app, f"line {line} of 7")
        tap(app, "7 of 7 lines in")
        app.wait_for("Tip the cup in")
        assert re.search(r"rinse it with a little of the mix", plain(app))
        tap(app, "All lines are in.")
        app.send("\x11")
        assert app.wait() == 0
    log = log_of(opened(str(library)))
    rows, marks = log.every(Weighing), log.every(Mark)
    assert [(row.item, row.known) for row in rows[:4]][-1] == ("lime-juice", "read") and len(rows) == 7
    assert rows[3].actual_g == pytest.approx(1275.0 - sum(row.actual_g for row in rows[2:3]))
    whys = [mark.why for mark in marks if mark.kind == CORRECTED]
    assert whys == ["draw off", "drawn off"]
    assert any(mark.kind == FINISHED for mark in marks)


def test_a_gross_mis_pour_left_in_is_marked_through_a_kill_to_the_end_in_the_log_and_on_the_label(library: Path) -> None:
    left, outside = (
        "over by 423 g of Light rum, left in",
        "acid 0.675 g/100 ml as citric (planned 0.893; outside its window 0.76 to 0.94)",
    )
    with station(library) as app:
        to_the_pour(app, "UNDILUTED · 15 full serves")
        app.wait_for(lambda screen: "line 1 of 6 · 0 g in of 1525 g" in plain(app))
        for line in (2, 3):
            tap(app, f"line {line} of 6")
        app.send("12750\r")
        app.wait_for(lambda screen: "ends at 5360 g with the Pitcher on it: type it again if so." in plain(app))
        app.send("1275\r")
        app.wait_for(lambda screen: "Light rum: 1275 g in, 852 g wanted, over by 423 g" in plain(app))
        choose(app, "3")
        app.wait_for(lambda screen: left in plain(app) and outside in plain(app))
        os.kill(app.process.pid, signal.SIGKILL)
        app.wait()
    with station(library) as app:
        to_the_pour(app, "AB left a pour")
        app.wait_for(lambda screen: left in plain(app) and "1275 g in of 1948 g, 4.03 g in the cup" in plain(app))
        app.wait_for(lambda screen: all(key in screen[-1] for key in ("Space next", "undo", "z zero", "Esc leave", "?")))
        for line in (5, 6):
            tap(app, f"line {line} of 6")
        tap(app, "6 of 6 lines in")
        tap(app, "All lines are in.")
        assert left in plain(app) and "in it: 1948 g, 19.43 serves, 43.4 standard drinks" in plain(app)
        app.send("\x11")
        assert app.wait() == 0
    shelf = opened(str(library))
    (lot,) = log_of(shelf).every(Lot)
    one = label_of(shelf, lot.short)
    said = " ".join(labels.label(one, shelf.library.house)).replace("\u00a0", " ")
    assert "28.3 % vol" in said and f"NOT AS PLANNED: {left}; outside the taste tolerance" in said and outside in said
