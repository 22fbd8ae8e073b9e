"""The balance map drawn in characters: drinks as braille dots, eight to a cell, the usual range as a frame; or in plain ASCII."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from station.bar import say
from station.calc.mapped import BalanceMap, Box, Spot
from station.cards.layout import table
from station.cards.text import WIDTH, plainly

# Text and its role: axis, window, other, alike, here, was, cursor, both.
Piece: TypeAlias = tuple[str, str]

MARGIN = 6
LEAST_COLUMNS, LEAST_ROWS = 12, 3
# In the glass; the sugar's name stands beside its figures, so it is the short one where there is less room.
_ACID = "acid in the glass, g/100 ml as citric"
_SUGAR, _SUGAR_SHORT, _ROOM_FOR_LONG = "sugar in the glass, g/100 ml", "sugar, g/100 ml", 50
_ORDER = ("", "window", "other", "alike", "was", "here", "cursor", "both")
# The dots of a braille cell by column and row from the top (Unicode 1.1, block 2800: their bits).
_BITS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
_BLANK = 0x2800
# The pointer may stand on the drink asked about: one sign says both.
_GLYPHS = {"here": "●", "was": "○", "cursor": "◆", "both": "◈"}
_LEGEND = (
    *(("here", "this drink"), ("cursor", "chosen"), ("both", "both"), ("was", "saved")),
    *(("alike", "its style"), ("other", "others"), ("window", "usual range")),
)
_PLAIN_GLYPHS = {"here": "X", "was": "x", "cursor": "#", "both": "@", "alike": "o", "other": "."}
# Corners and edges of the usual range: top left, top right, bottom left, bottom right, across, up.
_FRAME, _PLAIN_FRAME = ("┏", "┓", "┗", "┛", "━", "┃"), ("+", "+", "+", "+", "-", "|")


@dataclass(slots=True)
class Plot:
    """The cells between the axes, `columns` by `rows`; row 0 is the top. Dots are counted from the bottom left."""

    sugar_to: float
    acid_to: float
    columns: int
    rows: int
    dots: dict[tuple[int, int], int] = field(default_factory=dict)
    chars: dict[tuple[int, int], str] = field(default_factory=dict)
    roles: dict[tuple[int, int], str] = field(default_factory=dict)
    names: dict[tuple[int, int], list[str]] = field(default_factory=dict)

    def copy(self) -> Plot:
        """The same, to draw on; who stands where stays shared."""
        return replace(self, dots=dict(self.dots), chars=dict(self.chars), roles=dict(self.roles))

    def dot_of(self, sugar: float, acid: float) -> tuple[int, int]:
        """The dot nearest those figures, kept between the axes."""
        wide, high = 2 * self.columns - 1, 4 * self.rows - 1
        x, y = round(sugar / self.sugar_to * wide), round(acid / self.acid_to * high)
        return min(max(x, 0), wide), min(max(y, 0), high)

    def cell_of(self, sugar: float, acid: float) -> tuple[int, int]:
        """The cell of that dot: column and row."""
        x, y = self.dot_of(sugar, acid)
        return x // 2, self.rows - 1 - y // 4

    def dot(self, x: int, y: int, role: str) -> None:
        """Set one dot."""
        cell = x // 2, self.rows - 1 - y // 4
        if self._take(cell, role) and cell in self.chars:
            del self.chars[cell]
        self.dots[cell] = self.dots.get(cell, 0) | _BITS[x % 2][3 - y % 4]

    def put(self, cell: tuple[int, int], char: str, role: str) -> None:
        """Put a whole character in a cell, unless one stands there that says more."""
        if self._take(cell, role):
            self.chars[cell] = char

    def row(self, place: int) -> Iterator[Piece]:
        """That row's pieces, cells of one role together."""
        text, role = "", ""
        for column in range(self.columns):
            cell = column, place
            its = self.roles.get(cell, "")
            if its != role and text:
                yield text, role
                text = ""
            text, role = text + self._char(cell), its
        yield text, role

    def _char(self, cell: tuple[int, int]) -> str:
        return self.chars.get(cell) or (chr(_BLANK + self.dots[cell]) if cell in self.dots else " ")

    def _take(self, cell: tuple[int, int], role: str) -> bool:
        stands = self.roles.get(cell, "")
        if _ORDER.index(role) < _ORDER.index(stands):
            return False
        self.roles[cell] = role
        return True


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawn map: its rows of pieces, and the ids of the drinks in each cell, by the picture's own column and row."""

    rows: tuple[tuple[Piece, ...], ...]
    cells: dict[tuple[int, int], tuple[str, ...]]

    def beside(self, name: str) -> tuple[str, ...]:
        """The drinks in the cell where that one is, itself among them."""
        return next((names for names in self.cells.values() if name in names), ())

    @property
    def lines(self) -> list[str]:
        """As text."""
        return ["".join(text for text, _ in row).rstrip() for row in self.rows]


