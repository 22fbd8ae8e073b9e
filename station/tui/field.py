"""A line to type in, and a card of text under it."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from typing import ClassVar

from rich.cells import cell_len
from textual.geometry import Region
from textual.strip import Strip

from station.tui.pane import KeyAction, Pane, Row, row, shown
from station.tui.standing import Stand

_STYLES = {"DILUTED": "accent", "UNDILUTED": "accent", "STOP": "warn", "CHECK": "warn", "NOT": "warn", "NOTE": "dim"}
_EMPTY = "____"


class Field(Pane):
    """A label, what was typed, examples. The first key replaces what is proposed."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("field.rub", ("backspace",), "rub"),
        KeyAction("field.empty", ("ctrl+u",), "rub_all"),
    )

    def __init__(self, label: str, examples: str, changed: Callable[[], None], tapped: Callable[[], None] = lambda: None) -> None:
        super().__init__(classes="one-row")
        self.label, self.examples = label, examples
        self._changed, self._tapped = changed, tapped
        self.text = ""
        self.proposed = True

    def on_click(self) -> None:
        self._tapped()

    def propose(self, text: str) -> None:
        self.text, self.proposed = text, True
        self.paint()

    def start(self, text: str) -> None:
        """Stand behind `text`, as if it had been typed."""
        self._put(text)

    def typed(self, character: str) -> bool:
        self._put(character if self.proposed else self.text + character)
        return True

    def rub(self) -> None:
        self._put("" if self.proposed else self.text[:-1])

    def rub_all(self) -> None:
        self._put("")

    def paint(self) -> None:
        style = "chosen" if self.proposed and self.active else "field"
        cursor = ((" ", "cursor"),) if self.active and (not self.proposed or not self.text) else ()
        # An empty field is seen to be one: a blank is not.
        typed = ((self._in_sight(), style), *cursor) if self.text else (*cursor, (_EMPTY[len(cursor) :], "field"))
        self.show([((f"{self.label} ", "dim"), *typed, (f"   {self.examples}", "dim"))])

    def _in_sight(self) -> str:
        """What was typed; of more than there is room for its end, where one types."""
        room = self.size.width - cell_len(self.label) - 2
        text = shown(self.text)
        if not self.active or room <= 0 or cell_len(text) <= room:
            return text
        while text and cell_len(text) >= room:
            text = text[1:]
        return f"…{text}"

    def _put(self, text: str) -> None:
        self.text, self.proposed = text, False
        self.paint()
        self._changed()


class Card(Pane):
    """A card's lines, as far as they fit; the last row says how many more there are.

    What stands at the top stays there, with other figures and at another width.
    """

    # How the row that counts what is below ends: the key that leads on, where arrows do not.
    READ_ON: ClassVar[str] = ""
    lines: Sequence[str] = ()
    # Where one last scrolled to; None at the head.
    _stand: Stand | None = None

    def put(self, lines: list[str]) -> None:
        """The card's text, from where it stood."""
        self.lines = lines
        self.paint()

    def to_top(self) -> None:
        """What is put next is read from its head."""
        self._stand = None

    def paint(self) -> None:
        self.stand(self.laid_out())

    def stand(self, rows: Sequence[Row]) -> None:
        """These rows, from where one had scrolled to."""
        first = self._stand.among(rows, self.size.width) if self._stand else 0
        self.show(rows, min(first, max(0, len(rows) - self.size.height)))

    def laid_out(self) -> list[Row]:
        """The lines as rows of this width."""
        width = self.size.width or 80
        return [_styled(part, line) for line in map(shown, self.lines) for part in _parts(line, width)]

    def show(self, rows: Sequence[Row], first: int = 0) -> None:
        """Also the row that says how many more there are, which no row of the text tells."""
        before = self._below
        super().show(rows, first)
        if self._below != before and self.size.height and not self._refitting:
            self.refresh(Region(0, self.size.height - 1, self.size.width, 1))

    @property
    def _below(self) -> int:
        return len(self.rows) - self.first - self.size.height

    def render_line(self, y: int) -> Strip:
        if y == self.size.height - 1 and self._below > 0:
            return self.strip(row(f"↓ {self._below + 1} more rows{self.READ_ON}", "key"))
        return super().render_line(y)

    def scroll_by(self, by: int) -> bool:
        """Move by that many rows. False if it stands at that end already."""
        last = max(0, len(self.rows) - max(1, self.size.height))  # a card without a size yet has none of it in sight
        first = max(0, min(last, self.first + by))
        moved = first != self.first
        if moved:
            self._stand = Stand(self.rows, first, self.size.width) if first else None
        self.show(self.rows, first)
        return moved

    def on_mouse_scroll_down(self) -> None:
        self.scroll_by(3)

    def on_mouse_scroll_up(self) -> None:
        self.scroll_by(-3)


def _parts(line: str, width: int) -> list[str]:
    """A line as it fits: what is over goes on below it, further in."""
    if cell_len(line) <= width:
        return [line]
    inward = " " * (len(line) - len(line.lstrip()) + 2)
    return textwrap.wrap(line, max(width, 12), subsequent_indent=inward, break_on_hyphens=False, drop_whitespace=True)


def _styled(text: str, line: str) -> Row:
    """A row in the style of the line it is part of."""
    return row(text, _STYLES.get(line.split(" ", 1)[0].rstrip(":"), "text"))
