"""A tuned drink as a hand can pour it: of the pourable amounts those whose drink is nearest to what was wished and tuned."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, combinations, product

from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.calc.blend import Blends
from station.calc.drink import drink
from station.calc.least_change import Span, Vector
from station.calc.pourable import around
from station.calc.tune import (
    LEAST_SCALE,
    NUDGE,
    Tuning,
    Wish,
    amounts_at,
    figures_of,
    is_met,
    miss_in,
    most_times,
    near_enough,
    straight_to,
    with_amounts,
)

# What a pouring costs (our own weighing, no source). A wish: the logarithm of 1 + the square of how far it is missed, over half
# of what nobody tastes, so that to meet it is worth much, to come a little nearer little. Another figure: the square of how far
# it is outside of what it was and what it is exactly, over five times that. A figure lost, out of its usual range or of a wish
# that it met: 4.
_CLOSE, _UNWISHED, _LOST = 0.5, 5.0, 4.0
# An amount: 1.5 for each e times that it is beyond both what it was and what it is exactly (twice is as far as half), twice that
# where it is so the other way than exactly. Of a line that should be nothing, a twentieth of what it was counts as there.
_PER_LINE, _OTHER_WAY, _LEAST_SHARE = 1.5, 2.0, 0.05
_UNWISHED_FIGURES = ("acid", "sugar", "abv", "volume")
# Of so many lines every choice beside the exact amounts is looked at; and from the best so many steps are taken.
_FEW_LINES, _MOST_STEPS = 4, 20
# How far off an amount, relative, one asks what is beside it: of a coarse line that is one step, of a fine one several.
_OFF, _FURTHER = 1e-6, (0.02, 0.1)

# The number of a line among those that move, and its amount.
Move = tuple[int, float]


def poured(spec: Spec, blends: Blends, exact: Tuning, places: Sequence[int], wishes: Sequence[Wish]) -> Tuning:
    """The tuned lines as a hand can pour them: no step of one line or of two costs less.

    It costs to miss a wish, to move a figure nobody wished, to lose one that stood where it should, and to pour a line beyond
    what it was and what it is exactly; an amount left as it was costs nothing of its own. Raises CannotAnswer.
    """
    pouring = _Pouring(spec, blends, exact, places, wishes)
    best = min(pouring.starts(), key=pouring.cost)
    for _ in range(_MOST_STEPS):
        better = pouring.better(best, pouring.by_one(best)) or pouring.better(best, pouring.by_two(best))
        if better is None:
            break
        best = better
    made = drink(with_amounts(spec, places, best), blends)
    return Tuning(best, made, tuple(wish for wish in wishes if not is_met(wish, made.glass)))


def windows_of(spec: Spec, blends: Blends, wishes: Sequence[Wish]) -> Mapping[str, tuple[float, float]]:
    """The usual ranges of the drink's style, of the figures nobody wished."""
    window = blends.library.windows.get(spec.style)
    wished = {wish.figure for wish in wishes}
    return {figure: span for figure, span in window.figures.items() if figure not in wished} if window else {}


def inside(found: Mapping[str, float], windows: Mapping[str, tuple[float, float]]) -> set[str]:
    """The figures that stand in their usual ranges."""
    return {figure for figure, (low, high) in windows.items() if figure in found and low <= found[figure] <= high}


