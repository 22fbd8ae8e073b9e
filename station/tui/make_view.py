"""A stock's making card, live: say how much, weigh by it, log it as made."""

from __future__ import annotations

from datetime import UTC, datetime

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.answers import MadeStock
from station.cards.making import making_card
from station.desk.logging import news
from station.desk.logging_lots import logged
from station.desk.making import Unread, made, yield_of_text
from station.desk.on_shelf import EMPTY, shelf_of
from station.desk.opening import Opened
from station.desk.printing import kept_card
from station.tui.card_view import CardView, scrolling
from station.tui.field import Card, Field
from station.tui.pane import KeyAction
from station.tui.view import Host

_EXAMPLES = "type e.g. 500 g, 1 l, citric-acid=80 g; empty: as in its file"
_MOVES = scrolling("make")
_BACK = KeyAction("make.back", ("escape",), "back", hint="Esc", label="back")


class MakeView(CardView):
    """How much above, the card below. From a concentrate there is no card before its caution was read."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        super().__init__(host, Field("Make", _EXAMPLES, self.reckon), Card(classes="card"), "make")
        self.stock = ""
        self.answer: MadeStock | None = None
        self.lots = EMPTY
        self.acknowledged = self.unread = False

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # they depend on where one is
        switch = KeyAction("make.switch", ("enter", "tab"), "switch_pane", hint="Enter", label="to card")
        if not self.on_card:
            return (KeyAction("make.type", (), "switch_pane", hint="type", label="how much"), switch, _BACK, *_MOVES)
        back_up = KeyAction("make.target", ("tab",), "switch_pane", hint="Tab", label="how much")
        if self.unread:
            return (KeyAction("make.read", ("y",), "acknowledge", hint="y", label="I have read it"), back_up, _BACK, *_MOVES)
        if self.answer is None:
            return (back_up, _BACK, *_MOVES)
        return (
            KeyAction("make.log", ("l",), "log_made", hint="l", label="made: log it"),
            _BACK,
            KeyAction("make.keep", ("t",), "keep_card", hint="t", label="card to a file"),
            back_up,
            *_MOVES,
        )

    def take(self, stock: str, amount: str = "") -> None:
        """The stock to make, so much of it; without an amount what its file makes."""
        self.stock, self.on_card, self.acknowledged = stock, False, False
        said = ""
        try:
            self.lots = shelf_of(self.shelf, datetime.now(UTC))
        except CannotAnswer as error:
            self.lots, said = EMPTY, str(error)
        self.target.propose(amount)
        self.target.activate(True)
        self.card.to_top()
        self.reckon()
        self.host.say(" ".join([said, *news(self.shelf)]).strip(), "warn")

    def on_resize(self) -> None:
        """The card was broken for another width; what it says, and that it is logged, stays."""
        if self.answer is not None:
            self.card.put(self._lines(self.answer))

    def acknowledge(self) -> None:
        self.acknowledged = True
        self.reckon()

    def keep_card(self) -> None:
        """The card and its label as text, in a file one can print."""
        if self.answer is None:
            return
        try:
            path = kept_card(self.shelf, self.stock, self._lines(self.answer), datetime.now(UTC))
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
        else:
            self.host.say(f"the card is in {path}")

    def log_made(self) -> None:
        """It is made: a lot of it in the log, once somebody said who they are."""
        from station.tui.who_view import ask_who

        ask_who(self.host, self.shelf, self._log)

    def _log(self) -> None:
        if self.answer is None or self.answer.label.lot:
            return
        try:
            self.answer = logged(self.shelf, self.answer, self.lots, "", datetime.now(UTC))
        except (AmountError, CannotAnswer) as error:
            self.host.say(str(error), "warn")
            return
        self.card.put(self._lines(self.answer))
        self.host.say(f"logged as lot {self.answer.label.lot}, weighed as asked. Write that on it.")

    def reckon(self) -> None:
        """The card for what stands in the field, or why there is none."""
        library = self.shelf.library
        self.answer, self.unread = None, False
        try:
            wanted = yield_of_text(self.shelf.blends, self.target.text)
            self.answer = made(self.shelf.blends, self.stock, wanted, datetime.now(UTC), self.acknowledged, self.lots)
        except Unread as error:
            self.unread = True
            self.card.put([library.name_of(self.stock), "", f"STOP: {error.message}"])
        except (AmountError, CannotAnswer) as error:
            self.card.put([library.name_of(self.stock), "", str(error)])
        else:
            self.card.put(self._lines(self.answer))
        self.host.refresh_keys()

    def _lines(self, answer: MadeStock) -> list[str]:
        return making_card(answer, self.shelf.library.house, max(self.size.width, 40))
