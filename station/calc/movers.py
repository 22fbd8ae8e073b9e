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


def movers(
    brings: Mapping[int, Composition], figures: AbstractSet[str], at: int = -1, dosed: AbstractSet[int] = frozenset()
) -> tuple[frozenset[int], ...]:
    """Of the lines that can move, by place with what each brings to the glass, those that set these figures, in the order to try.

    As a rule that is, for a figure, the line at `at`, if the figure is what that line brings most of, else the line that brings
    most of it; for a ratio that of its sugar, or of its acid where sugar is wished by itself; for a volume all of them.
    For acid, unless the line at `at` is for it, a line among the `dosed` (counted or weighed) that is for it is tried first; then
    the lines of the rule, then both.
    """
    if "volume" in figures:
        return (frozenset(brings),)
    by_figure = _by_figure(brings, figures, at)
    usual = frozenset(by_figure.values())
    doses = {place: one for place, one in brings.items() if place in dosed and is_for("acid", one)}
    if "acid" not in figures or not doses or (at in brings and is_for("acid", brings[at])):
        return (usual,)
    first = frozenset({**by_figure, "acid": _most(doses, "acid")}.values())
    return tuple(dict.fromkeys((first, usual, first | usual)))


def is_for(figure: str, liquid: Composition) -> bool:
    """Whether a line that is this liquid is for that figure: it brings most of that one. A ratio has two sides."""
    return figure == "volume" or chiefly(liquid) in (_SIDES if figure == "ratio" else (figure,))


def chiefly(liquid: Composition) -> str:
    """The figure a line brings most of, by mass; "" for one that brings none."""
    most = max(_MADE_OF, key=lambda figure: _MADE_OF[figure](liquid))
    return most if _MADE_OF[most](liquid) > 0.0 else ""


def _by_figure(brings: Mapping[int, Composition], figures: AbstractSet[str], at: int) -> dict[str, int]:
    """The line of each figure, by the rule; none for what no line brings."""
    wanted = figures & _MADE_OF.keys()
    if "ratio" in figures:
        wanted |= set(_side(brings, wanted, at))
    lines = {figure: at if at in brings and is_for(figure, brings[at]) else _most(brings, figure) for figure in wanted}
    return {figure: place for figure, place in lines.items() if place in brings and _MADE_OF[figure](brings[place]) > 0.0}


def _side(brings: Mapping[int, Composition], wanted: AbstractSet[str], at: int) -> tuple[str, ...]:
    free = [side for side in _SIDES if side not in wanted]
    own = chiefly(brings[at]) if at in brings else ""
    return (own,) if own in free else tuple(free[:1])


def _most(brings: Mapping[int, Composition], figure: str) -> int:
    """The line that brings most of it; -1 of no lines."""
    return max(brings, key=lambda place: _MADE_OF[figure](brings[place]), default=-1)
