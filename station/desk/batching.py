"""The batch card: a drink made many times over, every line as grams on a scale."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import House, Library, Spec
from station.bar.units import ml_per
from station.calc import caution, keeping, shelf_life
from station.calc.answers import Batched, LotUsed
from station.calc.balance import Balance, balance
from station.calc.batch import Target, batch, full_serves, is_diluted
from station.calc.blend import Blends
from station.calc.drink import Drink, drink
from station.calc.on_hand import allowance
from station.calc.rounding import rounder
from station.calc.serving import serving
from station.calc.spread import of_glass, of_one_drink
from station.calc.sulphites import sulphites
from station.desk.asked import house_day, some
from station.desk.look import find_spec, sound_drink
from station.desk.lot_rows import used
from station.desk.on_hand_text import on_hand_of
from station.desk.on_shelf import EMPTY, Shelf

# Who comes is not what they drink: of guests an order makes serves.
_GUESTS = ("guest", "people", "person", "head", "cover")
_COUNT = re.compile(r"(?P<count>\d{1,7}(?:[.,]\d{1,2})?)\s*(?:[x×]\s*)?(?P<unit>[A-Za-z][A-Za-z -]*)?")


def batched(
    blends: Blends, name: str, target: Target, water: bool | None, now: datetime, rounding: str = "", shelf: Shelf = EMPTY
) -> Batched:
    """The batch card of that drink, from the lots on that shelf. Raises CannotAnswer."""
    return batched_spec(blends, find_spec(blends.library, name), target, water, now, rounding, shelf)


def batched_spec(
    blends: Blends, spec: Spec, target: Target, water: bool | None, now: datetime, rounding: str = "", shelf: Shelf = EMPTY
) -> Batched:
    """The batch card of a spec as it stands, saved or not, rounded if a way is named. Raises CannotAnswer."""
    library = blends.library
    files = blends.on(house_day(now, library.house))
    blends = shelf.measured(files)
    one = sound_drink(blends, spec)
    there = None
    if target.on_hand_g or target.on_hand_pieces:
        water_g = one.dilution.water_g if (is_diluted(one) if water is None else water) else 0.0
        there = allowance(one, target.on_hand_g, blends, water_g, target.on_hand_pieces)
        target = replace(target, serves=there.serves, on_hand_g={}, on_hand_pieces={})
    made = batch(one, target, library.house, water, rounder(rounding, library) if rounding else None)
    whole, glass = balance(made.mix), balance(one.glass)
    return Batched(
        id=spec.id,
        name=spec.name,
        serves=made.serves,
        full_serves=full_serves(made.serves),
        diluted=made.diluted,
        water_g=made.water_g,
        total_ml=whole.ml,
        total_g=whole.g,
        spec_revision=spec.revision,
        limited_by=there.limited_by if there else "",
        on_hand=there,
        for_freezer=spec.batch == "freezer",
        balance=whole,
        glass=glass,
        glass_sd=of_glass(one, made.doubts),
        one_drink_sd=of_one_drink(one),
        rounded=made.rounded,
        mixes=made.mixes,
        fills=made.fills,
        service=made.service,
        allergens=caution.allergens(poured.stuff for poured in one.poured),
        may_contain=caution.may_contain(poured.stuff for poured in one.poured),
        cautions=caution.of_batch(one, made, library),
        ethanol_g=whole.ethanol_g,
        standard_drinks=whole.ethanol_g / library.house.standard_drink_g,
        use_by=_use_by(one, library, now, shelf),
        ethanol_g_per_serve=one.glass["ethanol"],
        standard_drinks_per_serve=one.glass["ethanol"] / library.house.standard_drink_g,
        lots=_lots(one, shelf),
        glass_by_files=_by_files(files, spec, one, shelf),
        sulphites=sulphites(one.poured, one.glass.volume_ml),
        serving=serving(spec, whole.ml / made.serves, whole.g / made.serves, glass.ml, made.diluted),
    )


def target_of(
    library: Library,
    blends: Blends,
    serves: float | None = None,
    volume: str = "",
    vessel: str = "",
    on_hand: Sequence[str] = (),
    into: str = "",
    spec: Spec | None = None,
) -> Target:
    """A target from what a person gave, things on hand as that drink calls them. Raises AmountError for what is no amount,
    CannotAnswer for a target of nothing."""
    if serves is None and not (volume or vessel or on_hand):
        raise CannotAnswer("nothing is asked for", "give serves, a volume, a vessel or what is on hand")
    if serves is not None and not 0.0 < serves < math.inf:
        raise CannotAnswer(f"{serves:g} serves is no batch", "ask for at least one")
    volume_ml = _millilitres(volume, library.house) if volume else None
    grams, pieces = on_hand_of(on_hand, blends, spec)
    return Target(serves, volume_ml, vessel, grams, into, pieces)


def target_of_text(blends: Blends, text: str, spec: Spec | None = None) -> Target:
    """A target in one field: `40`, `1.5 l`, `pitcher`, `2 pitcher`, `lime-juice=400 ml, rum-light=2 l`. Raises as target_of."""
    library, words = blends.library, " ".join(text.split())
    if not words:
        raise AmountError(text, 0, "nothing is asked for", "say how much, e.g. 40, 1.5 l or pitcher")
    if "=" in words:
        return target_of(library, blends, on_hand=[words], spec=spec)
    found = _COUNT.fullmatch(words)
    if found and (not found["unit"] or "serves".startswith(found["unit"].lower())):
        return target_of(library, blends, serves=_float(found["count"]))
    vessel = vessel_called(library, found["unit"] if found else words)
    if not vessel and found and found["unit"].lower().startswith(_GUESTS):
        one_each = f"type {found['count']} serves for one each, or make an order"
        raise AmountError(text, 0, "guests are not serves", one_each)
    if vessel and found:
        return Target(volume_ml=_float(found["count"]) * library.house.vessels[vessel].fill_ml, into=vessel)
    return Target(vessel=vessel) if vessel else target_of(library, blends, volume=words)


def targets_to_pick(library: Library) -> tuple[str, ...]:
    """Targets ready to be picked: each vessel of the house, and as many of a kind as there are; without any, one serve."""
    vessels = library.house.vessels.items()
    ready = [text for name, one in vessels for text in (name, *([f"{one.count} {name}"] if one.count > 1 else []))]
    return tuple(ready) or ("1",)


def vessel_called(library: Library, word: str) -> str:
    """The one vessel whose id or name begins so; a plural's s does not matter."""
    start = word.casefold().removesuffix("s")
    found = [
        name
        for name, one in library.house.vessels.items()
        if len(start) > 1 and (name.startswith(start) or one.name.casefold().startswith(start))
    ]
    return found[0] if len(found) == 1 else ""


