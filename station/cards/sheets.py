"""Sheets of labels as SVG or HTML. Whatever names stand in them are only ever text."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from html import escape

from rich.cells import cell_len
from rich.console import Console
from rich.terminal_theme import DEFAULT_TERMINAL_THEME
from rich.text import Text

from station.bar import say
from station.bar.nouns import House
from station.calc.answers import Label
from station.cards.labels import WIDTH, label

# Rich's own page fetches fonts from the network; ours takes what the reader's machine has.
_SVG = """\
<svg class="labels" viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg">
<style>
.{unique_id}-matrix {{ font-family: monospace; font-size: {char_height}px; line-height: {line_height}px; }}
{styles}
</style>
<defs>{lines}</defs>
<g transform="translate({terminal_x}, {terminal_y})">{backgrounds}
<g class="{unique_id}-matrix">{matrix}</g></g>
</svg>
"""


def sheet(labels: Sequence[Label], house: House, width: int = WIDTH) -> list[str]:
    """Labels one under the other, a frame of dashes about each to cut along."""
    rule = "-" * (width + 4)
    rows = [rule]
    for one in labels:
        rows += [f"| {text}{' ' * (width - cell_len(text))} |" for text in label(one, house, width)]
        rows.append(rule)
    return rows


def svg(labels: Sequence[Label], house: House, width: int = WIDTH) -> str:
    """A sheet as an SVG picture."""
    return _printed(sheet(labels, house, width)).export_svg(
        title="labels", code_format=_SVG, unique_id="labels", theme=DEFAULT_TERMINAL_THEME
    )


def html(labels: Sequence[Label], house: House, width: int = WIDTH) -> str:
    """A sheet as a page to print."""
    page = (
        '<!DOCTYPE html>\n<html>\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(', '.join(say.plain(one.name) for one in labels))}</title>\n"
        "</head>\n<body>\n<pre>{code}</pre>\n</body>\n</html>\n"
    )
    return _printed(sheet(labels, house, width)).export_html(code_format=_braced(page), inline_styles=True)


def _braced(page: str) -> str:
    """The page as a format string: braces of a name stay braces."""
    return page.replace("{", "{{").replace("}", "}}").replace("{{code}}", "{code}", 1)


def _printed(rows: Iterable[str]) -> Console:
    listed = list(rows)
    console = Console(record=True, width=max(map(cell_len, listed)), file=io.StringIO(), color_system=None, legacy_windows=False)
    for row in listed:
        console.print(Text(row), soft_wrap=True)
    return console
