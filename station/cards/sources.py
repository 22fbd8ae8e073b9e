"""Where a glass's alcohol, sugar, acid and water come from, by shares."""

from __future__ import annotations

from collections.abc import Iterable

from station.bar import say
from station.calc.sources import Source
from station.cards.layout import wrap
from station.cards.text import WIDTH, plainly

# A column's head and its width; the shares of a line stand under them in %.
_COLUMNS = (("alcohol", "ethanol"), ("sugar", "sugar"), ("acid", "acid"), ("water", "water"), ("volume", "volume"))
_WIDE, _CLOSE = 8, 7
# A name beside its shares is broken, but not into less than this; and what a share takes where each figure has its own rows.
_LEAST_NAME, _SHARE = 20, 6
NOTE = "Alcohol, sugar, acid and water: % of the glass's, by mass. Volume: % of what is poured, each by itself at 20 °C."


@plainly
def sources_card(found: Iterable[Source], width: int = WIDTH) -> list[str]:
    """A row a line, its shares beside its name; on a page too narrow for that each figure with what brings it, the most first."""
    sources = list(found)
    longest = max((len(say.plain(source.name)) for source in sources), default=0)
    cell = _WIDE if width - len(_COLUMNS) * _WIDE >= longest else _CLOSE
    name = width - len(_COLUMNS) * cell
    rows = _table(sources, name, cell) if name >= _LEAST_NAME else _by_figure(sources, width)
    return [*rows, "", *wrap(NOTE, width)]


def _table(sources: Iterable[Source], name: int, cell: int) -> list[str]:
    lines = [" " * name + "".join(f"{head if cell > len(head) else 'alc.':>{cell}}" for head, _ in _COLUMNS)]
    for source in sources:
        first, *more = wrap(source.name, name) or [""]
        shares = "".join(f"{share_said(getattr(source, part)):>{cell}}" for _, part in _COLUMNS)
        lines += [f"{first:<{name}}{shares}", *more]
    return lines


def _by_figure(sources: Iterable[Source], width: int) -> list[str]:
    named = 1 + max(len(head) for head, _ in _COLUMNS)
    room = width - named - _SHARE - 1
    lines: list[str] = []
    for head, part in _COLUMNS:
        bringing = [source for source in sources if getattr(source, part)]
        lines += [] if bringing else [f"{head:<{named}}{say.NOTHING:>{_SHARE}}"]
        for at, source in enumerate(sorted(bringing, key=lambda one: -getattr(one, part))):
            first, *more = wrap(source.name, room, "") or [""]
            lines.append(f"{'' if at else head:<{named}}{share_said(getattr(source, part)):>{_SHARE}} {first}")
            lines += [" " * (width - room) + one for one in more]
    return lines


def share_said(share: float | None) -> str:
    """A share as %: a dash where the glass has none of it, blank where the line brings none, to a tenth under ten."""
    if share is None:
        return say.NOTHING
    if share == 0.0:
        return ""
    per_cent = 100.0 * share
    return "<0.1 %" if per_cent < 0.05 else f"{say.fixed(per_cent, 1 if per_cent < 9.95 else 0)} %"
