"""The look-up, as a forced command would run it: by another user who may not write, with every key that would."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from library_state import bytes_in
from pty_app import PtyApp
from small_library import demo_copy

STATION = shutil.which("station", path=str(Path(sys.executable).parent)) or ""
DOWN = "\x1b[B"
NOBODY = "65534"
# Another user, who may read everything (an interpreter may lie where only root looks) and write nothing.
_OTHER = ["setpriv", "--reuid", NOBODY, "--regid", NOBODY, "--clear-groups"]
_OTHER += ["--inh-caps=+dac_read_search", "--ambient-caps=+dac_read_search"]


@pytest.fixture
def library() -> Iterator[Path]:
    """A library another user can look into, in a folder of its own."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        yield demo_copy(Path(folder))


@pytest.fixture
def other_user(library: Path) -> Iterator[list[str]]:
    """What makes a program another user's; where that cannot be, the library is closed to writing."""
    if os.geteuid() == 0 and shutil.which("setpriv"):
        yield _OTHER
        return
    folders = [library, *(path for path in library.rglob("*") if path.is_dir())]
    for one in folders:
        one.chmod(0o555)
    yield []
    for one in folders:
        one.chmod(0o755)


def look(library: Path, prefix: Sequence[str] = (), **env: str) -> PtyApp:
    own = {name: str(library.parent / "home") for name in ("XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME", "HOME")}
    return PtyApp([*prefix, STATION, "--look", "--library", str(library)], {**own, **env}, 100, 30)


def state(folder: Path) -> dict[str, tuple[int, int]]:
    """Every file and folder there is under it, hidden ones too."""
    return {str(path): (path.lstat().st_mtime_ns, path.lstat().st_size) for path in sorted(folder.rglob("*"))}


def test_another_user_looks_up_pours_and_leaves_no_trace(library: Path, other_user: list[str]) -> None:
    before = state(library.parent)
    with look(library, other_user) as app:
        app.wait_for("look-up, nothing is written")
        if other_user:
            assert f"\nUid:\t{NOBODY}\t" in Path(f"/proc/{app.process.pid}/status").read_text(encoding="ascii")
        app.send(f"tin\r{DOWN}24s+-ur\x13\r9")
        app.wait_for("Lime ju")
        app.send("b")
        app.wait_for(lambda screen: any("15 full serves" in line.replace("\u00a0", " ") for line in screen))
        app.send("\rtp")
        app.wait_for("line 1 of 6")
        app.send(" ")
        app.wait_for("line 2 of 6")
        app.send("\x1b")
        time.sleep(0.3)
        app.send("p")
        app.wait_for("line 2 of 6")
        app.send("\x11")
        assert app.wait() == 0
    assert state(library.parent) == before


def test_no_edit_begins(library: Path) -> None:
    with look(library) as app:
        app.wait_for("look-up, nothing is written")
        app.send(f"tin\r{DOWN}")
        app.wait_for("Lime ju")
        app.send("2")
        app.send("4\r+")
        app.wait_quiet()
        assert any("22.5 ml Lime" in line for line in app.screen)
        assert not any(" s save" in line or "not saved yet" in line for line in app.screen)


def test_it_cannot_be_put_to_sleep_and_starts_no_other_program(library: Path) -> None:
    with look(library) as app:
        app.wait_for("look-up, nothing is written")
        app.send("\x1a")
        app.wait_quiet()
        app.send("tin\r")
        app.wait_for("Lime ju")
        children = Path(f"/proc/{app.process.pid}/task/{app.process.pid}/children")
        assert not children.exists() or children.read_text(encoding="ascii") == ""


def test_the_clients_environment_reaches_nothing(library: Path) -> None:
    log = library.parent / "log"
    with look(library, TEXTUAL_LOG=str(log), TEXTUAL_DRIVER="os:system", TEXTUAL_SCREENSHOT="1", TEXTUAL_PRESS="q") as app:
        app.wait_for("look-up, nothing is written")
        app.send("\x11")
        assert app.wait() == 0
    assert not log.exists()


def test_every_way_in_is_shut_while_a_view_asks_for_it(library: Path) -> None:
    """A view that writes in spite of all is refused at the floor, says so, and goes on."""
    program = Path(__file__).with_name("writing_app.py")
    with PtyApp([sys.executable, str(program), str(library)], {}, 100, 30) as app:
        app.wait_for("look-up, nothing is written")
        app.send("tin\rb")
        app.wait_for("this is a look-up: nothing is written")
        app.send("\x1b")
        app.wait_quiet()
        app.send("\x11")
        assert app.wait() == 0
    assert not (library / "written").exists()


@pytest.mark.parametrize(
    "question",
    [
        ["new", "cold-ledger", "--method", "stir", "--line", "rum-light=60 ml"],
        ["copy", "tin-lantern", "tin-two"],
        ["rename", "lime-juice", "lime"],
        ["retire", "tin-lantern"],
        ["migrate", "--ounce", "imperial", "--write"],
    ],
)
def test_questions_that_write_are_refused_too(library: Path, question: list[str]) -> None:
    before = bytes_in(library)
    done = subprocess.run([STATION, "--look", "--library", str(library), *question], capture_output=True, text=True, check=False)
    assert done.returncode == 1 and "nothing is written" in done.stderr and "Traceback" not in done.stderr
    assert bytes_in(library) == before and not (library / ".station").exists()
    shown = subprocess.run([STATION, "--look", "--library", str(library), "list"], capture_output=True, text=True, check=False)
    assert shown.returncode == 0 and "Tin Lantern" in shown.stdout
