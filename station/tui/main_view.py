"""The main view: specs, the open spec's lines, its balance; side by side from 100 columns, one at a time under that."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING

from station.bar.fault import CannotAnswer
from station.bar.listed import Listed
from station.desk.kept import drafted
from station.desk.opening import Opened
from station.desk.recent import first_wanted, note_opened
from station.tui.balance_rows import acid_panel, panel
from station.tui.field import Card
from station.tui.item_search import ItemSearch
from station.tui.key_bar import Offer
from station.tui.naming import Naming
from station.tui.pane import KeyAction, Pane
from station.tui.spec_lines import SpecLines
from station.tui.spec_list import SpecList
from station.tui.spec_shelf import SpecShelf
from station.tui.view import Host, View

if TYPE_CHECKING:
    from station.desk.document import Document

WIDE = 100
TALL = 36
# Panes that ask something: one leaves them by answering, or by Esc.
_ASKING = {"search", "naming"}


class BalancePane(Card):
    """The balance of the open spec, or its acids; arrows move it where it is longer than the screen."""

    KEYS = (
        KeyAction("balance.acids", ("a",), "turn", hint="a", label="acids or balance"),
        KeyAction("balance.lines", ("escape", "left"), "back", hint="Esc", label="lines"),
        KeyAction("balance.down", ("down",), "scroll_by", 1, hint="↑↓", label="move"),
        KeyAction("balance.up", ("up",), "scroll_by", -1),
    )

    def __init__(self, view: MainView) -> None:
        super().__init__(id="balance")
        self.view = view
        self.acids = False

    def back(self) -> None:
        self.view.put_on("lines")

    def turn(self) -> None:
        self.view.turn_balance()

    def paint(self) -> None:
        document = self.view.lines.document
        if document is None:
            rows = []
        elif self.acids:
            rows = acid_panel(document.acid_detail, document.opened.library, self.size.width)
        else:
            rows = panel(document.answer_saved, document.answer, self.size.width)
        self.show(rows, min(self.first, max(0, len(rows) - self.size.height)))


class MainView(View):
    """List, lines, balance."""

    KEYS = (
        KeyAction("main.next-pane", ("tab",), "next_pane", 1, hint="Tab", label="next pane"),
        KeyAction("main.previous-pane", ("shift+tab",), "next_pane", -1),
    )

    def __init__(self, host: Host, shelf: Opened) -> None:
        """What reckons is imported when a spec is opened: the list must be up before that."""
        self.shelf = shelf
        self.specs = SpecList(self._find, self.open_row, lambda what: getattr(self.spec_shelf, what)())
        self.lines = SpecLines(self._changed, lambda what: getattr(self, what)(), host.say)
        self.balance = BalancePane(self)
        self.search = ItemSearch(self._take_item, lambda: self.put_on("lines"))
        self.naming = Naming(lambda: self.put_on("list"))
        self.spec_shelf = SpecShelf(self, shelf, self.specs, self.naming)
        self.unwritten: Mapping[str, Listed] = {}
        self._adds = True
        super().__init__(host, self.specs, self.naming, self.lines, self.search, self.balance, name="main")
        self.add_class("-on", "-list")
        self.on = "list"

    @property
    def active_pane(self) -> Pane:
        return self._panes[self.on]

    @property
    def _panes(self) -> dict[str, Pane]:
        return {
            "list": self.specs,
            "lines": self.lines,
            "balance": self.balance,
            "search": self.search,
            "naming": self.naming,
        }

    @property
    def narrow(self) -> bool:
        return self.size.width < WIDE

    @property
    def tall(self) -> bool:
        """Whether a narrow screen held upright has room for the balance under the lines."""
        return self.narrow and self.size.height >= TALL

    def on_mount(self) -> None:
        self._mark_drafts()
        self.specs.reload()
        self.put_on("list")
        if self.specs.drafted:
            names = [one.name for one in self.specs.found if one.id in self.specs.drafted]
            self.host.say(f"Unsaved edits were kept: {', '.join(names)}. Open one to take it up." if names else "")

    def on_resize(self) -> None:
        """At another width the same pane stays on; what is typed is in the document, not in the pane."""
        self.set_class(self.narrow, "-narrow")
        self.set_class(self.tall, "-tall")
        self.lines.compact = self.narrow and not self.tall
        if not self.narrow and self.on == "balance":
            self.put_on("lines")
        self.lines.paint()
        self.host.refresh_keys()

    def offers(self) -> Sequence[Offer]:
        """Where something is asked, only what answers it."""
        every = super().offers()
        return every[: -len(self.KEYS)] if self.on in _ASKING else every

    def put_on(self, name: str) -> None:
        """Keys go to that pane; where there is room for one only, it is that one."""
        self.on = name
        for one, pane in self._panes.items():
            self.set_class(one == name, f"-{one}")
            pane.activate(one == name)
        self.host.refresh_keys()

    def next_pane(self, by: int) -> None:
        order = ["list", "lines", "balance"] if self.narrow else ["list", "lines"]
        if self.on not in _ASKING:
            self.put_on(order[(order.index(self.on) + by) % len(order)])

    def open_row(self, chosen: Listed) -> None:
        """Open a spec; a faulty one opens its faults."""
        from station.desk.look import faulty_drinks

        if chosen.faulty:
            self.lines.open_faulty(faulty_drinks(self.shelf.library).get(chosen.id, ()))
            self.specs.open_id = chosen.id
        else:
            self.open_id(chosen.id)
        self.put_on("lines")
        self.specs.paint()
        self.balance.paint()

    def open_id(self, name: str) -> None:
        """Put that spec on, offering the unsaved edit it may have; one that was never saved is taken up as it was left."""
        from station.desk.document import open_document
        from station.desk.new_drinks import reopened
        from station.desk.resuming import draft_of, take_up

        current = self.lines.document
        if current is not None and current.saved.id == name:
            return
        new = name in self.unwritten
        document = reopened(self.shelf, name) if new else open_document(self.shelf, name)
        draft = draft_of(document)
        if draft and new:
            take_up(document, draft)
        self.open_document(document, draft.when if draft and not new else "")
        when = self.lines.offer[:16].replace("T", " ")
        self.host.say(f"An unsaved edit of {when} UTC was kept: y takes it up, n drops it." if when else document.message)

    def open_document(self, document: Document, offer: str = "") -> None:
        """Put that spec on."""
        self.lines.open(document, offer)
        self.specs.open_id = document.saved.id
        note_opened(self.shelf, document.saved.id, datetime.now(UTC))
        self.look_again()
        self.specs.choose(document.saved.id)

    def look_again(self) -> None:
        """The drinks there are, found again; the open one as it now stands."""
        self._mark_drafts()
        document = self.lines.document
        if document and document.saved.id not in self.shelf.library.drinks and document.saved.id not in self.unwritten:
            self.lines.open_faulty(())
            self.specs.open_id = ""
        self._after_edit()

    def follow_name(self, old: str, new: str) -> None:
        """A drink has another id: if it is open it stays so, with its edit."""
        was_open = self.lines.document is not None and self.lines.document.saved.id == old
        if was_open:
            self.lines.open_faulty(())
        self.look_again()
        if was_open:
            self.open_id(new)
            if self.lines.offer:
                self.take_up()

    def say(self, text: str, style: str = "accent") -> None:
        self.host.say(text, style)

    def find_new_item(self) -> None:
        self._find_item("A new line", adds=True)

    def find_other_item(self) -> None:
        document = self.lines.document
        if document and document.lines:
            self._find_item(f"In place of {self.shelf.library.name_of(document.lines[self.lines.at].item)}", adds=False)

    def _find_item(self, purpose: str, adds: bool) -> None:
        from station.desk.item_finding import findable, found_items

        if self.lines.document and self.lines.document.commit():
            self._adds = adds
            self.search.ask(purpose, partial(found_items, findable(self.shelf.library)))
            self.put_on("search")

    def _take_item(self, item: str) -> None:
        self.put_on("lines")
        if self._adds:
            self.lines.add_item(item)
        else:
            self.lines.set_item(item)

    def _find(self, words: str) -> Sequence[Listed]:
        if self.specs.retired:
            self.specs.reasons = {}
            return self.shelf.find(words, retired=True)
        rows, self.specs.reasons = first_wanted(self.shelf, words, datetime.now(UTC))
        wanted = words.casefold().split()
        new = [one for one in self.unwritten.values() if all(word in f"{one.id} {one.name.casefold()}" for word in wanted)]
        return [*new, *rows]

    def _changed(self) -> None:
        """An edit: what was said before it is old news."""
        self.balance.paint()
        document = self.lines.document
        self.host.say(document.message if document else "", "warn")
        self.host.refresh_keys()

    def save(self) -> None:
        document = self.lines.document
        if document is None:
            return
        try:
            document.save()
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
        else:
            self.host.say(f"saved in {document.saved.file}")
        self._after_edit()

    def make_batch(self) -> None:
        document = self.lines.document
        if document is None or not document.commit():
            return
        if isinstance(document.answer, str):
            self.host.say(document.answer, "warn")
        else:
            from station.tui.batch_view import BatchView

            batch = self.host.view(BatchView)
            batch.take(document.spec)
            self.host.put_on(batch)

    def turn_balance(self) -> None:
        """The balance, or the acids by kind; where there is room for one pane, that pane."""
        self.balance.acids = not self.balance.acids
        self.balance.first = 0
        self.balance.paint()
        if self.narrow and self.balance.acids:
            self.put_on("balance")

    def adjust_juice(self) -> None:
        document = self.lines.document
        if document is not None and document.lines:
            from station.tui.acid_view import AcidView

            acid = self.host.view(AcidView)
            acid.take(document.spec, document.lines[self.lines.at].item)
            self.host.put_on(acid)

    def look_around(self) -> bool:
        """Take in what another program changed, and say whether anything was; an edit that is open here stays as it is."""
        document = self.lines.document
        try:
            moved = self.shelf.look_around([document.saved.file] if document else [])
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
            return False
        if not moved:
            return False
        followed = document is None or document.follow()
        self.lines.at = min(self.lines.at, len(document.lines)) if document else 0
        self._after_edit()
        if document and not followed:
            changed = f"{document.saved.file} was changed by another program"
            self.host.say(f"{changed}: your edit is kept, s will refuse it", "warn")
        else:
            self.host.say("another program changed the library: what you see is the newest")
        return True

    def leave(self) -> None:
        self._mark_drafts()
        self.host.say("")
        self.put_on("list")

    def take_up(self) -> None:
        from station.desk.resuming import draft_of, take_up

        document = self.lines.document
        draft = draft_of(document) if document else None
        if document and draft:
            take_up(document, draft)
        self._offer_done("the edit is back; s saves it, u takes it back step by step")

    def drop_draft(self) -> None:
        if self.lines.document:
            self.lines.document.drop_draft()
        self._offer_done("the kept edit was dropped")

    def _offer_done(self, news: str) -> None:
        self.lines.offer = ""
        self.host.say(news)
        self._after_edit()

    def _after_edit(self) -> None:
        self._mark_drafts()
        self.specs.reload()
        self.lines.paint()
        self.balance.paint()

    def _mark_drafts(self) -> None:
        """The drinks that have an unsaved edit, and those only drafts hold."""
        self.specs.drafted = frozenset(drafted(self.shelf))
        self.unwritten = {}
        if self.specs.drafted:
            from station.desk.new_drinks import unwritten

            self.unwritten = unwritten(self.shelf)
