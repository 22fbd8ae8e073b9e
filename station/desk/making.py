"""The making card of a stock: what to weigh, in which order, and what the label says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, time
from zoneinfo import ZoneInfo

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Library, Stock
from station.bar.units import g_per, ml_per
from station.calc import caution, keeping
from station.calc.answers import Label, MadeLine, MadeStock
from station.calc.blend import Blends, Making, make
from station.calc.dissolve import of_stock, refuse_undissolved
from station.calc.making import Yield, made_to
from station.calc.unsure import weighed
from station.calc.weigh import Dose, grams_of
from station.desk.asked import some
from station.desk.look import find_stock

# Under this a label does not call a stock by its salt or its sugar, % w/w.
LEAST_SALT, LEAST_BRIX = 1.0, 5.0


def made(blends: Blends, name: str, wanted: Yield, now: datetime, acknowledged: bool = False) -> MadeStock:
    """The making card. Raises CannotAnswer, and for a concentrate that nobody has acknowledged yet."""
    library = blends.library
    stock = find_stock(library, name)
    making = blends.making(name)
    sized = made_to(stock, making, wanted)
    refuse_undissolved(stock, making.composition)
    crystals = tuple(of_stock(stock, making.composition))
    cautions = crystals + caution.of_making(making, [(dose.item, blends.stuff(dose.item)) for dose in making.doses], library)
    stops = [one.text for one in cautions if one.word == "STOP"]
    if stops and not acknowledged:
        raise CannotAnswer(" ".join(stops), "read it, then ask again with --acknowledge")
    strength = {acid: 100.0 * share for acid, share in making.stuff.per_g.acids.items()}
    density = sized.g / sized.ml
    return MadeStock(
        id=name,
        name=stock.name,
        g=sized.g,
        ml=sized.ml,
        lines=tuple(_line(dose, blends) for dose in sorted(sized.doses, key=lambda dose: _order(dose, blends))),
        method=stock.method,
        steps=stock.steps,
        yield_note=_yield_note(blends, stock),
        notes=stock.notes,
        strength=strength,
        strength_wv={acid: share * density for acid, share in strength.items()},
        salt_pct_ww=100.0 * making.stuff.per_g["salt"],
        brix=100.0 * making.stuff.per_g.sugar_g,
        density_g_per_ml=density,
        label=_label(stock, making, strength, library, now),
        cautions=cautions,
    )


def yield_of(blends: Blends, amount: str = "", vessel: str = "", on_hand: str = "") -> Yield:
    """A yield from what a person gave. Raises AmountError or CannotAnswer."""
    house = blends.library.house
    if vessel:
        if vessel not in house.vessels:
            raise CannotAnswer(f"there is no vessel {vessel}", f"one of {', '.join(house.vessels)}")
        return Yield(ml=house.vessels[vessel].fill_ml)
    if on_hand:
        item, equals, text = on_hand.partition("=")
        if not equals:
            raise AmountError(on_hand, 0, f"“{on_hand}” names no amount", "write e.g. citric-acid=80 g")
        item = item.strip()
        left = some(text, f"{item} on hand", "stock")
        return Yield(item=item, item_g=grams_of(left, item, blends.stuff, blends.library))
    if not amount:
        return Yield()
    read = some(amount, "it", "stock")
    if read.measures == "mass":
        return Yield(g=(read.value or 0.0) * g_per(read.unit))
    if read.measures == "volume":
        return Yield(ml=(read.value or 0.0) * ml_per(read.unit, house.ounce, house.spoons))
    raise AmountError(amount, 0, f"“{amount}” is no mass or volume", "write e.g. 500 g")


def _yield_note(blends: Blends, stock: Stock) -> str:
    """How far what was measured lies from what the lines make; nothing where nothing was measured."""
    if stock.measured_yield is None and stock.measured is None:
        return ""
    model = make(replace(stock, measured_yield=None, measured=None), blends)
    found = blends.making(stock.id)
    said = f"as measured: {say.grams(found.composition.mass_g)}; its lines make {say.grams(model.composition.mass_g)}"
    return f"{said}, {say.number(found.stuff.g_per_ml, 4)} g/ml against {say.number(model.stuff.g_per_ml, 4)}"


def _order(dose: Dose, blends: Blends) -> int:
    """Water first, acid into it last."""
    return 0 if dose.item == WATER else 2 if blends.stuff(dose.item).acid_like else 1


def _line(dose: Dose, blends: Blends) -> MadeLine:
    stuff = blends.stuff(dose.item)
    acids = stuff.per_g.acids if stuff.acid_like else {}
    return MadeLine(
        item=dose.item,
        name=blends.library.name_of(dose.item),
        g=dose.mass_g,
        g_sd=weighed(dose.mass_g, blends.library.house).sd_g,
        acid_g={name: share * dose.mass_g for name, share in acids.items()},
    )


def _label(stock: Stock, making: Making, strength: Mapping[str, float], library: Library, now: datetime) -> Label:
    house = library.house
    day = now.astimezone(ZoneInfo(house.timezone))
    ends = keeping.use_by(day, stock.keeps, time.fromisoformat(house.day_ends)) if stock.keeps else None
    said = [f"{acid} {say.number(share)} % w/w" for acid, share in strength.items()]
    salt, brix = 100.0 * making.stuff.per_g["salt"], 100.0 * making.stuff.per_g.sugar_g
    said += [f"salt {say.number(salt)} % w/w"] if salt >= LEAST_SALT else []
    said += [f"{say.number(brix)} °Bx (w/w)"] if brix >= LEAST_BRIX else []
    return Label(stock.name, ", ".join(said), day, ends, stock.store, caution.allergens([making.stuff]))
