"""One serve of each drink of an order, reckoned once: guests and shares change, a serve does not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from station.bar.cautions import Caution
from station.bar.composition import Composition
from station.bar.nouns import OrderPour, Spec, Vessel
from station.calc import caution
from station.calc.balance import Balance, balance, freezing_c, ice_share
from station.calc.batch import ServiceLine, Target, batch, is_diluted, service_line
from station.calc.blend import Blends
from station.calc.buying import Stores
from station.calc.drink import Drink, drink
from station.calc.mixing import Mix, at_the_glass
from station.calc.ordered import Cold
from station.calc.takes import Takes, takes
from station.science.ethanol import WATER_G_PER_ML
from station.science.freezing import ICE_G_PER_ML


@dataclass(frozen=True, slots=True)
class Serve:
    """One serve as it is batched for an order: `mix` is its liquid in the vessel, dilution water and all."""

    drink: Drink
    diluted: bool
    for_freezer: bool
    water_g: float
    mix: Composition
    mix_ml: float
    glass: Balance
    takes: Takes
    cold: Cold | None
    allergens: tuple[str, ...]
    may_contain: tuple[str, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class Menu:
    """The memo of one library's serves, as orders batch them, and of the packs its items come in."""

    blends: Blends
    stores: Stores
    _serves: dict[tuple[str, str, str], Serve] = field(default_factory=dict)

    @classmethod
    def of(cls, blends: Blends) -> Menu:
        return cls(blends, Stores(blends))

    def serve(self, spec: Spec, pour: OrderPour) -> Serve:
        """One serve of that drink, batched as the order or the spec says. Raises CannotAnswer."""
        key = (spec.id, spec.revision, pour.batch)
        found = self._serves.get(key)
        if found is None:
            found = self._serves[key] = serve(spec, pour.batch, self.blends)
        return found


def serve(spec: Spec, how: str, blends: Blends) -> Serve:
    """One serve; `how` overrides whether a batch of it is diluted or for the freezer. Raises CannotAnswer."""
    library = blends.library
    one = drink(replace(spec, batch=how) if how else spec, blends)
    caution.refuse_concentrates(one, library)
    diluted, freezer = is_diluted(one), one.spec.batch == "freezer"
    water_g = one.dilution.water_g if diluted and one.batch.volume_ml > 0.0 else 0.0
    mix = one.batch + Composition.of(water=water_g)
    stuffs = [poured.stuff for poured in one.poured]
    return Serve(
        drink=one,
        diluted=diluted,
        for_freezer=freezer,
        water_g=water_g,
        mix=mix,
        mix_ml=mix.volume_ml,
        glass=balance(one.glass),
        takes=takes(one, water_g, library.house),
        cold=_cold(mix, library.house.freezer_c) if freezer else None,
        allergens=caution.allergens(stuffs),
        may_contain=caution.may_contain(stuffs),
        cautions=caution.of_drink(one, library),
    )


def mixes(one: Serve, serves: int, vessel: Vessel | None, count: int, blends: Blends) -> tuple[Mix, ...]:
    """The mix of so many serves to weigh, `count` equal ones of it in that vessel; none where all is made at the glass."""
    if one.mix_ml <= 0.0:
        return ()
    vessels: Mapping[str, Vessel] = {vessel.id: replace(vessel, count=count)} if vessel else {}
    house = replace(blends.library.house, vessels=vessels)
    return batch(one.drink, Target(serves=serves), house, one.diluted).mixes


def at_each_glass(one: Serve, serves: int) -> tuple[ServiceLine, ...]:
    """What is added at the glass, and the totals to have ready."""
    return tuple(service_line(poured, serves) for poured in one.drink.poured if at_the_glass(poured))


def _cold(mix: Composition, freezer_c: float) -> Cold:
    share = ice_share(mix, freezer_c)
    swells = None
    if share is not None and mix.volume_ml:
        swells = 100.0 * share * mix["water"] * (1.0 / ICE_G_PER_ML - 1.0 / WATER_G_PER_ML) / mix.volume_ml
    return Cold(freezer_c, freezing_c(mix), share, swells)
