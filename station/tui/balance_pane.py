"""The balance pane: the balance of the open spec, where it comes from, its acids by kind."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from station.tui.balance_rows import acid_panel, panel, source_panel
from station.tui.field import Card
from station.tui.pane import KeyAction, Row

if TYPE_CHECKING:
    from station.desk.document import Document

# What the pane turns to, in this order and round again.
BALANCE, SOURCES, ACIDS = "balance", "sources", "acids"
PAGES = (BALANCE, SOURCES, ACIDS)


class BalancePane(Card):
    """One page at a time; arrows move it where it is longer than the screen. `document` says which spec is open, if one is."""

    KEYS = (
        KeyAction("balance.lines", ("escape", "left"), "back", hint="Esc", label="lines"),
        KeyAction("balance.down", ("down",), "scroll_by", 1, hint="↑↓", label="move"),
        KeyAction("balance.up", ("up",), "scroll_by", -1),
    )

    def __init__(self, document: Callable[[], Document | None], asked: Callable[[str], None]) -> None:
        super().__init__(id="balance")
        self._document, self._ask = document, asked
        self.page = BALANCE

    def keys(self) -> tuple[KeyAction, ...]:
        return (KeyAction("balance.turn", ("a",), "ask_turn", hint="a", label=self.next_page), *self.KEYS)

    @property
    def next_page(self) -> str:
        return PAGES[(PAGES.index(self.page) + 1) % len(PAGES)]

    def back(self) -> None:
        self._ask("to_lines")

    def ask_turn(self) -> None:
        self._ask("turn_balance")

    def turn(self) -> None:
        """To the next page, from its top."""
        self.page = self.next_page
        self.to_top()
        self.paint()

    def paint(self) -> None:
        document = self._document()
        self.stand([] if document is None else self._rows(document, self.size.width))

    def _rows(self, document: Document, width: int) -> list[Row]:
        if self.page == ACIDS:
            return acid_panel(document.acid_detail, document.opened.library, width)
        if self.page == SOURCES:
            return source_panel(document.acid_detail, width)
        return panel(document.answer_saved, document.answer, width)
