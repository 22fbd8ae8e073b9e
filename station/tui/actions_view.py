"""Everything that can be done from where one is, with its keys; found by typing, run by Enter or a tap."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import events

from station.desk.opening import Opened
from station.tui.key_bar import Offer, key_name
from station.tui.pane import KeyAction, Pane, Row, columns, fitted, row
from station.tui.places import PLACES, GoTo
from station.tui.view import Host, View

_HEAD, _KEY = 2, 8


@dataclass(frozen=True, slots=True)
class Doable:
    """One row: what it is called, its key, what runs it."""

    label: str
    key: str
    run: Callable[[], None]


class ActionsPane(Pane):
    """The words typed, and under them what holds them all."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("actions.find", (), "run_chosen", hint="a-z", label="find"),
        KeyAction("actions.run", ("enter",), "run_chosen", hint="Enter", label="do it"),
        KeyAction("actions.down", ("down",), "move", 1),
        KeyAction("actions.up", ("up",), "move", -1),
        KeyAction("actions.page-down", ("pagedown",), "move", 10),
        KeyAction("actions.page-up", ("pageup",), "move", -10),
        KeyAction("actions.rub", ("backspace",), "rub"),
        KeyAction("actions.leave", ("escape",), "leave", hint="Esc", label="back"),
    )

    def __init__(self, leave: Callable[[], None]) -> None:
        super().__init__(id="actions-pane")
        self.leave = leave
        self.place = ""
        self.words = ""
        self.offered: Sequence[Doable] = ()
        self.at = 0

    @property
    def found(self) -> list[Doable]:
        words = self.words.lower().split()
        return [one for one in self.offered if all(word in f"{one.key} {one.label}".lower() for word in words)]

    def typed(self, character: str) -> bool:
        self._find(self.words + character)
        return True

    def rub(self) -> None:
        self._find(self.words[:-1])

    def move(self, by: int) -> None:
        self.at = max(0, min(len(self.found) - 1, self.at + by))
        self.paint()

    def run_chosen(self) -> None:
        found = self.found
        if found:
            found[self.at].run()

    def on_click(self, event: events.Click) -> None:
        place = event.y - _HEAD + self._top()
        if event.y >= _HEAD and place < len(self.found):
            self.at = place
            self.run_chosen()

    def paint(self) -> None:
        cursor = (" ", "cursor")
        rows: list[Row] = [
            (("What to do ", "dim"), (self.words, "strong"), cursor, (f" {len(self.found)}", "dim")),
            row(self.place, "dim"),
        ]
        top = self._top()
        rows += [self._row(place, one) for place, one in enumerate(self.found)][top:]
        self.show(rows if self.found else [*rows, row("  nothing here is called that", "dim")])

    def _row(self, place: int, one: Doable) -> Row:
        style = "chosen" if place == self.at else "text"
        mark = "▸ " if place == self.at else "  "
        width = max(8, self.size.width - _KEY - 3)
        return (
            (mark, style),
            (fitted(one.key, _KEY), style if place == self.at else "key"),
            *columns([("", 0, "<"), (one.label, width, "<")], style),
        )

    def _top(self) -> int:
        return max(0, self.at - max(1, self.size.height - _HEAD) + 1)

    def _find(self, words: str) -> None:
        self.words, self.at = words, 0
        self.paint()


class ActionsView(View):
    """Keys and actions of the place one came from, and the places one can go to."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.pane = ActionsPane(host.back)
        super().__init__(host, self.pane, name="actions")

    @property
    def active_pane(self) -> Pane:
        return self.pane

    def take(self, place: str, offers: Sequence[Offer]) -> None:
        """What can be done where one is now."""
        here = [Doable(action.label, key_name(action), self._back_and(run, action)) for action, run in offers if action.label]
        there = [Doable(f"go to {one.label}", "", self._going(one)) for one in PLACES if not (one.writes and self.pane.looking)]
        self.pane.place, self.pane.offered = place, [*here, *there]
        self.pane.words, self.pane.at = "", 0
        self.pane.activate(True)
        self.pane.paint()

    def _back_and(self, run: Callable[[KeyAction], None], action: KeyAction) -> Callable[[], None]:
        def go_back_and_run() -> None:
            self.host.back()
            if action.keys:
                run(action)

        return go_back_and_run

    def _going(self, place: GoTo) -> Callable[[], None]:
        def go() -> None:
            self.host.back()
            self.host.put_on(self.host.view(place.kind()))

        return go
