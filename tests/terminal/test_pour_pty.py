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

from station.bar.logged import CORRECTED, FINISHED, Mark, Weighing
from station.desk.logging import log_of
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


def tap(app: PtyApp, then: str) -> None:
    time.sleep(PAUSE)
    app.send(" ")
    app.wait_for(lambda screen: then in plain(app))


def test_a_pitcher_with_one_mistake_is_corrected_and_comes_out_as_the_card(library: Path) -> None:
    with station(library) as app:
        app.wait_for("The Wren & Gasket")
        app.send("tin\rb")
        app.wait_for(lambda screen: "UNDILUTED · 15 full serves" in plain(app))
        app.send("\rp")
        app.wait_for("line 1 of 7")
        for line in (2, 3, 4):
            tap(app, f"line {line} of 7")
        app.send("1275\r")
        app.wait_for(lambda screen: "Lime juice, fresh: 423 g in, 350 g wanted" in plain(app))
        os.kill(app.process.pid, signal.SIGKILL)
        app.wait()
    with station(library) as app:
        app.wait_for("The Wren & Gasket")
        app.send("tin\rb")
        app.wait_for(lambda screen: "AB left a pour" in plain(app))
        app.send("\rp")
        app.wait_for(lambda screen: "1 draw off, add" in plain(app))
        app.send("3")
        app.wait_for(lambda screen: "line 5 of 7" in plain(app) and "Sugar syrup" in plain(app))
        app.send("\x7f")
        app.wait_for(lambda screen: "1 draw off, add" in plain(app))
        app.send("1")
        app.wait_for("Draw off the mix")
        tap(app, "line 6 of 9")
        for line in (7, 8, 9):
            tap(app, f"line {line} of 9")
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
