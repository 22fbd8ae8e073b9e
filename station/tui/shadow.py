"""The shadow of a terminal: what a screen should show, what the terminal was told, and the short way between the two.

Pure: text in, text out. What is painted is kept as cells; what is not paint (modes, queries, titles, clipboard) passes in
order. A sequence not known here passes too, is counted, and all is painted again after it: nobody knows what it did.
"""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import compress
from operator import ne

from rich.cells import cell_len

from station.tui.sgr import PLAIN, Style, blank, read_sgr, restyle

Cell = tuple[str, Style]
"""A character with all that combines with it, and its look. The right half of a wide one is an empty text."""

Row = list[Cell]

_NOTHING: Cell = (" ", blank(PLAIN))
_SYNC_START, _SYNC_END = "\x1b[?2026h", "\x1b[?2026l"
_LONGEST_BRIDGE = 4  # rewriting that many known cells costs no more than the cursor movement over them

_STRING_END = r"(?:\x07|\x1b\\)"
_LINK = rf"\x1b\]8;[^\x07\x1b]*{_STRING_END}"
_SGR = r"\x1b\[[\d;:]*m"
_TOKEN = re.compile(
    rf"""
    (?P<run>(?:[^\x00-\x1f\x7f-\x9f]+|{_SGR}|{_LINK})+)
    |\x1b\[(?P<move>\d*(?:;\d*)?)[Hf]
    |(?P<newline>\r?\n)
    |(?P<sync>\x1b\[\?2026[hl])
    |(?P<alternate>\x1b\[\?(?:47|1047|1049)[hl])
    |(?P<control>
        \x07                                        # bell
        |\x1b\[[<=>?][\d;]*[ -/]*[@-IL-~]           # private modes, queries, keyboard protocol; not the erasing J and K
        |\x1b\[[\d;]*\ ?[cnqt]                      # device queries, cursor shape, window operations
        |\x1b\][^\x07\x1b]*{_STRING_END}            # titles, colours, clipboard, pointer
        |\x1bP[+$]q[^\x1b]*\x1b\\                   # queries of capabilities and settings
    )
    |(?P<unknown>
        \x1b\[[0-?]*[ -/]*[@-~]
        |\x1b[PX^_][^\x1b]*\x1b\\
        |\x1b[ -/]+[0-~]
        |\x1b[0-OQ-WYZ\\`-~]
        |[\x00-\x1a\x1c-\x1f\x7f-\x9f]
    )
    """,
    re.VERBOSE,
)
_UNFINISHED = re.compile(r"\x1b(?:\[[0-?]*[ -/]*|\][^\x07\x1b]*\x1b?|[PX^_][^\x1b]*\x1b?|[ -/]*)")
_PIECE = re.compile(rf"(?P<text>[^\x1b]+)|\x1b\[(?P<sgr>[\d;:]*)m|\x1b\]8;(?P<link>[^\x07\x1b]*){_STRING_END}")
# Characters that every terminal draws one cell wide: after any other the cursor is addressed anew.
_SURE = re.compile("[ -~\u00a0-\u00ac\u00ae-\u02ff\u0370-\u0482\u2500-\u25fc\u2800-\u28ff]*")


