"""The list of specs: letters typed here find, arrows move, Enter opens."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import ClassVar

from rich.cells import cell_len

from station.bar.listed import Listed
from station.tui.chooser import Chooser
from station.tui.pane import KeyAction, Row, cut, row

# So much of a note stands even behind a name that is cut for it.
_NOTE = 5


class SpecList(Chooser[Listed]):
    """Rows of specs under the words that find them."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("list.find", (), "take", hint="a-z", label="find"),
        KeyAction("list.next", ("down",), "move", 1),
        KeyAction("list.previous", ("up",), "move", -1),
        KeyAction("list.page-down", ("pagedown",), "page", 1),
        KeyAction("list.page-up", ("pageup",), "page", -1),
        KeyAction("list.first", ("home",), "move", -1_000_000),
        KeyAction("list.last", ("end",), "move", 1_000_000),
        KeyAction("list.open", ("enter", "right"), "take", hint="Enter", label="open"),
        KeyAction("list.rub", ("backspace",), "rub"),
        KeyAction("list.all", ("escape", "ctrl+u"), "find", hint="Esc", label="show all"),
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
        self.open_id = ""
        self.drafted: frozenset[str] = frozenset()
        self.reasons: Mapping[str, str] = {}

    def reload(self, chosen: str = "") -> None:
        """Find again, keeping the place by id, or going to the `chosen` if it is found; whoever reloads paints."""
        here = self.found[self.at].id if self.found else ""
        self.found = self._find(self.words)
        at = (place for name in (chosen, here) if name for place, one in enumerate(self.found) if one.id == name)
        self.at = next(at, 0)

    def holding(self, words: str) -> Sequence[Listed]:
        return self._find(words)

    def take(self) -> None:
        if self.chosen is not None:
            self.taken = True
            self._opened(self.chosen)

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
        rows = [self.looked_for("Retired" if self.retired else "Find"), *map(self._row, self.in_sight())]
        if not self.found:
            rows.append(
                row("  no drink is retired" if self.retired and not self.words else "  no drink holds these words", "dim")
            )
        self.show(rows)

    def _row(self, place: int) -> Row:
        one = self.found[place]
        here = place == self.at
        mark = "▸ " if here else "• " if one.id == self.open_id else "  "
        style = ("chosen" if self.active else "chosen-dim") if here else "warn" if one.faulty else "text"
        note = " × faulty" if one.faulty else " · unsaved" if one.id in self.drafted else self._reason(one)
        name = cut(one.name, self.size.width - len(mark) - min(len(note), _NOTE))
        return row(f"{mark}{name}{note}", style)

    def _reason(self, one: Listed) -> str:
        """Why it stands so high, where the name leaves room for that."""
        reason = self.reasons.get(one.id, "")
        note = f" · {reason}" if reason else ""
        return note if 2 + cell_len(one.name) + len(note) <= self.size.width else ""
