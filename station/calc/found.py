"""A lot as it was measured: its acid in place of its item's, and what brings it to the item's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.bar.logged import Measurement
from station.bar.nouns import Measured
from station.bar.quantity import Acidity, acidity
from station.calc import adjust
from station.calc.acidity import ta_g
from station.calc.measured import as_measured
from station.calc.stuff import Stuff

# A refractometer reads acid and alcohol as sugar: its °Bx counts as sugar only where there is next to none of them, g per g.
_LEAST_ACID, _LEAST_ETHANOL = 0.002, 0.002
_ROUNDS = 40
_SAME = 1e-9
PH_LEFT_OUT = "the pH measured does not go with this acid by the model: it is kept in the log, the TA counts"
BRIX_LEFT_OUT = "a refractometer reads acid and alcohol as sugar: its °Bx is kept in the log, the sugar is the item's"


@dataclass(frozen=True, slots=True)
class Found:
    """A gram of a lot as it was found to be, and what of the measurement could not be used."""

    stuff: Stuff
    notes: tuple[str, ...] = ()


def found_to_be(stuff: Stuff, one: Measurement, name: str) -> Found:
    """The item's stuff with what was measured of a lot in place of its own. Raises CannotAnswer where no such liquid can be."""
    if stuff.g_per_ml is None:
        raise CannotAnswer(f"{name} is no liquid: it has no acidity per 100 ml", "log its amount, or measure a liquid")
    sweet = stuff.per_g.acid_g < _LEAST_ACID and stuff.per_g["ethanol"] < _LEAST_ETHANOL
    notes = [BRIX_LEFT_OUT] if one.brix is not None and not sweet else []
    wanted = Measured(
        brix=one.brix if sweet and stuff.per_g.sugar_g > 0.0 else None,
        ta=acidity(one.ta) if one.ta else None,
        ph=one.ph if stuff.per_g.acid_g > 0.0 else None,
    )
    model, remedy = stuff.per_g * 1000.0, "look at what was typed"
    try:
        whole = as_measured(wanted, model, name, remedy)
    except CannotAnswer:
        if wanted.ph is None:
            raise
        whole = as_measured(replace(wanted, ph=None), model, name, remedy)
        notes.append(PH_LEFT_OUT)
    per_g = whole * (1.0 / whole.mass_g)
    unbuffered = stuff.unbuffered and one.ph is None
    return Found(replace(stuff, per_g=per_g, g_per_ml=whole.mass_g / whole.volume_ml, unbuffered=unbuffered), tuple(notes))


@dataclass(frozen=True, slots=True)
class ToSpec:
    """What one litre of a lot takes to titrate as its item: grams of acid, or of water where it is over."""

    acids_g: Mapping[str, float]
    water_g: float
    liquid: Composition


def to_spec(found: Stuff, spec: Stuff, sources: adjust.Sources) -> ToSpec:
    """One litre of the lot brought to its item's TA with the acids of `sources`, in its item's proportions.

    Raises CannotAnswer as `add_to`.
    """
    wanted, has = _per_100(spec.per_g), _per_100(found.per_g)
    litre_g = 1000.0 * (found.g_per_ml or 1.0)
    if abs(has - wanted) <= _SAME * max(wanted, has):
        return ToSpec({}, 0.0, found.per_g * litre_g)
    if has > wanted > 0.0:
        return _diluted(found.per_g * litre_g, wanted)
    own = {name: share for name, share in spec.per_g.acids.items() if name in sources}
    parts = own or dict.fromkeys(list(sources)[:1], 1.0)
    made = adjust.add_to(found, litre_g, Acidity(wanted), parts, sources)
    return ToSpec(made.acids_g, 0.0, made.liquid)


def _diluted(litre: Composition, wanted: float) -> ToSpec:
    """Water until it titrates so: each round's volume from the last one's acid."""
    whole = litre
    for _ in range(_ROUNDS):
        water = whole["water"] + 100.0 * ta_g(whole) / wanted - whole.volume_ml
        before, whole = whole, whole + Composition.of(water=water - whole["water"])
        if abs(whole["water"] - before["water"]) <= _SAME * 1000.0:
            break
    return ToSpec({}, whole["water"] - litre["water"], whole)


def _per_100(liquid: Composition) -> float:
    return 100.0 * ta_g(liquid) / liquid.volume_ml