class Shadow:
    """What the screen should show, what the terminal was told so far, and the difference between the two as text to send.

    It paints on the alternate screen only: before that is entered and after it is left, what is painted is kept, unsent.
    `columns` and `lines`: the size painted; `holding`: a synchronized frame has begun and not ended;
    `unknown`: how many sequences were not understood.
    """

    def __init__(self, columns: int, lines: int) -> None:
        self.columns, self.lines = 0, 0
        self.holding = False
        self.unknown = 0
        self._wanted: list[Row] = []
        self._touched: set[int] = set()
        self._x, self._y, self._style = 0, 0, PLAIN
        self._rest = ""
        self._controls: list[str] = []
        self._paints, self._empty = False, True
        self._synchronizes = False
        self._terminal = _Terminal()
        self._shown: list[Row | None] = []
        self.resize(columns, lines)

    def resize(self, columns: int, lines: int) -> None:
        """Take a new size; on a change all is painted again. What lies outside is kept: it counts if the screen grows back."""
        if (columns, lines) == (self.columns, self.lines):
            return
        self.columns, self.lines = columns, lines
        self._wanted += [[] for _ in range(lines - len(self._wanted))]
        for row in self._wanted:
            row.extend([_NOTHING] * (columns - len(row)))
        self.forget()

    def forget(self) -> None:
        """Believe nothing about the terminal any more: the next difference paints every cell."""
        self._shown = [None] * self.lines
        self._touched = set(range(self.lines))
        self._terminal.forget()

    def feed(self, data: str) -> None:
        """Read a piece of the stream the screen writes; it may end within a sequence."""
        data, self._rest = self._rest + data, ""
        position = 0
        while position < len(data):
            token = _TOKEN.match(data, position)
            if token is None:
                if _UNFINISHED.fullmatch(data, position):
                    self._rest = data[position:]
                    return
                self._pass_unknown(data[position])
                position += 1
            else:
                self._read(token)
                position = token.end()

    def take(self) -> str:
        """What must be sent now, taken as sent: all that is not paint, in order, then the cells that differ."""
        controls, self._controls = "".join(self._controls), []
        return controls + (self._difference() if self._paints and not self._empty else "")

    def _read(self, token: re.Match[str]) -> None:
        kind, text = token.lastgroup, token[0]
        if kind == "run":
            self._read_run(text)
        elif kind == "move":
            line, _, column = token["move"].partition(";")
            self._x, self._y = max(int(column or 1), 1) - 1, max(int(line or 1), 1) - 1
        elif kind == "newline":
            self._x, self._y = 0, self._y + 1
        elif kind == "sync":
            self.holding, self._synchronizes = text == _SYNC_START, True
        elif kind == "alternate":
            self._change_screen(text)
        elif kind == "control":
            self._controls.append(text)
        else:
            self._pass_unknown(text)

    def _read_run(self, run: str) -> None:
        try:
            joined, cells, self._style = _read_cells(self._style, run)
        except ValueError:
            self._pass_unknown(run)
            return
        if joined:
            self._join(joined)
        self._put(cells)

    def _put(self, cells: Sequence[Cell]) -> None:
        x, y = self._x, self._y
        self._x = x + len(cells)
        if y >= self.lines or x >= self.columns:
            return
        row = self._wanted[y]
        fitting = list(cells[: self.columns - x])
        end = x + len(fitting)
        if row[x:end] == fitting:
            return
        if len(fitting) < len(cells) and not cells[len(fitting)][0]:
            fitting[-1] = (" ", fitting[-1][1])  # the left half of a wide character at the edge
        if not row[x][0]:
            row[x - 1] = (" ", row[x - 1][1])  # half a character cannot stay
        if end < len(row) and not row[end][0]:
            row[end] = (" ", row[end][1])
        row[x:end] = fitting
        self._touched.add(y)
        self._empty = False

    def _join(self, marks: str) -> None:
        """Combine `marks` with the character before the cursor, if there is one on its line."""
        if self._y >= self.lines or not 0 < self._x <= self.columns:
            return
        row = self._wanted[self._y]
        x = self._x - 1 if row[self._x - 1][0] else self._x - 2
        row[x] = (row[x][0] + marks, row[x][1])
        self._touched.add(self._y)

    def _change_screen(self, sequence: str) -> None:
        """Enter or leave the alternate screen; on leaving, no colour or link of ours may stay behind."""
        self._paints, self.holding = sequence.endswith("h"), False
        if not self._paints:
            self._controls.append(self._terminal.close())
        self._controls.append(sequence)
        self.forget()

    def _pass_unknown(self, sequence: str) -> None:
        self.unknown += 1
        self._controls.append(sequence)
        self.forget()

    def _difference(self) -> str:
        terminal = self._terminal
        for y in sorted(self._touched):
            if y < self.lines:
                self._paint_row(y)
        self._touched = set()
        terminal.move(min(self._x, self.columns - 1), min(self._y, self.lines - 1))
        painted = terminal.take()
        return f"{_SYNC_START}{painted}{_SYNC_END}" if painted and self._synchronizes else painted

    def _paint_row(self, y: int) -> None:
        wanted, shown = self._wanted[y][: self.columns], self._shown[y]
        if wanted == shown:
            return
        self._shown[y] = wanted
        columns: Iterable[int] = range(self.columns)
        if shown is not None:
            columns = compress(columns, map(ne, wanted, shown))
        for x in columns:
            self._terminal.draw(wanted, x, y)


