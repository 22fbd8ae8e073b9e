"""What is done with whole drinks from the list: new, copied, called otherwise, retired. Each says what became of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING, Protocol

from station.bar.fault import CannotAnswer
from station.bar.listed import Listed
from station.desk.kept import drafted
from station.desk.opening import Opened
from station.desk.recent import first_wanted
from station.tui.naming import Asked, Naming
from station.tui.spec_list import SpecList

if TYPE_CHECKING:
    from station.desk.document import Document


class Place(Protocol):
    """Where the drinks are shown."""

    def put_on(self, name: str) -> None:
        """Give that pane the keys."""

    def show_lines(self) -> None:
        """To the lines of what was opened."""

    def open_row(self, chosen: Listed) -> None:
        """Open that row's drink, or its faults."""

    def open_document(self, document: Document) -> None:
        """Show that drink's lines."""

    def open_id(self, name: str) -> None:
        """Show that drink's lines as it is saved, offering the edit it may have."""

    def follow_name(self, old: str, new: str) -> None:
        """A drink has another id."""

    def look_again(self) -> None:
        """The list may be another."""

    def say(self, text: str, style: str = "accent") -> None:
        """One line of news."""


class SpecShelf:
    """What stands in the list, and the actions of its chosen drink."""

    def __init__(self, place: Place, shelf: Opened, counted: Callable[[], None]) -> None:
        self.place, self.shelf, self._counted = place, shelf, counted
        self.specs = SpecList(self.find, place.open_row, lambda what: getattr(self, what)())
        self.naming = Naming(lambda: place.put_on("list"))
        self.unwritten: Mapping[str, Listed] = {}

    def find(self, words: str) -> Sequence[Listed]:
        """The rows of the list: those never saved, then those wanted; or the retired."""
        if self.specs.retired:
            self.specs.reasons = {}
            return self.shelf.find(words, retired=True)
        rows, self.specs.reasons = first_wanted(self.shelf, words, datetime.now(UTC))
        wanted = words.casefold().split()
        new = [one for one in self.unwritten.values() if all(word in f"{one.id} {one.name.casefold()}" for word in wanted)]
        return [*new, *rows] if new else rows

    def mark_drafts(self) -> None:
        """Look which drinks have an unsaved edit, and which only drafts hold. What reads those is imported when there is one."""
        self.specs.drafted = frozenset(drafted(self.shelf))
        self.unwritten = {}
        if self.specs.drafted:
            from station.desk.new_drinks import unwritten

            self.unwritten = unwritten(self.shelf)
        self._counted()

    def new(self) -> None:
        """Ask for a new drink's name, method and range."""
        from station.desk.new_drinks import NEW_METHODS, begun, id_of, usual_style

        def make(name: str, own_id: str) -> None:
            self.place.open_document(begun(self.shelf, name, self.naming.chosen_method, self.naming.style))
            self.place.show_lines()
            self.place.say(f"{name} is begun: n adds a line, s saves it")

        methods = [(method, usual_style(self.shelf, method)) for method in NEW_METHODS]
        styles = sorted(self.shelf.library.windows)
        self._ask(Asked("A new drink", "begin it", partial(id_of, self.shelf), make, methods, styles))

    def copy(self) -> None:
        """Ask for the name of a copy of the chosen drink."""
        from station.bar.shelf import DRINK
        from station.desk.new_drinks import id_of
        from station.desk.shelving import duplicate

        chosen = self._chosen()
        if chosen is None:
            return
        name, called = chosen

        def make(copied: str, own_id: str) -> None:
            duplicate(self.shelf, DRINK, name, own_id, copied)
            self.place.look_again()
            self.place.open_id(own_id)
            self.place.show_lines()
            self.place.say(f"{copied} is a copy of {called}, in drinks/{own_id}.toml")

        self._ask(Asked(f"A copy of {called}", "copy it", partial(id_of, self.shelf), make), f"{called} 2")

    def rename(self) -> None:
        """Ask for another name of the chosen drink."""
        from station.desk.new_drinks import id_of, renamed

        chosen = self._chosen(unwritten=True)
        if chosen is None:
            return
        name, called = chosen

        def make(new: str, own_id: str) -> None:
            renamed(self.shelf, name, own_id, new)
            self.place.follow_name(name, own_id)
            self.place.put_on("list")
            self.place.say(f"{called} is now {new}, id {own_id}")

        self._ask(Asked(f"Another name for {called}", "rename it", partial(id_of, self.shelf, own=name), make), called)

    def retire(self) -> None:
        """Take the chosen drink off the list, or put a retired one back; a new one without lines goes."""
        if self.specs.found:
            one = self.specs.found[self.specs.at]
            if self._tried(lambda: self._turn(one)):
                self.place.say(self._turned(one))

    def _turn(self, one: Listed) -> None:
        from station.desk.new_drinks import let_go, unwritten
        from station.desk.shelving import retire, unretire

        if one.id in unwritten(self.shelf):
            let_go(self.shelf, one.id)
        elif self.specs.retired:
            unretire(self.shelf, one.id)
        else:
            retire(self.shelf, one.id)
        self.place.look_again()

    def _turned(self, one: Listed) -> str:
        if one.id not in self.shelf.library.drinks:
            return f"{one.name} was never saved and is gone"
        if self.specs.retired:
            return f"{one.name} is on the list again"
        return f"{one.name} is off the list; its file stays. ^o shows the retired, ^t there puts it back"

    def show_retired(self) -> None:
        """The list of the retired drinks, or back to those on the list."""
        self.specs.retired = not self.specs.retired
        self.specs.find()
        self.place.say("retired drinks: ^t puts one back on the list, ^o shows the list again" if self.specs.retired else "")

    def _chosen(self, unwritten: bool = False) -> tuple[str, str] | None:
        """Id and name of the chosen drink; None where there is none, or it was never saved and would have to be."""
        if not self.specs.found:
            return None
        one = self.specs.found[self.specs.at]
        if not unwritten and one.id not in self.shelf.library.drinks:
            self.place.say(
                f"{one.name} {'has a fault: mend its file' if one.faulty else 'is not saved yet: save it'} first", "warn"
            )
            return None
        return one.id, one.name

    def _ask(self, asked: Asked, text: str = "") -> None:
        """Ask for a name, unless the library is never written."""
        from station.desk.writing import ready

        def try_it(name: str, own_id: str) -> None:
            self._tried(lambda: asked.done(name, own_id))

        if self._tried(lambda: ready(self.shelf)):
            self.naming.ask(replace(asked, done=try_it), text)
            self.place.put_on("naming")

    def _tried(self, change: Callable[[], None]) -> bool:
        """Whether it could be done; else the reason is news."""
        try:
            change()
        except CannotAnswer as error:
            self.place.say(str(error), "warn")
            return False
        return True
