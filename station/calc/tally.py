"""An order's drinks added up: what they take, what stands beside them, where every gram goes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from station.bar.nouns import OrderPour, Spec
from station.calc.buying import Basket
from station.calc.estimates import Estimates
from station.calc.explode import Exploded
from station.calc.filling import Volume
from station.calc.menu import Serve
from station.calc.ordered import Beside, Masses
from station.calc.plan import Planned
from station.calc.prep import Mixing

_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class OrderedDrink:
    """One drink of an order: its spec, how the order batches it, one serve, how many."""

    spec: Spec
    pour: OrderPour
    one: Serve
    plan: Planned

    @property
    def serves(self) -> int:
        return self.plan.serves

    @property
    def volume(self) -> Volume:
        """What goes into vessels."""
        return Volume(self.spec.id, self.one.mix_ml * self.serves, self.one.mix.mass_g * self.serves, self.pour.into)

    @property
    def mixing(self) -> Mixing:
        """What goes into the vessel, as a step."""
        parts = frozenset(poured.line.item for poured in self.one.drink.poured if poured.line.when == "batch" and poured.counts)
        return Mixing(self.spec.id, self.volume.g, self.volume.ml, parts)


def grams(drinks: Iterable[OrderedDrink]) -> dict[str, float]:
    """Grams of every item and stock that all serves take."""
    return _summed((item, each * one.serves) for one in drinks for item, each in one.one.takes.g.items())


def pieces(drinks: Iterable[OrderedDrink]) -> dict[str, float]:
    """Pieces of all that is only counted."""
    return _summed((item, each * one.serves) for one in drinks for item, each in one.one.takes.pieces.items())


def ethanol_g(drinks: Iterable[OrderedDrink]) -> float:
    """In the drinks that are expected to be drunk."""
    return sum(one.plan.expected * one.one.glass.ethanol_g for one in drinks)


def beside(drinks: Iterable[OrderedDrink], all_drinks: float, guests: int, given: Estimates) -> Beside:
    """Ice, water and glasses; of each kind of glass as many as its drinks are of all."""
    glasses = _whole(guests * given.glasses)
    kinds = _summed((one.spec.glass, one.plan.expected) for one in drinks if one.spec.glass)
    by_kind = {kind: _whole(glasses * count / all_drinks) for kind, count in kinds.items()} if all_drinks else {}
    low, high = given.ice_g
    ice = (guests * low / 1000.0, guests * high / 1000.0)
    return Beside(ice, guests * given.water_ml / 1000.0, glasses, by_kind)


def masses(drinks: Sequence[OrderedDrink], out: Exploded, bought: Basket) -> Masses:
    """Every gram into the house and out of it; pieces that have no weight are not among them."""
    weighed = [one for one in bought.lines if one.unit == "g"]
    pressed, spare = bought.pressed.values(), sum(out.spare_g.values())
    juice_there, juice_left = sum(one.on_hand_g for one in pressed), sum(one.left_over_g for one in pressed)
    return Masses(
        bought_g=sum(one.bought for one in weighed),
        pressed_g=sum(one.g for one in pressed),
        on_hand_g=sum(one.on_hand for one in weighed) + juice_there + sum(out.from_hand_g.values()) + spare,
        water_g=bought.water_g,
        in_glasses_g=sum(one.one.takes.in_glass_g * one.serves for one in drinks),
        held_back_g=sum(one.one.takes.held_back_g * one.serves for one in drinks),
        lost_in_making_g=sum(one.lost_g for one in out.stocks),
        poured_away_g=sum(one.one.takes.poured_away_g * one.serves for one in drinks),
        wasted_g=sum(one.lost for one in weighed) + sum(one.lost_g for one in pressed),
        left_over_g=sum(one.left_over for one in weighed) + juice_left + spare,
    )


def _summed(pairs: Iterable[tuple[str, float]]) -> dict[str, float]:
    found: dict[str, float] = {}
    for name, value in pairs:
        found[name] = found.get(name, 0.0) + value
    return found


def _whole(count: float) -> int:
    return math.ceil(count - _SLACK)
