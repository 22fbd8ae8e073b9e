"""A list to pick from: letters typed here find, arrows move, Enter opens."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import events

from station.tui.pane import KeyAction, Pane, Row, fitted, row

_HEAD = 1


@dataclass(frozen=True, slots=True)
class Pick:
    """A row of the list: its name, what stands at its right, what stands under it, its style."""

    id: str
    name: str
    right: str = ""
    under: str = ""
    style: str = "text"


class PickList(Pane):
    """Rows of one or two lines, under the words that find them."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("pick.find", (), "open", hint="a-z", label="find"),
        KeyAction("pick.open", ("enter", "right"), "open", hint="Enter", label="open"),
        KeyAction("pick.next", ("down",), "move", 1),
        KeyAction("pick.previous", ("up",), "move", -1),
        KeyAction("pick.page-down", ("pagedown",), "page", 1),
        KeyAction("pick.page-up", ("pageup",), "page", -1),
        KeyAction("pick.rub", ("backspace",), "rub"),
        KeyAction("pick.all", ("ctrl+u",), "find_all"),
    )

    def __init__(self, head: str, opened: Callable[[Pick], None], empty: str) -> None:
        super().__init__(classes="card")
        self.head, self.empty = head, empty
        self._opened = opened
        self.picks: Sequence[Pick] = ()
        self.words = ""
        self.at = 0
        self.top = 0

    @property
    def found(self) -> list[Pick]:
        words = self.words.casefold().split()
        return [one for one in self.picks if all(word in f"{one.id} {one.name} {one.under}".casefold() for word in words)]

    @property
    def chosen(self) -> Pick | None:
        found = self.found
        return found[self.at] if self.at < len(found) else None

    def put(self, picks: Sequence[Pick], head: str = "") -> None:
        """These rows, the place kept by id."""
        here = self.chosen
        self.head, self.picks = head or self.head, picks
        self.at = next((place for place, one in enumerate(self.found) if here and one.id == here.id), 0)
        self.paint()

    def typed(self, character: str) -> bool:
        if character == " " and not self.words:
            return False
        self._look_for(self.words + character)
        return True

    def rub(self) -> None:
        self._look_for(self.words[:-1])

    def find_all(self) -> None:
        self._look_for("")

    def move(self, by: int) -> None:
        self.at = max(0, min(len(self.found) - 1, self.at + by))
        self.paint()

    def page(self, by: int) -> None:
        self.move(by * max(1, self._fit() - 1))

    def open(self) -> None:
        if self.chosen is not None:
            self._opened(self.chosen)

    def on_click(self, event: events.Click) -> None:
        place = self.top + (event.y - _HEAD) // self._height()
        if event.y >= _HEAD and place < len(self.found):
            self.at = place
            self.paint()
            self.open()

    def on_mouse_scroll_down(self) -> None:
        self.move(3)

    def on_mouse_scroll_up(self) -> None:
        self.move(-3)

    def paint(self) -> None:
        found = self.found
        self.top = max(min(self.top, self.at), self.at - self._fit() + 1, 0)
        rows: list[Row] = [((f"{self.head}  ", "dim"), (self.words, "strong"), (" ", "cursor"), (f" {len(found)}", "dim"))]
        for place in range(self.top, min(self.top + self._fit(), len(found))):
            rows += self._rows(found[place], place == self.at)
        self.show(
            rows if found else [*rows, row(f"  {self.empty if not self.words else 'nothing here holds these words'}", "dim")]
        )

    def _rows(self, one: Pick, here: bool) -> list[Row]:
        style = "chosen" if here else one.style
        width = max(8, self.size.width - 3)
        right = one.right[: width // 2]
        name = fitted(one.name, width - len(right) - 1)
        first = row(f"{'▸' if here else ' '} {name} {right}", style)
        return [first, row(f"    {fitted(one.under, width - 3)}", "dim")] if self._height() > 1 else [first]

    def _height(self) -> int:
        return 2 if any(one.under for one in self.picks) else 1

    def _fit(self) -> int:
        return max(1, (self.size.height - _HEAD) // self._height())

    def _look_for(self, words: str) -> None:
        self.words, self.at, self.top = words, 0, 0
        self.paint()