def _float(number: str) -> float:
    return float(number.replace(",", "."))


def _millilitres(text: str, house: House) -> float:
    amount = some(text, "volume", "drink")
    if amount.measures == "mass":
        raise AmountError(text, 0, "a total is asked for by volume or in serves, not by weight", "write e.g. 1.5 l or 15 serves")
    if amount.measures != "volume":
        raise AmountError(text, 0, f"“{text}” is no volume", "write e.g. 1.5 l")
    return (amount.value or 0.0) * ml_per(amount.unit, house.ounce, house.spoons)


def _use_by(one: Drink, library: Library, now: datetime, shelf: Shelf) -> datetime | None:
    """The earliest use-by of the parts in the vessel: their lots', or as made or opened now."""
    house = library.house
    here = keeping.in_house(now, house)
    names = dict.fromkeys(poured.line.item for poured in one.poured if poured.line.when == "batch")
    return shelf_life.made_of(here, None, (shelf.ends(name, library, here) for name in names), keeping.clock(house))


def _lots(one: Drink, shelf: Shelf) -> tuple[LotUsed, ...]:
    names = dict.fromkeys(poured.line.item for poured in one.poured)
    return tuple(lot for name in names if (lot := used(shelf, name)) is not None)


def _by_files(blends: Blends, spec: Spec, one: Drink, shelf: Shelf) -> Balance | None:
    """The glass by the files alone, where a measured lot moves it."""
    if not shelf.found:
        return None
    glass = drink(spec, blends).glass
    return None if glass == one.glass else balance(glass)
