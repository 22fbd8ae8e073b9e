"""The making card of a stock: what to weigh, in which order, and what the label says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Library, Stock
from station.bar.units import g_per, ml_per
from station.calc import caution, keeping, shelf_life
from station.calc.answers import Label, MadeLine, MadeStock
from station.calc.blend import Blends, Making, make
from station.calc.dissolve import of_stock, refuse_undissolved
from station.calc.hazards import hazard_words
from station.calc.making import Yield, made_to
from station.calc.stuff import Stuff
from station.calc.unsure import weighed
from station.calc.weigh import Dose, grams_of
from station.desk.asked import some
from station.desk.batching import vessel_called
from station.desk.look import find_stock
from station.desk.lot_rows import used
from station.desk.on_shelf import EMPTY, Shelf
from station.science.ethanol import ETHANOL_G_PER_ML

# Under this a label does not call a stock by its salt or its sugar, % w/w.
LEAST_SALT, LEAST_BRIX = 1.0, 5.0
# Nor by its alcohol under this, % vol: from 1.2 it is stated on a label (EU Regulation 1169/2011 art. 9).
LEAST_ABV = 1.2
_ROUNDING = 1e-9


class Unread(CannotAnswer):
    """A concentrate is made from, and nobody has acknowledged its caution yet."""


def made(blends: Blends, name: str, wanted: Yield, now: datetime, acknowledged: bool = False, shelf: Shelf = EMPTY) -> MadeStock:
    """The making card, from the lots on that shelf. Raises CannotAnswer; Unread for a concentrate nobody has acknowledged yet."""
    library, blends = blends.library, shelf.for_making(blends, name)
    stock = find_stock(library, name)
    making = blends.making(name)
    sized = made_to(stock, making, wanted)
    refuse_undissolved(stock, making.composition)
    crystals = tuple(of_stock(stock, making.composition))
    label = _label(stock, making, library, now, shelf)
    stuffs = [(dose.item, blends.stuff(dose.item)) for dose in making.doses]
    cautions = (*crystals, *caution.of_making(making, stuffs, library), *caution.keeping(label.made, label.use_by))
    stops = [one.text for one in cautions if one.word == "STOP"]
    if stops and not acknowledged:
        raise Unread(" ".join(stops), "read it, then ask again with --acknowledge")
    strength = {acid: 100.0 * share for acid, share in making.stuff.per_g.acids.items()}
    density = sized.g / sized.ml
    doses = sorted(sized.doses, key=lambda dose: _order(dose, blends))
    return MadeStock(
        id=name,
        name=stock.name,
        g=sized.g,
        ml=sized.ml,
        lines=tuple(_line(dose, blends) for dose in doses),
        parts=_parts(doses, library),
        lost_g=_lost_g(doses, sized.g),
        method=stock.method,
        steps=stock.steps,
        yield_note=_yield_note(blends, stock),
        notes=stock.notes,
        strength=strength,
        strength_wv={acid: share * density for acid, share in strength.items()},
        salt_pct_ww=100.0 * making.stuff.per_g["salt"],
        salt_pct_wv=100.0 * making.stuff.per_g["salt"] * density,
        brix=100.0 * making.stuff.per_g.sugar_g,
        sugar_pct_wv=100.0 * making.stuff.per_g.sugar_g * density,
        density_g_per_ml=density,
        label=label,
        lots=tuple(lot for name in dict.fromkeys(dose.item for dose in doses) if (lot := used(shelf, name)) is not None),
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


def yield_of_text(blends: Blends, text: str) -> Yield:
    """A yield in one field: `500 g`, `1 l`, `bottle`, `citric-acid=80 g`; "" is what the file makes. Raises as yield_of."""
    words = " ".join(text.split())
    if "=" in words:
        return yield_of(blends, on_hand=words)
    vessel = vessel_called(blends.library, words)
    return yield_of(blends, vessel=vessel) if vessel else yield_of(blends, words)


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


def strength_of(stuff: Stuff) -> str:
    """What a label says of a stock's strength, each figure with its basis: acids, salt, sugar, alcohol."""
    said = [f"{acid} {say.number(100.0 * share)} % w/w" for acid, share in stuff.per_g.acids.items()]
    salt, brix = 100.0 * stuff.per_g["salt"], 100.0 * stuff.per_g.sugar_g
    said += [f"salt {say.number(salt)} % w/w"] if salt >= LEAST_SALT else []
    said += [f"{say.number(brix)} °Bx (w/w)"] if brix >= LEAST_BRIX else []
    abv = 100.0 * stuff.per_g["ethanol"] / ETHANOL_G_PER_ML * (stuff.g_per_ml or 0.0)
    said += [f"{say.number(abv)} % vol"] if abv >= LEAST_ABV else []
    return ", ".join(said)


def _lost_g(doses: Sequence[Dose], made_g: float) -> float:
    lost = sum(dose.mass_g for dose in doses) - made_g
    return lost if lost > _ROUNDING * made_g else 0.0


def _parts(doses: Sequence[Dose], library: Library) -> str:
    """The recipe in parts by weight, named one by one, the least of them 1: never a bare ratio."""
    grams = {dose.item: 0.0 for dose in doses if dose.mass_g > 0.0}
    for dose in doses:
        if dose.item in grams:
            grams[dose.item] += dose.mass_g
    if len(grams) < 2:
        return ""
    one = min(grams.values())
    said = [
        f"{say.number(g / one)} {'part' if say.number(g / one) == '1' else 'parts'} {library.name_of(item)}"
        for item, g in grams.items()
    ]
    return f"by weight: {' + '.join(said)}"


def _label(stock: Stock, making: Making, library: Library, now: datetime, shelf: Shelf) -> Label:
    house = library.house
    here, ends = keeping.in_house(now, house), keeping.clock(house)
    parts = [shelf.ends(dose.item, library, here) for dose in making.doses]
    return Label(
        name=stock.name,
        strength=strength_of(making.stuff),
        made=here,
        use_by=shelf_life.made_of(here, keeping.keeps_of(stock), parts, ends, stock.keeps_reason),
        store=stock.store,
        allergens=caution.allergens([making.stuff]),
        may_contain=caution.may_contain([making.stuff]),
        hazards=hazard_words(making.stuff.per_g),
        keeps_reason=stock.keeps_reason,
    )
