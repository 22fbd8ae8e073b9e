"""A view: what fills the screen between its head and its keys. One is on at a time; switching never waits for anything."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol, Self, TypeVar

from textual import events
from textual.containers import Container
from textual.geometry import Region, Size
from textual.reactive import Reactive

from station.tui.key_bar import Offer
from station.tui.pane import KeyAction, Pane

# Every character of it is a key that reckons; nothing a person types here is longer.
LONGEST_PASTE = 200


class Host(Protocol):
    """What a view may ask of the application."""

    def say(self, text: str, style: str = "accent") -> None:
        """One line of news above the keys."""

    def view(self, kind: type[V]) -> V:
        """The one view of that kind, made and mounted when it is first wanted."""

    def put_on(self, view: View) -> None:
        """Put that view on; `back` leads to the one that was."""

    def back(self) -> None:
        """Put the view on again from which one came."""

    def refresh_keys(self) -> None:
        """The keys that work have changed."""

    def paint_head(self) -> None:
        """The list may hold more drinks, or fewer."""


class View(Container):
    """A view has keys of its own, beside those of its active pane. Kinds are made with the host and the open library."""

    # As of a pane, so of a view: its panes share out what the screen has.
    virtual_size = Reactive(Size(0, 0), repaint=False)
    KEYS: tuple[KeyAction, ...] = ()

    def __init__(self, host: Host, *panes: Pane, name: str) -> None:
        super().__init__(*panes, id=name, classes="view")
        self.host = host

    def refresh(self, *regions: Region, repaint: bool = True, layout: bool = False, recompose: bool = False) -> Self:
        """A new layout paints the whole screen: what asks for one need not be painted by itself, too."""
        return super().refresh(*regions, repaint=repaint and not layout, layout=layout, recompose=recompose)

    @property
    def active_pane(self) -> Pane:
        raise NotImplementedError

    async def on_event(self, event: events.Event) -> None:
        """What fails in an event that comes by the framework's way ends at the boundary, as what fails in a key does."""
        try:
            await super().on_event(event)
        except Exception as error:
            self.app.boundary.caught(error)  # type: ignore[attr-defined]  # StationApp's; the framework types it App

    def press(self, event: events.Key) -> None:
        """The active pane first, then the view's own keys."""
        if not self.active_pane.press(event):
            for action in self.working():
                if event.key in action.keys:
                    self.run(action)
                    break

    def working(self) -> tuple[KeyAction, ...]:
        """The view's own keys that may be used."""
        return tuple(action for action in self.KEYS if not (action.writes and self.active_pane.looking))

    def run(self, action: KeyAction) -> None:
        method: Callable[..., object] = getattr(self, action.run)
        method() if action.value is None else method(action.value)
        self.host.refresh_keys()

    def paste(self, text: str) -> None:
        """Pasted text is typed text, as far as its first line."""
        for character in text.partition("\n")[0].strip()[:LONGEST_PASTE]:
            self.active_pane.typed(character)

    def offers(self) -> Sequence[Offer]:
        """The keys for the bar by their rank, of one rank the pane's before the view's."""
        pane = self.active_pane
        working = pane.working()

        def run_in_pane(action: KeyAction) -> None:
            pane.run(action)
            self.host.refresh_keys()

        offered: list[Offer] = [(action, run_in_pane) for action in working]
        return sorted([*offered, *((action, self.run) for action in self.working())], key=lambda one: one[0].rank)

    def enter(self) -> None:
        """The view is put on, from anywhere: start where one starts here."""

    def again(self) -> None:
        """One came back to it, from further on or from the keys: stay where one was; what may have changed is read anew."""

    def back(self) -> None:
        """Leave for where one came from."""
        self.host.back()


V = TypeVar("V", bound=View)