def ground(found: BalanceMap, width: int, height: int, plain: bool = False) -> Plot:
    """The window and the drinks, in `width` by `height` characters with the axes: what stays while a pointer moves over it."""
    plot = Plot(found.sugar_to, found.acid_to, max(width - MARGIN, LEAST_COLUMNS), max(height - 3, LEAST_ROWS))
    if found.window:
        _frame(plot, found.window, _PLAIN_FRAME if plain else _FRAME)
    for spot in found.spots:
        (_plain_spot if plain else _dotted_spot)(plot, spot)
    for spot in (*found.spots, *([found.here] if found.here else [])):
        plot.names.setdefault(plot.cell_of(spot.sugar, spot.acid), []).append(spot.id)
    return plot


def drawn(found: BalanceMap, width: int, height: int, cursor: str = "", plain: bool = False, over: Plot | None = None) -> Picture:
    """The map with its axes and their labels; `cursor` is the drink pointed at, by id. `over`: its ground, if that is drawn."""
    plot = (over or ground(found, width, height, plain)).copy()
    glyphs = _PLAIN_GLYPHS if plain else _GLYPHS
    for role, spot in (("was", found.was), ("here", found.here)):
        if spot:
            plot.put(plot.cell_of(spot.sugar, spot.acid), glyphs[role], role)
    pointed = next((cell for cell, names in plot.names.items() if cursor in names), None)
    if pointed:
        on_here = found.here is not None and pointed == plot.cell_of(found.here.sugar, found.here.acid)
        role = "both" if on_here else "cursor"
        plot.put(pointed, glyphs[role], role)
    cells = {(column + MARGIN, place + 1): tuple(sorted(names)) for (column, place), names in plot.names.items()}
    return Picture(tuple(_framed(plot, plain)), cells)


@plainly
def map_card(found: BalanceMap, width: int = WIDTH, plain: bool = False) -> list[str]:
    """The map as text, its legend, and every drink with its figures."""
    rows = [
        (one.id, one.name, one.style, say.number(one.sugar), say.number(one.acid), _stands(one, found.window))
        for one in sorted((*found.spots, *([found.here] if found.here else [])), key=lambda one: (one.sugar, one.acid))
    ]
    head = ("", "", "style", "sugar", "acid", f"in {found.style}" if found.window else "")
    left_out = [f"{found.left_out} not on it: they cannot be reckoned (see station check)"] if found.left_out else []
    return [
        *drawn(found, width, 22, plain=plain).lines,
        *("".join(text for text, _ in line).rstrip() for line in legend(width, plain)),
        "",
        *table([head, *rows], right=frozenset({3, 4}), width=width),
        *left_out,
        *([f"Usual range: {found.window_source}"] if found.window else []),
    ]


def _stands(spot: Spot, window: Box | None) -> str:
    """Where a drink stands in the window asked about: sugar, then acid."""
    if window is None:
        return ""
    return f"{say.standing(spot.sugar, window[0])}, {say.standing(spot.acid, window[1])}"


