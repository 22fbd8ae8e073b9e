"""The nearest point that meets inequalities: against hand-worked cases, and against every point beside it."""

from __future__ import annotations

import random

import pytest

from station.science.projection import HalfSpace, nearest_point, solved


def test_without_walls_nothing_moves() -> None:
    assert nearest_point(3, []) == (0.0, 0.0, 0.0)


def test_one_wall_is_met_at_its_foot() -> None:
    assert nearest_point(2, [HalfSpace((3.0, 4.0), 25.0)]) == pytest.approx((3.0, 4.0))


def test_a_wall_that_is_met_already_pushes_nothing() -> None:
    assert nearest_point(2, [HalfSpace((3.0, 4.0), -1.0)]) == (0.0, 0.0)


def test_a_corner_of_two_walls() -> None:
    assert nearest_point(2, [HalfSpace((1.0, 0.0), 2.0), HalfSpace((0.0, -1.0), 3.0)]) == pytest.approx((2.0, -3.0))


def test_a_wish_falls_short_by_what_it_weighs() -> None:
    # y² + w² (1 - y)² is least at w² / (1 + w²).
    assert nearest_point(1, [HalfSpace((1.0,), 1.0, weight=2.0)]) == pytest.approx((0.8,))


def test_walls_that_leave_no_point_are_said() -> None:
    with pytest.raises(ArithmeticError):
        nearest_point(1, [HalfSpace((1.0,), 1.0), HalfSpace((-1.0,), 1.0)])


def test_elimination_with_pivots() -> None:
    assert solved([[0.0, 2.0], [4.0, 1.0]], [6.0, 11.0]) == pytest.approx([2.0, 3.0])


@pytest.mark.parametrize("seed", range(40))
def test_no_point_beside_it_is_better(seed: int) -> None:
    rng = random.Random(seed)
    size = rng.randint(1, 5)
    wishes = [
        HalfSpace(tuple(rng.gauss(0, 1) for _ in range(size)), rng.gauss(0, 1), rng.choice([3.0, 1e3]))
        for _ in range(rng.randint(1, 6))
    ]
    bounds = [HalfSpace(tuple(float(one == axis) for one in range(size)), -1.0) for axis in range(size)]
    found = nearest_point(size, [*wishes, *bounds])
    assert all(value >= -1.0 - 1e-8 for value in found)

    def cost(point: tuple[float, ...]) -> float:
        short = (max(0.0, wall.least - sum(map(float.__mul__, wall.slope, point))) for wall in wishes)
        return sum(map(float.__mul__, point, point)) + sum(
            (wall.weight * miss) ** 2 for wall, miss in zip(wishes, short, strict=True)
        )

    least = cost(found)
    for _ in range(200):
        size_of_step = 10.0 ** rng.uniform(-6, -1)
        beside = tuple(max(-1.0, value + rng.gauss(0, 1) * size_of_step) for value in found)
        assert cost(beside) >= least * (1.0 - 1e-9)
