"""Acid questions asked of a library: adjust a juice, replace one in a drink."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from station.bar.amount import Amount, AmountError
from station.bar.composition import ACIDS, Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import Library, Line
from station.bar.quantity import Acidity, QuantityError
from station.bar.quantity import acidity as read_acidity
from station.bar.units import ml_per
from station.calc import adjust
from station.calc.acidity import ta_g
from station.calc.answers import AdjustedJuice, AdjustedSize, BoughtAcid, ReplacedJuice, StandInLine
from station.calc.balance import balance
from station.calc.blend import Blends
from station.calc.drink import drink
from station.calc.stuff import Stuff
from station.calc.weigh import grams_of
from station.desk.asked import some
from station.desk.look import find_spec
from station.science import titration


def adjusted(
    blends: Blends, item: str, to: str, parts: Mapping[str, float] | None = None, made: str = "", on_hand: str = ""
) -> AdjustedJuice:
    """A juice brought to a TA or to another item's, both ways: acids added to it, and both made up to a volume.

    `made` is the volume to make (1 l if none is said), `on_hand` what there is of the juice, as `orange-juice=900 ml`.
    Raises AmountError, CannotAnswer.
    """
    library, juice = blends.library, _liquid(blends, item)
    target, other = _target(blends, to)
    chosen = dict(parts or (adjust.parts_towards(juice, other) if other else {"citric": 1.0}))
    ml = _millilitres(made, library) if made else 1000.0
    grams = _on_hand(blends, item, on_hand) if on_hand else 1000.0 * (juice.g_per_ml or 1.0)
    added = adjust.add_to(juice, grams, target, chosen)
    whole = adjust.make_up_to(juice, added.liquid.volume_ml if on_hand else ml, target, chosen)
    return AdjustedJuice(
        item=item,
        name=library.name_of(item),
        to=to,
        target_g_per_100ml=target,
        start=balance(juice.per_g * (1000.0 * (juice.g_per_ml or 1.0))),
        add_to=_size(added, blends),
        make_up_to=_size(whole, blends),
        kinds=_shares(added.liquid.acids),
        target_kinds=_shares(other.per_g.acids) if other else {},
        alike=adjust.alike(added.liquid.acids, other.per_g.acids) if other else None,
    )


def replaced(blends: Blends, spec_id: str, item: str, acid: str = "", sugar: str = "") -> ReplacedJuice:
    """A juice line as acid, sugar and water at equal TA, sugar and volume; what that loses, in words. Raises CannotAnswer."""
    library, spec = blends.library, find_spec(blends.library, spec_id)
    before = drink(spec, blends)
    lines = [one for one in before.poured if one.line.item == item]
    if len(lines) != 1:
        raise CannotAnswer(
            f"{item} is in {len(lines) or 'no'} line{'s' if len(lines) > 1 else ''} of {spec.name}", "name one line"
        )
    juice = lines[0].composition
    if ta_g(juice) <= 0.0:
        raise CannotAnswer(f"{library.name_of(item)} brings no acid to replace", "name a juice")
    source = acid or _acid_source(blends, juice)
    syrup = sugar or (_sugar_source(blends) if juice.sugar_g > 0.0 else "")
    stand = adjust.stand_in(juice, blends.stuff(source), blends.stuff(syrup) if syrup else None)
    grams = [(source, stand.acid_g), *([(syrup, stand.sugar_g)] if syrup else []), ("water", stand.water_g)]
    new = [Line(name, Amount(f"{g:.4f} g", g, "g"), when=lines[0].line.when) for name, g in grams if g > 0.0]
    place = spec.lines.index(lines[0].line)
    after = drink(replace(spec, lines=(*spec.lines[:place], *new, *spec.lines[place + 1 :])), blends)
    return ReplacedJuice(
        id=spec.id,
        name=spec.name,
        item=item,
        lines=tuple(_stand_line(name, g, blends) for name, g in grams if g > 0.0),
        before=balance(before.glass),
        after=balance(after.glass),
        kinds=_shares(juice.acids),
        stand_in_kinds=_shares(stand.liquid.acids),
        loses=_loses(library, item),
    )


def parse_parts(text: str) -> dict[str, float]:
    """`citric=2,malic=1` as parts by mass. Raises AmountError."""
    parts: dict[str, float] = {}
    for one in text.split(","):
        name, _, value = one.partition("=")
        name = name.strip().lower()
        try:
            parts[name] = float(value or "1")
        except ValueError:
            raise AmountError(text, 0, f"“{one.strip()}” is no part", "write e.g. citric=2,malic=1") from None
        if name not in ACIDS or not 0.0 < parts[name] < 1e6:
            raise AmountError(text, 0, f"“{one.strip()}” is no part of an acid", f"acids are {', '.join(ACIDS)}")
    return parts


def _target(blends: Blends, to: str) -> tuple[float, Stuff | None]:
    """The wanted TA, g as citric to pH 8.2 per 100 ml, and the item whose it is, if it is one's."""
    if "/" not in to:
        other = _liquid(blends, to)
        whole = other.per_g * (other.g_per_ml or 1.0)
        return 100.0 * ta_g(whole) / whole.volume_ml, other
    try:
        stated: Acidity = read_acidity(to)
    except QuantityError as error:
        raise AmountError(to, 0, error.reason, error.remedy) from None
    base = titration.equivalents(stated.g_per_100_ml, stated.acid, stated.end_ph or titration.END_PH)
    return titration.stated_as_g(base), None


