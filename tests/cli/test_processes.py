"""The command as a process: what it imports, closed pipes, ^C, no terminal."""

from __future__ import annotations

import fcntl
import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest
from small_library import write_library

from station.desk.opening import opened
from station.files.places import shipped

STATION = [sys.executable, "-m", "station"]
HEAVY = ("textual", "rich", "pint", "sqlite3")
QUESTIONS = [
    ["list"],
    ["show", "tin-lantern"],
    ["batch", "tin-lantern", "--serves", "40"],
    ["make", "citric-25", "--amount", "500 g"],
    ["check"],
]


def run(*arguments: str, **options: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*STATION, *arguments], capture_output=True, text=True, timeout=60, check=False, **options)  # type: ignore[call-overload, no-any-return]


def loaded_after(code: str, heavy: Sequence[str] = HEAVY) -> set[str]:
    """The heavy modules a fresh interpreter has loaded after running that."""
    ask = f"import sys\n{code}\nprint('loaded', *(name for name in {heavy!r} if name in sys.modules))"
    done = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True, timeout=60)
    return set(done.stdout.splitlines()[-1].split()[1:])


def test_importing_the_command_loads_nothing_heavy() -> None:
    assert loaded_after("import station.cli") == set()


def test_the_screens_list_drinks_before_they_load_what_reckons(tmp_path: Path) -> None:
    folder = str(write_library(tmp_path))
    assert opened(folder).library.drinks  # its index is made
    code = f"import station.tui.start, station.tui.app\nfrom station.desk.opening import opened\nshelf = opened({folder!r})\n"
    code += "shelf.warm_up(); print(shelf.find('plain')[0].name, shelf.house, shelf.loaded)"
    reckons = (
        "station.calc",
        "station.bar.nouns",
        "station.bar.amount",
        "station.science.ethanol",
        "station.lots",
        "pint",
        "sqlite3",
    )
    assert loaded_after(code, reckons) == set()


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question[0])
def test_no_question_loads_screens_units_or_the_log(question: list[str]) -> None:
    arguments = ["--library", str(shipped("specs")), *question]
    assert loaded_after(f"from station import cli\ncli.main({arguments!r})") == set()


def test_the_command_answers_from_anywhere() -> None:
    done = run("--library", str(shipped("specs")), "list", "tin", cwd="/")
    assert (done.returncode, done.stderr) == (0, "") and done.stdout.startswith("tin-lantern  Tin Lantern")


def test_no_terminal_and_no_question_is_usage_and_exit_2(tmp_path: Path) -> None:
    done = run("--library", str(write_library(tmp_path)), stdin=subprocess.DEVNULL)
    assert (done.returncode, done.stdout) == (2, "") and done.stderr.startswith("usage: station")


def test_a_traceback_is_never_an_answer(tmp_path: Path) -> None:
    folder = write_library(tmp_path, {"drinks/bad.toml": b"\xff\x00"})
    for arguments in (["list"], ["check"], ["show", "bad"], ["show", "sour"]):
        assert "Traceback" not in run("--library", str(folder), *arguments).stderr


@pytest.mark.parametrize("question", [["list"], ["batch", "tin-lantern", "--serves", "40", "--json"]], ids=["short", "long"])
def test_a_closed_pipe_is_silent(question: list[str]) -> None:
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [*STATION, "--library", str(shipped("specs")), *question],
        stdout=write,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
        timeout=60,
    )
    os.close(write)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif(not hasattr(fcntl, "F_SETPIPE_SZ"), reason="the size of a pipe can be set on Linux only")
def test_an_interrupt_is_exit_130_without_a_word() -> None:
    # A page of pipe and an answer of more: once the first byte is out the command is in the middle of writing the rest.
    read, write = os.pipe()
    fcntl.fcntl(write, fcntl.F_SETPIPE_SZ, 4096)
    command = [*STATION, "--library", str(shipped("specs")), "batch", "tin-lantern", "--serves", "40", "--json"]
    process = subprocess.Popen(command, stdout=write, stderr=subprocess.PIPE, text=True)
    os.close(write)
    assert os.read(read, 1) == b"{"
    process.send_signal(signal.SIGINT)
    with os.fdopen(read, "rb") as rest:
        rest.read()
    assert process.stderr is not None
    complaint = process.stderr.read()
    process.stderr.close()
    assert (process.wait(timeout=60), complaint) == (130, "")


# An old terminal, or a pipe in a plain locale: figures with a degree sign still come out, as far as they can.
def test_a_stream_that_cannot_write_every_character_is_no_traceback() -> None:
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    done = run("--library", str(shipped("specs")), "batch", "tin-lantern", "--serves", "40", env=environment)
    assert "Traceback" not in done.stderr
