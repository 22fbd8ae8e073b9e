"""Which lots a lot went into, and which went into it, however far: the links are the weighings."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from station.bar.logged import Weighing


@dataclass(frozen=True, slots=True)
class Link:
    """A lot that was met: how many makings away, and the grams that went into or came out of the lots one nearer."""

    lot: str
    steps: int
    g: float


def forward(start: str, out_of: Callable[[Iterable[str]], Iterable[Weighing]]) -> list[Link]:
    """Every lot that holds any of `start`; `out_of` finds what was weighed out of some lots."""
    return _followed(start, out_of, lambda one: one.part, lambda one: one.lot)


def backward(start: str, into: Callable[[Iterable[str]], Iterable[Weighing]]) -> list[Link]:
    """Every lot that went into `start`; `into` finds what was weighed into some lots."""
    return _followed(start, into, lambda one: one.lot, lambda one: one.part)


def _followed(
    start: str,
    weighings: Callable[[Iterable[str]], Iterable[Weighing]],
    near: Callable[[Weighing], str],
    far: Callable[[Weighing], str],
) -> list[Link]:
    """Step after step away from `start`, each lot once, at the fewest steps; a circle ends where it began."""
    met, front, steps = {start}, [start], 0
    found: list[Link] = []
    while front:
        steps += 1
        grams: dict[str, float] = {}
        for one in weighings(front):
            if far(one) and far(one) not in met and near(one) not in {"", far(one)}:
                grams[far(one)] = grams.get(far(one), 0.0) + one.actual_g
        found += [Link(lot, steps, g) for lot, g in grams.items()]
        front = list(grams)
        met |= grams.keys()
    return found
