"""An order's assumptions, edited in place: each key's figures move everything beside them."""

from __future__ import annotations

from collections.abc import Callable

from textual import events

from station.calc.ordered import Assumed
from station.desk.order_document import OrderDocument
from station.tui.pane import KeyAction, Pane, Row, columns, counted, wrapped

# What stands behind a figure nobody said, and what that means.
TAKEN = "~ not in the file"
_VALUE, _NARROW_VALUE, _NARROW = 14, 12, 50

_TYPING_KEYS = (
    KeyAction("field.take", ("enter",), "move", 0, hint="Enter", label="take it"),
    KeyAction("field.take-next", ("down",), "move", 1, hint="↓", label="take, next"),
    KeyAction("field.take-previous", ("up",), "move", -1),
    KeyAction("field.rub", ("backspace",), "rub"),
    KeyAction("field.empty", ("ctrl+u",), "rub_all"),
    KeyAction("field.forget", ("escape",), "forget", hint="Esc", label="as it was"),
)
_KEYS = (
    KeyAction("fields.type", (), "type_on", hint="0-9", label="change", writes=True, rank=0),
    KeyAction("fields.edit", ("enter",), "type_on", hint="Enter", label="edit", writes=True),
    KeyAction("fields.undo", ("u",), "undo", hint="u", label="undo", writes=True, rank=2),
    KeyAction("fields.redo", ("r",), "redo", hint="r", label="redo", writes=True),
    KeyAction("fields.next", ("down",), "move", 1),
    KeyAction("fields.previous", ("up",), "move", -1),
)


class OrderFields(Pane):
    """A row a field: its label, its value, whether the order says it or it is taken by common practice."""

    def __init__(self, changed: Callable[[], None]) -> None:
        super().__init__(id="order-fields")
        self._tell_changed = changed
        self.document: OrderDocument | None = None
        self.at = 0
        self.head: list[Row] = []

    def keys(self) -> tuple[KeyAction, ...]:
        return _TYPING_KEYS if self.document is not None and self.document.typing else _KEYS

    @property
    def chosen(self) -> Assumed | None:
        """The field the cursor is on."""
        if self.document is None:
            return None
        fields = self.document.fields
        self.at = max(0, min(self.at, len(fields) - 1))
        return fields[self.at]

    def typed(self, character: str) -> bool:
        if self.document is None or self.looking:
            return False
        if self.document.typing is not None:
            self._type(self.document.typing.text + character)
        elif character.isnumeric() or character in ".,":
            self._type(character)
        else:
            return False
        return True

    def move(self, by: int) -> None:
        """Take what was typed, and go so many fields on; what cannot be taken stays under the cursor."""
        if self.document is not None and self.document.commit():
            self.at = max(0, min(len(self.document.fields) - 1, self.at + by))
            self._changed()

    def type_on(self) -> None:
        if self.document is not None and self.chosen is not None:
            self._type(self.chosen.value)

    def rub(self) -> None:
        if self.document is not None and self.document.typing:
            self._type(self.document.typing.text[:-1])

    def rub_all(self) -> None:
        self._type("")

    def forget(self) -> None:
        self._edit(lambda document: document.cancel())

    def undo(self) -> None:
        self._edit(lambda document: document.undo())

    def redo(self) -> None:
        self._edit(lambda document: document.redo())

    def on_click(self, event: events.Click) -> None:
        place = event.y - len(self.head) + self._shown(len(self._below())).start
        if self.document is None or event.y < len(self.head) or place >= len(self.document.fields):
            return
        if place == self.at and not self.document.typing and not self.looking:
            self.type_on()
        elif self.document.commit():
            self.at = place
            self._changed()

    def paint(self) -> None:
        document = self.document
        if document is None:
            self.show([])
            return
        below = self._below()
        shown = self._shown(len(below))
        body = [self._row(document, place, document.fields[place]) for place in shown if place < len(document.fields)]
        head, hidden = [*self.head], len(document.fields) - shown.stop
        if head and hidden > 0:  # beside the name: no figure gives way to it
            head[0] = counted(head[0], hidden, self.size.width)
        self.show([*head, *body, *below])

    def _shown(self, below: int) -> range:
        """The fields there is room for over so many rows: as far down as the cursor needs."""
        room = max(1, self.size.height - len(self.head) - below)
        top = max(0, self.at - room + 1)
        return range(top, top + room)

    def _below(self) -> list[Row]:
        """What is wrong with what is typed, else what the chosen figure is."""
        document, chosen = self.document, self.chosen
        if document is None or chosen is None:
            return []
        typing = document.typing
        if typing is not None and typing.wrong:
            return wrapped(typing.wrong, self.size.width, "warn")
        about = chosen.about if chosen.said else f"{TAKEN}: {chosen.about}"
        return wrapped(about, self.size.width, "dim") if chosen.about else []

    def _row(self, document: OrderDocument, place: int, one: Assumed) -> Row:
        here, typing = place == self.at, document.typing
        style = ("chosen" if self.active else "chosen-dim") if here else "text" if one.said else "dim"
        value = _VALUE if self.size.width >= _NARROW else _NARROW_VALUE
        label = max(6, self.size.width - value - 5)
        said = columns([("" if one.said else TAKEN[0], 1, "<")], style)
        name = columns([(one.label, label, "<")], style)
        mark = ("▸ " if here else "  ", style)
        if typing is not None and here:
            return (mark, *name, (" ", style), (typing.text[-(value - 1) :].rjust(value - 1), "field"), (" ", "cursor"))
        return (mark, *name, (" ", style), *columns([(one.value, value, ">")], style), (" ", style), *said)

    def _edit(self, change: Callable[[OrderDocument], object]) -> None:
        if self.document is not None:
            change(self.document)
            self._changed()

    def _type(self, text: str) -> None:
        chosen = self.chosen
        if chosen is not None:
            self._edit(lambda document: document.type(chosen.key, text))

    def _changed(self) -> None:
        self._tell_changed()


def heading(name: str, unsaved: bool) -> Row:
    """The order's name, and whether it is saved."""
    return ((name, "strong"), ("  · not saved yet" if unsaved else "", "accent"))


def turning(name: str, place: int, count: int) -> Row:
    """Which section is shown, and that arrows lead to others."""
    return (("← ", "key"), (name, "accent"), (" →", "key"), (f"  {place + 1} of {count}", "dim"))
