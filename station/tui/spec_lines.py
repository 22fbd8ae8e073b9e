"""The open spec: its lines, edited in place. A digit starts typing over an amount; the balance moves with every key."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from textual import events

from station.bar import say
from station.bar.fault import CannotAnswer, Fault
from station.tui.balance_rows import summary
from station.tui.line_rows import amount_cell, amount_field, in_sight, known, line_rows, name_parts
from station.tui.lots_beside import beside_files, lots_apart
from station.tui.pane import KeyAction, Pane, Row, at_most, row, wrapped

if TYPE_CHECKING:
    from station.calc.answers import LotUsed, ShownLine
    from station.desk.document import Document

_HEAD, _LOW_HEAD = 3, 1
_LOW = 15
# Rows under the lines that are never given up for more of them: what is wrong, or the balance and how much more there is.
_BELOW, _LOW_BELOW = 6, 5
_EXAMPLES = "22.5 ml, 3/4 oz, 2 drops, top 60 ml"
_GOES_IN = {"batch": "in the batch", "service": "per glass, before ice", "finish": "per glass, after dilution"}

_LEAVE = KeyAction("lines.leave", ("escape", "left"), "leave", hint="Esc", label="list", rank=2)
_EDIT_KEYS = (
    KeyAction("lines.type", (), "type_on", hint="0-9", label="amount", writes=True, rank=0),
    KeyAction("lines.batch", ("b",), "ask_batch", hint="b", label="batch", rank=0),
    KeyAction("lines.save", ("s", "ctrl+s"), "ask_save", hint="s", label="save", writes=True, rank=2),
    KeyAction("lines.undo", ("u",), "undo", hint="u", label="undo", writes=True, rank=2),
    _LEAVE,
    KeyAction("lines.new", ("n",), "ask_new_line", hint="n", label="new line", writes=True, rank=2),
    KeyAction("lines.more", ("plus", "equals_sign"), "nudge", 1, hint="+", label="more", writes=True),
    KeyAction("lines.less", ("minus",), "nudge", -1, hint="-", label="less", writes=True),
    KeyAction("lines.unit", ("e",), "turn_unit", hint="e", label="other unit, to 0.5 %", writes=True),
    KeyAction("lines.when", ("w",), "turn_when", hint="w", label="when it goes in", writes=True),
    KeyAction("lines.item", ("i",), "ask_item", hint="i", label="other item", writes=True),
    KeyAction("lines.remove", ("x",), "take_out", hint="x", label="take out", writes=True),
    KeyAction("lines.up", ("left_square_bracket", "shift+up"), "shift", -1, hint="[", label="line up", writes=True),
    KeyAction("lines.down", ("right_square_bracket", "shift+down"), "shift", 1, hint="]", label="line down", writes=True),
    KeyAction("lines.redo", ("r",), "redo", hint="r", label="redo", writes=True),
    KeyAction("lines.acid", ("a",), "ask_acid", hint="a", label="sources, acids"),
    KeyAction("lines.juice", ("j",), "ask_juice", hint="j", label="adjust juice"),
    KeyAction("lines.calibrate", ("k",), "ask_calibrate", hint="k", label="calibrate", writes=True),
    KeyAction("lines.next", ("down",), "move", 1),
    KeyAction("lines.previous", ("up",), "move", -1),
    KeyAction("lines.edit", ("enter",), "type_on", writes=True),
)
_EMPTY = {"lines.new", "lines.undo", "lines.redo", "lines.save"}
_EMPTY_KEYS = tuple(replace(one, rank=0 if one.id == "lines.new" else 1) for one in _EDIT_KEYS if one.id in _EMPTY)
_TYPING_KEYS = (
    KeyAction("amount.take", ("enter",), "move", 0, hint="Enter", label="take it"),
    KeyAction("amount.forget", ("escape",), "forget", hint="Esc", label="as it was"),
    KeyAction("amount.take-next", ("down",), "move", 1, hint="↓", label="take, next line"),
    KeyAction("amount.take-previous", ("up",), "move", -1),
    KeyAction("amount.rub", ("backspace",), "rub"),
    KeyAction("amount.empty", ("ctrl+u",), "rub_all"),
)
_DRAFT_KEYS = (
    KeyAction("draft.take-up", ("y",), "take_up", hint="y", label="take the edit up", writes=True, rank=0),
    KeyAction("draft.drop", ("n",), "drop_draft", hint="n", label="drop it", writes=True, rank=0),
    KeyAction("draft.first", ("enter",), "say_first"),
    _LEAVE,
)


class SpecLines(Pane):
    """Title, lines, and under them what the chosen line rests on. `asked` is told what is not the pane's own to do."""

    def __init__(self, changed: Callable[[], None], asked: Callable[[str], None], say: Callable[[str, str], None]) -> None:
        super().__init__(id="lines")
        self._tell_changed, self._ask, self._say = changed, asked, say
        self.document: Document | None = None
        self.faults: tuple[Fault, ...] = ()
        self.offer = ""
        self.at = 0
        self.top = 0
        # The line each row under the head is of.
        self._places: list[int] = []
        self.compact = False
        # By item, the lots on the shelf that are other than their files say; read when a drink is opened or come back to.
        self.lots: Mapping[str, LotUsed] = {}
        # One of bar.shown_as.WAYS.
        self.shown_as = "authored"

    @property
    def low(self) -> bool:
        """Whether every row counts."""
        return self.size.height < _LOW

    def keys(self) -> tuple[KeyAction, ...]:
        if self.document is None:
            return (_LEAVE,)
        if self.offer:
            return _DRAFT_KEYS
        if self.document.typing:
            return _TYPING_KEYS
        return _EDIT_KEYS if self.document.lines else (*_EMPTY_KEYS, _LEAVE)

    def open(self, document: Document, offer: str = "") -> None:
        """That drink from its first line; whoever opens it paints."""
        self.document, self.faults, self.offer, self.at, self.top = document, (), offer, 0, 0
        self.call_after_refresh(self._look_at_shelf)

    def follow(self) -> None:
        """The open drink as it now stands, with what other views wrote."""
        if self.document is not None:
            self.document.follow()
            self.paint()
            self.call_after_refresh(self._look_at_shelf)

    def _look_at_shelf(self) -> None:
        """No key that opens a drink waits for the log."""
        before, self.lots = self.lots, lots_apart(self.document.opened) if self.document else {}
        if self.lots != before:
            self.paint()

    def open_faulty(self, faults: tuple[Fault, ...]) -> None:
        """No drink, or the faults of one; whoever opens it paints."""
        self.document, self.faults, self.offer = None, faults, ""

    def typed(self, character: str) -> bool:
        if self.document is not None and self.offer:
            self.say_first()
            return True
        if self.document is None or self.looking or not self.document.lines:
            return False
        if self.document.typing is not None:
            self._type(self.document.typing.text + character)
            return True
        if character.isnumeric() or character in ".,":
            self._type(character)
            return True
        return False

    def on_click(self, event: events.Click) -> None:
        row_at = event.y - self._head
        if self.document is None or not 0 <= row_at < len(self._places):
            return
        place = self._places[row_at]
        if place == self.at and self.document.typing is None:
            self.type_on()
        elif self.document.commit():
            self.at = place
            self._changed()

    def move(self, by: int) -> None:
        if self.document and self.document.commit():
            self.at += by
            self._changed()

    def type_on(self) -> None:
        if self.document and self.document.lines and not self.document.typing:
            self._type(self.document.texts[self.at])

    def show_compact(self, compact: bool) -> None:
        """Whether the balance, which has no room beside, stands under the lines in short."""
        if compact != self.compact:
            self.compact = compact
            self.paint()

    def add_item(self, item: str) -> None:
        """A line of that item below this one, its amount to be typed now."""
        document = self.document
        place = self.at + 1 if document and document.lines else 0
        if document and document.add(place, item):
            self.at = place
            self._type("")
            self._say_if_twice(document)

    def set_item(self, item: str) -> None:
        """That item in this line."""
        self._edit(lambda document: document.set_item(self.at, item))
        if self.document:
            self._say_if_twice(self.document)

    def _say_if_twice(self, document: Document) -> None:
        """An item may be in two lines, but not unnoticed."""
        item = document.lines[self.at].item
        others = [place for place, line in enumerate(document.lines) if line.item == item and place != self.at]
        if others:
            there = "; ".join(f"line {place + 1}, {document.texts[place] or 'how much?'}" for place in others)
            self._say(f"There already: {there} {document.opened.library.name_of(item)}", "accent")

    def take_out(self) -> None:
        document = self.document
        if document and document.lines:
            name = document.opened.library.name_of(document.lines[self.at].item)
            self._edit(lambda document: document.remove(self.at))
            self._say(f"u brings back {name}", "accent")

    def shift(self, by: int) -> None:
        if self.document and self.document.shift(self.at, by):
            self.at += by
        self._changed()

    def turn_when(self) -> None:
        self._edit(lambda document: document.turn_when(self.at))
        if self.document and self.document.lines:
            line = self.document.lines[self.at]
            name = self.document.opened.library.name_of(line.item)
            self._say(f"{_GOES_IN[self.document.when(self.at)]}: {name}", "accent")

    def turn_unit(self) -> None:
        document = self.document
        if document:
            try:
                said, style = document.turn_unit(self.at), "accent"
            except CannotAnswer as error:
                said, style = str(error), "warn"
            self._changed()
            self._say(said, style)

    def rub(self) -> None:
        if self.document and self.document.typing:
            self._type(self.document.typing.text[:-1])

    def rub_all(self) -> None:
        self._type("")

    def forget(self) -> None:
        self._edit(lambda document: document.cancel())

    def nudge(self, by: int) -> None:
        self._edit(lambda document: document.nudge(self.at, by))

    def undo(self) -> None:
        self._edit(lambda document: document.undo())

    def redo(self) -> None:
        self._edit(lambda document: document.redo())

    def ask_new_line(self) -> None:
        self._ask("find_new_item")

    def ask_item(self) -> None:
        self._ask("find_other_item")

    def ask_save(self) -> None:
        self._ask("save")

    def ask_batch(self) -> None:
        self._ask("make_batch")

    def ask_acid(self) -> None:
        self._ask("turn_balance")

    def ask_calibrate(self) -> None:
        self._ask("calibrate_line")

    def ask_juice(self) -> None:
        self._ask("adjust_juice")

    def leave(self) -> None:
        self._ask("leave")

    def take_up(self) -> None:
        self._ask("take_up")

    def say_first(self) -> None:
        """Nothing else can be done with a drink before its kept edit is taken up or dropped."""
        self._say("First y (take the kept edit up) or n (drop it).", "warn")

    def drop_draft(self) -> None:
        self._ask("drop_draft")

    def paint(self) -> None:
        width = max(self.size.width, 20)
        document = self.document
        if document is None:
            self.show(_fault_rows(self.faults, width))
            return
        self.at = max(0, min(len(document.lines) - 1, self.at))
        below = self._below(document, width)
        lines = self._line_rows(document, width, len(below))
        self._places = [place for place, rows in lines for _ in rows]
        rows = [*_title(document)[: self._head], *(one for _, rows in lines for one in rows), *below]
        self.show(self._said_more(rows))

    @property
    def _head(self) -> int:
        return _LOW_HEAD if self.low else _HEAD

    def _room(self, below: int = 100) -> int:
        """How many rows the lines may have over so many; all before the pane has a size."""
        kept = _LOW_BELOW if self.low else _BELOW
        return self.size.height - self._head - min(below, kept) if self.size.height else 1000

    def _said_more(self, rows: list[Row]) -> list[Row]:
        """The last row there is room for says how many more there are, that a caution is among them, and the key to them."""
        if self.offer or not self.size.height:
            return rows
        typing = self.document is not None and self.document.typing is not None
        return at_most(rows, self.size.height, self.size.width, "" if typing else "Tab" if self.compact else "v")

    def _edit(self, change: Callable[[Document], object]) -> None:
        if self.document and not self.looking:
            change(self.document)
            self._changed()

    def _type(self, text: str) -> None:
        self._edit(lambda document: document.type(self.at, text))

    def _changed(self) -> None:
        self.paint()
        self._tell_changed()

    def _line_rows(self, document: Document, width: int, below: int) -> list[tuple[int, list[Row]]]:
        """The places of the lines there is room for over so many rows, each with its rows."""
        answer, name_of = document.answer, document.opened.library.name_of
        lines = () if isinstance(answer, str) else answer.lines
        names = [(name_of(own.item), document.when_stated(place)) for place, own in enumerate(document.lines)]
        parts = name_parts(names, width, self._room())
        sight = in_sight([len(part) for part in parts], self.top, self.at, self._room(below)) if parts else range(0)
        self.top = sight.start
        found = []
        for place in sight:
            line, here = lines[place] if lines else None, place == self.at
            style = ("chosen" if self.active else "chosen-dim") if here else "text"
            more = "↑" if place == sight.start > 0 else "↓" if place == sight.stop - 1 < len(parts) - 1 else ""
            amount = self._amount(document, place, line, style)
            rows = line_rows("▸" if here else more, amount, parts[place], say.grams(line.g if line else None), width, style)
            found.append((place, rows))
        return found

    def _amount(self, document: Document, place: int, line: ShownLine | None, style: str) -> Row:
        typing = document.typing
        if typing is not None and typing.place == place:
            return amount_field(typing.text, document.unit_taken)
        if document.lines[place].amount:
            return amount_cell(self._said(document, place, line), style)
        return amount_cell("how much?", style if place == self.at else "warn")

    def _said(self, document: Document, place: int, line: ShownLine | None) -> str:
        """The amount in the unit that is shown; as written where it has no such measure."""
        if line is None or self.shown_as == "authored":
            return document.texts[place]
        from station.bar.shown_as import ounce_ml_of, shown_as

        ounce_ml = ounce_ml_of(document.opened.library.house, document.saved.ounce)
        return shown_as(self.shown_as, document.texts[place], line.ml, line.g, ounce_ml)

    def _below(self, document: Document, width: int) -> list[Row]:
        answer = document.answer
        rows: list[Row] = [] if self.low else [row()]
        typing = document.typing
        if typing and not typing.text.strip() and not document.lines[typing.place].amount:
            return [*rows, *wrapped(f"How much? e.g. {_EXAMPLES}", width, "dim")]
        if typing and typing.wrong:
            rows += wrapped(typing.wrong, width, "warn")
        if isinstance(answer, str):
            return [*rows, *wrapped(answer if document.lines else f"{answer}: n adds one", width, "warn")]
        if self.compact:
            rows += summary(document.answer_saved, answer, width, self.low)
        rows += beside_files(self.lots, answer, width)
        chosen = answer.lines[self.at]
        written = "" if self.shown_as == "authored" else f", written {document.texts[self.at]}"
        when = document.when(self.at)
        said = [] if when == "batch" else [_GOES_IN[when]]
        said += [f"{name.replace('_', ' ')} {value}" for name, value in document.lines[self.at].rest]
        rows += wrapped("; ".join([f"{chosen.name}{written}: {chosen.basis}", *said]), width, "dim", "  ")
        return [*rows, *known(answer, width)]


def _title(document: Document) -> list[Row]:
    spec = document.saved
    state = "  · not saved yet" if document.differs else ""
    where = f", {spec.glass}" if spec.glass else ""
    return [((spec.name, "strong"), (state, "accent")), row(f"{spec.method}{where} · one serve", "dim"), row()]


def _fault_rows(faults: Sequence[Fault], width: int) -> list[Row]:
    rows: list[Row] = []
    for fault in faults:
        place = f"line {fault.line}, column {fault.column}" if fault.line else ""
        rows += wrapped(f"{fault.file}  {place}", width, "strong")
        rows += wrapped(f"{fault.key + ': ' if fault.key else ''}{fault.message}", width, "warn", "  ")
        rows += [*wrapped(f"What to do: {fault.remedy}", width, "text", "  "), row()]
    return rows or [row("Find a drink, Enter opens it.", "dim")]
