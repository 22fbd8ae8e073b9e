"""A row of names, one of them marked: a tap goes to another; the view it stands in says which keys do."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.cells import cell_len
from textual import events

from station.tui.pane import Pane


class Tabs(Pane):
    """`names` are pairs, the whole name and the one for where there is no room for all whole ones."""

    def __init__(self, title: str, names: Sequence[tuple[str, str]], chosen: Callable[[int], None]) -> None:
        super().__init__(classes="one-row")
        self.title, self.names = title, names
        self._chosen = chosen
        self.at = 0

    def put(self, at: int) -> None:
        """That one is marked."""
        self.at = at
        self.paint()

    def on_click(self, event: events.Click) -> None:
        left = cell_len(self.title)
        for place, name in enumerate(self._shown()):
            left += cell_len(name) + 2
            if event.x < left:
                self._chosen(place)
                return

    def paint(self) -> None:
        pieces = [(self.title, "strong")]
        for place, name in enumerate(self._shown()):
            here = place == self.at
            pieces.append((f"{' ▸' if here else '  '}{name}", "accent" if here else "dim"))
        self.show([tuple(pieces)])

    def _shown(self) -> list[str]:
        """The names as this width has room for them."""
        whole = [name for name, _ in self.names]
        room = self.size.width - cell_len(self.title)
        return whole if sum(cell_len(name) + 2 for name in whole) <= room else [short for _, short in self.names]
