"""The main view: specs, the open spec's lines, its balance; side by side from 100 columns, one at a time under that."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from station.bar.fault import CannotAnswer
from station.bar.listed import Listed
from station.desk.kept import drafted
from station.desk.opening import Opened
from station.desk.recent import first_wanted, note_opened
from station.tui.balance_pane import BALANCE, BalancePane
from station.tui.pane import KeyAction, Pane
from station.tui.spec_lines import SpecLines
from station.tui.spec_list import SpecList
from station.tui.view import Host, View

WIDE = 100
TALL = 36


class MainView(View):
    """List, lines, balance."""

    _MOVES = (
        KeyAction("main.next-pane", ("tab",), "next_pane", 1, hint="Tab", label="next pane"),
        KeyAction("main.previous-pane", ("shift+tab",), "next_pane", -1),
    )
    _LOOKS = (
        KeyAction("main.look-up", ("v",), "look_up", hint="v", label="look up"),
        KeyAction("main.tune", ("t",), "tune", hint="t", label="tune"),
        KeyAction("main.compare", ("c",), "compare", hint="c", label="compare"),
        KeyAction("main.map", ("m",), "show_map", hint="m", label="map"),
        KeyAction("main.units", ("o",), "turn_units", hint="o", label="units"),
    )

    @property
    def KEYS(self) -> tuple[KeyAction, ...]:  # type: ignore[override]  # noqa: N802  # in the list letters find
        document = self.lines.document
        looking = self.on != "list" and document is not None and not document.typing and not self.lines.offer
        return (*self._MOVES, *self._LOOKS) if looking else self._MOVES

    def __init__(self, host: Host, shelf: Opened) -> None:
        """What reckons is imported when a spec is opened: the list must be up before that."""
        self.shelf = shelf
        self.specs = SpecList(self._find, self.open_row)
        self.lines = SpecLines(self._changed, lambda what: getattr(self, what)())
        self.balance = BalancePane(lambda: self.lines.document, lambda what: getattr(self, what)())
        super().__init__(host, self.specs, self.lines, self.balance, name="main")
        self.add_class("-on", "-list")
        self.on = "list"

    @property
    def active_pane(self) -> Pane:
        return {"list": self.specs, "lines": self.lines, "balance": self.balance}[self.on]

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

    def put_on(self, name: str) -> None:
        """Keys go to that pane; where there is room for one only, it is that one."""
        self.on = name
        for pane in (self.specs, self.lines, self.balance):
            self.set_class(pane.id == name, f"-{pane.id}")
            pane.activate(pane.id == name)
        self.host.refresh_keys()

    def next_pane(self, by: int) -> None:
        order = ["list", "lines", "balance"] if self.narrow else ["list", "lines"]
        self.put_on(order[(order.index(self.on) + by) % len(order)])

    def open_row(self, chosen: Listed) -> None:
        """Open a spec; a faulty one opens its faults."""
        from station.desk.look import faulty_drinks

        if chosen.faulty:
            self.lines.open_faulty(faulty_drinks(self.shelf.library).get(chosen.id, ()))
            self.specs.open_id = chosen.id
        else:
            self._open_spec(chosen.id)
        self.put_on("lines")
        self.specs.paint()
        self.balance.paint()

    def _open_spec(self, name: str) -> None:
        """Put that spec on, offering the unsaved edit it may have."""
        from station.desk.document import open_document
        from station.desk.resuming import draft_of

        current = self.lines.document
        if current is None or current.saved.id != name:
            document = open_document(self.shelf, name)
            draft = draft_of(document)
            self.lines.open(document, str(draft["when"]) if draft else "")
            self.specs.open_id = name
            note_opened(self.shelf, name, datetime.now(UTC))
        when = self.lines.offer[:16].replace("T", " ")
        self.host.say(f"An unsaved edit of {when} UTC was kept: y takes it up, n drops it." if when else "")

    def _find(self, words: str) -> Sequence[Listed]:
        rows, self.specs.reasons = first_wanted(self.shelf, words, datetime.now(UTC))
        return rows

    def _changed(self) -> None:
        self.balance.paint()
        document = self.lines.document
        if document and document.message:
            self.host.say(document.message, "warn")
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
        """The balance, where it comes from, its acids by kind; where there is room for one pane, that pane."""
        self.balance.turn()
        if self.narrow and self.balance.page != BALANCE:
            self.put_on("balance")

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

    def tune(self) -> None:
        """The figures of the glass to be grabbed and set, the lines that may move to be chosen."""
        document = self.lines.document
        if document is not None and document.commit():
            from station.tui.tune_view import TuneView

            tune = self.host.view(TuneView)
            tune.take(document, self.lines.at)
            self.host.put_on(tune)

    def compare(self) -> None:
        from station.tui.compare_view import CompareView

        if self.lines.document is not None:
            compare = self.host.view(CompareView)
            compare.take(self.lines.document)
            self.host.put_on(compare)

    def turn_units(self) -> None:
        """Amounts as written, in ml, in oz, in g; and round again. The file is never touched."""
        from station.bar.shown_as import WAY_NAMES, next_way

        self.lines.shown_as = next_way(self.lines.shown_as)
        self.lines.paint()
        self.host.say(f"amounts {WAY_NAMES[self.lines.shown_as]}; what is edited and saved is what was written")

    def adjust_juice(self) -> None:
        document = self.lines.document
        if document is not None and document.saved.lines:
            from station.tui.acid_view import AcidView

            acid = self.host.view(AcidView)
            acid.take(document.spec, document.saved.lines[self.lines.at].item)
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
        self.lines.at = min(self.lines.at, len(document.texts) - 1) if document else 0
        self._after_edit()
        if document and not followed:
            changed = f"{document.saved.file} was changed by another program"
            self.host.say(f"{changed}: your edit is kept, s will refuse it", "warn")
        else:
            self.host.say("another program changed the library: what you see is the newest")
        return True

    def leave(self) -> None:
        self._mark_drafts()
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
        self.specs.drafted = frozenset(drafted(self.shelf))
