"""What goes over the wire to terminals of few colours, of none, and of ASCII only."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pty_app import PtyApp
from small_library import demo_copy

STATION = shutil.which("station", path=str(Path(sys.executable).parent)) or ""
SGR = re.compile(rb"\x1b\[([\d;:]*)m")
MARKS = {"", "0", "1", "7", "22", "27"}


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


def driven(library: Path, *options: str, **env: str) -> tuple[bytes, list[str], bool]:
    """All that was sent over a whole task, the screen with a spec open, and whether its chosen row is reversed."""
    with PtyApp([STATION, "--library", str(library), *options], env, 120, 40) as app:
        app.wait_for("Tin Lantern")
        app.send("tin\r")
        app.wait_for("Light rum")
        app.send("22")
        app.wait_for("22 ")
        app.send("\x1b")
        app.wait_quiet()
        chosen = next(y for y, line in enumerate(app.screen) if "Light rum" in line)
        reverse = app.cells[chosen][app.screen[chosen].index("Light rum")].reverse
        shown = app.screen
        app.send("b\rwp ?colours\r\x1b[B\x1b[B\x1b")
        app.wait_quiet()
        app.send("\x11")
        assert app.wait() == 0
        return app.raw_bytes_sent_since(0), shown, reverse


def colours(raw: bytes) -> set[str]:
    """Every parameter of every SGR sequence."""
    return {code for found in SGR.findall(raw) for code in found.decode().replace(":", ";").split(";")}


@pytest.mark.parametrize("driver", ["", "stock"])
def test_no_color_sends_no_colour_whatever_the_theme(library: Path, driver: str) -> None:
    raw, shown, reverse = driven(library, "--theme", "daylight", NO_COLOR="1", STATION_DRIVER=driver)
    assert colours(raw) <= MARKS | ({"39", "49"} if driver else set())
    assert reverse
    assert any("● within" in line for line in shown)


def test_sixteen_colours_are_the_terminals_own(library: Path) -> None:
    raw, _, reverse = driven(library, "--theme", "daylight", TERM="linux", COLORTERM="")
    assert colours(raw) <= MARKS | {"32", "35", "39", "49"} and "32" in colours(raw)
    assert reverse


def test_256_colours_are_of_the_256(library: Path) -> None:
    raw, _, _ = driven(library, COLORTERM="")
    assert b"38;5;" in raw and b"38;2;" not in raw


@pytest.mark.parametrize(("options", "env"), [(("--ascii",), {}), ((), {"STATION_ASCII": "1"}), ((), {"LANG": "C"})])
def test_ascii_only_sends_ascii_only(library: Path, options: tuple[str, ...], env: dict[str, str]) -> None:
    raw, shown, _ = driven(library, *options, **env)
    assert raw.isascii()
    assert any("> " in line and "Light rum" in line for line in shown)
    assert any("O within" in line for line in shown)


def test_a_faulty_theme_is_one_line_and_the_screens_come_up(library: Path, tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text('about = "x"\n', encoding="utf-8")
    with PtyApp([STATION, "--library", str(library), "--theme", str(file)], {}, 120, 40) as app:
        app.wait_for("accent is missing")
        app.wait_for("Tin Lantern")


def test_answers_are_ascii_too_and_json_keeps_every_letter(library: Path) -> None:
    def asked(*arguments: str) -> bytes:
        env = {**os.environ, "LANG": "C", "LC_ALL": "", "LC_CTYPE": ""}
        return subprocess.run([STATION, "--library", str(library), *arguments], env=env, capture_output=True, check=True).stdout

    card = asked("batch", "tin-lantern", "--vessel", "pitcher")
    assert card.isascii() and b"UNDILUTED - 15 full serves" in card and b"at 20 C" not in card
    said = asked("show", "tin-lantern", "--json")
    assert said.isascii() and b"\\u" in said