class _Pouring:
    """What pouring the lines at `places` costs, by their amounts, and the amounts beside some."""

    def __init__(self, spec: Spec, blends: Blends, exact: Tuning, places: Sequence[int], wishes: Sequence[Wish]) -> None:
        self.spec, self.blends, self.places, self.exact = spec, blends, places, exact.amounts
        self.taste, self.owns = blends.library.house.taste, amounts_at(spec, places)
        was, tuned = figures_of(drink(spec, blends).glass), figures_of(exact.drink.glass)
        self.aims = [_aim(wish, exact, tuned) for wish in wishes]
        self.had = [wish for wish in self.aims if near_enough(wish, miss_in(wish, was), self.taste)]
        wished = {wish.figure for wish in wishes}
        self.spans = {name: _between(was[name], tuned[name]) for name in _UNWISHED_FIGURES if name not in wished}
        self.windows = windows_of(spec, blends, wishes)
        self.stood = inside(was, self.windows) & inside(tuned, self.windows)
        self.highest = [own * most_times(spec, blends, place) for own, place in zip(self.owns, places, strict=True)]
        self._costs: dict[Vector, float] = {}

    def cost(self, amounts: Vector) -> float:
        """Infinite for what cannot be poured at all."""
        if amounts not in self._costs:
            found = self._figures(amounts)
            self._costs[amounts] = math.inf if found is None else self._of(found) + _PER_LINE * self._beyond(amounts)
        return self._costs[amounts]

    def better(self, best: Vector, others: Iterable[Vector]) -> Vector | None:
        found = min(others, key=self.cost, default=best)
        return found if self.cost(found) < self.cost(best) else None

    def starts(self) -> Iterator[Vector]:
        """As it was; and what is beside the exact amounts, of many lines only what is nearest."""
        yield self.owns
        beside = [self._around(number, value) for number, value in enumerate(self.exact)]
        if len(beside) <= _FEW_LINES:
            yield from product(*(dict.fromkeys((own, *steps)) for own, steps in zip(self.owns, beside, strict=True)))
        else:
            yield tuple(_nearest(*one) for one in zip(beside, self.exact, strict=True))

    def by_one(self, amounts: Vector) -> Iterator[Vector]:
        """One line some steps more or less, as it was, or as it makes up for the others."""
        for number, line in enumerate(self._moves(amounts, (_OFF, *_FURTHER))):
            made_up = ((number, step) for near in self._making_up(amounts, number) for step in self._around(number, near))
            yield from (_put(amounts, move) for move in chain(line, made_up))

    def by_two(self, amounts: Vector) -> Iterator[Vector]:
        """Two lines a step more or less, or as they were."""
        for first, second in combinations(self._moves(amounts, (_OFF,)), 2):
            yield from (_put(amounts, one, other) for one, other in product(first, second))

    def _figures(self, amounts: Vector) -> Mapping[str, float] | None:
        if any(one > most * (1.0 + _OFF) for one, most in zip(amounts, self.highest, strict=True)):
            return None
        try:
            return figures_of(drink(with_amounts(self.spec, self.places, amounts), self.blends).glass)
        except CannotAnswer:
            return None

    def _of(self, found: Mapping[str, float]) -> float:
        missed = [(wish, miss_in(wish, found)) for wish in self.aims]
        lost = sum(wish in self.had and not near_enough(wish, by, self.taste) for wish, by in missed)
        left = len(self.stood - inside(found, self.windows))
        close = _CLOSE * self.taste
        misses = sum(math.log1p((_weighed(wish, by, self.taste) / close) ** 2) for wish, by in missed)
        moves = sum((span.miss(found[name]) / (_UNWISHED * close)) ** 2 for name, span in self.spans.items())
        return misses + moves + _LOST * (lost + left)

    def _beyond(self, amounts: Vector) -> float:
        return sum(beyond(*one) for one in zip(amounts, self.owns, self.exact, strict=True))

    def _around(self, number: int, value: float) -> tuple[float, ...]:
        return around(self.spec.lines[self.places[number]].amount, value, self.blends.library.house, self.spec.ounce)

    def _moves(self, amounts: Vector, offs: Sequence[float]) -> list[list[Move]]:
        """For each line the other amounts it may have: as it was, and what is pourable so far off."""
        found: list[list[Move]] = []
        for number, (own, value) in enumerate(zip(self.owns, amounts, strict=True)):
            nears = (value * (1.0 + sign * off) for off in offs for sign in (-1.0, 1.0))
            steps = {own, *chain.from_iterable(self._around(number, near) for near in nears)}
            found.append([(number, step) for step in sorted(steps - {value})])
        return found

    def _making_up(self, amounts: Vector, number: int) -> Iterator[float]:
        """The amounts of a line that meet a wish, the others as they are, as far as it goes straight."""
        here, there = self._figures(amounts), self._figures(_put(amounts, (number, amounts[number] * (1.0 + NUDGE))))
        if here is None or there is None:
            return
        for wish in self.aims:
            near = straight_to(amounts[number], miss_in(wish, here), miss_in(wish, there))
            if near is not None and 0.0 < near <= self.highest[number]:
                yield near


def beyond(amount: float, own: float, exact: float) -> float:
    """How many e times an amount is past what it is exactly, or past what it was the other way; 0 between the two."""
    least = _LEAST_SHARE * (own or 1.0)
    past, back = math.log((amount + least) / (exact + least)), math.log((own + least) / (amount + least))
    if exact < own:
        past, back = -past, -back
    return max(0.0, past, _OTHER_WAY * back)


def _nearest(steps: Sequence[float], value: float) -> float:
    return min(steps, key=lambda step: abs(step - value))


def _aim(wish: Wish, exact: Tuning, tuned: Mapping[str, float]) -> Wish:
    """What pouring aims at: the wish, or where it cannot be had what the nearest drink has."""
    nearest = tuned[wish.figure]
    return Wish(wish.figure, nearest, nearest) if wish in exact.missed and math.isfinite(nearest) else wish


def _weighed(wish: Wish, by: float, taste: float) -> float:
    """How far a wish is missed, a range one is out of by a taste more: it is missed however near."""
    return abs(by) + taste if by and wish.low < wish.high else abs(by)


def _between(was: float, tuned: float) -> Span:
    return Span(min(was, tuned), max(was, tuned), max(tuned, LEAST_SCALE))


def _put(amounts: Vector, *moves: Move) -> Vector:
    changed = dict(moves)
    return tuple(changed.get(number, value) for number, value in enumerate(amounts))
