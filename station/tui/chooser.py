"""A list to choose from: letters typed here find, arrows and the wheel move, Enter or a tap takes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Generic, TypeVar

from textual import events

from station.tui.pane import Pane, Row

T = TypeVar("T")


class Chooser(Pane, Generic[T]):
    """Rows under `HEAD` rows of what is looked for. `found` hold the words, `at` is the one chosen, `top` the first in sight.

    A kind of list says what the words find (`holding`), how its rows look and what taking one does.
    """

    HEAD: ClassVar[int] = 1

    words = ""
    # Whether what the words found was taken: the next letter begins other words.
    taken = False
    found: Sequence[T] = ()
    at = 0
    top = 0

    def holding(self, words: str) -> Sequence[T]:
        """What holds these words."""
        raise NotImplementedError

    def take(self) -> None:
        """The chosen one is taken; there may be none."""
        raise NotImplementedError

    @property
    def chosen(self) -> T | None:
        return self.found[self.at] if self.at < len(self.found) else None

    def typed(self, character: str) -> bool:
        words = "" if self.taken else self.words
        if character == " " and not words:
            return False
        self.find(words + character)
        return True

    def rub(self) -> None:
        self.find(self.words[:-1])

    def find(self, words: str = "") -> None:
        """Look for these words, from the first row."""
        self.words, self.found = words, self.holding(words)
        self.at = self.top = 0
        self.taken = False
        self.paint()

    def move(self, by: int) -> None:
        self.at = max(0, min(len(self.found) - 1, self.at + by))
        self.paint()

    def page(self, by: int) -> None:
        self.move(by * max(1, self._fitting() - 1))

    def on_click(self, event: events.Click) -> None:
        place = self.top + (event.y - self.HEAD) // self.row_height()
        if event.y >= self.HEAD and place < len(self.found):
            self.at = place
            self.paint()
            self.take()

    def on_mouse_scroll_down(self) -> None:
        self.move(3)

    def on_mouse_scroll_up(self) -> None:
        self.move(-3)

    def row_height(self) -> int:
        """How many rows of the screen one takes."""
        return 1

    def in_sight(self) -> range:
        """The places of those there is room for, the chosen one among them."""
        fitting = self._fitting()
        self.top = max(min(self.top, self.at), self.at - fitting + 1, 0)
        return range(self.top, min(self.top + fitting, len(self.found)))

    def looked_for(self, head: str) -> Row:
        """The row of what is looked for: its head, the words, how many hold them."""
        cursor = "cursor" if self.active else "text"
        words = "chosen" if self.taken and self.active else "strong"
        return ((f"{head} ", "dim"), (self.words, words), (" ", cursor), (f" {len(self.found)}", "dim"))

    def _fitting(self) -> int:
        return max(1, (self.size.height - self.HEAD) // self.row_height())
