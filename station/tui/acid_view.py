"""Acid questions about one line: bring that juice to another's acidity, or see what would stand in for it."""

from __future__ import annotations

from collections.abc import Mapping

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.answers import LotUsed
from station.cards.acid import adjusted as adjusted_card
from station.cards.acid import replaced as replaced_card
from station.cards.lots import beside_files
from station.desk.adjusting import adjusted, put_stand_in, replaced_in
from station.desk.document import Document
from station.desk.opening import Opened
from station.tui.card_view import scrolling
from station.tui.field import Card, Field
from station.tui.pane import KeyAction, Pane
from station.tui.view import Host, View

_PROPOSED = "6.0 g/100ml"


class AcidView(View):
    """Above, the acidity a juice is brought to; below, how. Tab shows what would stand in for it, Enter puts that in."""

    _MOVES = (
        KeyAction("acid.back", ("escape",), "back", hint="Esc", label="back"),
        *scrolling("acid"),
    )

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # the other question's name
        label = "adjust it" if self.replacing else "what replaces it"
        put_in = KeyAction("acid.put-in", ("enter",), "put_in", hint="Enter", label="replace it", writes=True)
        return (
            *((put_in,) if self.stands_in else ()),
            KeyAction("acid.other", ("tab",), "turn", hint="Tab", label=label),
            *self._MOVES,
        )

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.target, self.card = Field("Bring it to", "type e.g. 6.0 g/100ml, lime-juice", self.reckon), Card(classes="card")
        super().__init__(host, self.target, self.card, name="acid")
        self.document: Document | None = None
        self.item = ""
        self.lots: Mapping[str, LotUsed] = {}
        self.replacing = False
        # Whether the card says what would stand in for the line.
        self.stands_in = False

    @property
    def active_pane(self) -> Pane:
        return self.card if self.replacing else self.target

    def take(self, document: Document, place: int, lots: Mapping[str, LotUsed]) -> None:
        """The drink as it stands, the line the question is about, and the lots a card takes otherwise than by the files."""
        self.document, self.item, self.lots, self.replacing = document, document.lines[place].item, lots, False
        self.target.propose(_PROPOSED)
        self.target.activate(True)
        self.card.to_top()
        self.reckon()

    def on_resize(self) -> None:
        if self.item:
            self.reckon()

    def turn(self) -> None:
        self.replacing = not self.replacing
        self.target.activate(not self.replacing)
        self.card.to_top()
        self.reckon()

    def put_in(self) -> None:
        """What stands in for the line goes into the drink, as an edit one can undo."""
        if self.document is None:
            return
        try:
            news = put_stand_in(self.document, self.item)
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
        else:
            self.host.back()
            self.host.say(news)

    def scroll_card(self, by: int) -> None:
        self.card.scroll_by(by)

    def reckon(self) -> None:
        """The card for what stands in the field, or in one sentence why there is none."""
        library, blends = self.shelf.library, self.shelf.blends
        self.stands_in = False
        try:
            if self.replacing and self.document is not None:
                self.card.put(replaced_card(replaced_in(blends, self.document.spec, self.item), library))
                self.stands_in = True
            else:
                card = adjusted_card(adjusted(blends, self.item, self.target.text), library)
                by_file = beside_files(self.lots, [self.item])
                self.card.put([by_file, "", *card] if by_file else card)
        except (AmountError, CannotAnswer) as error:
            self.card.put([library.name_of(self.item), "", str(error)])
        self.host.refresh_keys()
