"""Which of the lines that stay, and are for the figure, could make up for what the moving ones cannot be poured to."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.calc.blend import Blends
from station.calc.drink import drink
from station.calc.movers import is_for
from station.calc.pourable import around
from station.calc.tune import NUDGE, Tuning, Wish, amounts_at, is_met_as_poured, miss, most_times, straight_to, tune, with_amounts
from station.calc.tuned_pour import poured

# Of the lines that could, so many are tried out, the one that changes least first.
_TRIED = 4


def finer(
    spec: Spec, blends: Blends, made: Tuning, places: Sequence[int], others: Sequence[int], wishes: Sequence[Wish]
) -> dict[Wish, int]:
    """For wishes that the poured drink `made` misses, the place of the line among `others` that meets it if it may move, too.

    Only a line that is for the figure is named, no spirit that would thin the acid. Each is tried out: with it no other wish is
    missed that was met.
    """
    missed, found = _missed(made, blends, wishes), dict[Wish, int]()
    for wish in (one for one in wishes if one in missed):
        own = [place for place in others if is_for(wish.figure, made.drink.poured[place].composition)]
        for place in _candidates(spec, blends, made, places, own, wish)[:_TRIED]:
            if wish not in (again := _missed_with(spec, blends, sorted({*places, place}), wishes)) and again < missed:
                found[wish] = place
                break
    return found


def _missed_with(spec: Spec, blends: Blends, places: Sequence[int], wishes: Sequence[Wish]) -> frozenset[Wish]:
    """What is missed as poured where these lines move."""
    try:
        return _missed(poured(spec, blends, tune(spec, blends, places, wishes), places, wishes), blends, wishes)
    except CannotAnswer:
        return frozenset(wishes)


def _missed(made: Tuning, blends: Blends, wishes: Sequence[Wish]) -> frozenset[Wish]:
    return frozenset(wish for wish in wishes if not is_met_as_poured(wish, made.drink.glass, blends.library.house.taste))


def _candidates(spec: Spec, blends: Blends, made: Tuning, places: Sequence[int], others: Sequence[int], wish: Wish) -> list[int]:
    """The lines by which alone that wish would be met from here, the one that changes least first."""
    here = with_amounts(spec, places, made.amounts)
    changes: dict[int, float] = {}
    for place in others:
        own = amounts_at(spec, (place,))[0]
        for step in _making_up(here, blends, place, wish):
            if _meets(here, blends, place, step, wish):
                changes[place] = min(changes.get(place, math.inf), abs(math.log(step / own)))
    return sorted(changes, key=lambda place: changes[place])


def _making_up(here: Spec, blends: Blends, place: int, wish: Wish) -> Iterator[float]:
    """The pourable amounts beside the one that meets the wish, as far as it goes straight."""
    (own,) = amounts_at(here, (place,))
    try:
        missed, then = (miss(wish, drink(with_amounts(here, (place,), (own * by,)), blends).glass) for by in (1.0, 1.0 + NUDGE))
    except CannotAnswer:
        return
    near = straight_to(own, missed, then)
    if near is not None and 0.0 < near <= own * most_times(here, blends, place):
        yield from around(here.lines[place].amount, near, blends.library.house, here.ounce)


def _meets(here: Spec, blends: Blends, place: int, amount: float, wish: Wish) -> bool:
    try:
        glass = drink(with_amounts(here, (place,), (amount,)), blends).glass
    except CannotAnswer:
        return False
    return is_met_as_poured(wish, glass, blends.library.house.taste)
