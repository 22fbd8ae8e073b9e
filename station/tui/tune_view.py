"""A drink tuned: a figure is grabbed and set, lines that may move are chosen, the amounts that give it stand beside them."""

from __future__ import annotations

from textual import events

from station.bar import say
from station.bar.fault import CannotAnswer
from station.calc.backwards import Tuned, TunedLine
from station.cards.backwards import amount_said, rounding_lines
from station.desk.document import Document
from station.desk.open_tuning import FIGURES, WITHIN, OpenTuning, figure_of, open_tuning
from station.desk.opening import Opened
from station.tui.pane import KeyAction, Pane, Row, columns, row, wrapped
from station.tui.view import Host, View

_NAMES = {"acid": "Acid g/100 ml", "sugar": "Sugar g/100 ml", "ratio": "Sugar : acid", "abv": "ABV % vol", "volume": "Volume ml"}
_SHORT = {"acid": "Acid", "sugar": "Sugar", "ratio": "Su : ac", "abv": "ABV", "volume": "Volume"}
_FIRST_FIGURE, _FIGURE = 2, 7
_ROOMY = 60
_FIRST_LINE = _FIRST_FIGURE + len(FIGURES) + 2

_MOVES = (
    KeyAction("tune.down", ("down",), "move", 1, hint="↑↓", label="figure or line"),
    KeyAction("tune.up", ("up",), "move", -1),
)
_TAKE = (
    KeyAction("tune.take", ("enter",), "take_poured", hint="Enter", label="take as poured", writes=True),
    KeyAction("tune.exactly", ("x",), "take_exactly", hint="x", label="take exactly", writes=True),
    KeyAction("tune.back", ("escape",), "leave", hint="Esc", label="back"),
)
_FIGURE_KEYS = (
    KeyAction("tune.type", (), "say_type", hint="0-9", label="shall be"),
    KeyAction("tune.within", ("w",), "wish_within", hint="w", label="in its window"),
    KeyAction("tune.rub", ("backspace",), "rub"),
)
_LINE_KEYS = (KeyAction("tune.toggle", ("space",), "toggle", hint="Space", label="may move"),)


class TunePane(Pane):
    """All of the view; the figures above, the lines below."""

    def __init__(self, view: TuneView) -> None:
        super().__init__(id="tune-pane")
        self.view = view

    def keys(self) -> tuple[KeyAction, ...]:
        return (*(_FIGURE_KEYS if self.view.figure else _LINE_KEYS), *_MOVES, *_TAKE)

    def typed(self, character: str) -> bool:
        return self.view.typed(character)

    def run(self, action: KeyAction) -> None:
        self.view.run(action)

    def on_click(self, event: events.Click) -> None:
        self.view.tap(event.y)

    def paint(self) -> None:
        self.view.paint()


