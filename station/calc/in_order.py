"""The order in which things are made: what is rested on before what rests on it."""

from __future__ import annotations

from collections.abc import Iterable

from station.bar.nouns import Library


def parts_first(library: Library, names: Iterable[str]) -> list[str]:
    """These ids and all they rest on, each once, its parts before it; never deep in the call stack.

    A circle is a fault elsewhere.
    """
    order: list[str] = []
    met: set[str] = set()
    for name in names:
        trail = [] if name in met else [(name, _parts(library, name))]
        met.add(name)
        while trail:
            here, left = trail[-1]
            part = next((one for one in left if one not in met), None)
            if part is None:
                order.append(here)
                trail.pop()
            else:
                met.add(part)
                trail.append((part, _parts(library, part)))
    return order


def _parts(library: Library, name: str) -> list[str]:
    return [line.item for line in library.stocks[name].lines] if name in library.stocks else []
