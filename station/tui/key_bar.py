"""The bottom row: the keys of the place one is in. Each is also there to be tapped."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.cells import cell_len
from textual import events

from station.bar.glyphs import ascii_only, key_in_ascii
from station.tui.pane import KeyAction, Pane

# A key on the bar, and what a tap on it does.
Offer = tuple[KeyAction, Callable[[KeyAction], None]]


class KeyBar(Pane):
    """Hints side by side, as many as fit, the first the most important; the last, which leads to all of them, always."""

    offers: Sequence[Offer] = ()

    def offer(self, offers: Sequence[Offer]) -> None:
        self.offers = [one for one in offers if one[0].hint]
        self.paint()

    def paint(self) -> None:
        pieces: list[tuple[str, str]] = []
        for action, _ in self._fitting():
            pieces += [(f" {_hint(action)}", "key"), (f" {action.label} ", "dim")]
        self.show([tuple(pieces)])

    def on_click(self, event: events.Click) -> None:
        left = 0
        for action, run in self._fitting():
            left += _width(action)
            if event.x < left:
                run(action)
                return

    def _fitting(self) -> list[Offer]:
        *others, last = self.offers
        fitting, left = [], self.size.width - _width(last[0])
        for one in others:
            left -= _width(one[0])
            if left < 0:
                break
            fitting.append(one)
        return [*fitting, last]


_KEY_NAMES = {"escape": "Esc", "enter": "Enter", "space": "Space", "backspace": "⌫", "plus": "+", "minus": "-", "tab": "Tab"}
_KEY_NAMES |= {"down": "↓", "up": "↑", "left": "←", "right": "→", "pagedown": "PgDn", "pageup": "PgUp", "question_mark": "?"}


def key_name(action: KeyAction) -> str:
    """The action's key as it is printed on the keyboard."""
    if action.hint or not action.keys:
        return _hint(action)
    key = action.keys[0].replace("ctrl+", "^").replace("shift+", "⇧")
    return _as_shown(_KEY_NAMES.get(key, key))


def _width(action: KeyAction) -> int:
    return cell_len(_hint(action)) + cell_len(action.label) + 3


def _hint(action: KeyAction) -> str:
    return _as_shown(action.hint)


def _as_shown(name: str) -> str:
    return key_in_ascii(name) if ascii_only() else name
