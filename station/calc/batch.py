"""Many serves made at once: how many, with or without water, in which vessels, and every line as grams on a scale."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from station.bar import say
from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, House, Vessel
from station.calc.drink import Drink, Poured
from station.calc.scales import ToWeigh, Weighing, weighings
from station.calc.stuff import WATER_STUFF
from station.calc.vessels import Plan, plan
from station.calc.weigh import Dose

MOST_SERVES = 1e6
# A pitcher that holds 15.02 serves needs 15 twists, not 16.
_SLACK = 0.02
_DILUTED_METHODS = frozenset({"stir", "carbonate"})


@dataclass(frozen=True, slots=True)
class Target:
    """What a batch is made to: exactly one of serves, a volume, one fill of a vessel, or grams of items on hand.

    `into` names the vessels a batch by serves, volume or stock on hand is filled into.
    """

    serves: float | None = None
    volume_ml: float | None = None
    vessel: str = ""
    on_hand_g: Mapping[str, float] = field(default_factory=dict)
    into: str = ""


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One line of a mix. `acid_g` is grams of each acid in it, where it is an acid or a stock made with one."""

    item: str
    ml: float | None
    g: float
    g_sd: float | None
    into: str
    reads_g: float
    scale: str
    basis: str
    note: str
    acid_g: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Mix:
    """One mix, `count` times over: its vessel (None where the house lists none), volume, mass and weighed lines."""

    vessel: str | None
    count: int
    ml: float
    g: float
    lines: tuple[BatchLine, ...]


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
    """A batch of a drink: `mix` is the whole liquid as it leaves the station."""

    serves: float
    diluted: bool
    water_g: float
    mix: Composition
    mixes: tuple[Mix, ...]
    fills: tuple[Fill, ...]
    service: tuple[ServiceLine, ...]
    limited_by: str = ""


def batch(drink: Drink, target: Target, house: House, water: bool | None = None) -> Batch:
    """The batch that meets the target. `water`: True pre-diluted, False not, None as the spec or its method says.

    Raises CannotAnswer for a target that makes no drink, or that no vessel holds.
    """
    diluted = _is_diluted(drink) if water is None else water
    water_g = drink.dilution.water_g if diluted else 0.0
    serve = drink.batch + Composition.of(water=water_g)
    if serve.volume_ml <= 0.0:
        raise CannotAnswer(f"{drink.spec.name} has nothing to batch: every line is for the glass", "mark a line when = “batch”")
    serves, limit = _serves(drink, target, serve, house)
    mix = serve * serves
    vessels = _vessels(target, mix.volume_ml, house)
    return Batch(
        serves=serves,
        diluted=diluted,
        water_g=water_g * serves,
        mix=mix,
        mixes=(_mix(drink, water_g, serves / vessels.mixes, vessels, mix, house),),
        fills=_fills(vessels, mix),
        service=tuple(_service(poured, serves) for poured in drink.poured if _at_the_glass(poured)),
        limited_by=limit,
    )


def _is_diluted(drink: Drink) -> bool:
    spec = drink.spec
    return spec.batch in {"diluted", "freezer"} if spec.batch else spec.method in _DILUTED_METHODS


def _serves(drink: Drink, target: Target, serve: Composition, house: House) -> tuple[float, str]:
    limit = ""
    if target.serves is not None:
        serves = target.serves
    elif target.volume_ml is not None:
        serves = target.volume_ml / serve.volume_ml
    elif target.vessel:
        serves = _of_one_fill(drink, _vessel(house, target.vessel), serve)
    else:
        serves, limit = min((_allowed(drink, item, grams), item) for item, grams in target.on_hand_g.items())
    if not math.isfinite(serves) or serves <= 0.0:
        raise CannotAnswer("nothing makes no drink: the target is 0", "ask for at least one serve")
    if serves > MOST_SERVES:
        raise CannotAnswer(f"{say.number(serves)} serves is more than this tool batches", "ask for less")
    return serves, limit


def _of_one_fill(drink: Drink, vessel: Vessel, serve: Composition) -> float:
    if serve.volume_ml > vessel.fill_ml:
        one, fill = say.volume(serve.volume_ml), say.volume(vessel.fill_ml)
        raise CannotAnswer(
            f"one serve of {drink.spec.name} is {one}, {vessel.name} is filled to {fill}: it does not hold one",
            "take a larger vessel",
        )
    return vessel.fill_ml / serve.volume_ml


