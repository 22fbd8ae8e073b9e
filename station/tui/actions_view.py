"""All that can be done: here by its key, in other places by the way there; found by typing, run by Enter or a tap."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from station.desk.opening import Opened
from station.tui.chooser import Chooser
from station.tui.elsewhere import ELSEWHERE, Elsewhere
from station.tui.key_bar import Offer, key_name
from station.tui.pane import KeyAction, Pane, Row, columns, fitted, row
from station.tui.places import PLACES, GoTo
from station.tui.view import Host, View

_KEY = 8
_GO = "go to "


@dataclass(frozen=True, slots=True)
class Doable:
    """One row: what it is called, its key here, what runs it; where it is done elsewhere, the `way` there."""

    label: str
    key: str
    run: Callable[[], None]
    way: str = ""

    def rank(self, words: str) -> int:
        """How well typed words fit: the label begins with them, one of its words does, else they are somewhere in it."""
        label = self.label.lower()
        if label.startswith(words) or label.removeprefix(_GO).startswith(words):
            return 0
        return 1 if f" {words}" in label else 2


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
        """Those that hold all the words, the best first: here, then places, then what is done elsewhere."""
        typed = words.lower().strip()
        wanted = typed.split()
        found = [one for one in self.offered if all(word in f"{one.key} {one.label} {one.way}".lower() for word in wanted)]
        return sorted(found, key=lambda one: one.rank(typed)) if wanted else found

    def take(self) -> None:
        if self.chosen is not None:
            self.chosen.run()

    def paint(self) -> None:
        way = self.chosen.way if self.chosen else ""
        rows = [self.looked_for("What to do"), row(way or self.place, "key" if way else "dim")]
        rows += [self._row(place, self.found[place]) for place in self.in_sight()]
        self.show(rows if self.found else [*rows, row("  nothing here is called that", "dim")])

    def _row(self, place: int, one: Doable) -> Row:
        style = "chosen" if place == self.at else "text"
        mark = "▸ " if place == self.at else "  "
        width = max(8, self.size.width - _KEY - 3)
        label = f"{one.label}: {one.way}" if one.way else one.label
        return (
            (mark, style),
            (fitted(one.key, _KEY), style if place == self.at else "key"),
            *columns([("", 0, "<"), (label, width, "<")], style if place == self.at or not one.way else "dim"),
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
        looking = self.pane.looking
        there = [Doable(f"{_GO}{one.label}", "", self._going(one)) for one in PLACES if not (one.writes and looking)]
        offered = {action.id for action, _ in offers}
        elsewhere = [one for one in ELSEWHERE if one.action not in offered and not (one.writes and looking)]
        self.pane.activate(True)
        self.pane.offer(place, [*here, *there, *(Doable(one.label, "", self._on_the_way(one), one.way) for one in elsewhere)])

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

    def _on_the_way(self, one: Elsewhere) -> Callable[[], None]:
        """To where the way begins; the rest of it is said."""
        place = next(place for place in PLACES if place.id == one.start)

        def go() -> None:
            self._going(place)()
            self.host.say(one.way)

        return go
