"""A pane of text rows painted by itself: only rows that changed are painted again, and every text is made plain on the way.

Panes never take the framework's focus. Keys come to the active pane in one synchronous call (app.StationApp), so that a
burst of keys over a slow link can never overtake one another.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, TypeAlias, cast

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.reactive import Reactive
from textual.strip import Strip
from textual.widget import Widget

from station.bar.glyphs import ascii_only, in_ascii
from station.bar.say import GAP, plain
from station.tui.palette import Palette

if TYPE_CHECKING:
    from station.tui.boundary import Boundary

# A row is pieces of text, each in one of palette.STYLES.
Row: TypeAlias = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class KeyAction:
    """A key of a pane: its id, the keys that run it, the method and its argument; `hint` and `label` as the key bar says them.

    One that `writes`, or edits what could be written, is not there in a look-up. Of a low `rank` it stands sooner on the key bar.
    """

    id: str
    keys: tuple[str, ...]
    run: str
    value: int | None = None
    hint: str = ""
    label: str = ""
    writes: bool = False
    rank: int = 3


class Pane(Widget):
    """Rows of styled text; `first` is the row that stands at the top, `active` whether keys come here."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = ()

    # No pane's size depends on what is in it, so that it got one asks for no layout more.
    virtual_size = Reactive(Size(0, 0), repaint=False)
    rows: Sequence[Row] = ()
    first = 0
    active = False
    # The size the rows were made for, and whether they are being made for another just now.
    _fitted: Size | None = None
    _refitting = False

    def keys(self) -> tuple[KeyAction, ...]:
        """The keys that work here now."""
        return self.KEYS

    def working(self) -> tuple[KeyAction, ...]:
        """The keys that work here now and may be used."""
        return tuple(action for action in self.keys() if not (action.writes and self.looking))

    @property
    def looking(self) -> bool:
        """Whether this is a look-up."""
        return bool(self.app.shelf.look)  # type: ignore[attr-defined]  # StationApp's; the framework types it App

    def press(self, event: events.Key) -> bool:
        """Run what the key stands for here, else take it as typed. False if it is neither."""
        for action in self.working():
            if event.key in action.keys:
                self.run(action)
                return True
        return bool(event.is_printable and event.character and self.typed(event.character))

    def run(self, action: KeyAction) -> None:
        method: Callable[..., object] = getattr(self, action.run)
        method() if action.value is None else method(action.value)

    def typed(self, character: str) -> bool:
        """A character that is no key of the pane's. False if it means nothing here."""
        return False

    def activate(self, active: bool) -> None:
        """Keys come here from now on, or no longer do."""
        if active != self.active:
            self.active = active
            self.paint()

    def paint(self) -> None:
        """Put up the rows as they now are. Panes that make their own rows override this."""

    def show(self, rows: Sequence[Row], first: int = 0) -> None:
        """Put these rows up. Rows that say what they said before are not painted again."""
        before, moved = self.rows, first != self.first
        self.rows, self.first, self._fitted = rows, first, self.size
        width, height = self.size
        if self._refitting or not height:  # the whole pane is painted by the frame that gives it its size
            return
        if moved:
            self.refresh()
            return
        changed = [y for y in range(height) if _at(before, first + y) != _at(rows, first + y)]
        if changed:
            self.refresh(*(Region(0, y, width, 1) for y in changed))

    async def on_event(self, event: events.Event) -> None:
        """A tap, a resize or whatever else comes by the framework's way: what fails in it ends at the boundary."""
        try:
            await super().on_event(event)
        except Exception as error:
            self.boundary.caught(error)

    def render_lines(self, crop: Region) -> list[Strip]:
        """Rows of the size the pane has in this frame: the event that tells of it comes after, and would cost a frame more.

        Rows that cannot be made leave their place blank; what failed is seen to after the frame.
        """
        try:
            if self._fitted != self.size:
                self._refit()
            return super().render_lines(crop)
        except Exception as error:
            self.boundary.caught_painting(self, error)
            return [Strip.blank(crop.width) for _ in range(crop.height)]

    @property
    def boundary(self) -> Boundary:
        return cast("Boundary", self.app.boundary)  # type: ignore[attr-defined]  # StationApp's; the framework types it App

    def render_line(self, y: int) -> Strip:
        return self.strip(_at(self.rows, self.first + y))

    def strip(self, row: Row) -> Strip:
        """A row as wide as the pane, cut with … where it is wider; a chosen row's bar runs on to its edge."""
        width = self.size.width
        strip = Strip([Segment(cells(text), self.style_of(style)) for text, style in row])
        if 0 < width < strip.cell_length and cell_len(strip.text.rstrip()) > width:
            return Strip([*strip.adjust_cell_length(width - 1), Segment(shown("…"), self.style_of(row[-1][1]))])
        blank = row[-1][1] if row and row[-1][1].startswith("chosen") else "text"
        return strip.adjust_cell_length(width, self.style_of(blank))

    def style_of(self, name: str) -> Style:
        styles: Palette = self.app.palette  # type: ignore[attr-defined]  # StationApp's; the framework types it App
        return styles[name]

    def on_resize(self) -> None:
        if self._fitted != self.size:
            self._fitted = self.size
            self.paint()

    def _refit(self) -> None:
        """Make the rows for the size of the frame that is being painted."""
        self._fitted, self._refitting = self.size, True
        try:
            self.paint()
        finally:
            self._refitting = False
        self._styles_cache.clear()  # the framework's lines, of which it forgets none for another height


