"""A drink tuned: a figure is grabbed and set, lines that may move are chosen, the amounts that give it stand beside them."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events

from station.bar import say
from station.bar.fault import CannotAnswer
from station.calc.backwards import Tuned, TunedLine
from station.cards.backwards import amount_said, digits, missed_as_poured, rounding_lines
from station.desk.document import Document
from station.desk.open_tuning import FIGURES, WITHIN, OpenTuning, figure_of, open_tuning
from station.desk.opening import Opened
from station.tui.balance_rows import BASIS
from station.tui.pane import KeyAction, Pane, Row, broken, columns, row, wrapped
from station.tui.view import Host, View

_NAMES = {"acid": "Acid g/100 ml", "sugar": "Sugar g/100 ml", "ratio": "Sugar : acid", "abv": "ABV % vol", "volume": "Volume ml"}
_NAME, _CELL = 16, 7
# From so many columns on where a poured figure stands is said beside it; from so many the exact figures have room.
_ROOMY, _FITS_EXACT = 60, 44

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
        first, *others = _FIGURE_KEYS if self.view.figure else _LINE_KEYS
        return (first, *_TAKE, *others, *_MOVES)

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
        # The figure or line that stands in a row; and whether what is missed stands in the pane whole.
        self._places: dict[int, int] = {}
        self._seen = False

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

    def take(self, document: Document, line: int, figure: str) -> None:
        """The drink as it stands, opened at its line, that figure grabbed; else what was wished of it and left.

        Raises CannotAnswer for one that is no drink yet.
        """
        left, self.tuning = self.tuning, open_tuning(document, line)
        if left is not None:
            self.tuning.as_left(left)
        self.at, self.fresh = FIGURES.index(figure) if figure else 0, True
        self.paint()

    def move(self, by: int) -> None:
        if self.tuning is not None:
            last = len(FIGURES) + len(self.tuning.spec.lines) - 1
            self.at, self.fresh = max(0, min(last, self.at + by)), True
            self._painted_anew()

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
                self._painted_anew()
            else:
                self.host.say("that line cannot move: it is not part of the liquid by an amount", "warn")

    def take_poured(self) -> None:
        self._take(exactly=False)

    def take_exactly(self) -> None:
        self._take(exactly=True)

    def leave(self) -> None:
        self.host.back()
        self.host.say("")

    def press(self, event: events.Key) -> None:
        """What was said of the last key is over."""
        self.host.say("")
        super().press(event)

    def tap(self, y: int) -> None:
        y += self.pane.first
        if self.tuning is None or y not in self._places:
            return
        self.at, self.fresh = self._places[y], True
        self.toggle() if not self.figure else self._painted_anew()
        self.host.refresh_keys()

    def paint(self) -> None:
        if self.tuning is None:
            self.pane.show([])
            return
        width = max(self.size.width - 1, 20)
        rows: list[Row] = [((self.tuning.spec.name, "strong"), ("  tuned in the glass", "dim"))]
        heads, figures = _figure_rows(self.tuning, self.at, width)
        self._places = {}
        self._put(rows, heads, [[one] for one in figures], 0)
        rows.append(row())
        heads, lines = _line_rows(self.tuning, self.place, width)
        self._put(rows, heads, lines, len(FIGURES))
        missed = _missed(self.tuning, width)
        until = len(rows) + 1 + len(missed)
        rows += [row(), *missed, *_below(self.tuning, width), *wrapped(BASIS, width, "dim")]
        here = max(y for y, place in self._places.items() if place == self.at)
        # From the last line one reads on, to what is under it.
        seen = here + self.pane.size.height if here == max(self._places) else here + 2
        first = max(0, min(len(rows), seen) - self.pane.size.height)
        self._seen = until <= first + self.pane.size.height
        self.pane.show(rows, first)

    def _put(self, rows: list[Row], head: Row, blocks: list[list[Row]], first: int) -> None:
        """A table's rows below the others; `first` is the place of the first."""
        rows.append(head)
        for place, block in enumerate(blocks, first):
            self._places |= dict.fromkeys(range(len(rows), len(rows) + len(block)), place)
            rows += block

    def _wish(self, text: str) -> None:
        assert self.tuning is not None
        self.fresh = False
        self.tuning.wish(self.figure, text)
        self._painted_anew()

    def _painted_anew(self) -> None:
        """Painted; what cannot be had, or poured, is said above the keys where the pane has no room for it."""
        assert self.tuning is not None
        self.paint()
        answer = self.tuning.answer
        if isinstance(answer, Tuned) and not self._seen:
            self.host.say(answer.why or missed_as_poured(answer, short=True), "warn")
        else:
            self.host.say("")

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


def tune(host: Host, document: Document, line: int, figure: str, typed: str) -> None:
    """Put the tune view on over the drink; what cannot be tuned is said."""
    view = host.view(TuneView)
    try:
        view.take(document, line, figure)
    except CannotAnswer as error:
        host.say(str(error), "warn")
        return
    host.put_on(view)
    for character in typed:
        view.typed(character)


