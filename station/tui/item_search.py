"""Find an item or a stock as one types, misspelt too: arrows move, Enter or a tap takes it, Esc leaves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import events

from station.tui.pane import KeyAction, Pane, Row, columns, row

if TYPE_CHECKING:
    from station.desk.item_finding import FoundItem

_HEAD, _KIND = 2, 8


class ItemSearch(Pane):
    """What is looked for, the words typed, and under them what holds them."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("items.find", (), "take", hint="a-z", label="find"),
        KeyAction("items.take", ("enter",), "take", hint="Enter", label="take it"),
        KeyAction("items.leave", ("escape",), "leave", hint="Esc", label="back"),
        KeyAction("items.next", ("down",), "move", 1, hint="↓", label="next"),
        KeyAction("items.previous", ("up",), "move", -1, hint="↑", label="previous"),
        KeyAction("items.page-down", ("pagedown",), "move", 10),
        KeyAction("items.page-up", ("pageup",), "move", -10),
        KeyAction("items.rub", ("backspace",), "rub"),
        KeyAction("items.all", ("ctrl+u",), "find", label="all items"),
    )

    def __init__(self, taken: Callable[[str], None], left: Callable[[], None]) -> None:
        super().__init__(id="search")
        self._taken, self._left = taken, left
        self._find: Callable[[str], Sequence[FoundItem]] = lambda words: ()
        self.purpose = ""
        self.words = ""
        self.found: Sequence[FoundItem] = ()
        self.at = 0
        self.top = 0

    def ask(self, purpose: str, find: Callable[[str], Sequence[FoundItem]]) -> None:
        """Look for what `purpose` says, in what `find` finds."""
        self.purpose, self._find = purpose, find
        self.find()

    def typed(self, character: str) -> bool:
        if character != " " or self.words:
            self.find(self.words + character)
        return True

    def rub(self) -> None:
        self.find(self.words[:-1])

    def find(self, words: str = "") -> None:
        self.words, self.found = words, self._find(words)
        self.at = self.top = 0
        self.paint()

    def move(self, by: int) -> None:
        self.at = max(0, min(len(self.found) - 1, self.at + by))
        self.paint()

    def take(self) -> None:
        if self.found:
            self._taken(self.found[self.at].id)

    def leave(self) -> None:
        self._left()

    def on_click(self, event: events.Click) -> None:
        place = self.top + event.y - _HEAD
        if event.y >= _HEAD and place < len(self.found):
            self.at = place
            self.take()

    def on_mouse_scroll_down(self) -> None:
        self.move(3)

    def on_mouse_scroll_up(self) -> None:
        self.move(-3)

    def paint(self) -> None:
        height = max(1, self.size.height - _HEAD)
        self.top = max(min(self.top, self.at), self.at - height + 1)
        rows: list[Row] = [
            row(self.purpose, "strong"),
            (("Find ", "dim"), (self.words, "strong"), (" ", "cursor"), (f" {len(self.found)}", "dim")),
        ]
        rows += [self._row(place) for place in range(self.top, min(self.top + height, len(self.found)))]
        self.show(rows if self.found else [*rows, row("  no item or stock is called that", "dim")])

    def _row(self, place: int) -> Row:
        one = self.found[place]
        here = place == self.at
        style = "chosen" if here else "text"
        name = max(8, self.size.width - 3 - _KIND)
        return (("▸ " if here else "  ", style), *columns([(one.name, name, "<"), (one.kind, _KIND, ">")], style))