def legend(width: int, plain: bool = False) -> list[list[Piece]]:
    """What the marks stand for, in as many rows of `width` characters as that takes."""
    marks = {"window": "++", **_PLAIN_GLYPHS} if plain else {"alike": "⠛⠶", "other": "⠉⠒", "window": "┏┓", **_GLYPHS}
    rows: list[list[Piece]] = [[]]
    left = width
    for role, text in _LEGEND:
        needed = len(marks[role]) + len(text) + 3
        if rows[-1] and left < needed - 2:
            rows.append([])
            left = width
        rows[-1] += [(marks[role], role), (f" {text}  ", "axis")]
        left -= needed
    return rows


def _frame(plot: Plot, box: Box, signs: tuple[str, ...]) -> None:
    """The usual range as a frame of characters, so that no colour is needed to tell it from the drinks' dots."""
    (left, bottom), (right, top) = (plot.cell_of(box[0][end], box[1][end]) for end in (0, 1))
    top_left, top_right, bottom_left, bottom_right, across, up = signs
    for column in range(left, right + 1):
        plot.put((column, bottom), across, "window")
        plot.put((column, top), across, "window")
    for place in range(top + 1, bottom):
        plot.put((left, place), up, "window")
        plot.put((right, place), up, "window")
    for column, place, sign in ((left, top, top_left), (right, top, top_right)):
        plot.put((column, place), sign, "window")
    if bottom > top:
        plot.put((left, bottom), bottom_left, "window")
        plot.put((right, bottom), bottom_right, "window")


def _dotted_spot(plot: Plot, spot: Spot) -> None:
    """Two dots for a drink of another style, four for one of the same: their shapes differ too."""
    x, y = plot.dot_of(spot.sugar, spot.acid)
    # Within one cell, so that the dots stay together.
    x, base = x - x % 2, y - y % 4
    y = min(max(y, base), base + 2) if spot.alike else y
    for up in (y, y + 1) if spot.alike else (y,):
        for across in (x, x + 1):
            plot.dot(across, up, "alike" if spot.alike else "other")


def _plain_spot(plot: Plot, spot: Spot) -> None:
    role = "alike" if spot.alike else "other"
    plot.put(plot.cell_of(spot.sugar, spot.acid), _PLAIN_GLYPHS[role], role)


def _framed(plot: Plot, plain: bool) -> Iterator[tuple[Piece, ...]]:
    """Acid's name above, its figures at the left, sugar's figures and name below."""
    side, corner, tick, line = ("|", "+", "+", "-") if plain else ("│", "└", "┤", "─")
    labels = _labels(plot.acid_to, plot.rows, 4)
    yield ((_ACID[: plot.columns + MARGIN], "axis"),)
    for place in range(plot.rows):
        label = labels.get(plot.rows - 1 - place, "")
        yield ((f"{label:>{MARGIN - 1}}{tick if label else side}", "axis"), *plot.row(place))
    yield ((" " * (MARGIN - 1) + corner + line * plot.columns, "axis"),)
    yield ((_foot(plot), "axis"),)


def _foot(plot: Plot) -> str:
    """Sugar's figures under their places, its name where it fits at the right."""
    name = _SUGAR if plot.columns >= _ROOM_FOR_LONG else _SUGAR_SHORT
    text = [" "] * (MARGIN + plot.columns)
    room = len(text) - len(name) - 1
    for place, label in _labels(plot.sugar_to, plot.columns, 10).items():
        start = MARGIN + place - len(label) // 2
        if start + len(label) < room:
            text[start : start + len(label)] = label
    text[room + 1 :] = name
    return "".join(text)[: MARGIN + plot.columns]


def _labels(to: float, cells: int, apart: int) -> dict[int, str]:
    """Round figures along an axis by their cell, about `apart` cells from one another."""
    wanted = to * apart / cells
    step = next(one for one in (_nice(to, place) for place in range(12)) if one >= wanted * 0.999)
    count = int(to / step + 1e-9)
    return {min(int(place * step / to * cells), cells - 1): say.number(place * step) for place in range(count + 1)}


def _nice(to: float, place: int) -> float:
    """The steps an axis may have, from fine to coarse: 1, 2 and 5 times powers of ten."""
    decade = 10.0 ** (int(f"{to:e}".partition("e")[2]) - 2 + place // 3)
    return decade * (1.0, 2.0, 5.0)[place % 3]
