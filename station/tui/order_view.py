"""An order: its assumptions on the left, and what they come to on the right, live; one at a time where there is no room."""

from __future__ import annotations

from collections.abc import Callable

from station.bar.fault import CannotAnswer
from station.cards.order import SECTIONS, headline, money
from station.desk.exporting import export_beside
from station.desk.opening import Opened
from station.desk.order_document import OrderDocument, open_order, take_up
from station.desk.resuming import since
from station.tui.field import Card
from station.tui.order_fields import TAKEN, OrderFields, heading, turning
from station.tui.pane import KeyAction, Pane, Row, row, wrapped
from station.tui.view import Host, View

WIDE = 100
# As station.tcss has it.
FIELDS_WIDTH = 52
_FIELDS = 0


class OrderCard(Card):
    """A section of the order under the row that says which it is."""

    head: Row = ()

    def __init__(self, resized: Callable[[], None]) -> None:
        super().__init__(id="order-card")
        self._resized = resized

    def on_resize(self) -> None:
        """Its text was broken for another width."""
        self._resized()

    def put_section(self, head: Row, lines: list[str]) -> None:
        """The section's text, from where it stood."""
        self.head = head
        self.put(lines)

    def laid_out(self) -> list[Row]:
        return [self.head, *super().laid_out()]


class OrderView(View):
    """Fields and sections of one order."""

    KEYS = (
        KeyAction("order.next", ("right",), "turn", 1, hint="←→", label="prep, shop, …", rank=1),
        KeyAction("order.previous", ("left",), "turn", -1),
        KeyAction("order.save", ("s", "ctrl+s"), "save", hint="s", label="save", writes=True, rank=2),
        KeyAction("order.files", ("t",), "to_files", hint="t", label="sheets to files", writes=True),
        KeyAction("order.back", ("escape",), "leave", hint="Esc", label="orders", rank=2),
        KeyAction("order.down", ("pagedown",), "scroll_card", 10),
        KeyAction("order.up", ("pageup",), "scroll_card", -10),
        KeyAction("order.line-down", ("down",), "scroll_card", 1),
        KeyAction("order.line-up", ("up",), "scroll_card", -1),
    )

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.fields, self.card = OrderFields(self._edited), OrderCard(self.reckon)
        super().__init__(host, self.fields, self.card, name="order")
        self.document: OrderDocument | None = None
        self.section = 1
        # Whether one was last in the fields; on a narrow screen they are there alone then.
        self.in_fields = True

    @property
    def narrow(self) -> bool:
        return self.size.width < WIDE

    @property
    def active_pane(self) -> Pane:
        return self.card if self.narrow and not self.in_fields else self.fields

    def take(self, name: str) -> None:
        """The order of that id; an edit that was kept is taken up. Raises CannotAnswer."""
        if self.document is None or self.document.name != name:
            self.document = open_order(self.shelf, name)
            when = take_up(self.document)
            self.fields.document, self.fields.at, self.section, self.in_fields = self.document, 1, 1, True
            self.card.to_top()
            kept = f"an unsaved edit{since(when, self.shelf.library.house)} is back: u takes it away, s saves it"
            self.host.say(kept if when else "")

    def enter(self) -> None:
        if self.document is not None:
            self.document.follow()
        self.reckon()

    def again(self) -> None:
        self.enter()

    def on_resize(self) -> None:
        """The fields, where they are no place of their own, and the section stay what they were."""
        self.reckon()

    def turn(self, by: int) -> None:
        """The next section; on a narrow screen the fields are the first."""
        first = _FIELDS if self.narrow else 1
        place = first + (self._place - first + by) % (len(SECTIONS) - first)
        self.in_fields = place == _FIELDS
        self.section = place or self.section
        self.card.to_top()
        self.reckon()

    def scroll_card(self, by: int) -> None:
        """The section; on a narrow screen with the fields alone they are what moves."""
        if self.narrow and self.in_fields:
            self.fields.move(by)
        else:
            self.in_fields = False
            self.card.scroll_by(by)

    def _edited(self) -> None:
        """A key went to the fields."""
        self.in_fields = True
        self.reckon()

    @property
    def _place(self) -> int:
        """Where one is in the row of sections; on a narrow screen the fields are its first."""
        return _FIELDS if self.narrow and self.in_fields else self.section

    def leave(self) -> None:
        if self.document is not None and self.document.commit():
            self.host.back()

    def save(self) -> None:
        if self.document is None:
            return
        try:
            self.document.save()
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
        else:
            self.host.say(f"saved in {self.document.file}")
        self.reckon()

    def to_files(self) -> None:
        """Every sheet, the CSV and the JSON, into the library's private folder."""
        answer = self.document.answer if self.document is not None else ""
        if isinstance(answer, str):
            self.host.say(answer, "warn")
            return
        try:
            self.host.say(f"the sheets are in {export_beside(answer, self.shelf)}")
        except CannotAnswer as error:
            self.host.say(str(error), "warn")

    def reckon(self) -> None:
        """Everything as it now stands, put up."""
        document = self.document
        if document is None or not self.size.width:
            return
        self.fields.display = not self.narrow or self.in_fields
        self.card.display = not self.narrow or not self.in_fields
        self.set_class(self.narrow, "-narrow")
        self.fields.head = self._head(document)
        self.fields.activate(self.active_pane is self.fields)
        self.fields.paint()
        self._paint_section(document)
        if document.message:
            self.host.say(document.message, "warn")
        self.host.refresh_keys()

    def _paint_section(self, document: OrderDocument) -> None:
        answer, width = document.answer, self.size.width if self.narrow else max(20, self.size.width - FIELDS_WIDTH - 2)
        section = SECTIONS[self.section][1]
        lines = [answer] if isinstance(answer, str) else section(answer, self.shelf.library, width)
        self.card.put_section(self._turning(), [*self._title(document, width), *lines])

    def _title(self, document: OrderDocument, width: int) -> list[str]:
        """On a narrow screen a section says what it is of."""
        answer = document.answer
        if not self.narrow or isinstance(answer, str):
            return []
        return [f"{answer.name} · {answer.guests} guests", ""]

    def _head(self, document: OrderDocument) -> list[Row]:
        """The name, and what the figures come to in a line or two: it moves with every key."""
        answer, width = document.answer, self.size.width if self.narrow else FIELDS_WIDTH
        turning_rows = [self._turning()] if self.narrow else []
        if isinstance(answer, str):
            return [heading(document.order.name, document.unsaved), *wrapped(answer, width, "warn"), *turning_rows, row()]
        at_least = "" if answer.cost.complete else "at least "
        said = f"{headline(answer, 999)[2]} · to pay {at_least}{money(answer.cost.amount, answer.cost.currency)}"
        taken = any(not one.said for one in document.fields)
        legend = [row(f"{TAKEN}: usual or reckoned", "dim")] if taken else [row()]
        return [heading(answer.name, document.unsaved), *wrapped(said, width, "accent"), *turning_rows, *legend]

    def _turning(self) -> Row:
        first = _FIELDS if self.narrow else 1
        return turning(SECTIONS[self._place][0], self._place - first, len(SECTIONS) - first)
