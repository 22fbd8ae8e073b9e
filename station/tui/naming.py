"""A name typed: for a new drink, a copy, or a drink that is to be called otherwise. Enter does it, Esc leaves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from station.bar.fault import CannotAnswer
from station.tui.pane import KeyAction, Pane, Row, row, wrapped

_RUB = (
    KeyAction("name.rub", ("backspace",), "rub"),
    KeyAction("name.empty", ("ctrl+u",), "rub_all"),
)
_LEAVE = KeyAction("name.leave", ("escape",), "leave", hint="Esc", label="leave it")
_CHOICES = (
    KeyAction("name.method", ("right",), "turn_method", 1, hint="←→", label="method"),
    KeyAction("name.method-back", ("left",), "turn_method", -1),
    KeyAction("name.style", ("down",), "turn_style", 1, hint="↑↓", label="usual range"),
    KeyAction("name.style-back", ("up",), "turn_style", -1),
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What a name is asked for: the words over it, what Enter is called, the id the name would get, and what is done with both.

    `methods` of a new drink, each with the usual range it starts with; `styles`, the ranges there are.
    """

    purpose: str
    does: str
    id_of: Callable[[str], str]
    done: Callable[[str, str], None]
    methods: Sequence[tuple[str, str]] = ()
    styles: Sequence[str] = ()


class Naming(Pane):
    """One row to type in; under it the id the name gets, or why it cannot be had; of a new drink its method and range."""

    def __init__(self, left: Callable[[], None]) -> None:
        super().__init__(id="naming")
        self._left = left
        self.asked: Asked | None = None
        self.text = ""
        self.method = 0
        self.style = ""

    def keys(self) -> tuple[KeyAction, ...]:
        does = self.asked.does if self.asked else ""
        enter = KeyAction("name.done", ("enter",), "finish", hint="Enter", label=does)
        typing = KeyAction("name.type", (), "rub_all", hint="a-z", label="name")
        return (typing, enter, *(_CHOICES if self.asked and self.asked.methods else ()), _LEAVE, *_RUB)

    def ask(self, asked: Asked, text: str = "") -> None:
        """Ask for a name, `text` to begin with."""
        self.asked, self.text, self.method = asked, text, 0
        self.style = asked.methods[0][1] if asked.methods else ""
        self.paint()

    def typed(self, character: str) -> bool:
        self._put(self.text + character)
        return True

    def rub(self) -> None:
        self._put(self.text[:-1])

    def rub_all(self) -> None:
        self._put("")

    def turn_method(self, by: int) -> None:
        """The next method, and the range it starts with."""
        if self.asked:
            self.method = (self.method + by) % len(self.asked.methods)
            self.style = self.asked.methods[self.method][1]
            self.paint()

    def turn_style(self, by: int) -> None:
        if self.asked:
            styles = ["", *self.asked.styles]
            self.style = styles[(styles.index(self.style) + by) % len(styles)]
            self.paint()

    @property
    def chosen_method(self) -> str:
        return self.asked.methods[self.method][0] if self.asked and self.asked.methods else ""

    def finish(self) -> None:
        """Do what was asked with the name, if it can be had."""
        if self.asked:
            own_id, wrong = self._own_id()
            if not wrong:
                self.asked.done(self.text.strip(), own_id)

    def leave(self) -> None:
        self._left()

    def paint(self) -> None:
        if self.asked is None:
            return
        width = max(self.size.width, 20)
        own_id, wrong = self._own_id()
        rows: list[Row] = [
            row(self.asked.purpose, "strong"),
            (("Name ", "dim"), (self.text[-(width - 7) :] or " ", "field"), (" ", "cursor")),
            *(wrapped(wrong, width, "warn" if self.text else "dim") if wrong else [row(f"id   {own_id}", "dim")]),
        ]
        if self.asked.methods:
            rows += [
                row(),
                (("Method       ", "dim"), (f"◀ {self.chosen_method} ▶", "accent")),
                (("Usual range  ", "dim"), (f"↑ {self.style or 'none'} ↓", "accent")),
            ]
        self.show(rows)

    def _own_id(self) -> tuple[str, str]:
        """The id the name gets, or why it gets none."""
        try:
            return (self.asked.id_of(self.text) if self.asked else ""), ""
        except CannotAnswer as error:
            return "", str(error)

    def _put(self, text: str) -> None:
        self.text = text
        self.paint()
