"""The open drink beside another, or beside a version of itself."""

from __future__ import annotations

from station.bar.fault import CannotAnswer
from station.calc.compared import EDITED, SAVED
from station.cards.compared import compared_card
from station.desk.comparing import Version, compare_versions, version, versions
from station.desk.document import Document
from station.desk.opening import Opened
from station.tui.card_view import scrolling
from station.tui.field import Card, Field
from station.tui.pane import KeyAction, Pane
from station.tui.view import Host, View


class CompareView(View):
    """Above, what the drink is held against: its versions in turn by Tab, another drink by typing its name. Below, both."""

    KEYS = (
        KeyAction("compare.type", (), "turn", hint="type", label="another drink"),
        KeyAction("compare.version", ("tab",), "turn", hint="Tab", label="other version"),
        KeyAction("compare.back", ("escape",), "back", hint="Esc", label="back"),
        *scrolling("compare"),
    )

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.against, self.card = Field("Against", "type a drink's name, or its id@1", self.reckon), Card(classes="card")
        super().__init__(host, self.against, self.card, name="compare")
        self.document: Document | None = None
        self.choices: tuple[Version, ...] = ()

    @property
    def active_pane(self) -> Pane:
        return self.against

    def take(self, document: Document) -> None:
        """The drink as it stands. It is held against itself as saved, where it is edited, else against what a save replaced."""
        self.document = document
        found = versions(self.shelf, document.saved.id) if document.unwritten is None else ()
        self.choices = tuple(one for one in found if one.version != EDITED and (one.version != SAVED or document.unsaved))
        self.card.to_top()
        self.against.activate(True)
        self.against.propose(self.choices[0].asked if self.choices else "")
        self.reckon()

    def on_resize(self) -> None:
        self.reckon()

    def turn(self) -> None:
        """The next version of the drink, after the last the first."""
        asked = [one.asked for one in self.choices]
        if not asked:
            self.host.say("this drink has no other version: nothing is edited, no save has replaced anything")
            return
        at = asked.index(self.against.text) + 1 if self.against.text in asked else 0
        self.against.propose(asked[at % len(asked)])
        self.reckon()

    def scroll_card(self, by: int) -> None:
        self.card.scroll_by(by)

    def reckon(self) -> None:
        """Both, for what stands in the field, or in one sentence why not."""
        document = self.document
        if document is None:
            return
        standing = Version(document.saved.id, EDITED if document.unsaved else SAVED, document.spec)
        try:
            answer = compare_versions(self.shelf.blends, self._other(self.against.text), standing)
        except CannotAnswer as error:
            self.card.put([document.saved.name, "", str(error)])
        else:
            self.card.put(compared_card(answer, max(self.size.width, 38)))

    def _other(self, text: str) -> Version:
        """A version asked for by its id; words find the first drink of the list that holds them all. Raises CannotAnswer."""
        words = text.strip()
        if not words:
            raise CannotAnswer("held against nothing yet", "type the name of another drink")
        if "@" in words or words in self.shelf.library.drinks:
            return version(self.shelf, words)
        found = next((one for one in self.shelf.find(words) if not one.faulty), None)
        if found is None:
            raise CannotAnswer(f"no drink holds “{words}”", "type a part of its name")
        return version(self.shelf, found.id)
