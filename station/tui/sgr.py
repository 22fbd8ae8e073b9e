"""How a cell looks: reading colours and marks from a terminal stream, and writing the shortest change between two looks.

Select Graphic Rendition is ECMA-48, 5th edition, 8.3.117; the colours `38;5;n` and `38;2;r;g;b` are ISO/IEC 8613-6.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

# What switches a group of marks off, and the marks in it. Within a group the order decides, so a group is sent whole.
_GROUPS = {
    "22": ("1", "2"),
    "23": ("3",),
    "24": ("4", "21"),
    "25": ("5", "6"),
    "27": ("7",),
    "28": ("8",),
    "29": ("9",),
    "54": ("51", "52"),
    "55": ("53",),
}
_MARKS = frozenset(mark for group in _GROUPS.values() for mark in group)
_UNSEEN_ON_A_BLANK = frozenset(("1", "2", "3"))
_INKS = frozenset(str(code) for code in (*range(30, 38), *range(90, 98)))
_PAPERS = frozenset(str(code) for code in (*range(40, 48), *range(100, 108)))


class Style(NamedTuple):
    """The look of a cell; a tuple, as rows of them are compared at every frame.

    `ink` and `paper` are SGR parameters, "" the terminal's own; `ink` None: nothing is drawn, so any ink will do.
    """

    ink: str | None = ""
    paper: str = ""
    marks: frozenset[str] = frozenset()
    link: str = ""


PLAIN = Style()


@lru_cache(4096)
def blank(style: Style) -> Style:
    """The look of a space in `style`: its ink, weight and slant cannot be seen unless a line is drawn through it."""
    if style.link or style.marks - _UNSEEN_ON_A_BLANK:
        return style
    return Style(None, style.paper)


@lru_cache(4096)
def read_sgr(style: Style, parameters: str) -> Style:
    """The style after `ESC [ parameters m`. ValueError: a parameter that is not known here."""
    ink, paper, marks = style.ink, style.paper, style.marks
    codes = iter([str(int(code or "0")) for code in parameters.split(";")])
    for code in codes:
        if code == "0":
            ink, paper, marks = "", "", frozenset()
        elif code in _MARKS:
            marks |= {code}
        elif code in _GROUPS:
            marks = marks.difference(_GROUPS[code])
        elif code in _INKS or code == "39":
            ink = "" if code == "39" else code
        elif code in _PAPERS or code == "49":
            paper = "" if code == "49" else code
        elif code == "38":
            ink = _long_colour(code, codes)
        elif code == "48":
            paper = _long_colour(code, codes)
        else:
            raise ValueError(f"SGR {code} is not known")
    return Style(ink, paper, marks, style.link)


def _long_colour(code: str, rest: Iterator[str]) -> str:
    kind = next(rest, "")
    size = {"5": 1, "2": 3}.get(kind, 0)
    values = [value for _, value in zip(range(size), rest, strict=False)]
    if not size or len(values) < size:
        raise ValueError(f"SGR {code};{kind} is not a known colour")
    return ";".join((code, kind, *values))


@lru_cache(4096)
def restyle(pen: Style, style: Style) -> tuple[str, Style]:
    """The shortest sequence that makes a terminal whose pen is `pen` draw `style`, and its pen after that."""
    if style.ink is None:
        style = Style(pen.ink, style.paper, pen.marks & _UNSEEN_ON_A_BLANK)
    step = _step(pen, style)
    afresh = ["0", *_step(PLAIN, style)]
    codes = min(";".join(step), ";".join(afresh), key=len)
    link = "" if style.link == pen.link else f"\x1b]8;{style.link or ';'}\x1b\\"
    return (f"\x1b[{codes}m" if step else "") + link, style


def _step(old: Style, new: Style) -> list[str]:
    codes: list[str] = []
    for off, group in _GROUPS.items():
        had, has = old.marks.intersection(group), new.marks.intersection(group)
        if had != has:
            codes += [off] * bool(had) + [mark for mark in group if mark in has]
    if new.ink != old.ink:
        codes.append(new.ink or "39")
    if new.paper != old.paper:
        codes.append(new.paper or "49")
    return codes
