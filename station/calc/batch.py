"""Many serves made at once: how many, with or without water, in which vessels, and every line as grams on a scale."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from station.bar import say
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import House, Vessel
from station.calc.drink import Drink, Poured
from station.calc.mixing import BatchLine, Mix, at_the_glass, mixed, parts
from station.calc.rounding import Rounded, Rounder, rounded
from station.calc.unsure import Unsure
from station.calc.vessels import Plan, plan

__all__ = ["Batch", "BatchLine", "Fill", "Mix", "ServiceLine", "Target", "batch", "full_serves", "is_whole"]

MOST_SERVES = 1e6
# A pitcher that holds 14.98 serves holds 15, and one of 15.02 needs 15 twists, not 16: no hand can tell.
_SLACK = 0.02
_DILUTED_METHODS = frozenset({"stir", "carbonate"})


@dataclass(frozen=True, slots=True)
class Target:
    """What a batch is made to: exactly one of serves, a volume, one fill of a vessel, or grams and pieces of items on hand.

    What is on hand must have become serves (calc.on_hand) before a batch is made. `into` names the vessels a batch by
    serves, volume or stock on hand is filled into.
    """

    serves: float | None = None
    volume_ml: float | None = None
    vessel: str = ""
    on_hand_g: Mapping[str, float] = field(default_factory=dict)
    into: str = ""
    on_hand_pieces: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Fill:
    """`count` vessels filled alike."""

    vessel: str
    count: int
    ml: float
    g: float


@dataclass(frozen=True, slots=True)
class ServiceLine:
    """What is added at the glass: as the spec says it, and the total to have ready (`pieces`, or g and ml)."""

    item: str
    when: str
    each: str
    total: str
    total_g: float | None
    total_ml: float | None


@dataclass(frozen=True, slots=True)
class Batch:
    """A batch of a drink: `mix` is the whole liquid as it leaves the station; `doubts` are of one serve of it, one a line."""

    serves: float
    diluted: bool
    water_g: float
    mix: Composition
    mixes: tuple[Mix, ...]
    fills: tuple[Fill, ...]
    service: tuple[ServiceLine, ...]
    rounded: Rounded | None = None
    doubts: tuple[Unsure, ...] = ()


def batch(drink: Drink, target: Target, house: House, water: bool | None = None, rounder: Rounder | None = None) -> Batch:
    """The batch that meets the target. `water`: True pre-diluted, False not, None as the spec or its method says.

    With a `rounder` its lines are rounded. Raises CannotAnswer for a target that makes no drink, or that no vessel holds, and
    for a rounding that moves the balance past the house's tolerance.
    """
    diluted = is_diluted(drink) if water is None else water
    water_g = drink.dilution.water_g if diluted else 0.0
    serve = drink.batch + Composition.of(water=water_g)
    if serve.volume_ml <= 0.0:
        raise CannotAnswer(f"{drink.spec.name} has nothing to batch: every line is for the glass", "mark a line when = “batch”")
    serves = _serves(drink, target, serve, house)
    mix = serve * serves
    vessels = _vessels(target, mix.volume_ml, house)
    lines, by_rounding = parts(drink, water_g, serves / vessels.mixes, house), None
    if rounder is not None:
        lines, by_rounding = rounded(lines, rounder, house)
        mix = Composition.total(part.composition for part in lines) * vessels.mixes
    made, doubts = mixed(lines, vessels.mix, vessels.mixes, mix, house)
    return Batch(
        serves=serves,
        diluted=diluted,
        water_g=vessels.mixes * sum(part.g for part in lines if part.poured is None),
        mix=mix,
        mixes=(made,),
        fills=_fills(vessels, mix),
        service=tuple(service_line(poured, serves) for poured in drink.poured if at_the_glass(poured)),
        rounded=by_rounding,
        doubts=_doubts(drink, doubts),
    )


def full_serves(serves: float) -> int:
    """The whole serves in so many, within what a hand can tell."""
    return math.floor(serves + _SLACK)


def is_whole(serves: float) -> bool:
    """Whether so many are a whole number of serves, within what a hand can tell."""
    return abs(serves - round(serves)) <= _SLACK


def is_diluted(drink: Drink) -> bool:
    """Whether a batch of it takes its dilution water with it, by the spec or its method."""
    spec = drink.spec
    return spec.batch in {"diluted", "freezer"} if spec.batch else spec.method in _DILUTED_METHODS


def _serves(drink: Drink, target: Target, serve: Composition, house: House) -> float:
    serves = 0.0
    if target.serves is not None:
        serves = target.serves
    elif target.volume_ml is not None:
        serves = target.volume_ml / serve.volume_ml
    elif target.vessel:
        serves = _of_one_fill(drink, _vessel(house, target.vessel), serve)
    if not math.isfinite(serves) or serves <= 0.0:
        raise CannotAnswer("nothing makes no drink: the target is 0", "ask for at least one serve")
    if serves > MOST_SERVES:
        raise CannotAnswer(f"{say.number(serves)} serves is more than this tool batches", "ask for less")
    return serves


def _of_one_fill(drink: Drink, vessel: Vessel, serve: Composition) -> float:
    if serve.volume_ml > vessel.fill_ml:
        one, fill = say.volume(serve.volume_ml), say.volume(vessel.fill_ml)
        raise CannotAnswer(
            f"one serve of {drink.spec.name} is {one}, {vessel.name} is filled to {fill}: it does not hold one",
            "take a larger vessel",
        )
    return vessel.fill_ml / serve.volume_ml


def _vessel(house: House, name: str) -> Vessel:
    if name not in house.vessels:
        raise CannotAnswer(f"there is no vessel {name}", f"one of {', '.join(house.vessels) or 'none: add one to station.toml'}")
    return house.vessels[name]


def _vessels(target: Target, total_ml: float, house: House) -> Plan:
    if target.vessel:
        vessel = _vessel(house, target.vessel)
        return Plan(vessel, 1, vessel, 1)
    return plan(total_ml, house.vessels, _vessel(house, target.into) if target.into else None)


def _doubts(drink: Drink, of_mix: Iterable[Unsure]) -> tuple[Unsure, ...]:
    """Of each line in its place: as it was weighed for the mix, or as it is measured at the glass."""
    weighed = iter(of_mix)
    return tuple(poured.dose.unsure if at_the_glass(poured) else next(weighed) for poured in drink.poured)


def _fills(vessels: Plan, mix: Composition) -> tuple[Fill, ...]:
    if vessels.into is None:
        return ()
    share = 1.0 / vessels.fills
    return (Fill(vessels.into.id, vessels.fills, mix.volume_ml * share, mix.mass_g * share),)


def service_line(poured: Poured, serves: float) -> ServiceLine:
    """What is added at the glass to so many serves."""
    line, dose = poured.line, poured.rinse or poured.dose
    grams = None if dose.g is None else dose.g * serves
    ml = None if dose.ml is None else dose.ml * serves
    total = say.volume(ml) if ml is not None else say.grams(grams)
    if line.amount.measures == "each":
        pieces = f"{math.ceil((line.amount.value or 0.0) * serves - _SLACK)} pieces"
        total = pieces if grams is None else f"{pieces} = {say.grams(grams)}"
    when = f"{line.when}, optional" if line.optional else line.when
    return ServiceLine(line.item, when, line.amount.text, total, grams, ml)
