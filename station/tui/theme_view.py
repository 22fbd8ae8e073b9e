"""The colours: move to a theme and the screens wear it; Enter stays with it, Esc goes back in what was worn before."""

from __future__ import annotations

from typing import ClassVar, Protocol, cast

from textual import events

from station.bar.theme import Theme
from station.desk.opening import Opened
from station.desk.theming import Dressed, wardrobe
from station.tui.depth import Depth
from station.tui.pane import KeyAction, Pane, Row, columns, row, wrapped
from station.tui.view import Host, View

_HEAD = 2
_FEW = "This terminal has no more than sixteen colours: you see its own, whatever you choose."


class Wearer(Host, Protocol):
    """A host that wears a theme."""

    worn: Theme
    depth: Depth

    def wear(self, theme: Theme) -> None:
        """Put on another theme."""


class ThemePane(Pane):
    """A theme a row."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("theme.next", ("down",), "move", 1, hint="↑↓", label="try it on"),
        KeyAction("theme.previous", ("up",), "move", -1),
        KeyAction("theme.keep", ("enter",), "keep", hint="Enter", label="wear it now"),
        KeyAction("theme.back", ("escape",), "back", hint="Esc", label="as it was"),
    )

    def __init__(self, view: ThemeView) -> None:
        super().__init__(id="themes")
        self.view = view
        self.offered: tuple[Dressed, ...] = ()
        self.at = 0

    def move(self, by: int) -> None:
        self.choose(max(0, min(len(self.offered) - 1, self.at + by)))

    def choose(self, place: int) -> None:
        self.at = place
        self.view.wearer.wear(self.offered[place].theme)
        self.paint()

    def keep(self) -> None:
        self.view.keep()

    def back(self) -> None:
        self.view.put_back()

    def on_click(self, event: events.Click) -> None:
        if 0 <= event.y - _HEAD < len(self.offered):
            self.choose(event.y - _HEAD)

    def paint(self) -> None:
        rows: list[Row] = [row("Colours", "strong"), row()]
        rows += [self._row(place, one) for place, one in enumerate(self.offered)]
        if self.offered:
            chosen = self.offered[self.at]
            rows += [row(), *wrapped(chosen.fault or chosen.theme.about, self.size.width - 1, "warn" if chosen.fault else "text")]
        if not self.view.wearer.depth.mixes:
            rows += [row(), *wrapped(_FEW, self.size.width - 1, "dim")]
        self.show(rows)

    def _row(self, place: int, one: Dressed) -> Row:
        here = place == self.at
        style = "chosen" if here else "warn" if one.fault else "text"
        name = one.asked + (" × faulty" if one.fault else "")
        return (("▸ " if here else "  ", style), *columns([(name, max(8, self.size.width - 3), "<")], style))


class ThemeView(View):
    """Every theme there is; what is chosen here lasts until one leaves."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.pane = ThemePane(self)
        super().__init__(host, self.pane, name="themes-view")
        self.shelf = shelf
        self.wearer = cast("Wearer", host)
        self.before = self.wearer.worn

    @property
    def active_pane(self) -> Pane:
        return self.pane

    def enter(self) -> None:
        """What is worn now is where one starts, and what Esc goes back to."""
        self.before = self.wearer.worn
        self.pane.offered = tuple(wardrobe(self.shelf.folder))
        worn = [place for place, one in enumerate(self.pane.offered) if one.theme == self.before and not one.fault]
        self.pane.at = worn[0] if worn else 0
        self.pane.activate(True)
        self.pane.paint()

    def keep(self) -> None:
        name = self.pane.offered[self.pane.at].theme.id
        self.host.back()
        self.host.say(f'theme = "{name}" in station.toml, under [shows], keeps it for the next start')

    def put_back(self) -> None:
        self.wearer.wear(self.before)
        self.host.back()
