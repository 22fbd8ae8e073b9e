"""A field over a card: say how much, and every line of the card says what that comes to."""

from __future__ import annotations

from station.tui.field import Card, Field
from station.tui.pane import KeyAction, Pane
from station.tui.view import Host, View


def scrolling(view: str) -> tuple[KeyAction, ...]:
    """The keys that move a view's card, by a row and by ten; its name begins their ids."""
    return (
        KeyAction(f"{view}.down", ("down",), "scroll_card", 1),
        KeyAction(f"{view}.up", ("up",), "scroll_card", -1),
        KeyAction(f"{view}.page-down", ("pagedown",), "scroll_card", 10),
        KeyAction(f"{view}.page-up", ("pageup",), "scroll_card", -10),
    )


class CardView(View):
    """The field has the keys first; down leads to the card, up from its head back to the field."""

    def __init__(self, host: Host, target: Field, card: Card, name: str) -> None:
        self.target, self.card = target, card
        super().__init__(host, target, card, name=name)
        self.on_card = False

    @property
    def active_pane(self) -> Pane:
        return self.card if self.on_card else self.target

    def switch_pane(self) -> None:
        self.on_card = not self.on_card
        if not self.on_card:  # what is typed first replaces the amount there, as at the first time
            self.target.propose(self.target.text)
        self.target.activate(not self.on_card)
        self.card.activate(self.on_card)

    def scroll_card(self, by: int) -> None:
        """On the card; a row down leads to it from the field, a row up from its head back: a page up stays on it."""
        if self.on_card:
            if not self.card.scroll_by(by) and by == -1:
                self.switch_pane()
        elif by > 0:
            self.switch_pane()
