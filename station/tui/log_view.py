"""The log: what is in date, what to discard, where a lot went and came from, how far weighings were off, what fruit gave."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.lot_answers import LotRow
from station.cards import labels
from station.cards import lots as cards
from station.cards.lots import briefly
from station.cards.text import state
from station.desk import log_questions
from station.desk.logging import news
from station.desk.logging_lots import gone, label_of
from station.desk.opening import Opened
from station.desk.printing import kept_card
from station.tui.field import Card
from station.tui.pane import KeyAction, Pane
from station.tui.pick_list import Pick, PickList
from station.tui.view import Host, View

_IN_DATE, _DISCARD, _DEVIATIONS, _YIELDS = _QUESTIONS = ("In date", "To discard", "How far off", "What fruit gave")
_HEADS = {_IN_DATE: "In date", _DISCARD: "Over, or ending with this service day"}


class LogView(View):
    """A list of lots, or a card in its place; Tab asks the next question."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.list, self.card = PickList("In date", self.trace, "nothing of that is logged"), Card(classes="card")
        super().__init__(host, self.list, self.card, name="log")
        self.question = _IN_DATE
        self.traced = ""

    @property
    def active_pane(self) -> Pane:
        return self.list if self.listing else self.card

    @property
    def listing(self) -> bool:
        """Whether lots are listed; else a card stands there."""
        return not self.traced and self.question in _HEADS

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # they depend on what is shown
        following = _QUESTIONS[(_QUESTIONS.index(self.question) + 1) % len(_QUESTIONS)]
        ask = KeyAction("log.next", ("tab",), "next_question", hint="Tab", label=following.lower())
        back = KeyAction("log.back", ("escape",), "back", hint="Esc", label="back")
        moves = (KeyAction("log.down", ("down",), "scroll", 1), KeyAction("log.up", ("up",), "scroll", -1))
        pages = (KeyAction("log.page-down", ("pagedown",), "scroll", 10), KeyAction("log.page-up", ("pageup",), "scroll", -10))
        of_lot = (
            KeyAction("log.discard", ("ctrl+d", "delete"), "discard", hint="^d", label="it was discarded"),
            KeyAction("log.label", ("ctrl+t",), "keep_label", hint="^t", label="label to a file"),
        )
        demo = KeyAction("log.demo", ("ctrl+e",), "import_demo", label="import an invented month of lots")
        if self.traced:
            return (back, *of_lot, *moves, *pages)
        if self.listing:
            return (back, ask, *of_lot, demo)
        return (back, ask, *moves, *pages, demo)

    def enter(self) -> None:
        self.traced = ""
        self._ask()

    def on_resize(self) -> None:
        if self.display and not self.listing:
            self._ask()

    def next_question(self) -> None:
        self.question = _QUESTIONS[(_QUESTIONS.index(self.question) + 1) % len(_QUESTIONS)]
        self._ask()

    def trace(self, chosen: Pick) -> None:
        self.traced = chosen.id
        self.card.first = 0
        self._ask()

    def scroll(self, by: int) -> None:
        self.card.scroll_by(by)

    def back(self) -> None:
        if self.traced:
            self.traced = ""
            self._ask()
        else:
            self.host.back()

    def discard(self) -> None:
        """The lot one is at was discarded, once somebody said who they are."""
        lot = self._lot()
        if lot:
            from station.tui.who_view import ask_who

            ask_who(self.host, self.shelf, lambda: self._discard(lot))

    def _discard(self, lot: str) -> None:
        def write() -> str:
            row = gone(self.shelf, lot, "", datetime.now(UTC))
            self.traced = ""
            return f"discarded: {row.name}, lot {row.lot}"

        self._said(write)

    def keep_label(self) -> None:
        """The lot's label as text, in a file one can print."""
        name = self._lot()
        if name:
            one = label_of(self.shelf, name)
            lines = labels.label(one, self.shelf.library.house)
            self._said(lambda: f"the label is in {kept_card(self.shelf, one.lot, lines, datetime.now(UTC))}")

    def import_demo(self) -> None:
        """An invented month, so that there is something to see."""

        def write() -> str:
            from station.desk.demo_log import imported

            found = imported(self.shelf, datetime.now(UTC))
            return f"{found.lots} invented lots are in the log" if found.lots else "the invented month is in the log already"

        self._said(write)

    def _lot(self) -> str:
        chosen = self.list.chosen if self.listing else None
        return self.traced or (chosen.id if chosen else "")

    def _said(self, write: Callable[[], str]) -> None:
        try:
            said, style = write(), "accent"
        except (AmountError, CannotAnswer) as error:
            said, style = str(error), "warn"
        self._ask()
        self.host.say(said, style)

    def _ask(self) -> None:
        """Ask the log again, and show what it says; what is wrong with it is said."""
        said = ""
        try:
            self._show()
        except CannotAnswer as error:
            said = str(error)
        self.list.display, self.card.display = self.listing, not self.listing
        self.active_pane.activate(True)
        self.host.say(" ".join([said, *news(self.shelf)]).strip(), "warn")
        self.host.refresh_keys()

    def _show(self) -> None:
        library, now = self.shelf.library, datetime.now(UTC)
        width = max(self.size.width, 40)
        if self.traced:
            self.card.put(cards.traced(log_questions.trace(self.shelf, self.traced), library, width))
        elif self.question == _IN_DATE:
            self._list(log_questions.in_date(self.shelf, now), now)
        elif self.question == _DISCARD:
            found = log_questions.discards(self.shelf, now)
            self._list([*found.over, *found.ends_today], now)
        elif self.question == _DEVIATIONS:
            self.card.put(cards.deviations(log_questions.deviations(self.shelf), library, width))
        else:
            self.card.put(cards.yields(log_questions.yields(self.shelf)))

    def _list(self, rows: list[LotRow], now: datetime) -> None:
        self.list.put([self._pick(row, now) for row in rows], _HEADS[self.question])

    def _pick(self, row: LotRow, now: datetime) -> Pick:
        left = "" if row.left_g is None else f"{say.grams(row.left_g)} left"
        over = row.use_by is not None and row.use_by <= now
        ends = f"use by {briefly(row.use_by, self.shelf.library.house)}" if row.use_by else "no use-by stated"
        diluted = state(bool(row.diluted)) if row.kind == "batch" else ""
        off_plan = "NOT AS PLANNED" if row.off_plan else ""
        words = ["OVER" if over else "", "HALF MADE" if row.half_made else "", off_plan, diluted]
        under = " · ".join(part for part in (row.lot, *words, ends, row.by) if part)
        return Pick(row.uuid, row.name, left, under, "warn" if over else "text")
