"""The log: all that was logged, what is in date, what to discard, where a lot went, how far readings were, what fruit gave."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from time import monotonic

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.lot_answers import LogEntry, LotRow
from station.cards import labels
from station.cards import lots as cards
from station.cards.lots import about, about_entry, happened, size_of
from station.desk import log_questions
from station.desk.logging import news
from station.desk.logging_lots import gone, label_of
from station.desk.opening import Opened
from station.desk.printing import kept_card
from station.tui.field import Card
from station.tui.pane import KeyAction, Pane
from station.tui.pick_list import Pick, PickList
from station.tui.tabs import Tabs
from station.tui.view import Host, View

# So long one request to throw a lot away waits for the second.
_TWICE_SECONDS = 10.0
_ALL, _IN_DATE, _DISCARD, _DEVIATIONS, _YIELDS = range(5)
# Whole, and for where there is no room.
_QUESTIONS = (
    ("everything", "all"),
    ("in date", "in date"),
    ("to discard", "discard"),
    ("how far off", "off"),
    ("what fruit gave", "fruit"),
)
_HEADS = {
    _ALL: "Newest first:",
    _IN_DATE: "What ends first:",
    _DISCARD: "Past its use-by, or ends tonight:",
}


class LogView(View):
    """A list of entries or lots, or a card in its place; Tab, or a tap on its name, asks another question."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.tabs = Tabs("Log", _QUESTIONS, self.ask)
        self.list, self.card = PickList("", self.trace, "nothing of that is logged"), Card(classes="card")
        super().__init__(host, self.tabs, self.list, self.card, name="log")
        self.question = _ALL
        self.traced = ""
        # By row of the list, the lot it is about.
        self._lots: dict[str, str] = {}
        # The lot it was last asked to throw away, and when.
        self._asked = ("", 0.0)

    @property
    def active_pane(self) -> Pane:
        return self.list if self.listing else self.card

    @property
    def listing(self) -> bool:
        """Whether lots are listed; else a card stands there."""
        return not self.traced and self.question in _HEADS

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # they depend on what is shown
        following = _QUESTIONS[(self.question + 1) % len(_QUESTIONS)][0]
        ask = (
            KeyAction("log.next", ("tab",), "turn", 1, hint="Tab", label=following),
            KeyAction("log.previous", ("shift+tab",), "turn", -1),
        )
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
            return (back, *ask, *of_lot, demo)
        return (back, *ask, *moves, *pages, demo)

    def enter(self) -> None:
        self.traced = ""
        self._ask()

    def on_resize(self) -> None:
        if self.display and not self.listing:
            self._ask()

    def turn(self, by: int) -> None:
        self.ask((self.question + by) % len(_QUESTIONS))

    def ask(self, question: int) -> None:
        """Another question; words that found something in one list are none of the next."""
        self.question, self.traced = question, ""
        self.list.words = ""
        self.card.to_top()
        self._ask()

    def trace(self, chosen: Pick) -> None:
        self.traced = self._lots[chosen.id]
        self.card.to_top()
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
        """The lot one is at was discarded, once that was asked for twice and somebody said who they are."""
        lot, now = self._lot(), monotonic()
        asked, then = self._asked
        if lot and (lot != asked or now - then > _TWICE_SECONDS):
            self._asked = (lot, now)
            one = label_of(self.shelf, lot)
            self.host.say(f"^d again throws all of it away: {one.name}, lot {one.lot}", "warn")
        elif lot:
            self._asked = ("", 0.0)
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
        return self.traced or (self._lots[chosen.id] if chosen else "")

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
        self.tabs.put(self.question)
        self.list.display, self.card.display = self.listing, not self.listing
        self.active_pane.activate(True)
        self.host.say(" ".join([said, *news(self.shelf)]).strip(), "warn")
        self.host.refresh_keys()

    def _show(self) -> None:
        library, now = self.shelf.library, datetime.now(UTC)
        width = max(self.size.width, 40)
        if self.traced:
            self.card.put(cards.traced(log_questions.trace(self.shelf, self.traced), library, width))
        elif self.question == _ALL:
            self._list_entries(log_questions.everything(self.shelf))
        elif self.question == _IN_DATE:
            self._list_lots(log_questions.in_date(self.shelf, now), now)
        elif self.question == _DISCARD:
            found = log_questions.discards(self.shelf, now)
            self._list_lots([*found.over, *found.ends_today], now)
        elif self.question == _DEVIATIONS:
            self.card.put(cards.deviations(log_questions.deviations(self.shelf), library, width))
        else:
            self.card.put(cards.yields(log_questions.yields(self.shelf)))

    def _list_entries(self, entries: Sequence[LogEntry]) -> None:
        """A row an entry: what happened to what, when; words find any of it."""
        self._lots = {str(place): one.uuid for place, one in enumerate(entries)}
        picks = [
            Pick(
                *(str(place), f"{happened(one)}: {one.name}", "" if one.g is None else say.grams(one.g)),
                under=f"{_briefly(one.at)} · {about_entry(one)}",
                style="dim" if one.void else "text",
            )
            for place, one in enumerate(entries)
        ]
        self.list.put(picks, _HEADS[self.question])

    def _list_lots(self, rows: Sequence[LotRow], now: datetime) -> None:
        self._lots = {row.uuid: row.uuid for row in rows}
        self.list.put([self._lot_row(row, now) for row in rows], _HEADS[self.question])

    def _lot_row(self, row: LotRow, now: datetime) -> Pick:
        past = row.use_by is not None and row.use_by <= now
        words = ["PAST ITS USE-BY" if past else "", f"lot {row.lot}", *about(row, self.shelf.library.house)]
        return Pick(row.uuid, row.name, size_of(row), " · ".join(filter(None, words)), "warn" if past else "text")


def _briefly(when: datetime) -> str:
    return f"{when.day} {when:%b %Y %H:%M}"
