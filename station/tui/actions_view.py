"""Everything that can be done from where one is, with its keys; found by typing, run by Enter or a tap."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from station.desk.opening import Opened
from station.tui.chooser import Chooser
from station.tui.key_bar import Offer, key_name
from station.tui.pane import KeyAction, Pane, Row, columns, fitted, row
from station.tui.places import PLACES, GoTo
from station.tui.view import Host, View

_KEY = 8


@dataclass(frozen=True, slots=True)
class Doable:
    """One row: what it is called, its key, what runs it."""

    label: str
    key: str
    run: Callable[[], None]


class ActionsPane(Chooser[Doable]):
    """The words typed, and under them what holds them all."""

    HEAD: ClassVar[int] = 2

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("actions.find", (), "take", hint="a-z", label="find"),
        KeyAction("actions.run", ("enter",), "take", hint="Enter", label="do it"),
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
        self.offered: Sequence[Doable] = ()

    def offer(self, place: str, offered: Sequence[Doable]) -> None:
        """What can be done at that place."""
        self.place, self.offered = place, offered
        self.find()

    def holding(self, words: str) -> Sequence[Doable]:
        wanted = words.lower().split()
        return [one for one in self.offered if all(word in f"{one.key} {one.label}".lower() for word in wanted)]

    def take(self) -> None:
        if self.chosen is not None:
            self.chosen.run()

    def paint(self) -> None:
        rows = [self.looked_for("What to do"), row(self.place, "dim")]
        rows += [self._row(place, self.found[place]) for place in self.in_sight()]
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
        self.pane.activate(True)
        self.pane.offer(place, [*here, *there])

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
