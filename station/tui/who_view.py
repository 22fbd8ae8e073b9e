"""Who is working here: asked once a session, before the first thing that is logged. Never guessed."""

from __future__ import annotations

from collections.abc import Callable

from station.desk.logging import who
from station.desk.opening import Opened
from station.tui.field import Card, Field
from station.tui.pane import KeyAction, Pane
from station.tui.view import Host, View

_WHY = (
    "Every weighing is logged with the one who made it.",
    "A name or initials; it is asked once until station is left. The variable STATION_BY names you beforehand.",
)


class WhoView(View):
    """A name, then on with what was begun."""

    KEYS = (
        KeyAction("who.type", (), "accept", hint="type", label="your name"),
        KeyAction("who.accept", ("enter",), "accept", hint="Enter", label="that is me"),
        KeyAction("who.back", ("escape",), "back", hint="Esc", label="back"),
    )

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.name_field, self.card = Field("Who is it?", "type e.g. AB, Sam", lambda: None), Card(classes="card")
        super().__init__(host, self.name_field, self.card, name="who")
        self._then: Callable[[], None] = lambda: None

    @property
    def active_pane(self) -> Pane:
        return self.name_field

    def take(self, then: Callable[[], None]) -> None:
        """What to go on with once the name is known."""
        self._then = then
        self.name_field.propose("")
        self.name_field.activate(True)

    def enter(self) -> None:
        self.card.put(list(_WHY))

    def accept(self) -> None:
        if who(self.shelf, self.name_field.text):
            self.host.back()
            self._then()
        else:
            self.host.say("A name or initials first.", "warn")


def ask_who(host: Host, shelf: Opened, then: Callable[[], None]) -> None:
    """Go on at once where the session's person is known, else after they said so."""
    if who(shelf):
        then()
        return
    view = host.view(WhoView)
    view.take(then)
    host.put_on(view)
