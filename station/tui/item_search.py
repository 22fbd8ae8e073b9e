"""Find an item or a stock as one types, misspelt too: arrows move, Enter or a tap takes it, Esc leaves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar

from station.tui.chooser import Chooser
from station.tui.pane import KeyAction, Row, columns, row

if TYPE_CHECKING:
    from station.desk.item_finding import FoundItem

_KIND = 8


class ItemSearch(Chooser["FoundItem"]):
    """What is looked for, the words typed, and under them what holds them."""

    HEAD: ClassVar[int] = 2

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

    def ask(self, purpose: str, find: Callable[[str], Sequence[FoundItem]]) -> None:
        """Look for what `purpose` says, in what `find` finds."""
        self.purpose, self._find = purpose, find
        self.find()

    def holding(self, words: str) -> Sequence[FoundItem]:
        return self._find(words)

    def typed(self, character: str) -> bool:
        """A blank before any word means nothing here, nor anywhere else."""
        return super().typed(character) or character == " "

    def take(self) -> None:
        if self.chosen is not None:
            self._taken(self.chosen.id)

    def leave(self) -> None:
        self._left()

    def paint(self) -> None:
        rows = [row(self.purpose, "strong"), self.looked_for("Find"), *map(self._row, self.in_sight())]
        self.show(rows if self.found else [*rows, row("  no item or stock is called that", "dim")])

    def _row(self, place: int) -> Row:
        one = self.found[place]
        here = place == self.at
        style = "chosen" if here else "text"
        name = max(8, self.size.width - 3 - _KIND)
        return (("▸ " if here else "  ", style), *columns([(one.name, name, "<"), (one.kind, _KIND, ">")], style))
