"""A guarded process writes nothing, starts nothing, reaches nobody: each way is tried in one of its own."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

TRIES = {
    "open a file": "open(here / 'new', 'w')",
    "append to one": "open(here / 'old', 'a')",
    "open one to read and write": "open(here / 'old', 'r+')",
    "open one by number": "os.open(here / 'new', os.O_CREAT | os.O_WRONLY)",
    "cut one short": "os.truncate(here / 'old', 0)",
    "a name in bytes": "open(os.fsencode(here / 'new'), 'wb')",
    "touch one": "(here / 'old').touch()",
    "remove one": "(here / 'old').unlink()",
    "rename one": "(here / 'old').rename(here / 'new')",
    "replace one": "os.replace(here / 'old', here / 'new')",
    "make a folder": "(here / 'new').mkdir()",
    "remove a folder": "(here / 'folder').rmdir()",
    "link": "os.symlink('/etc', here / 'new')",
    "link hard": "os.link(here / 'old', here / 'new')",
    "change its bits": "os.chmod(here / 'old', 0o777)",
    "make a temporary file": "tempfile.NamedTemporaryFile(dir=here)",
    "a database": "sqlite3.connect(here / 'new')",
    "run a program": "subprocess.run(['touch', str(here / 'new')])",
    "run a shell": "os.system('touch new')",
    "become a program": "os.execv('/bin/sh', ['sh'])",
    "fork": "os.fork()",
    "open a terminal's shell": "pty.spawn('/bin/sh')",
    "reach a server": "socket.create_connection(('127.0.0.1', 9), timeout=1)",
}
PROGRAM = """
import os, pty, pathlib, socket, sqlite3, subprocess, sys, tempfile
from station.files import guard
here = pathlib.Path(sys.argv[1])
guard.install()
try:
    {attempt}
except guard.LookOnly as error:
    print("refused", error.strerror)
"""


def run(folder: Path, attempt: str) -> str:
    argv = [sys.executable, "-c", PROGRAM.format(attempt=attempt), str(folder)]
    return subprocess.run(argv, capture_output=True, text=True, check=False, cwd=folder).stdout


@pytest.mark.parametrize("attempt", TRIES.values(), ids=TRIES)
def test_it_is_refused_and_nothing_changes(tmp_path: Path, attempt: str) -> None:
    (tmp_path / "old").write_text("as it was", encoding="ascii")
    (tmp_path / "folder").mkdir()
    before = (tmp_path / "old").stat()
    assert run(tmp_path, attempt) == "refused this is a look-up: nothing is written\n"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["folder", "old"]
    after = (tmp_path / "old").stat()
    assert (after.st_mode, after.st_mtime_ns, after.st_size) == (before.st_mode, before.st_mtime_ns, 9)


@pytest.mark.parametrize(
    "attempt",
    [
        "print(open(here / 'old').read())",
        "print(open('/dev/null', 'w').write('as it was'), 'as it was')",
        "import json, csv; print('as it was')",
        "print(sqlite3.connect(f'file:{here}/db?mode=ro', uri=True).execute('select 1').fetchone(), 'as it was')",
    ],
)
def test_reading_goes_on(tmp_path: Path, attempt: str) -> None:
    (tmp_path / "old").write_text("as it was", encoding="ascii")
    import sqlite3

    sqlite3.connect(tmp_path / "db").close()
    (tmp_path / "db").touch()
    assert "as it was" in run(tmp_path, attempt)
