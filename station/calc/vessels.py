"""Which vessels a batch goes into: one mix, weighed once, then filled out; fewest vessels that hold it, then even."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from station.bar import say
from station.bar.fault import CannotAnswer
from station.bar.nouns import Vessel

# A target that meets a vessel's fill exactly must not spill into a second one by rounding.
_SLACK = 1e-9
# A vessel chosen for someone is at least so full, if there is one that would be: nobody wants two litres in a tub.
LEAST_FULL = 0.5


@dataclass(frozen=True, slots=True)
class Plan:
    """Equal mixes in `mix` (None: the house lists no vessel), then filled out into `into`, `fills` of them, evenly."""

    mix: Vessel | None
    mixes: int
    into: Vessel | None
    fills: int


def plan(total_ml: float, vessels: Mapping[str, Vessel], into: Vessel | None = None) -> Plan:
    """Vessels for that volume, of the asked kind or the fewest that hold it. Raises CannotAnswer if there are not enough."""
    if not vessels:
        return Plan(None, 1, None, 0)
    chosen = into or _fewest(total_ml, vessels)
    fills = needed(total_ml, chosen)
    if fills > chosen.count:
        raise CannotAnswer(
            f"{say.volume(total_ml)} fills {fills} × {chosen.name} and there {_are(chosen.count)}",
            "ask for less, or add vessels to station.toml",
        )
    if fills == 1:
        return Plan(chosen, 1, chosen, 1)
    tubs = [vessel for vessel in vessels.values() if vessel.fill_ml > chosen.fill_ml]
    if not tubs:
        return Plan(chosen, fills, chosen, fills)
    holding = [vessel for vessel in tubs if vessel.fill_ml >= total_ml * (1.0 - _SLACK)]
    tub = min(holding, key=_size) if holding else max(tubs, key=_size)
    return Plan(tub, needed(total_ml, tub), chosen, fills)


def needed(total_ml: float, vessel: Vessel) -> int:
    """How many fills of the vessel hold that volume."""
    return max(1, math.ceil(total_ml / vessel.fill_ml * (1.0 - _SLACK)))


def _fewest(total_ml: float, vessels: Mapping[str, Vessel]) -> Vessel:
    fitting = [vessel for vessel in vessels.values() if needed(total_ml, vessel) <= vessel.count]
    if not fitting:
        largest = max(vessels.values(), key=lambda vessel: vessel.fill_ml * vessel.count)
        raise CannotAnswer(
            f"no vessel here holds {say.volume(total_ml)}: the most is {largest.count} × {largest.name} "
            f"of {say.volume(largest.fill_ml)}",
            "ask for less, or add a vessel to station.toml",
        )
    full = [vessel for vessel in fitting if total_ml >= LEAST_FULL * needed(total_ml, vessel) * vessel.fill_ml]
    return min(full, key=lambda vessel: (needed(total_ml, vessel), vessel.fill_ml)) if full else min(fitting, key=_size)


def _size(vessel: Vessel) -> float:
    return vessel.fill_ml


def _are(count: int) -> str:
    return "is 1" if count == 1 else f"are {count}"
