"""The list of specs: letters typed here find, arrows move, Enter opens."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import ClassVar

from textual import events

from station.bar.listed import Listed
from station.tui.pane import KeyAction, Pane, Row, row

_HEAD = 1


class SpecList(Pane):
    """Rows of specs under the words that find them."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("list.find", (), "open", hint="a-z", label="find"),
        KeyAction("list.next", ("down",), "move", 1),
        KeyAction("list.previous", ("up",), "move", -1),
        KeyAction("list.page-down", ("pagedown",), "page", 1),
        KeyAction("list.page-up", ("pageup",), "page", -1),
        KeyAction("list.first", ("home",), "move", -1_000_000),
        KeyAction("list.last", ("end",), "move", 1_000_000),
        KeyAction("list.open", ("enter", "right"), "open", hint="Enter", label="open"),
        KeyAction("list.rub", ("backspace",), "rub"),
        KeyAction("list.all", ("escape", "ctrl+u"), "find_all", hint="Esc", label="show all"),
        KeyAction("list.new", ("ctrl+n",), "ask_new", hint="^n", label="new drink", writes=True),
        KeyAction("list.copy", ("ctrl+d",), "ask_copy", hint="^d", label="copy", writes=True),
        KeyAction("list.rename", ("ctrl+r",), "ask_rename", hint="^r", label="rename", writes=True),
        KeyAction("list.retire", ("ctrl+t",), "ask_retire", hint="^t", label="retire, or put back", writes=True),
        KeyAction("list.retired", ("ctrl+o",), "ask_retired", hint="^o", label="retired drinks"),
    )

    def __init__(
        self, find: Callable[[str], Sequence[Listed]], opened: Callable[[Listed], None], asked: Callable[[str], None]
    ) -> None:
        super().__init__(id="list")
        self._find = find
        self._opened = opened
        self._ask = asked
        self.retired = False
        self.words = ""
        self.found: Sequence[Listed] = ()
        self.at = 0
        self.top = 0
        self.open_id = ""
        self.drafted: frozenset[str] = frozenset()
        self.reasons: Mapping[str, str] = {}

    def reload(self) -> None:
        """Find again, keeping the place by id."""
        here = self.found[self.at].id if self.found else ""
        self.found = self._find(self.words)
        self.at = next((place for place, one in enumerate(self.found) if one.id == here), 0)
        self.paint()

    def choose(self, name: str) -> None:
        """That drink's row, if it is among those found."""
        self.at = next((place for place, one in enumerate(self.found) if one.id == name), self.at)
        self.paint()

    def typed(self, character: str) -> bool:
        if character == " " and not self.words:
            return False
        self._look_for(self.words + character)
        return True

    def on_click(self, event: events.Click) -> None:
        place = self.top + event.y - _HEAD
        if event.y >= _HEAD and place < len(self.found):
            self.at = place
            self.paint()
            self.open()

    def on_mouse_scroll_down(self) -> None:
        self.move(3)

    def on_mouse_scroll_up(self) -> None:
        self.move(-3)

    def move(self, by: int) -> None:
        if self.found:
            self.at = max(0, min(len(self.found) - 1, self.at + by))
            self.paint()

    def page(self, by: int) -> None:
        self.move(by * max(1, self.size.height - _HEAD - 1))

    def open(self) -> None:
        if self.found:
            self._opened(self.found[self.at])

    def rub(self) -> None:
        self._look_for(self.words[:-1])

    def find_all(self) -> None:
        self._look_for("")

    def ask_new(self) -> None:
        self._ask("new")

    def ask_copy(self) -> None:
        self._ask("copy")

    def ask_rename(self) -> None:
        self._ask("rename")

    def ask_retire(self) -> None:
        self._ask("retire")

    def ask_retired(self) -> None:
        self._ask("show_retired")

    def paint(self) -> None:
        height = max(1, self.size.height - _HEAD)
        self.top = max(min(self.top, self.at), self.at - height + 1)
        rows = [self._head()]
        rows += [self._row(place) for place in range(self.top, min(self.top + height, len(self.found)))]
        if not self.found:
            rows.append(
                row("  no drink is retired" if self.retired and not self.words else "  no drink holds these words", "dim")
            )
        self.show(rows)

    def _look_for(self, words: str) -> None:
        self.words = words
        self.found = self._find(words)
        self.at = self.top = 0
        self.paint()

    def _head(self) -> Row:
        cursor = (" ", "cursor" if self.active else "text")
        return (("Retired " if self.retired else "Find ", "dim"), (self.words, "strong"), cursor, (f" {len(self.found)}", "dim"))

    def _row(self, place: int) -> Row:
        one = self.found[place]
        here = place == self.at
        mark = "▸ " if here else "• " if one.id == self.open_id else "  "
        style = ("chosen" if self.active else "chosen-dim") if here else "warn" if one.faulty else "text"
        reason = self.reasons.get(one.id, "")
        note = " × faulty" if one.faulty else " · unsaved" if one.id in self.drafted else reason and f" · {reason}"
        return row(f"{mark}{one.name}{note}", style)
