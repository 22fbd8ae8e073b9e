"""The open order: what is saved, what was changed since, undo and redo, and the draft that outlives a killed program."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, ClassVar

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import Library, Order
from station.calc.assumptions import assumed
from station.calc.menu import Menu
from station.calc.ordered import Assumed, Ordered
from station.desk.history import History
from station.desk.kept import ORDERS, drafts_of
from station.desk.opening import Opened
from station.desk.order_fields import ADD, Data, texts_of, with_text
from station.desk.ordering import find_order, ordered
from station.desk.writing import save_edit
from station.files.edit import edited
from station.files.sound import order_as

_ADDED = (
    Assumed(f"on_hand.{ADD}", "On hand, another item", "", True, "e.g. rum-light=2.1 l"),
    Assumed(f"lead.{ADD}", "Lead time of another", "", True, "e.g. tea-gin=2 days"),
)


@dataclass(frozen=True, slots=True)
class Typing:
    """The field being typed in: its key, the text so far, and what is wrong with it, if anything is."""

    key: str
    text: str
    wrong: str = ""


@dataclass
class OrderDocument(History[Data]):
    """One order, open. `states` are its data after each edit."""

    KEPT: ClassVar[str] = ORDERS

    opened: Opened
    id: str
    saved: Data
    digest: str
    states: list[Data]
    at: int = 0
    typing: Typing | None = None
    message: str = ""
    _menu: Menu | None = None
    _answered: tuple[object, Ordered | str] | None = None
    # The data that was read last, by which library, and what it says.
    _parsed: tuple[Data, Library, Order, tuple[Assumed, ...]] | None = None

    @property
    def name(self) -> str:
        return self.id

    @property
    def file(self) -> str:
        return f"orders/{self.name}.toml"

    @property
    def data(self) -> Data:
        """What stands, with what is being typed as far as it can be read."""
        typing = self.typing
        if typing is None or typing.wrong:
            return self.state
        return with_text(self.state, typing.key, typing.text)

    @property
    def order(self) -> Order:
        """The order as it stands."""
        return self._read_as(self.data)[0]

    @property
    def fields(self) -> tuple[Assumed, ...]:
        """Every assumption, then those that put in another."""
        return self._read_as(self.data)[1]

    @property
    def unsaved(self) -> bool:
        return self.state != self.saved or self.typing is not None

    @property
    def answer(self) -> Ordered | str:
        """The order as it stands, reckoned; or in one sentence why it cannot be."""
        data = self.data
        if self._answered is None or self._answered[0] != data:
            self._answered = (data, self._reckon(data))
        return self._answered[1]

    def text_of(self, one: Assumed) -> str:
        """What stands in a field."""
        return self.typing.text if self.typing is not None and self.typing.key == one.key else one.value

    def type(self, key: str, text: str) -> None:
        """A field as typed so far. Everything is reckoned with it; the draft holds it before this returns."""
        wrong = ""
        try:
            self._read_as(with_text(self.state, key, text))
        except (AmountError, CannotAnswer) as error:
            wrong = str(error)
        self.typing = Typing(key, text, wrong)
        self._keep()

    def commit(self) -> bool:
        """Take what was typed as an edit. False, and nothing taken, if it cannot be."""
        if self.typing is None:
            return True
        if self.typing.wrong:
            return False
        data, self.typing = self.data, None
        self._push(data)
        return True

    def save(self) -> None:
        """Write the order's file, every byte that need not change as it was. Raises CannotAnswer; the draft stays then."""
        if not self.commit():
            raise CannotAnswer(self.typing.wrong if self.typing else "", "finish the field first")
        if self.opened.read_only:
            raise CannotAnswer("this library is read only", "start station without --library for one of your own")
        save_edit(self.opened, self.file, self.digest, lambda text: edited(text, self.state))
        self.opened.reread()
        self._read()
        self.drop_draft()

    def follow(self) -> None:
        """After the library was read again: the newest saved order, if nothing is unsaved here; figures anew in any case.

        One that is gone, or cannot be read any more, stands as it was; a save will say so.
        """
        self._menu = self._answered = None
        if self.unsaved or self.name not in self.opened.library.orders:
            return
        if self.opened.reader.source(self.file).digest != self.digest:
            self._read()
            self.begin(self.saved)

    def _read_as(self, data: Data) -> tuple[Order, tuple[Assumed, ...]]:
        """What that data says, and its fields: read once. Raises AmountError, CannotAnswer."""
        library, found = self.opened.library, self._parsed
        if found is None or found[1] is not library or found[0] != data:
            order = _order(self.file, data, library)
            found = self._parsed = (data, library, order, (*assumed(order, library), *_ADDED))
        return found[2], found[3]

    def _read(self) -> None:
        source = self.opened.reader.source(self.file)
        self.saved, self.digest, self._answered = source.data, source.digest, None

    def _reckon(self, data: Data) -> Ordered | str:
        if self._menu is None or self._menu.blends.library is not self.opened.library:
            self._menu = Menu.of(self.opened.blends)
        try:
            return ordered(self._menu, self._read_as(data)[0], datetime.now(UTC))
        except CannotAnswer as error:
            return str(error)

    def _content(self) -> dict[str, Any]:
        now, before = texts_of(self.state), texts_of(self.saved)
        changes = {key: now.get(key, "") for key in {**before, **now} if now.get(key, "") != before.get(key, "")}
        typing = [self.typing.key, self.typing.text] if self.typing else None
        return {"changes": changes, "typing": typing, "when": datetime.now(UTC).isoformat(timespec="seconds")}


def open_order(opened: Opened, name: str) -> OrderDocument:
    """The order of that id, open as it is saved. Raises CannotAnswer with its faults."""
    order = find_order(opened.library, name)
    source = opened.reader.source(order.file)
    return OrderDocument(opened, order.id, source.data, source.digest, [source.data])


def take_up(document: OrderDocument) -> str:
    """Put a kept draft back, as one edit that undo takes away. When it was kept; nothing if there is none that still fits."""
    content = drafts_of(document.opened).read(ORDERS, document.name)
    changes = content.get("changes") if content else None
    if content is None or not isinstance(changes, Mapping):
        return ""
    data: Data = document.saved
    try:
        # What takes others away comes first, so that nothing taken up is lost to it.
        for key, text in sorted(changes.items(), key=lambda one: one[1] != ""):
            data = with_text(data, str(key), str(text))
        _order(document.file, data, document.opened.library)
    except (AmountError, CannotAnswer, KeyError, ValueError, IndexError):
        return ""
    if data != document.saved:
        document.begin(document.saved, data)
    match content.get("typing"):
        case [str(key), str(text)] if not key.startswith("pours") or key in texts_of(data):
            document.type(key, text)
    return str(content.get("when", "")) if document.unsaved else ""


def _order(file: str, data: Data, library: Library) -> Order:
    order, findings = order_as(file, data, library)
    if order is None:
        one = findings[0]
        where = " ".join(str(part) for part in one.path[-1:])
        raise CannotAnswer(f"{where}: {one.message}", one.remedy)
    return order
