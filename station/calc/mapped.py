"""The balance map as an answer: drinks by the sugar and the acid of their glass, and axes that hold them all."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

# An axis ends at a round figure a little beyond the outermost drink.
_HEADROOM = 1.05
_ROUND = (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
_LEAST_SUGAR, _LEAST_ACID = 5.0, 0.5

# Low and high of sugar, then of acid.
Box: TypeAlias = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Spot:
    """One drink on the map: g per 100 ml of the glass; acid as citric to pH 8.2. `alike`: of the style asked about."""

    id: str
    name: str
    style: str
    sugar: float
    acid: float
    alike: bool = False


@dataclass(frozen=True, slots=True)
class BalanceMap:
    """The map. Both axes start at 0 and end at `sugar_to` and `acid_to`, g per 100 ml.

    `here` is the drink asked about as it stands, `was` as it is saved where that differs; `window` its style's sugar and acid.
    `left_out` counts the drinks that cannot be reckoned, `waiting` those not yet reckoned.
    """

    sugar_to: float
    acid_to: float
    spots: tuple[Spot, ...]
    here: Spot | None
    was: Spot | None
    style: str
    window: Box | None
    window_source: str
    left_out: int
    waiting: int


def axes(spots: Iterable[Spot], box: Box | None) -> tuple[float, float]:
    """Where the sugar axis and the acid axis end."""
    known = list(spots)
    sugar = [one.sugar for one in known] + ([box[0][1]] if box else [])
    acid = [one.acid for one in known] + ([box[1][1]] if box else [])
    return _round_up(max(sugar, default=0.0), _LEAST_SUGAR), _round_up(max(acid, default=0.0), _LEAST_ACID)


def _round_up(largest: float, least: float) -> float:
    """The end of an axis that holds all up to `largest`."""
    wanted = max(largest * _HEADROOM, least)
    decade = 10.0 ** _decade(wanted)
    return next(decade * one for one in _ROUND if decade * one >= wanted * (1.0 - 1e-9))


def _decade(value: float) -> int:
    """The power of ten at or under `value`, which is above 0."""
    return int(f"{value:e}".partition("e")[2])
