"""Which sessions of the program are running: each holds a lock on a file of its own, which the system lets go when it dies."""

from __future__ import annotations

import fcntl
from contextlib import suppress
from io import BufferedWriter
from pathlib import Path

_FOLDER = "sessions"


class Sessions:
    """The sessions on one library. A file whose session has died is cleared away by whoever meets it."""

    def __init__(self, private: Path) -> None:
        self.folder = private / _FOLDER
        self._own: dict[str, BufferedWriter] = {}

    def here(self, session: str) -> None:
        """This session runs, until the program ends."""
        if session not in self._own:
            self.folder.mkdir(mode=0o700, exist_ok=True)
            file = self._path(session).open("wb")
            fcntl.flock(file, fcntl.LOCK_EX)
            self._own[session] = file

    def runs(self, session: str) -> bool:
        """Whether that session is still running, as far as this machine and disk can tell."""
        if session in self._own:
            return True
        path = self._path(session)
        try:
            with path.open("rb") as file:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
                with suppress(OSError):
                    path.unlink()
        except FileNotFoundError:
            return False
        except OSError:
            return True
        return False

    def _path(self, session: str) -> Path:
        return self.folder / f"{session}.lock"
