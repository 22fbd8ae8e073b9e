"""A whole drink at a glance, and the next, and the one before; letters find another."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from station.bar.fault import CannotAnswer
from station.calc.answers import LotUsed, Shown
from station.cards.lookup import WIDTH, look_up
from station.desk.look import show
from station.desk.opening import Opened
from station.tui.card_view import scrolling
from station.tui.field import Card
from station.tui.lots_beside import lots_apart
from station.tui.main_view import MainView
from station.tui.pane import KeyAction, Pane
from station.tui.view import Host, View

# A card wider than this is no longer read at a glance.
_WIDEST = 60


class LookupCard(Card):
    """The card; what is typed on it finds."""

    def __init__(self, find: Callable[[str], bool]) -> None:
        super().__init__()
        self._find = find

    def typed(self, character: str) -> bool:
        return self._find(character)


class LookupView(View):
    """The drink as it stands, with its unsaved edit; arrows lead to the other drinks of the list, as they are saved.

    Letters find as on the list: the first drink that holds the words stands there, and arrows lead to the others that do.
    """

    KEYS = (
        KeyAction("lookup.next", ("right",), "turn", 1, hint="←→", label="next"),
        KeyAction("lookup.previous", ("left",), "turn", -1),
        KeyAction("lookup.find", (), "say_find", hint="a-z", label="find"),
        KeyAction("lookup.open", ("enter",), "open", hint="Enter", label="open"),
        KeyAction("lookup.back", ("escape",), "back", hint="Esc", label="back"),
        KeyAction("lookup.rub", ("backspace",), "rub"),
        KeyAction("lookup.all", ("ctrl+u",), "look_for"),
        *scrolling("lookup"),
    )

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.card = LookupCard(self.find)
        super().__init__(host, self.card, name="lookup")
        self.name_on = self.words = ""
        self.lots: Mapping[str, LotUsed] = {}

    @property
    def active_pane(self) -> Pane:
        return self.card

    def enter(self) -> None:
        """The open drink; where none is open, the first of the list."""
        document = self._main.lines.document
        self.words = ""
        self.name_on = document.saved.id if document else next(iter(self._ids()), "")
        self.lots = self._main.lines.lots if document else lots_apart(self.shelf)
        self.card.to_top()
        self._paint()

    def on_resize(self) -> None:
        self._paint()

    def open(self) -> None:
        self.host.say("")
        self.host.put_on(self._main)
        self._main.open_named(self.name_on)

    def back(self) -> None:
        self.host.say("")
        super().back()

    def find(self, character: str) -> bool:
        """One letter more of what is looked for."""
        if character == " " and not self.words:
            return False
        self.look_for(self.words + character)
        return True

    def rub(self) -> None:
        self.look_for(self.words[:-1])

    def look_for(self, words: str = "") -> None:
        """The first drink that holds these words; none does, and the one that stands there stays."""
        self.words = words
        found = self._ids()
        if words and found:
            self._turn_to(found[0])
        count = f"{len(found)} drink{'' if len(found) == 1 else 's'}"
        self.host.say(f"Find {words}: {count}" if words else "", "accent" if found else "warn")

    def say_find(self) -> None:
        self.host.say("type a part of a drink's name")

    def scroll_card(self, by: int) -> None:
        self.card.scroll_by(by)

    def turn(self, by: int) -> None:
        """The next drink of the list, or the one before; after the last comes the first."""
        ids = self._ids()
        if ids:
            at = ids.index(self.name_on) if self.name_on in ids else 0
            self._turn_to(ids[(at + by) % len(ids)])

    def _turn_to(self, name: str) -> None:
        self.name_on = name
        self.card.to_top()
        self._paint()

    @property
    def _main(self) -> MainView:
        return self.host.view(MainView)

    def _ids(self) -> list[str]:
        return [one.id for one in self.shelf.find(self.words) if not one.faulty]

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
