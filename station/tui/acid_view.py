"""Acid questions about one line: bring that juice to another's acidity, or see what would stand in for it."""

from __future__ import annotations

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.cards.acid import adjusted as adjusted_card
from station.cards.acid import replaced as replaced_card
from station.desk.adjusting import adjusted, replaced_in
from station.desk.opening import Opened
from station.tui.card_view import scrolling
from station.tui.field import Card, Field
from station.tui.pane import KeyAction, Pane
from station.tui.view import Host, View

_PROPOSED = "6.0 g/100ml"


class AcidView(View):
    """Above, the acidity a juice is brought to; below, how. Tab shows what stands in for it in the drink instead."""

    _MOVES = (
        KeyAction("acid.back", ("escape",), "back", hint="Esc", label="back"),
        *scrolling("acid"),
    )

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # the other question's name
        label = "adjust it" if self.replacing else "replace it"
        return (KeyAction("acid.other", ("tab",), "turn", hint="Tab", label=label), *self._MOVES)

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.target, self.card = Field("Bring it to", "type e.g. 6.0 g/100ml, lime-juice", self.reckon), Card(classes="card")
        super().__init__(host, self.target, self.card, name="acid")
        self.spec: Spec | None = None
        self.item = ""
        self.replacing = False

    @property
    def active_pane(self) -> Pane:
        return self.card if self.replacing else self.target

    def take(self, spec: Spec, item: str) -> None:
        """The spec as it stands, and the item of the line the question is about."""
        self.spec, self.item, self.replacing = spec, item, False
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

    def scroll_card(self, by: int) -> None:
        self.card.scroll_by(by)

    def reckon(self) -> None:
        """The card for what stands in the field, or in one sentence why there is none."""
        library, blends = self.shelf.library, self.shelf.blends
        try:
            if self.replacing and self.spec is not None:
                self.card.put(replaced_card(replaced_in(blends, self.spec, self.item), library))
            else:
                self.card.put(adjusted_card(adjusted(blends, self.item, self.target.text), library))
        except (AmountError, CannotAnswer) as error:
            self.card.put([library.name_of(self.item), "", str(error)])
        self.host.refresh_keys()
