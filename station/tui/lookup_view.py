"""A whole drink at a glance, and the next, and the one before."""

from __future__ import annotations

from collections.abc import Mapping

from station.bar.fault import CannotAnswer
from station.calc.answers import LotUsed, Shown
from station.cards.lookup import WIDTH, look_up
from station.desk.look import show
from station.desk.opening import Opened
from station.tui.card_view import scrolling
from station.tui.field import Card
from station.tui.main_view import MainView
from station.tui.pane import KeyAction, Pane
from station.tui.spec_lines import lots_apart
from station.tui.view import Host, View

# A card wider than this is no longer read at a glance.
_WIDEST = 60


class LookupView(View):
    """The drink as it stands, with its unsaved edit; arrows lead to the other drinks of the list, as they are saved."""

    KEYS = (
        KeyAction("lookup.next", ("right",), "turn", 1, hint="←→", label="other drinks"),
        KeyAction("lookup.previous", ("left",), "turn", -1),
        KeyAction("lookup.open", ("enter",), "open", hint="Enter", label="open it"),
        KeyAction("lookup.back", ("escape", "v"), "back", hint="Esc", label="back"),
        *scrolling("lookup"),
    )

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.card = Card()
        super().__init__(host, self.card, name="lookup")
        self.name_on = ""
        self.lots: Mapping[str, LotUsed] = {}

    @property
    def active_pane(self) -> Pane:
        return self.card

    def enter(self) -> None:
        """The open drink; where none is open, the first of the list."""
        document = self._main.lines.document
        self.name_on = document.saved.id if document else next(iter(self._ids()), "")
        self.lots = self._main.lines.lots if document else lots_apart(self.shelf)
        self.card.to_top()
        self._paint()

    def on_resize(self) -> None:
        self._paint()

    def open(self) -> None:
        self.host.put_on(self._main)
        self._main.open_named(self.name_on)

    def scroll_card(self, by: int) -> None:
        self.card.scroll_by(by)

    def turn(self, by: int) -> None:
        """The next drink of the list, or the one before; after the last comes the first."""
        ids = self._ids()
        if ids:
            at = ids.index(self.name_on) if self.name_on in ids else 0
            self.name_on = ids[(at + by) % len(ids)]
            self.card.to_top()
            self._paint()

    @property
    def _main(self) -> MainView:
        return self.host.view(MainView)

    def _ids(self) -> list[str]:
        return [one.id for one in self.shelf.find() if not one.faulty]

    def _paint(self) -> None:
        if not self.name_on:
            return
        try:
            answer = self._answer()
        except CannotAnswer as error:
            self.card.put([self.name_on, "", str(error)])
        else:
            width = max(WIDTH, min(self.size.width, _WIDEST))
            self.card.put(look_up(answer, self.shelf.library, width, self.size.height, self.lots))

    def _answer(self) -> Shown:
        document = self._main.lines.document
        if document is None or document.saved.id != self.name_on:
            return show(self.shelf.blends, self.name_on)
        answer = document.answer
        if isinstance(answer, str):
            raise CannotAnswer(answer)
        return answer