def _liquid(blends: Blends, item: str) -> Stuff:
    stuff = blends.stuff(item)
    if stuff.g_per_ml is None:
        raise CannotAnswer(f"{item} is no liquid", "name a juice")
    return stuff


def _millilitres(text: str, library: Library) -> float:
    amount = some(text, "it", "juice")
    if amount.measures != "volume":
        raise AmountError(text, 0, f"“{text}” is no volume", "write e.g. 1 l")
    return (amount.value or 0.0) * ml_per(amount.unit, library.house.ounce, library.house.spoons)


def _on_hand(blends: Blends, item: str, text: str) -> float:
    name, equals, amount = text.partition("=")
    if not equals or name.strip() != item:
        raise AmountError(text, 0, f"“{text}” does not say how much {item} there is", f"write e.g. {item}=900 ml")
    return grams_of(some(amount, f"{item} on hand", "juice"), item, blends.stuff, blends.library)


def _size(one: adjust.Adjusted, blends: Blends) -> AdjustedSize:
    found = balance(one.liquid)
    total = one.liquid.acid_g
    return AdjustedSize(
        juice_ml=one.juice_ml,
        juice_g=one.juice_g,
        acids_g=one.acids_g,
        as_bought=tuple(_bought(name, grams, blends) for name, grams in one.acids_g.items()),
        result=found,
        acid_pct_ww=100.0 * total / found.g,
        acid_g_per_100ml=100.0 * total / found.ml,
    )


def _bought(acid: str, grams: float, blends: Blends) -> BoughtAcid:
    """The purest powder or liquid of that acid the house buys, and how much of it brings so many grams."""
    items = [name for name, item in blends.library.items.items() if item.kind == "acid"]
    shares = {name: blends.stuff(name).per_g[acid] for name in items}
    best = max(shares, key=lambda name: shares[name], default="")
    if not best or shares[best] < 0.05:
        return BoughtAcid(acid, "", None)
    return BoughtAcid(acid, best, grams / shares[best])


def _stand_line(name: str, grams: float, blends: Blends) -> StandInLine:
    stuff = blends.stuff(name)
    return StandInLine(name, blends.library.name_of(name), grams, grams / stuff.g_per_ml if stuff.g_per_ml else None)


def _acid_source(blends: Blends, juice: Composition) -> str:
    """The house's acid stock that is most of the juice's own kinds; of equals the stronger."""
    stocks = [name for name in blends.library.stocks if blends.stuff(name).acid_like and blends.stuff(name).per_g.sugar_g < 0.01]
    if not stocks:
        raise CannotAnswer("there is no acid stock to replace it with", "name one with --acid")

    def fitness(name: str) -> tuple[float, float]:
        per_g = blends.stuff(name).per_g
        return adjust.alike(juice.acids, per_g.acids) or 0.0, per_g.acid_g

    return max(stocks, key=fitness)


def _sugar_source(blends: Blends) -> str:
    """The house's plainest syrup: sucrose and water, no acid, no alcohol, the one nearest 50 °Bx."""
    found = [name for name in blends.library.stocks if _plain_syrup(blends.stuff(name).per_g)]
    if not found:
        raise CannotAnswer("there is no plain syrup for its sugar", "name one with --sugar")
    return min(found, key=lambda name: abs(blends.stuff(name).per_g.sugar_g - 0.5))


def _plain_syrup(per_g: Composition) -> bool:
    return per_g["sucrose"] > 0.3 and per_g["sucrose"] + per_g["water"] > 0.999


def _shares(acids: Mapping[str, float]) -> dict[str, float]:
    whole = sum(acids.values())
    return {name: grams / whole for name, grams in acids.items()} if whole else {}


def _loses(library: Library, item: str) -> str:
    found = library.items.get(item) or library.stocks.get(item)
    flavour = found.flavour if found else ""
    name = library.name_of(item)
    if flavour:
        return f"It loses {name}'s {flavour.rstrip('.')}; acid, sugar and volume stay."
    return f"It loses what else {name} brings: aroma, colour, pulp and its salts' roundness. Taste it before it is poured."
