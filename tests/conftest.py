"""Every test, and every program a test starts, has data, state and cache folders of its own."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

# The same samples in every run, so that a red run is a change's and not a draw's; speed is measured in bench/, not here.
settings.register_profile("seeded", derandomize=True, deadline=None)
settings.load_profile("seeded")

_FOLDERS = ("XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME")
# A program started without bytecode of its own compiles itself each time: two or three times as long.
_TERMINAL = ("STATION_BY", "STATION_LIBRARY", "STATION_ASCII", "NO_COLOR", "LC_ALL", "LC_CTYPE", "PYTHONDONTWRITEBYTECODE")


@pytest.fixture(autouse=True, scope="session")
def own_folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Nothing is read from, or left in, the folders of whoever runs the tests; their terminal decides nothing."""
    before = {name: os.environ.get(name) for name in (*_FOLDERS, *_TERMINAL, "LANG")}
    root = tmp_path_factory.mktemp("home")
    os.environ.update({name: str(Path(root) / name.lower()) for name in _FOLDERS})
    for name in _TERMINAL:
        os.environ.pop(name, None)
    os.environ["LANG"] = "C.UTF-8"
    # Who logs what a test logs; a test that asks what happens without takes it away.
    os.environ["STATION_BY"] = "AB"
    yield
    for name, value in before.items():
        if value is None:
            os.environ.pop(name, None)
        else:
            os.environ[name] = value
