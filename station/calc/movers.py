"""Which lines are for a figure of the glass: those one would move to set it, until a person names others."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from collections.abc import Set as AbstractSet

from station.bar.composition import Composition

# What each figure is made of, in g of a line. A ratio has two sides; volume is made of everything.
_MADE_OF: Mapping[str, Callable[[Composition], float]] = {
    "abv": lambda one: one["ethanol"],
    "sugar": lambda one: one.sugar_g,
    "acid": lambda one: one.acid_g,
}
_SIDES = ("sugar", "acid")


def movers(brings: Mapping[int, Composition], figures: AbstractSet[str], at: int = -1) -> frozenset[int]:
    """Of the lines that can move, by place with what each brings to the glass, those that set these figures.

    For a figure that is the line at `at`, if the figure is what that line brings most of, else the line that brings most of it;
    for a ratio that of its sugar, or of its acid where sugar is wished by itself; for a volume all of them.
    """
    if "volume" in figures:
        return frozenset(brings)
    wanted = figures & _MADE_OF.keys()
    if "ratio" in figures:
        wanted |= set(_side(brings, wanted, at))
    found = (_line_of(figure, brings, at) for figure in wanted)
    return frozenset(place for place in found if place is not None)


def _side(brings: Mapping[int, Composition], wanted: AbstractSet[str], at: int) -> tuple[str, ...]:
    free = [side for side in _SIDES if side not in wanted]
    own = chiefly(brings[at]) if at in brings else ""
    return (own,) if own in free else tuple(free[:1])


def _line_of(figure: str, brings: Mapping[int, Composition], at: int) -> int | None:
    if at in brings and chiefly(brings[at]) == figure:
        return at
    most = max(brings, key=lambda place: _MADE_OF[figure](brings[place]), default=None)
    return most if most is not None and _MADE_OF[figure](brings[most]) > 0.0 else None


def is_for(figure: str, liquid: Composition) -> bool:
    """Whether a line that is this liquid is for that figure: it brings most of that one. A ratio has two sides."""
    return figure == "volume" or chiefly(liquid) in (_SIDES if figure == "ratio" else (figure,))


def chiefly(liquid: Composition) -> str:
    """The figure a line brings most of, by mass; "" for one that brings none."""
    most = max(_MADE_OF, key=lambda figure: _MADE_OF[figure](liquid))
    return most if _MADE_OF[most](liquid) > 0.0 else ""