def _allowed(drink: Drink, item: str, grams: float) -> float:
    each = sum(_taken(poured) for poured in drink.poured if poured.line.item == item and not poured.line.optional)
    if each <= 0.0:
        raise CannotAnswer(f"{item} is weighed in no line of {drink.spec.name}", "name one of its lines")
    return grams / each


def _taken(poured: Poured) -> float:
    return poured.in_batch.mass_g if poured.line.when == "batch" else poured.dose.mass_g


def _vessel(house: House, name: str) -> Vessel:
    if name not in house.vessels:
        raise CannotAnswer(f"there is no vessel {name}", f"one of {', '.join(house.vessels) or 'none: add one to station.toml'}")
    return house.vessels[name]


def _vessels(target: Target, total_ml: float, house: House) -> Plan:
    if target.vessel:
        vessel = _vessel(house, target.vessel)
        return Plan(vessel, 1, vessel, 1)
    return plan(total_ml, house.vessels, _vessel(house, target.into) if target.into else None)


def _mix(drink: Drink, water_g: float, serves: float, vessels: Plan, whole: Composition, house: House) -> Mix:
    """One of the equal mixes: `serves` of the drink."""
    poured = [one for one in drink.poured if not _at_the_glass(one)]
    doses: list[tuple[Dose, Poured | None, float]] = [(one.in_batch, one, _tolerance(one, house)) for one in poured]
    if water_g:
        water = Dose(WATER, water_g, water_g / (WATER_STUFF.g_per_ml or 1.0), "pre-dilution water")
        doses.append((water, None, house.weigh))
    to_weigh = [ToWeigh(key, dose.mass_g * serves, tolerance) for key, (dose, _, tolerance) in enumerate(doses)]
    tare = vessels.mix.tare_g if vessels.mix else 0.0
    placed = weighings(to_weigh, tare, house.scales)
    lines = tuple(_line(doses[one.key][0], doses[one.key][1], one, serves) for one in placed)
    share = 1.0 / vessels.mixes
    return Mix(vessels.mix.id if vessels.mix else None, vessels.mixes, whole.volume_ml * share, whole.mass_g * share, lines)


def _tolerance(poured: Poured, house: House) -> float:
    return house.weigh_acid if poured.stuff.acid_like else house.weigh


def _line(dose: Dose, poured: Poured | None, weighing: Weighing, serves: float) -> BatchLine:
    grams = dose.mass_g * serves
    pieces = poured is not None and poured.line.amount.measures == "each"
    count = f"about {say.number((poured.line.amount.value or 0.0) * serves)} pieces" if poured and pieces else ""
    held = _held_back(poured, serves) if poured else ""
    acids = poured.stuff.per_g.acids if poured and poured.stuff.acid_like else {}
    return BatchLine(
        item=dose.item,
        ml=None if dose.ml is None else dose.ml * serves,
        g=grams,
        g_sd=None,
        into=weighing.into,
        reads_g=weighing.reads_g,
        scale=weighing.scale,
        basis=dose.basis,
        note="; ".join(part for part in (count, held, weighing.note) if part),
        acid_g={name: share * grams for name, share in acids.items()},
    )


def _held_back(poured: Poured, serves: float) -> str:
    share = poured.line.hold_back
    if not share:
        return ""
    grams = poured.in_batch.mass_g * serves * share / (1.0 - share)
    return f"{say.percent(share, 'of the dose')} held back: taste, then add up to {say.grams(grams)}"


def _fills(vessels: Plan, mix: Composition) -> tuple[Fill, ...]:
    if vessels.into is None:
        return ()
    share = 1.0 / vessels.fills
    return (Fill(vessels.into.id, vessels.fills, mix.volume_ml * share, mix.mass_g * share),)


def _at_the_glass(poured: Poured) -> bool:
    return poured.line.when != "batch" or poured.dose.g is None or not poured.counts


def _service(poured: Poured, serves: float) -> ServiceLine:
    line, dose = poured.line, poured.dose
    grams = None if dose.g is None else dose.g * serves
    ml = None if dose.ml is None else dose.ml * serves
    total = say.volume(ml) if ml is not None else say.grams(grams)
    if line.amount.measures == "each":
        pieces = f"{math.ceil((line.amount.value or 0.0) * serves - _SLACK)} pieces"
        total = pieces if grams is None else f"{pieces} = {say.grams(grams)}"
    when = f"{line.when}, optional" if line.optional else line.when
    return ServiceLine(line.item, when, line.amount.text, total, grams, ml)
