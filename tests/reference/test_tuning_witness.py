"""Tuning against an independent witness: the least change under the wishes, by SciPy's SLSQP (Kraft 1988), on random problems."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any

import pytest
from scipy.optimize import minimize
from small_library import demo

from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.calc.drink import drink
from station.calc.tune import FIGURES, Wish, amounts_at, figures_of, is_met, tune, with_amounts

PROBLEMS = 100
NAMES = sorted(demo().library.drinks)


def problem(rng: random.Random) -> tuple[Spec, tuple[int, ...], list[Wish], list[float]] | None:
    """A drink, lines that move, and figures some other amounts of them give; those amounts, as fractions of change."""
    spec = demo().library.drinks[rng.choice(NAMES)]
    try:
        made = drink(spec, demo())
    except CannotAnswer:
        return None
    can = [place for place, one in enumerate(made.poured) if one.counts and one.line.amount.value and not one.line.amount.role]
    places = tuple(rng.sample(can, rng.randint(1, min(4, len(can)))))
    there = [rng.uniform(-0.4, 0.5) for _ in places]
    figures = at(spec, places, there)
    asked = rng.sample(FIGURES, rng.randint(1, len(places)))
    if figures["acid"] < 0.1 or any(figures[name] < 0.01 for name in asked):
        return None
    spread = [rng.choice((0.0, 0.0, 0.03)) for _ in asked]
    wishes = [Wish(name, figures[name] * (1 - by), figures[name] * (1 + by)) for name, by in zip(asked, spread, strict=True)]
    return spec, places, wishes, there


def at(spec: Spec, places: Sequence[int], by: Sequence[float]) -> dict[str, float]:
    amounts = [was * (1.0 + max(-1.0, share)) for was, share in zip(amounts_at(spec, places), by, strict=True)]
    return dict(figures_of(drink(with_amounts(spec, places, amounts), demo()).glass))


def by_witness(spec: Spec, places: Sequence[int], wishes: Sequence[Wish], start: Sequence[float]) -> list[float]:
    @lru_cache(maxsize=64)
    def known(by: tuple[float, ...]) -> dict[str, float]:
        return at(spec, places, by)

    def side(wish: Wish, edge: float, sign: float) -> Callable[[Any], float]:
        return lambda by: sign * (known(tuple(map(float, by)))[wish.figure] - edge) / wish.high

    rules: list[dict[str, Any]] = []
    for wish in wishes:
        if wish.low == wish.high:
            rules.append({"type": "eq", "fun": side(wish, wish.low, 1.0)})
        else:
            rules.append({"type": "ineq", "fun": side(wish, wish.low, 1.0)})
            rules.append({"type": "ineq", "fun": side(wish, wish.high, -1.0)})
    found = minimize(
        lambda by: float(sum(by * by)),
        list(start),
        jac=lambda by: 2.0 * by,
        bounds=[(-1.0, None)] * len(places),
        constraints=rules,
        method="SLSQP",
        options={"ftol": 1e-14, "maxiter": 300},
    )
    return [float(one) for one in found.x]


# Where the two part, SLSQP has stopped early in most cases: ours is then the smaller change. Started from our answer, it must
# find nothing better. The tolerance is that of its own stop on the constraints, 1e-6 relative.
def test_a_hundred_random_problems_are_answered_as_the_witness_answers_them() -> None:
    rng, done, alike = random.Random(20261125), 0, 0
    while done < PROBLEMS:
        drawn = problem(rng)
        if drawn is None:
            continue
        spec, places, wishes, there = drawn
        found = tune(spec, demo(), places, wishes)
        assert found.missed == (), (spec.id, places, wishes)
        by = [now / was - 1.0 for now, was in zip(found.amounts, amounts_at(spec, places), strict=True)]
        change = sum(one * one for one in by)
        elsewhere = by_witness(spec, places, wishes, there)
        assert change <= sum(one * one for one in elsewhere) + 1e-6 * (1.0 + change), (spec.id, places, wishes)
        here = by_witness(spec, places, wishes, by)
        assert sum(one * one for one in here) >= change - 1e-6 * (1.0 + change), (spec.id, places, wishes)
        alike += by == pytest.approx(elsewhere, rel=1e-3, abs=1e-4)
        done += 1
    assert alike >= 90


def test_a_drink_the_witness_makes_meets_the_wishes_it_was_made_for() -> None:
    """The witness and we speak of the same figures."""
    spec = demo().library.drinks["tin-lantern"]
    wish = Wish("acid", 0.8, 0.8)
    by = by_witness(spec, (1,), [wish], (0.0,))
    amounts = [was * (1.0 + share) for was, share in zip(amounts_at(spec, (1,)), by, strict=True)]
    assert is_met(wish, drink(with_amounts(spec, (1,), amounts), demo()).glass)
    assert tune(spec, demo(), (1,), [wish]).amounts == pytest.approx(amounts, rel=1e-5)