def _figure_rows(tuning: OpenTuning, at: int, width: int) -> tuple[Row, list[Row]]:
    """Each figure with its unit as it is, as it is wished, and as it comes out poured, exactly too where there is room."""
    kinds, answer = _kinds(width), tuning.answer if isinstance(tuning.answer, Tuned) else None
    cell = _CELL if width >= _ROOMY else _CELL - 1
    left = width - _NAME - (2 + len(kinds)) * (cell + 1)
    head = columns([("  acid as citric", _NAME, "<"), *((word, cell, ">") for word in ("is", "wish", *kinds))], "dim")
    rows: list[Row] = []
    for place, figure in enumerate(FIGURES):
        style, mark = ("chosen", "▸ ") if place == at else ("text", "  ")
        made = {"exact": answer.exact, "poured": answer.pourable} if answer else {}
        many = next((digits(one.low, one.high) for one in answer.wishes if one.figure == figure), 3) if answer else 3
        found = [say.number(figure_of(made[kind], figure), many) if made else "" for kind in kinds]
        cells = [say.number(figure_of(tuning.now, figure), many), tuning.wishes.get(figure, ""), *found]
        text = columns([(mark + _NAMES[figure], _NAME, "<"), *((one, cell, ">") for one in cells)], style)
        rows.append((*text, (_said_of(tuning, figure, left), "warn")))
    return head, rows


def _kinds(width: int) -> tuple[str, ...]:
    """What one sees of the amounts that would give it."""
    return ("exact", "poured") if width >= _FITS_EXACT else ("poured",)


def _said_of(tuning: OpenTuning, figure: str, width: int) -> str:
    """That a wish is not met, and where the poured figure stands in its window; as much as there is room for."""
    answer, window = tuning.answer, tuning.window.get(figure)
    if not isinstance(answer, Tuned):
        return ""
    wish = next((one for one in answer.wishes if one.figure == figure), None)
    missed = "" if wish is None else "not met" if not wish.met else "" if wish.met_as_poured else "not as poured"
    value = figure_of(answer.pourable, figure)
    standing = say.standing(value, window) if window and value is not None else ""
    said = missed, standing
    texts = (", ".join(filter(None, said)), *filter(None, said))
    return next((f"  {text}" for text in texts if len(text) + 2 <= width), "")


def _line_rows(tuning: OpenTuning, at: int, width: int) -> tuple[Row, list[list[Row]]]:
    """Each line, whether it may move, and what it would become; a long name goes on below."""
    answer = tuning.answer if isinstance(tuning.answer, Tuned) else None
    moved = dict(zip(sorted(tuning.moving), answer.lines, strict=True)) if answer else {}
    kinds = _kinds(width)
    cells = [[line.amount.text, *_becomes(moved.get(place), kinds)] for place, line in enumerate(tuning.spec.lines)]
    amounts = [max(map(len, column)) for column in zip(("is", *kinds), *cells, strict=True)]
    name = max(8, width - sum(amounts) - len(amounts))

    def table(first: str, amount_cells: Sequence[str], style: str) -> Row:
        return columns(
            [(first, name, "<"), *((text, wide, ">") for text, wide in zip(amount_cells, amounts, strict=True))], style
        )

    rows: list[list[Row]] = []
    for place, line in enumerate(tuning.spec.lines):
        sign = "[x] " if place in tuning.moving else "[ ] " if tuning.can_move(place) else "    "
        mark = "▸ " if place == at else "  "
        style = "chosen" if place == at else "text" if place in tuning.moving else "dim"
        item, *more = broken(tuning.document.opened.library.name_of(line.item), name - 6) or [""]
        rows.append([table(f"{mark}{sign}{item}", cells[place], style), *(row(f"{'':6}{part}", style) for part in more)])
    return table("may move", ("is", *kinds), "dim"), rows


def _becomes(line: TunedLine | None, kinds: tuple[str, ...]) -> list[str]:
    made = {"exact": amount_said(line), "poured": line.pourable_text} if line else {}
    return [made.get(kind, "") for kind in kinds]


def _missed(tuning: OpenTuning, width: int) -> list[Row]:
    """What cannot be had, or not be poured."""
    answer = tuning.answer
    if isinstance(answer, str):
        return []
    return [part for said in (answer.why, missed_as_poured(answer)) if said for part in wrapped(said, width, "warn")]


def _below(tuning: OpenTuning, width: int) -> list[Row]:
    """Why there is no answer, or what rounding costs and what must be said."""
    answer = tuning.answer
    if isinstance(answer, str):
        return wrapped(answer, width, "dim")
    rows = [row(line, "text") for line in rounding_lines(answer, width)]
    rows += [part for note in answer.notes for part in wrapped(note, width, "warn", "  ")]
    return rows + [part for one in answer.cautions for part in wrapped(f"{one.word}: {one.text}", width, "warn", "  ")]
