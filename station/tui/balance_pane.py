"""The balance pane: the balance of the open spec, where a figure is grabbed; where it comes from, its acids by kind."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import events

from station.tui.balance_rows import TO_GRAB, acid_panel, grabbed, panel, row_of, source_panel
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

    On the balance itself they go from figure to figure, and a digit says what the one at hand shall be. Where there is room for
    one of the two panes, what is to be known of the drink goes on here: under its lines it may have none.
    """

    READ_ON = ": PgDn"
    KEYS = (
        KeyAction("balance.lines", ("escape", "left"), "back", hint="Esc", label="lines", rank=0),
        KeyAction("balance.down", ("down",), "move", 1, hint="↑↓", label="move", rank=1),
        KeyAction("balance.up", ("up",), "move", -1),
    )
    GRABS = (
        KeyAction("balance.set", (), "grab", hint="0-9", label="shall be", rank=0),
        KeyAction("balance.grab", ("enter",), "grab", hint="Enter", label="set it", rank=1),
    )

    def __init__(self, lines: SpecLines, asked: Callable[..., None]) -> None:
        super().__init__(id="balance")
        self._lines, self._ask = lines, asked
        self.page = BALANCE
        self.at = 0

    def keys(self) -> tuple[KeyAction, ...]:
        turn = KeyAction("balance.turn", ("a",), "ask_turn", hint="a", label=self.next_page, rank=0)
        return (*(self.GRABS if self.grabs else ()), turn, *self.KEYS)

    @property
    def grabs(self) -> bool:
        """Whether there are figures to set."""
        document = self._lines.document
        return self.page == BALANCE and document is not None and not isinstance(document.answer, str)

    @property
    def figure(self) -> str:
        """The figure at hand."""
        return TO_GRAB[self.at]

    def grab(self, typed: str = "") -> None:
        """To where the figure at hand is set, with what was typed of it."""
        self._ask("tune", self.figure, typed)

    def typed(self, character: str) -> bool:
        """A digit says what the figure at hand shall be."""
        if not (self.grabs and (character.isdecimal() or character in ".,")):
            return False
        self.grab(character)
        return True

    def move(self, by: int) -> None:
        """From figure to figure; beyond the last one reads on, a row at a time, and back."""
        at = self.at + by
        if not self.grabs or not 0 <= at < len(TO_GRAB) or (by < 0 and self.first):
            self.scroll_by(by)
            return
        self.at = at
        self.paint()
        y = row_of(self.rows, self.figure)
        if y >= self.first + self.size.height - 1:
            self.scroll_by(y - self.first - self.size.height + 2)

    def on_click(self, event: events.Click) -> None:
        """A tap marks a figure, one on the marked figure takes it in hand."""
        tapped = [at for at, name in enumerate(TO_GRAB) if row_of(self.rows, name) == event.y + self.first]
        if not self.grabs or not tapped:
            return
        if self.active and self.at == tapped[0]:
            self.grab()
            return
        self.at = tapped[0]
        self._ask("tap_balance")
        self.paint()

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
        if self.active and not isinstance(answer, str):
            rows = grabbed(rows, self.figure)
        return rows if isinstance(answer, str) or not self._lines.compact else [*rows, row(), *known(answer, width)]
