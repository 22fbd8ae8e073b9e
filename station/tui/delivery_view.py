"""A delivery at the station: typed in one line, logged, and what it does to the drinks."""

from __future__ import annotations

from datetime import UTC, datetime

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.cards.lots import delivered
from station.desk.delivery_text import EXAMPLE, delivery_of, in_words
from station.desk.logging import news
from station.desk.opening import Opened
from station.desk.receiving import Delivery, doubt_of, received
from station.tui.field import Card, Field
from station.tui.pane import KeyAction, Pane
from station.tui.view import Host, View


class DeliveryView(View):
    """What came, above; what would be logged, and then what it does, below."""

    KEYS = (
        KeyAction("delivery.type", (), "log_it", hint="type", label="item, figures"),
        KeyAction("delivery.log", ("enter",), "log_it", hint="Enter", label="log it"),
        KeyAction("delivery.back", ("escape",), "back", hint="Esc", label="back"),
        KeyAction("delivery.down", ("down",), "scroll", 1),
        KeyAction("delivery.up", ("up",), "scroll", -1),
        KeyAction("delivery.page-down", ("pagedown",), "scroll", 10),
        KeyAction("delivery.page-up", ("pageup",), "scroll", -10),
    )

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.text, self.card = Field("Delivery", "", self.read), Card(classes="card")
        super().__init__(host, self.text, self.card, name="delivery")
        self.said: Delivery | None = None
        # What it was last asked about, whether it is meant.
        self.doubted: Delivery | None = None

    @property
    def active_pane(self) -> Pane:
        return self.text

    def enter(self) -> None:
        self.text.activate(True)
        self.read()

    def take(self, item: str) -> None:
        """What came: its measurements are typed behind it."""
        self.text.start(f"{item} ")

    def scroll(self, by: int) -> None:
        self.card.scroll_by(by)

    def read(self) -> None:
        """What stands in the field, as it would be logged; what cannot be read is said."""
        self.said = None
        if not self.text.text.strip():
            self.card.put([f"e.g. {EXAMPLE}", "also brix= temp= made= use-by= code= of=LOT"])
            return
        try:
            self.said = delivery_of(self.shelf.library, self.text.text)
        except AmountError as error:
            self.card.put([str(error)])
        else:
            self.card.put(in_words(self.shelf.library, self.said))

    def log_it(self) -> None:
        """In the log, once somebody said who they are."""
        if self.said is None:
            return
        if (doubt := self._doubt(self.said)) and self.said != self.doubted:
            self.doubted = self.said
            self.host.say(f"{doubt}. Enter again logs it so, or mend it", "warn")
        else:
            from station.tui.who_view import ask_who

            ask_who(self.host, self.shelf, self._log)

    def _doubt(self, said: Delivery) -> str:
        """What is asked about once; what cannot be logged at all is said when it is tried."""
        if not (said.measures or said.describes):
            return f"{self.shelf.library.name_of(said.item)}: no amount, nothing measured"
        try:
            return doubt_of(self.shelf, said)
        except (AmountError, CannotAnswer):
            return ""

    def _log(self) -> None:
        if self.said is None:
            return
        try:
            answer = received(self.shelf, self.said, "", datetime.now(UTC))
        except (AmountError, CannotAnswer) as error:
            self.host.say(" ".join([str(error), *news(self.shelf)]), "warn")
            return
        self.said = None
        self.text.propose(answer.row.item)
        self.card.put(delivered(answer, self.shelf.library.house, max(self.app.size.width, 40)))
        self.host.say(" ".join([f"logged as lot {answer.row.lot}. Write that on it.", *news(self.shelf)]))