def _at(rows: Sequence[Row], place: int) -> Row:
    return rows[place] if 0 <= place < len(rows) else ()


def shown(text: str, limit: int = 1000) -> str:
    """The text as this terminal can show it: plain, in ASCII where it must be. Gaps that may not be broken stay so."""
    clean = plain(text, limit)
    return GAP.join(map(in_ascii, clean.split(GAP))) if ascii_only() else clean


def cells(text: str) -> str:
    """The text as it is put into cells."""
    clean = shown(text)
    return clean.replace(GAP, " ") if ascii_only() else clean


def row(text: str = "", style: str = "text") -> Row:
    """A row of one piece."""
    return ((text, style),)


def broken(text: str, width: int, hang: str = "") -> list[str]:
    """A text in lines of at most `width`, those after the first behind `hang`."""
    return textwrap.wrap(shown(text, 2000), max(width, 8), subsequent_indent=hang, break_on_hyphens=False)


def wrapped(text: str, width: int, style: str = "text", hang: str = "") -> list[Row]:
    """A sentence broken into rows of at most `width`, those after the first behind `hang`."""
    return [row(line, style) for line in broken(text, width, hang)]


def columns(cells: Sequence[tuple[str, int, str]], style: str) -> Row:
    """One row of fixed columns: each cell's text, width and side ("<" or ">"), cut with … where it is too long."""
    return row(" ".join(fitted(text, width, side) for text, width, side in cells), style)


def fitted(text: str, width: int, side: str = "<") -> str:
    """`text` in exactly `width` cells of the screen."""
    clean = cut(text, width)
    room = " " * (width - cell_len(clean))
    return room + clean if side == ">" else clean + room


def cut(text: str, width: int) -> str:
    """`text` in at most `width` cells of the screen, cut with … where it has more."""
    clean = shown(text)
    if cell_len(clean) <= width:
        return clean
    return set_cell_size(clean, max(width - 1, 0)) + shown("…") if width > 0 else ""


def at_most(rows: Sequence[Row], height: int, width: int, key: str = "") -> list[Row]:
    """So many of the rows; where there are more the last says how many, the worst of their cautions, the key that leads there."""
    if len(rows) <= height:
        return list(rows)
    hidden = rows[height:]
    starts = [one[0][0] for one in hidden if one]
    word = next((f", {word}" for word in ("STOP", "CHECK") if any(start.startswith(f"{word}:") for start in starts)), " more")
    return [*rows[: height - 1], counted(rows[height - 1], len(hidden), width, f"{word}{': ' if key else ''}{key}")]


def counted(line: Row, hidden: int, width: int, word: str = " more") -> Row:
    """That row, cut where it must be, at its right how many others there are."""
    sign = shown(f" ↓ {hidden}{word}")
    room, text = width - cell_len(sign), "".join(part for part, _ in line)
    style = line[-1][1] if line else "text"
    kept = line if cell_len(text) <= room else row(cut(text, room), style)
    return (*kept, (" " * (room - cell_len(text)), style), (sign, "key"))
