"""Where a glass's alcohol, sugar, acid and water come from, as a table of shares."""

from __future__ import annotations

from collections.abc import Iterable

from station.bar import say
from station.calc.sources import Source
from station.cards.layout import cut, wrap
from station.cards.text import WIDTH, plainly

# A column's head and its width; the shares of a line stand under them in %.
_COLUMNS = (("alcohol", "ethanol"), ("sugar", "sugar"), ("acid", "acid"), ("water", "water"), ("volume", "volume"))
_WIDE, _NARROW = 8, 6
_LEAST_NAME = 14
NOTE = "Alcohol, sugar, acid and water: % of the glass's, by mass. Volume: % of what is poured, each by itself at 20 °C."


@plainly
def sources_card(found: Iterable[Source], width: int = WIDTH) -> list[str]:
    """A row a line where there is room, else its name above its shares."""
    rows = list(found)
    one_row = width >= _LEAST_NAME + len(_COLUMNS) * _WIDE
    cells = _WIDE if one_row else min(_WIDE, width // len(_COLUMNS))
    heads = "".join(f"{head if cells > len(head) else 'alc.':>{cells}}" for head, _ in _COLUMNS)
    name = width - len(heads) if one_row else 0
    lines = [f"{'':{name}}{heads}"]
    for source in rows:
        shares = "".join(f"{share_said(getattr(source, part)):>{cells}}" for _, part in _COLUMNS)
        lines += [f"{cut(source.name, name - 1):<{name}}{shares}"] if one_row else [cut(source.name, width), shares]
    return [*lines, "", *wrap(NOTE, width)]


def share_said(share: float | None) -> str:
    """A share as %: a dash where the glass has none of it, blank where the line brings none, to a tenth under ten."""
    if share is None:
        return say.NOTHING
    if share == 0.0:
        return ""
    per_cent = 100.0 * share
    return "<0.1 %" if per_cent < 0.05 else f"{say.fixed(per_cent, 1 if per_cent < 9.95 else 0)} %"
