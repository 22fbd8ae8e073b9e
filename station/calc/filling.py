"""Which vessels of those there are hold the drinks of an order: each drink the fewest, filled evenly, the largest drink first.

A drink is mixed once where a vessel holds it whole, else in equal mixes in the largest; it is filled out afterwards, or stays
where it was mixed. A vessel given to one drink is not there for the next.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from station.bar import say
from station.bar.fault import CannotAnswer
from station.bar.nouns import House, Scale, Vessel
from station.calc.vessels import needed

# A volume that meets the fills exactly must not ask for one more vessel by rounding.
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Volume:
    """What a drink comes to: ml and g; `into` the kind of vessel the order asks for, if it does."""

    spec: str
    ml: float
    g: float
    into: str = ""


@dataclass(frozen=True, slots=True)
class Filled:
    """`count` vessels filled alike by weight: what each reads when tared first, and gross; the scale that bears it gross, "" for
    none. `headspace_pct` is of the brim volume."""

    vessel: str
    count: int
    ml: float
    g: float
    gross_g: float
    scale: str
    headspace_pct: float


@dataclass(frozen=True, slots=True)
class Filling:
    """Where one drink is mixed (None: the house lists no vessel) and what it is filled into; `short_ml` finds no vessel."""

    mix: Vessel | None
    mixes: int
    fills: tuple[Filled, ...]
    short_ml: float


def fillings(volumes: Sequence[Volume], house: House) -> dict[str, Filling]:
    """Each drink's vessels, by spec. Raises CannotAnswer for a kind of vessel the house does not have."""
    free = {name: one.count for name, one in house.vessels.items()}
    found = {}
    for volume in sorted(volumes, key=lambda one: (-one.ml, one.spec)):
        mix = _mixing_vessel(volume.ml, house.vessels)
        kinds = _kinds(volume, house)
        taken, short = _fewest(volume.ml, kinds, free)
        for name, count in taken.items():
            free[name] -= count
        fills = tuple(_filled(volume, short, house.vessels[name], taken, house) for name in taken)
        found[volume.spec] = Filling(mix, needed(volume.ml, mix) if mix else 1, fills, short if house.vessels else 0.0)
    return found


def short_of(volume: Volume, filling: Filling, house: House) -> str:
    """In one sentence what the vessels there are do not hold of a drink; nothing where they hold all."""
    if filling.short_ml <= _SLACK * volume.ml:
        return ""
    kinds = _kinds(volume, house)
    largest = max(kinds, key=_size)
    more = needed(filling.short_ml, largest)
    short, whole = say.volume(filling.short_ml), say.volume(volume.ml)
    return f"{short} of {whole} finds no vessel here: {more} × {largest.name} more would hold it"


def _kinds(volume: Volume, house: House) -> list[Vessel]:
    if not volume.into:
        return list(house.vessels.values())
    if volume.into not in house.vessels:
        listed = ", ".join(house.vessels) or "none: add one to station.toml"
        raise CannotAnswer(f"{volume.spec} is to be filled into {volume.into}, and there is no such vessel", f"one of {listed}")
    return [house.vessels[volume.into]]


def _mixing_vessel(ml: float, vessels: Mapping[str, Vessel]) -> Vessel | None:
    """The smallest that holds it whole, else the largest."""
    holding = [one for one in vessels.values() if one.fill_ml >= ml * (1.0 - _SLACK)]
    return min(holding, key=_size) if holding else max(vessels.values(), key=_size, default=None)


def _fewest(ml: float, kinds: Sequence[Vessel], free: Mapping[str, int]) -> tuple[dict[str, int], float]:
    """So many of each kind: the largest as long as one more of them is needed whole, then the smallest that takes the rest."""
    left, taken = ml, dict[str, int]()
    for one in sorted(kinds, key=_size, reverse=True):
        last = _last(left, kinds, free, taken)
        if last is not None:
            break
        count = min(free[one.id] - taken.get(one.id, 0), int(left / one.fill_ml * (1.0 + _SLACK)))
        if count:
            taken[one.id] = count
            left -= count * one.fill_ml
    last = _last(left, kinds, free, taken)
    if last is not None and left > _SLACK * ml:
        taken[last.id] = taken.get(last.id, 0) + 1
        left = 0.0
    return taken, max(0.0, left) if left > _SLACK * ml else 0.0


def _last(left: float, kinds: Sequence[Vessel], free: Mapping[str, int], taken: Mapping[str, int]) -> Vessel | None:
    """The smallest one still there that takes all that is left."""
    holding = [one for one in kinds if one.fill_ml >= left * (1.0 - _SLACK) and free[one.id] > taken.get(one.id, 0)]
    return min(holding, key=_size, default=None)


def _filled(volume: Volume, short: float, vessel: Vessel, taken: Mapping[str, int], house: House) -> Filled:
    """Every vessel of a drink is filled to the same part of its fill."""
    room = sum(house.vessels[name].fill_ml * count for name, count in taken.items())
    part = (volume.ml - short) / room
    ml = vessel.fill_ml * part
    g = ml * volume.g / volume.ml
    scale = _bearing(g + vessel.tare_g, house.scales)
    headspace = 100.0 * (1.0 - ml / vessel.brim_ml)
    return Filled(vessel.id, taken[vessel.id], ml, g, g + vessel.tare_g, scale.id if scale else "", headspace)


def _bearing(gross_g: float, scales: Mapping[str, Scale]) -> Scale | None:
    """The finest scale that bears that much."""
    return min((one for one in scales.values() if one.capacity_g >= gross_g), key=lambda one: one.readability_g, default=None)


def _size(vessel: Vessel) -> float:
    return vessel.fill_ml
