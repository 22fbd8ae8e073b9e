"""Where an exception in a view ends: one line, a note in the log, and the list is there again. The framework would exit."""

from __future__ import annotations

from collections import deque
from time import monotonic
from typing import TYPE_CHECKING

from station.bar.say import plain
from station.desk.failing import noted
from station.files.guard import LookOnly

if TYPE_CHECKING:
    from station.tui.app import StationApp
    from station.tui.pane import Pane

# So many failures in so many seconds are one that going back to the list does not end.
_MANY, _SECONDS = 10, 1.0


class Boundary:
    """Catches for one application. `caught` raises what it is given only where it has failed again and again."""

    def __init__(self, app: StationApp) -> None:
        self._app = app
        self._lately: deque[float] = deque(maxlen=_MANY)
        self._painting = False

    def caught(self, error: Exception) -> None:
        """Note it, leave the view it happened in for the list, and say so. What was typed is in its draft."""
        if isinstance(error, LookOnly):
            self._app.say(str(error.strerror), "warn")
            return
        where = noted(self._app.shelf, error)
        now = monotonic()
        self._lately.append(now)
        if len(self._lately) == _MANY and now - self._lately[0] < _SECONDS:
            raise error
        self._app.start_over()
        name = type(error).__name__
        self._app.say(f"That failed ({name}); what you typed is kept. {f'Noted in {where}' if where else ''}", "warn")

    def caught_painting(self, pane: Pane, error: Exception) -> None:
        """As `caught`, once the frame is done: many rows of it may fail alike."""

        def after() -> None:
            self._painting = False
            self.caught(error)

        if not self._painting:
            self._painting = True
            pane.call_later(after)

    def last_words(self, error: BaseException | None) -> str:
        """What is said where the program ends after all. No traceback: it may hold anything a file held."""
        where = noted(self._app.shelf, error) if error else ""
        return plain(f"station: failed ({type(error).__name__}); what you typed is kept. {f'Noted in {where}' if where else ''}")