class _Terminal:
    """The terminal's own state as far as it is known: where its cursor is, how it draws; and the text that is to go to it."""

    def __init__(self) -> None:
        self._pen = PLAIN
        self._drawn = PLAIN  # the style last asked for: the pen may be richer than a blank needs
        self._at: tuple[int, int] | None = None
        self._text: list[str] = []

    def forget(self) -> None:
        """Whatever the cursor and the pen are now, start by making the pen plain."""
        self._text = self._text or [restyle(self._pen._replace(ink="?"), PLAIN)[0]]
        self._pen = self._drawn = PLAIN
        self._at = None

    def draw(self, row: Row, x: int, y: int) -> None:
        """Draw cell `x` of line `y`; the right half of a wide character came with its left."""
        text, style = row[x]
        if not text:
            return
        if self._at != (x, y):
            self._bridge(row, x, y)
        self._write(text, style)
        sure = x + 1 < len(row) and _SURE.fullmatch(text)
        self._at = (x + 1, y) if sure else None

    def move(self, x: int, y: int) -> None:
        """Have the cursor at column `x` of line `y`, counted from 0."""
        if self._at == (x, y):
            return
        if self._at and self._at[1] == y and self._at[0] < x:
            distance = x - self._at[0]
            self._text.append(f"\x1b[{distance if distance > 1 else ''}C")
        else:
            self._text.append(f"\x1b[{y + 1};{x + 1}H" if x else f"\x1b[{y + 1}H")
        self._at = (x, y)

    def take(self) -> str:
        """The text not yet taken."""
        text, self._text = "".join(self._text), []
        return text

    def close(self) -> str:
        """What leaves the terminal drawing plainly."""
        self.forget()
        return self.take()

    def _bridge(self, row: Row, x: int, y: int) -> None:
        """Go to `x`: over a few cells that are drawn as the pen draws now it is shorter to draw them again."""
        if self._at and self._at[1] == y and 0 < x - self._at[0] <= _LONGEST_BRIDGE:
            between = row[self._at[0] : x]
            if all(len(text) == 1 and text.isascii() and not restyle(self._pen, style)[0] for text, style in between):
                self._text += [text for text, _ in between]
                return
        self.move(x, y)

    def _write(self, text: str, style: Style) -> None:
        if style is not self._drawn:
            sequence, self._pen = restyle(self._pen, style)
            self._drawn = style
            self._text.append(sequence)
        self._text.append(text)


@lru_cache(2048)
def _read_cells(style: Style, run: str) -> tuple[str, tuple[Cell, ...], Style]:
    """Marks that combine with what stands before the run, its cells, and the style after it. ValueError: unknown SGR."""
    before = ""
    cells: list[Cell] = []
    for piece in _PIECE.finditer(run):
        if piece.lastgroup == "sgr":
            style = read_sgr(style, piece["sgr"])
        elif piece.lastgroup == "link":
            style = style._replace(link="" if piece["link"].endswith(";") else piece["link"])
        elif _SURE.fullmatch(piece[0]):
            space = (" ", blank(style))
            cells += [space if character == " " else (character, style) for character in piece[0]]
        else:
            before += _append_clusters(cells, piece[0], style)
    return before, tuple(cells), style


def _append_clusters(cells: list[Cell], text: str, style: Style) -> str:
    """Add the cells of text in which characters may be wide or combine; gives the marks that found nothing to combine with."""
    before = ""
    for cluster in _clusters(text):
        width = cell_len(cluster)
        if width:
            cells.append((cluster, blank(style) if cluster == " " else style))
            cells += [("", style)] * (width - 1)
        elif not cells:
            before += cluster
        else:
            base = -1 if cells[-1][0] else -2
            cells[base] = (cells[base][0] + cluster, cells[base][1])
    return before


def _clusters(text: str) -> list[str]:
    """Split text so that the widths of the parts add up to that of the whole, as the screen counts it."""
    clusters: list[str] = []
    for character in text:
        if clusters and (clusters[-1].endswith("\u200d") or not cell_len(character)):
            clusters[-1] += character
        else:
            clusters.append(character)
    return clusters
