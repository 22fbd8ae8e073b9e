"""A list to pick from: letters typed here find, arrows move, Enter opens."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.geometry import Size

from station.tui.chooser import Chooser
from station.tui.pane import KeyAction, Row, at_most, cut, fitted, row, wrapped


@dataclass(frozen=True, slots=True)
class Pick:
    """A row of the list: its name, what stands at its right, what stands under it, its style."""

    id: str
    name: str
    right: str = ""
    under: str = ""
    style: str = "text"


class PickList(Chooser[Pick]):
    """Rows of one or two lines, under the words that find them."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("pick.find", (), "take", hint="a-z", label="find"),
        KeyAction("pick.open", ("enter", "right"), "take", hint="Enter", label="open"),
        KeyAction("pick.next", ("down",), "move", 1),
        KeyAction("pick.previous", ("up",), "move", -1),
        KeyAction("pick.page-down", ("pagedown",), "page", 1),
        KeyAction("pick.page-up", ("pageup",), "page", -1),
        KeyAction("pick.rub", ("backspace",), "rub"),
        KeyAction("pick.all", ("ctrl+u",), "find"),
    )

    def __init__(self, head: str, opened: Callable[[Pick], None], empty: str) -> None:
        super().__init__(classes="card")
        self.head, self.empty = head, empty
        self._opened = opened
        self.picks: Sequence[Pick] = ()
        # The rows kept at the foot, and the size and picks they were reckoned for.
        self._kept: tuple[Size, Sequence[Pick], int] = (Size(0, 0), (), 0)

    def holding(self, words: str) -> Sequence[Pick]:
        wanted = words.casefold().split()
        return [one for one in self.picks if all(word in f"{one.id} {one.name} {one.under}".casefold() for word in wanted)]

    def take(self) -> None:
        if self.chosen is not None:
            self.taken = True
            self._opened(self.chosen)

    def put(self, picks: Sequence[Pick], head: str = "") -> None:
        """These rows, the place kept by id."""
        here = self.chosen
        self.head, self.picks = head or self.head, picks
        self.found = self.holding(self.words)
        self.at = next((place for place, one in enumerate(self.found) if here and one.id == here.id), 0)
        self.paint()

    def paint(self) -> None:
        rows = [self.looked_for(f"{self.head} ")]
        if not self.found:
            self.show([*rows, row(f"  {self.empty if not self.words else 'nothing here holds these words'}", "dim")])
            return
        for place in self.in_sight():
            rows += self._rows(self.found[place], place == self.at)
        if kept := self._foot():
            foot = at_most(self._whole(self.found[self.at]), kept, self.size.width)
            rows += [*[row()] * (self.size.height - len(rows) - len(foot)), *foot]
        self.show(rows)

    def _whole(self, one: Pick) -> list[Row]:
        """A row of the list as it would be if nothing of it were cut."""
        return wrapped(_said(one), self.size.width or 80, "dim", "  ")

    def _foot(self) -> int:
        """How many rows are kept for all of what is chosen: as many as the longest takes, none where none is cut."""
        if self._kept[:2] != (self.size, self.found):
            self._kept = (self.size, self.found, self._foot_rows())
        return self._kept[2]

    def _foot_rows(self) -> int:
        width = max(8, self.size.width - 3)
        if not any(len(one.name) + len(one.right) >= width or len(one.under) > width - 3 for one in self.found):
            return 0
        longest = max(len(_said(one)) for one in self.found)
        rows = max(len(self._whole(one)) for one in self.found if len(_said(one)) > longest - width)
        return min(rows, self.size.height // 3)

    def _fitting(self) -> int:
        return max(1, (self.size.height - self.HEAD - self._foot()) // self.row_height())

    def _rows(self, one: Pick, here: bool) -> list[Row]:
        style = "chosen" if here else one.style
        width = max(8, self.size.width - 3)
        right = cut(one.right, width // 2)
        name = fitted(one.name, width - len(right) - 1)
        first = row(f"{'▸' if here else ' '} {name} {right}", style)
        return [first, row(f"    {fitted(one.under, width - 3)}", "dim")] if self.row_height() > 1 else [first]

    def row_height(self) -> int:
        return 2 if any(one.under for one in self.picks) else 1


def _said(one: Pick) -> str:
    return " · ".join(filter(None, (one.name, one.right, one.under)))
