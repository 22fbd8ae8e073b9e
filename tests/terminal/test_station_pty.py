"""The `station` command in a real terminal, whole tasks as a person does them."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from pty_app import ALTERNATE, PtyApp
from small_library import demo_copy

STATION = shutil.which("station", path=str(Path(sys.executable).parent)) or ""
DOWN = "\x1b[B"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


def station(library: Path, columns: int = 80, lines: int = 24, **env: str) -> PtyApp:
    return PtyApp([STATION, "--library", str(library)], env, columns, lines)


def shows(lines: list[str], words: str) -> bool:
    return any(words in line.replace("\u00a0", " ") for line in lines)


@pytest.mark.parametrize(("columns", "lines"), [(120, 40), (80, 24), (60, 20)])
def test_from_start_to_a_weighed_pitcher_card_and_the_first_pour(library: Path, columns: int, lines: int) -> None:
    with station(library, columns, lines) as app:
        app.wait_for("Borrowed Ladder")
        app.send("tin\rb")
        app.wait_for(lambda screen: shows(screen, "UNDILUTED · 15 full serves"))
        app.wait_for(lambda screen: shows(screen, "reads 1.57 g"))
        app.send("\rp")
        app.wait_for("line 1 of 6")
        app.send(" ")
        app.wait_for("line 2 of 6")
        app.send("\x11")
        assert app.wait() == 0
        assert app.modes == app.modes_before
        assert ALTERNATE not in app.terminal.modes


def test_all_keys_of_the_task_in_one_burst(library: Path) -> None:
    with station(library, 120, 40) as app:
        app.wait_for("Tin Lantern")
        app.send(f"tin\r{DOWN}25\r{DOWN}\x1bsalt\r")
        app.wait_for("Agave spirit, unaged")
        app.send("\x1btin\ry")
        app.wait_for(lambda screen: shows(screen, "25 ml Lime juice, fresh"))


@pytest.mark.parametrize("last", ["3", "1/", "22,5 m"])
def test_killed_after_a_key_the_edit_is_offered_at_the_next_start(library: Path, last: str) -> None:
    with station(library, 120, 40) as app:
        app.wait_for("Tin Lantern")
        app.send(f"tin\r{DOWN}{last}")
        app.wait_for(f"{last} ")
        os.kill(app.process.pid, signal.SIGKILL)
        app.wait()
    with station(library, 120, 40) as app:
        app.wait_for("Unsaved edits were kept: Tin Lantern")
        app.send("tin\r")
        app.wait_for("y takes it up")
        app.send("y")
        app.wait_for("the edit is back")
        app.wait_for(f"{last} ")


@pytest.mark.parametrize(("number", "status"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_told_to_go_it_keeps_the_edit_and_gives_the_terminal_back(library: Path, number: int, status: int) -> None:
    with station(library) as app:
        app.wait_for("Borrowed Ladder")
        app.send(f"tin\r{DOWN}31")
        app.wait_for("31 ")
        app.signal(number)
        assert app.wait() == status
        assert app.modes == app.modes_before
        assert ALTERNATE not in app.terminal.modes
    assert "31" in (library / ".station" / "drafts" / "drinks" / "tin-lantern.json").read_text(encoding="utf-8")


def test_a_broken_file_beside_good_ones_does_not_stop_the_good_ones(library: Path) -> None:
    (library / "drinks" / "borrowed-ladder.toml").write_bytes(b"name = \xff\n")
    with station(library) as app:
        app.wait_for("borrowed-ladder × faulty")
        app.send("borrowed-l\r")
        app.wait_for("is not UTF-8 text")
        app.send("\x1b\x15tin\rb")
        app.wait_for(lambda screen: shows(screen, "UNDILUTED · 15 full serves"))


def test_the_driver_understands_all_that_the_screens_write(library: Path, tmp_path: Path) -> None:
    count = tmp_path / "unknown"
    argv = [sys.executable, str(Path(__file__).with_name("counted_app.py")), str(library), str(count)]
    with PtyApp(argv, {}, 120, 40) as app:
        app.wait_for("Tin Lantern")
        app.send("tin\r25\rb\rwp ")
        app.wait_for("line 2 of")
        app.send("\x11")
        assert app.wait() == 0
    assert count.read_text(encoding="utf-8") == "0"


def test_a_terminal_that_cannot_be_painted_is_refused_in_one_sentence(library: Path) -> None:
    with station(library, TERM="dumb") as app:
        assert app.wait() == 2
        assert app.screen[0].startswith("station: this terminal cannot be painted (TERM=dumb)")


def test_without_a_terminal_there_is_usage_and_exit_2(library: Path) -> None:
    done = subprocess.run(
        [STATION, "--library", str(library)], stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert "usage: station" in done.stderr


def test_bare_station_makes_a_library_of_one_s_own_from_the_demo_once(tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path / "data")}
    with PtyApp([STATION], env, 80, 24) as app:
        app.wait_for("made your own library from the demo")
        app.send("\x03")
        assert app.wait() == 130
    assert (tmp_path / "data" / "bar-station" / "library" / "station.toml").is_file()
    with PtyApp([STATION], env, 80, 24) as app:
        app.wait_for("Borrowed Ladder")
        assert not shows(app.screen, "made your own")
