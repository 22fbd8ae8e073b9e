"""The balance pane: the balance of the open spec, where it comes from, its acids by kind."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from station.tui.balance_rows import acid_panel, panel, source_panel
from station.tui.field import Card
from station.tui.line_rows import known
from station.tui.pane import KeyAction, Row, row

if TYPE_CHECKING:
    from station.desk.document import Document
    from station.tui.spec_lines import SpecLines

# What the pane turns to, in this order and round again.
BALANCE, SOURCES, ACIDS = "balance", "sources", "acids"
PAGES = (BALANCE, SOURCES, ACIDS)


class BalancePane(Card):
    """One page at a time; arrows move it where it is longer than the screen. `lines` is the pane of the open spec, if one is.

    Where there is room for one of the two panes, what is to be known of the drink goes on here: under its lines it may have none.
    """

    READ_ON = ": PgDn"
    KEYS = (
        KeyAction("balance.lines", ("escape", "left"), "back", hint="Esc", label="lines", rank=0),
        KeyAction("balance.down", ("down",), "scroll_by", 1, hint="↑↓", label="move", rank=1),
        KeyAction("balance.up", ("up",), "scroll_by", -1),
    )

    def __init__(self, lines: SpecLines, asked: Callable[[str], None]) -> None:
        super().__init__(id="balance")
        self._lines, self._ask = lines, asked
        self.page = BALANCE

    def keys(self) -> tuple[KeyAction, ...]:
        return (KeyAction("balance.turn", ("a",), "ask_turn", hint="a", label=self.next_page, rank=0), *self.KEYS)

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
        document = self._lines.document
        self.stand([] if document is None else self._rows(document, self.size.width))

    def _rows(self, document: Document, width: int) -> list[Row]:
        if self.page == ACIDS:
            return acid_panel(document.acid_detail, document.opened.library, width)
        if self.page == SOURCES:
            return source_panel(document.acid_detail, width)
        answer = document.answer
        rows = panel(document.answer_saved, answer, width)
        return rows if isinstance(answer, str) or not self._lines.compact else [*rows, row(), *known(answer, width)]