class TuneView(View):
    """What the glass shall have, and which lines may give it."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.pane = TunePane(self)
        super().__init__(host, self.pane, name="tune")
        self.shelf = shelf
        self.tuning: OpenTuning | None = None
        self.at = 0
        self.fresh = True

    @property
    def active_pane(self) -> Pane:
        return self.pane

    @property
    def figure(self) -> str:
        """The figure one is at; "" on a line."""
        return FIGURES[self.at] if self.at < len(FIGURES) else ""

    @property
    def place(self) -> int:
        return self.at - len(FIGURES)

    def take(self, document: Document, line: int) -> None:
        """The drink as it stands, and the line one was at may move; else what was wished of it and left.

        Raises CannotAnswer for one that is no drink yet.
        """
        left, self.tuning = self.tuning, open_tuning(document, line)
        if left is not None:
            self.tuning.as_left(left)
        self.at, self.fresh = 0, True
        self.paint()

    def move(self, by: int) -> None:
        if self.tuning is not None:
            last = len(FIGURES) + len(self.tuning.spec.lines) - 1
            self.at, self.fresh = max(0, min(last, self.at + by)), True
            self.paint()

    def typed(self, character: str) -> bool:
        """Part of what the figure shall be; the first key replaces what stood there."""
        if self.tuning is None or not self.figure or not (character.isdecimal() or character in ".,"):
            return False
        before = "" if self.fresh else self.tuning.wishes.get(self.figure, "")
        self._wish(("" if before == WITHIN else before) + character)
        return True

    def say_type(self) -> None:
        self.host.say("type what the figure shall be")

    def rub(self) -> None:
        if self.tuning is not None and self.figure:
            before = self.tuning.wishes.get(self.figure, "")
            self._wish("" if before == WITHIN else before[:-1])

    def wish_within(self) -> None:
        if self.figure:
            self._wish(WITHIN)

    def toggle(self) -> None:
        if self.tuning is not None and not self.figure:
            if self.tuning.toggle(self.place):
                self._changed()
            else:
                self.host.say("that line cannot move: it is not part of the liquid by an amount", "warn")

    def take_poured(self) -> None:
        self._take(exactly=False)

    def take_exactly(self) -> None:
        self._take(exactly=True)

    def leave(self) -> None:
        self.host.back()

    def tap(self, y: int) -> None:
        if self.tuning is None:
            return
        y += self.pane.first
        place = y - _FIRST_FIGURE if y < _FIRST_LINE - 1 else y - _FIRST_LINE + len(FIGURES)
        if 0 <= place < len(FIGURES) + len(self.tuning.spec.lines):
            self.at, self.fresh = place, True
            self.toggle() if not self.figure else self.paint()
            self.host.refresh_keys()

    def paint(self) -> None:
        if self.tuning is None:
            self.pane.show([])
            return
        width = max(self.size.width - 1, 20)
        rows: list[Row] = [((self.tuning.spec.name, "strong"), ("  tuned in the glass", "dim"))]
        rows += [*_figure_rows(self.tuning, self.at, width), row(), *_line_rows(self.tuning, self.place, width)]
        rows += [row(), *_below(self.tuning, width)]
        here = self.at + _FIRST_FIGURE if self.figure else self.place + _FIRST_LINE
        self.pane.show(rows, max(0, min(len(rows), here + 2) - self.pane.size.height))

    def _wish(self, text: str) -> None:
        assert self.tuning is not None
        self.fresh = False
        self.tuning.wish(self.figure, text)
        self._changed()

    def _changed(self) -> None:
        """What cannot be had is also said where every screen has room for it."""
        assert self.tuning is not None
        answer = self.tuning.answer
        self.host.say(answer.why if isinstance(answer, Tuned) else "", "warn")
        self.paint()

    def _take(self, exactly: bool) -> None:
        if self.tuning is None:
            return
        try:
            news = self.tuning.take(exactly)
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
        else:
            self.host.back()
            self.host.say(news)


def _figure_rows(tuning: OpenTuning, at: int, width: int) -> list[Row]:
    """Each figure as it is, as it is wished, and as it comes out exactly and poured."""
    names, name, figures = (_NAMES, 14, _FIGURE) if width >= _ROOMY else (_SHORT, 8, _FIGURE - 1)
    answer = tuning.answer if isinstance(tuning.answer, Tuned) else None
    heads = [("", name + 2, "<"), *((word, figures, ">") for word in ("is", "wish", "exact", "poured"))]
    rows = [columns(heads, "dim")]
    for place, figure in enumerate(FIGURES):
        style = "chosen" if place == at else "text"
        found = [say.number(figure_of(one, figure)) for one in (answer.exact, answer.pourable)] if answer else ["", ""]
        cells = [say.number(figure_of(tuning.now, figure)), tuning.wishes.get(figure, ""), *found]
        mark = "▸ " if place == at else "  "
        text = columns([(mark + names[figure], name + 2, "<"), *((cell, figures, ">") for cell in cells)], style)
        rows.append((*text, (_said_of(tuning, figure) if width >= _ROOMY else "", "warn")))
    return rows


def _said_of(tuning: OpenTuning, figure: str) -> str:
    """That a wish is not met, and where the poured figure stands in its window."""
    answer, window = tuning.answer, tuning.window.get(figure)
    if not isinstance(answer, Tuned):
        return ""
    missed = any(one.figure == figure and not one.met for one in answer.wishes)
    value = figure_of(answer.pourable, figure)
    standing = say.standing(value, window) if window and value is not None else ""
    return "  " + ", ".join(part for part in ("not met" if missed else "", standing) if part)


def _line_rows(tuning: OpenTuning, at: int, width: int) -> list[Row]:
    """Each line, whether it may move, and what it would become."""
    answer = tuning.answer if isinstance(tuning.answer, Tuned) else None
    moved = dict(zip(sorted(tuning.moving), answer.lines, strict=True)) if answer else {}
    amount = 11 if width >= _ROOMY else 10
    kinds = ("is", "exact", "poured") if width >= _ROOMY else ("is", "poured")
    name = max(8, width - 6 - (amount + 1) * len(kinds))
    rows = [columns([("may move", name + 6, "<"), *((kind, amount, ">") for kind in kinds)], "dim")]
    for place, line in enumerate(tuning.spec.lines):
        sign = "[x] " if place in tuning.moving else "[ ] " if tuning.can_move(place) else "    "
        mark = "▸ " if place == at else "  "
        cells = [line.amount.text, *_becomes(moved.get(place), kinds)]
        item = tuning.document.opened.library.name_of(line.item)
        style = "chosen" if place == at else "text" if place in tuning.moving else "dim"
        rows.append(columns([(f"{mark}{sign}{item}", name + 6, "<"), *((cell, amount, ">") for cell in cells)], style))
    return rows


def _becomes(line: TunedLine | None, kinds: tuple[str, ...]) -> list[str]:
    if line is None:
        return [""] * (len(kinds) - 1)
    return [amount_said(line), line.pourable_text] if len(kinds) == 3 else [line.pourable_text]


def _below(tuning: OpenTuning, width: int) -> list[Row]:
    """Why there is no answer, or what rounding costs and what must be said."""
    answer = tuning.answer
    if isinstance(answer, str):
        return wrapped(answer, width, "dim")
    rows = wrapped(answer.why, width, "warn") if answer.why else []
    rows += [row(line, "text") for line in rounding_lines(answer, width)]
    rows += [part for note in answer.notes for part in wrapped(note, width, "warn", "  ")]
    return rows + [part for one in answer.cautions for part in wrapped(f"{one.word}: {one.text}", width, "warn", "  ")]
