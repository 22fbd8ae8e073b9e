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
    """Hints side by side, as many as fit, the first the most important; the last, which leads to all of them, always.

    Where not all fit they stand closer, and the last goes without its word if one more fits so.
    """

    offers: Sequence[Offer] = ()

    def offer(self, offers: Sequence[Offer]) -> None:
        self.offers = [one for one in offers if one[0].hint]
        self.paint()

    def paint(self) -> None:
        pieces: list[tuple[str, str]] = []
        for one in self._fitting():
            pieces += [(one.hint, "key"), (one.label, "dim")]
        self.show([tuple(pieces)])

    def on_click(self, event: events.Click) -> None:
        left = 0
        for one in self._fitting():
            left += one.width
            if event.x < left:
                action, run = one.offer
                run(action)
                return

    def _fitting(self) -> list[_Hint]:
        roomy = [_Hint(offer, " ", " ") for offer in self.offers]
        if sum(one.width for one in roomy) <= self.size.width:
            return roomy
        worded, bare = self._close(bare=False), self._close(bare=True)
        return bare if len(bare) > len(worded) else worded

    def _close(self, bare: bool) -> list[_Hint]:
        """As many as fit close together before the last, that with its word or `bare`."""
        *others, end = self.offers
        last = _Hint(end, " ", "", bare)
        fitting, left = [], self.size.width - last.width
        for one in (_Hint(offer, " ", "") for offer in others):
            left -= one.width
            if left < 0:
                break
            fitting.append(one)
        return [*fitting, last]


class _Hint:
    """A key and its word as they stand on the bar, with what is before and behind them; a `bare` one has no word."""

    def __init__(self, offer: Offer, before: str, behind: str, bare: bool = False) -> None:
        self.offer = offer
        self.hint = f"{before}{_hint(offer[0])}"
        self.label = "" if bare else f" {offer[0].label}{behind}"

    @property
    def width(self) -> int:
        return cell_len(self.hint) + cell_len(self.label)


_KEY_NAMES = {"escape": "Esc", "enter": "Enter", "space": "Space", "backspace": "⌫", "plus": "+", "minus": "-", "tab": "Tab"}
_KEY_NAMES |= {"down": "↓", "up": "↑", "left": "←", "right": "→", "pagedown": "PgDn", "pageup": "PgUp", "question_mark": "?"}


def key_name(action: KeyAction) -> str:
    """The action's key as it is printed on the keyboard."""
    if action.hint or not action.keys:
        return _hint(action)
    key = action.keys[0].replace("ctrl+", "^").replace("shift+", "⇧")
    return _as_shown(_KEY_NAMES.get(key, key))


def _hint(action: KeyAction) -> str:
    return _as_shown(action.hint)


def _as_shown(name: str) -> str:
    return key_in_ascii(name) if ascii_only() else name
