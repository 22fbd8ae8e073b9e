"""The main view: specs, the open spec's lines, its balance; side by side from 100 columns, one at a time under that."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING

from station.bar.fault import CannotAnswer
from station.bar.listed import Listed
from station.desk.opening import Opened
from station.desk.recent import note_opened
from station.tui.balance_pane import BALANCE, BalancePane
from station.tui.item_search import ItemSearch
from station.tui.pane import KeyAction, Pane
from station.tui.spec_lines import SpecLines
from station.tui.spec_shelf import SpecShelf
from station.tui.view import Host, View

if TYPE_CHECKING:
    from station.desk.document import Document

WIDE = 100
TALL = 36
# Panes that ask something: one leaves them by answering, or by Esc.
_ASKING = {"search", "naming"}


class MainView(View):
    """List, lines, balance."""

    _MOVES = (
        KeyAction("main.next-pane", ("tab",), "next_pane", 1, hint="Tab", label="next pane"),
        KeyAction("main.previous-pane", ("shift+tab",), "next_pane", -1),
        KeyAction("main.balance-down", ("pagedown",), "page_balance", 1, label="read on in the panel"),
        KeyAction("main.balance-up", ("pageup",), "page_balance", -1),
    )
    _LOOKS = (
        KeyAction("main.look-up", ("v",), "look_up", hint="v", label="look up", rank=1),
        KeyAction("main.tune", ("t",), "tune", hint="t", label="tune", rank=2),
        KeyAction("main.compare", ("c",), "compare", hint="c", label="compare"),
        KeyAction("main.map", ("m",), "show_map", hint="m", label="map"),
        KeyAction("main.units", ("o",), "turn_units", hint="o", label="units"),
    )

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # in the list letters find
        if self.on in _ASKING:
            return ()
        document = self.lines.document
        looking = self.on != "list" and document is not None and not document.typing and not self.lines.offer
        return (*self._MOVES, *self._LOOKS) if looking else self._MOVES

    def __init__(self, host: Host, shelf: Opened) -> None:
        """What reckons is imported when a spec is opened: the list must be up before that."""
        self.shelf = shelf
        self.spec_shelf = SpecShelf(self, shelf, host.paint_head)
        self.specs, self.naming = self.spec_shelf.specs, self.spec_shelf.naming
        self.lines = SpecLines(self._changed, lambda what: getattr(self, what)(), host.say)
        self.balance = BalancePane(self.lines, lambda what, *how: getattr(self, what)(*how))
        self.search = ItemSearch(self._take_item, lambda: self.put_on("lines"))
        self._adds = True
        super().__init__(host, self.specs, self.naming, self.lines, self.search, self.balance, name="main")
        self.add_class("-on", "-list")
        self.on = "list"

    @property
    def active_pane(self) -> Pane:
        return self._panes[self.on]

    @property
    def _panes(self) -> dict[str, Pane]:
        asking: dict[str, Pane] = {"search": self.search, "naming": self.naming}
        return {"list": self.specs, "lines": self.lines, "balance": self.balance, **asking}

    @property
    def narrow(self) -> bool:
        return self.size.width < WIDE

    @property
    def tall(self) -> bool:
        """Whether a narrow screen held upright has room for the balance under the lines."""
        return self.narrow and self.size.height >= TALL

    def on_mount(self) -> None:
        self.spec_shelf.mark_drafts()
        self.specs.reload()
        self.put_on("list")
        if self.specs.drafted:
            names = [one.name for one in self.specs.found if one.id in self.specs.drafted]
            self.host.say(f"Unsaved edits were kept: {', '.join(names)}. Open one to take it up." if names else "")

    def enter(self) -> None:
        """What another view wrote is in the figures of the open spec."""
        if self.lines.document is not None:
            self.lines.follow()
            self.balance.paint()

    def again(self) -> None:
        self.enter()

    def on_resize(self) -> None:
        """At another width the same pane stays on; what is typed is in the document, not in the pane."""
        self.set_class(self.narrow, "-narrow")
        self.set_class(self.tall, "-tall")
        self.lines.show_compact(self.narrow and not self.tall)
        self.host.refresh_keys()

    def put_on(self, name: str) -> None:
        """Keys go to that pane; where there is room for one only, it is that one."""
        self.on = name
        for one, pane in self._panes.items():
            self.set_class(one == name, f"-{one}")
            pane.activate(one == name)
        self.host.refresh_keys()

    def next_pane(self, by: int) -> None:
        order = ["list", "lines", "balance"]
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
        self.show_lines()

    def show_lines(self) -> None:
        """To the lines of what was opened; every pane is painted once."""
        self.specs.active, self.lines.active = False, True
        self.put_on("lines")
        self._paint()

    def open_id(self, name: str) -> None:
        """Put that spec on, offering the unsaved edit it may have; one that was never saved is taken up as it was left."""
        from station.desk.document import open_document
        from station.desk.new_drinks import reopened
        from station.desk.resuming import draft_of, since, take_up

        current = self.lines.document
        if current is not None and current.saved.id == name:
            return
        new = name in self.spec_shelf.unwritten
        document = reopened(self.shelf, name) if new else open_document(self.shelf, name)
        draft = draft_of(document)
        if draft and new:
            take_up(document, draft)
        self.open_document(document, draft.when if draft and not new else "")
        kept = f"An unsaved edit{since(self.lines.offer, self.shelf.library.house)} was kept: y takes it up, n drops it."
        self.host.say(kept if self.lines.offer else document.message)

    def open_document(self, document: Document, offer: str = "") -> None:
        """Put that spec on; `show_lines` shows it."""
        self.lines.open(document, offer)
        self.specs.open_id = document.saved.id
        note_opened(self.shelf, document.saved.id, datetime.now(UTC))
        self.spec_shelf.mark_drafts()
        self.specs.reload(document.saved.id)

    def look_again(self) -> None:
        """The drinks there are, found again; the open one as it now stands."""
        self.spec_shelf.mark_drafts()
        document = self.lines.document
        if document and document.saved.id not in self.shelf.library.drinks and document.saved.id not in self.spec_shelf.unwritten:
            self.lines.open_faulty(())
            self.specs.open_id = ""
        self.specs.reload()
        self._paint()

    def follow_name(self, old: str, new: str) -> None:
        """A drink has another id: if it is open it stays so, with its edit."""
        was_open = self.lines.document is not None and self.lines.document.saved.id == old
        if was_open:
            self.lines.open_faulty(())
        self.look_again()
        if was_open:
            self.open_id(new)
            self._paint()
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

    def _changed(self) -> None:
        """An edit: what was said before it is old news."""
        self.balance.paint()
        document = self.lines.document
        self.host.say(document.message if document else "", "warn")
        self.host.refresh_keys()

    def save(self) -> None:
        document = self.lines.document
        if document is None or self._met_another(document):
            return
        try:
            document.save()
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
        else:
            self.host.say(f"saved in {document.saved.file}")
        self._after_edit()

    def _met_another(self, document: Document) -> bool:
        """Whether another program saved the spec since: then both versions are shown, line by line, and nothing is saved yet."""
        try:
            self.shelf.reread()
        except OSError:
            return False
        if not document.overtaken or not document.commit():
            return False
        document.stand_on_newest()
        self._after_edit()
        self.compare()
        self.host.say("Another saved it first: both are here. Esc, then s keeps yours, u theirs.", "warn")
        return True

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
        """The balance, where it comes from, its acids by kind; where there is room for one pane, that pane."""
        self.balance.turn()
        if self.narrow and self.balance.page != BALANCE:
            self.put_on("balance")

    def page_balance(self, by: int) -> None:
        self.balance.scroll_by(by * max(1, self.balance.size.height - 2))

    def to_lines(self) -> None:
        self.put_on("lines")

    def open_named(self, name: str) -> None:
        """Open the spec of that id, if it is on the list."""
        chosen = next((one for one in self.shelf.find() if one.id == name), None)
        if chosen is not None:
            self.open_row(chosen)

    def show_map(self) -> None:
        from station.tui.map_view import MapView

        self.host.put_on(self.host.view(MapView))

    def look_up(self) -> None:
        from station.tui.lookup_view import LookupView

        self.host.put_on(self.host.view(LookupView))

    def tune(self, figure: str = "", typed: str = "") -> None:
        """The figures of the glass to be grabbed and set; `figure` is grabbed, `typed` what it shall be begins with."""
        document = self.lines.document
        if document is not None and document.commit():
            from station.tui.tune_view import tune

            tune(self.host, document, self.lines.at, figure, typed)

    def tap_balance(self) -> None:
        self.put_on("balance")

    def compare(self) -> None:
        from station.tui.compare_view import CompareView

        document = self.lines.document
        if document is not None and document.lacking:
            self.host.say(document.lacking, "warn")
        elif document is not None:
            compare = self.host.view(CompareView)
            compare.take(document)
            self.host.put_on(compare)

    def turn_units(self) -> None:
        """Amounts as written, in ml, in oz, in g; and round again. The file is never touched."""
        from station.bar.shown_as import WAY_NAMES, next_way

        self.lines.shown_as = next_way(self.lines.shown_as)
        self.lines.paint()
        self.host.say(f"amounts {WAY_NAMES[self.lines.shown_as]}; what is edited and saved is what was written")

    def adjust_juice(self) -> None:
        document = self.lines.document
        if document is not None and document.lines:
            from station.tui.acid_view import AcidView

            acid = self.host.view(AcidView)
            acid.take(document, self.lines.at, self.lines.lots)
            self.host.put_on(acid)

    def calibrate_line(self) -> None:
        """To the scale, with the chosen line's liquid and what counts it."""
        document = self.lines.document
        if document is None or not document.commit() or not document.lines:
            return
        if document.lacking:  # a line without its amount is not in the spec, so places in it are others
            self.host.say(document.lacking, "warn")
            return
        from station.desk.at_the_scale import dispenser_of
        from station.tui.calibrate_view import CalibrateView

        line = document.spec.lines[self.lines.at]
        calibrate = self.host.view(CalibrateView)
        calibrate.take_line(dispenser_of(self.shelf.library, line), line.item)
        self.host.put_on(calibrate)

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
            self.host.say("changed by another program: your edit is kept, s shows both", "warn")
        else:
            self.host.say("another program changed the library: what you see is the newest")
        return True

    def leave(self) -> None:
        self.spec_shelf.mark_drafts()
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
        self.spec_shelf.mark_drafts()
        self.specs.reload()
        self._paint()

    def _paint(self) -> None:
        self.specs.paint()
        self.lines.paint()
        self.balance.paint()
