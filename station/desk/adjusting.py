"""Acid questions asked of a library: adjust a juice, replace one in a drink."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from station.bar import say
from station.bar.amount import Amount, AmountError, spell_number
from station.bar.composition import ACIDS, Composition
from station.bar.fault import CannotAnswer
from station.bar.nouns import WATER, Library, Line, Spec
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
from station.desk.look import find_spec, sound_drink

if TYPE_CHECKING:
    from station.desk.document import Document

# A source holds at least so much of its acid; a stock with more sugar than that is no acid stock.
_LEAST_PURITY, _LEAST_SUGAR = 0.05, 0.01


def adjusted(
    blends: Blends, item: str, to: str, parts: Mapping[str, float] | None = None, made: str = "", on_hand: str = ""
) -> AdjustedJuice:
    """A juice brought to a TA or to another item's, both ways: acids added to it, and both made up to a volume.

    `made` is the volume to make (1 l if none is said), `on_hand` what there is of the juice, as `orange-juice=900 ml`.
    Raises AmountError, CannotAnswer.
    """
    library, juice = blends.library, _liquid(blends, item)
    wanted, other = _target(blends, to)
    chosen = dict(parts or (adjust.parts_towards(juice, other) if other else {"citric": 1.0}))
    bought = {acid: source_of(blends, acid) for acid in chosen}
    sources = {acid: one_gram(blends, acid, name) for acid, name in bought.items()}
    ml = _millilitres(made, library) if made else 1000.0
    grams = _on_hand(blends, item, on_hand) if on_hand else 1000.0 * (juice.g_per_ml or 1.0)
    added = adjust.add_to(juice, grams, wanted, chosen, sources)
    whole = adjust.make_up_to(juice, added.liquid.volume_ml if on_hand else ml, wanted, chosen, sources)
    return AdjustedJuice(
        item=item,
        name=library.name_of(item),
        to=to,
        target_g_per_100ml=100.0 * ta_g(added.liquid) / added.liquid.volume_ml,
        start=balance(juice.per_g * (1000.0 * (juice.g_per_ml or 1.0))),
        add_to=_size(added, bought, blends),
        make_up_to=_size(whole, bought, blends),
        kinds=_shares(added.liquid.acids),
        target_kinds=_shares(other.per_g.acids) if other else {},
        alike=adjust.alike(added.liquid.acids, other.per_g.acids) if other else None,
    )


def replaced(blends: Blends, spec: str, item: str, acid: str = "", sugar: str = "") -> ReplacedJuice:
    """A juice line of that drink as acid, sugar and water. Raises CannotAnswer."""
    return replaced_in(blends, find_spec(blends.library, spec), item, acid, sugar)


def replaced_in(blends: Blends, spec: Spec, item: str, acid: str = "", sugar: str = "") -> ReplacedJuice:
    """A juice line as acid, sugar and water at equal TA, sugar and volume; what that loses, in words. Raises CannotAnswer."""
    library = blends.library
    before = drink(spec, blends)
    places = [place for place, one in enumerate(before.poured) if one.line.item == item]
    if len(places) != 1:
        count = f"{len(places)} lines" if places else "no line"
        raise CannotAnswer(f"{item} is in {count} of {spec.name}", "an item that is in one line can be replaced")
    place = places[0]
    line, juice = before.poured[place].line, before.poured[place].composition
    if ta_g(juice) <= 0.0:
        raise CannotAnswer(f"{library.name_of(item)} brings no acid to replace", "a line of juice does")
    source = acid or _acid_source(blends, juice)
    syrup = sugar or (_sugar_source(blends) if juice.sugar_g > 0.0 else "")
    stand = adjust.stand_in(juice, blends.stuff(source), blends.stuff(syrup) if syrup else None)
    grams = [(source, stand.acid_g), *([(syrup, stand.sugar_g)] if syrup else []), (WATER, stand.water_g)]
    new = [Line(name, Amount(f"{g:.4f} g", g, "g"), when=line.when) for name, g in grams if g > 0.0]
    lines = [one.line for one in before.poured]
    after = sound_drink(blends, replace(spec, lines=(*lines[:place], *new, *lines[place + 1 :])))
    return ReplacedJuice(
        id=spec.id,
        name=spec.name,
        item=item,
        lines=tuple(_stand_line(name, g, blends) for name, g in grams if g > 0.0),
        before=balance(before.glass),
        after=balance(after.glass),
        kinds=_shares(juice.acids),
        stand_in_kinds=_shares(stand.liquid.acids),
        loses=_loses(library, item, juice),
    )


def put_stand_in(document: Document, item: str) -> str:
    """What stands in for that item put into the open drink in its place, as one edit; what that was. Raises CannotAnswer."""
    library = document.opened.library
    answer = replaced_in(document.opened.blends, document.spec, item)
    place = next(place for place, line in enumerate(document.lines) if line.item == item and line.amount)
    written = [(line.item, spell_number(float(f"{line.g:.3g}"))) for line in answer.lines]
    document.put_in_place(place, [(name, f"{grams} g") for name, grams in written if grams != "0"])
    return f"in place of {library.name_of(item)}; u takes it back, s saves it"


def parse_parts(text: str) -> dict[str, float]:
    """`citric=2,malic=1` as parts by mass. Raises AmountError."""
    parts: dict[str, float] = {}
    for one in text.split(","):
        name, _, value = one.partition("=")
        name = name.strip().lower()
        if name in parts:
            raise AmountError(text, 0, f"{name} is named twice", "name each acid once")
        try:
            parts[name] = float(value or "1")
        except ValueError:
            raise AmountError(text, 0, f"“{one.strip()}” is no part", "write e.g. citric=2,malic=1") from None
        if name not in ACIDS or not 0.0 < parts[name] < 1e6:
            raise AmountError(text, 0, f"“{one.strip()}” is no part of an acid", f"acids are {', '.join(ACIDS)}")
    return parts


def _target(blends: Blends, to: str) -> tuple[Acidity, Stuff | None]:
    """The wanted acidity, and the item whose it is, if it is one's."""
    if "/" not in to:
        other = _liquid(blends, to)
        whole = other.per_g * (other.g_per_ml or 1.0)
        return Acidity(100.0 * ta_g(whole) / whole.volume_ml), other
    try:
        return read_acidity(to), None
    except QuantityError as error:
        raise AmountError(to, 0, error.reason, error.remedy) from None


def _liquid(blends: Blends, item: str) -> Stuff:
    stuff = blends.stuff(item)
    if stuff.g_per_ml is None or not stuff.in_liquid:
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


def _size(one: adjust.Adjusted, bought: Mapping[str, str], blends: Blends) -> AdjustedSize:
    found = balance(one.liquid)
    total = one.liquid.acid_g
    return AdjustedSize(
        juice_ml=one.juice_ml,
        juice_g=one.juice_g,
        acids_g=one.acids_g,
        as_bought=tuple(_bought(acid, grams, bought[acid], blends) for acid, grams in one.acids_g.items()),
        result=found,
        acid_pct_ww=100.0 * total / found.g,
        acid_g_per_100ml=100.0 * total / found.ml,
    )


def _bought(acid: str, grams: float, item: str, blends: Blends) -> BoughtAcid:
    return BoughtAcid(acid, item, grams / blends.stuff(item).per_g[acid] if item else None)


def source_of(blends: Blends, acid: str) -> str:
    """The purest the house buys of that acid; "" where it buys none."""
    items = [name for name, item in blends.library.items.items() if item.kind == "acid"]
    shares = {name: _share(blends, name, acid) for name in items}
    best = max(shares, key=lambda name: shares[name], default="")
    return best if best and shares[best] >= _LEAST_PURITY else ""


def one_gram(blends: Blends, acid: str, item: str) -> Composition:
    """What brings one gram of that acid: the item as bought, or the acid alone where the house buys none."""
    if not item:
        return Composition.of({acid: 1.0})
    per_g = blends.stuff(item).per_g
    return per_g * (1.0 / per_g[acid])


def _share(blends: Blends, name: str, acid: str) -> float:
    """That acid in a gram of an item; none in one whose figures cannot be made out."""
    found = _known(blends, name)
    return found.per_g[acid] if found else 0.0


def _known(blends: Blends, name: str) -> Stuff | None:
    try:
        return blends.stuff(name)
    except CannotAnswer:
        return None


def _stand_line(name: str, grams: float, blends: Blends) -> StandInLine:
    stuff = blends.stuff(name)
    return StandInLine(name, blends.library.name_of(name), grams, grams / stuff.g_per_ml if stuff.g_per_ml else None)


def _acid_source(blends: Blends, juice: Composition) -> str:
    """The house's acid stock that is most of the juice's own kinds; of equals the stronger."""
    known = {name: found.per_g for name in blends.library.stocks if (found := _known(blends, name)) and found.acid_like}
    library = blends.library
    plain = {name: per_g for name, per_g in known.items() if per_g.sugar_g < _LEAST_SUGAR and not _of_juice(library, name)}
    if not plain:
        raise CannotAnswer("there is no acid stock to replace it with", "name one with --acid")
    return max(plain, key=lambda name: (adjust.alike(juice.acids, plain[name].acids) or 0.0, plain[name].acid_g))


def _of_juice(library: Library, name: str) -> bool:
    """Whether a juice goes into it, through stocks too. Only for a stock that could be reckoned: it holds no circle."""
    if name in library.stocks:
        return any(_of_juice(library, line.item) for line in library.stocks[name].lines)
    return name in library.items and library.items[name].kind == "juice"


def _sugar_source(blends: Blends) -> str:
    """The house's plainest syrup: sucrose and water, no acid, no alcohol, the one nearest 50 °Bx."""
    known = {name: found.per_g for name in blends.library.stocks if (found := _known(blends, name))}
    plain = {name: per_g for name, per_g in known.items() if _plain_syrup(per_g)}
    if not plain:
        raise CannotAnswer("there is no plain syrup for its sugar", "name one with --sugar")
    return min(plain, key=lambda name: abs(plain[name].sugar_g - 0.5))


def _plain_syrup(per_g: Composition) -> bool:
    return per_g["sucrose"] > 0.3 and per_g["sucrose"] + per_g["water"] > 0.999


def _shares(acids: Mapping[str, float]) -> dict[str, float]:
    whole = sum(acids.values())
    return {name: grams / whole for name, grams in acids.items()} if whole else {}


def _loses(library: Library, item: str, juice: Composition) -> str:
    found = library.items.get(item) or library.stocks.get(item)
    flavour = found.flavour if found else ""
    name = library.name_of(item)
    alcohol = f" Its alcohol, {say.grams(juice['ethanol'])} a serve, is gone too." if juice["ethanol"] > 0.0 else ""
    if flavour:
        return f"Lost with {name}: {flavour.rstrip('.')}. Acid, sugar and volume stay.{alcohol}"
    rest = "aroma, colour, pulp and its salts' roundness. Taste it before it is poured."
    return f"Lost with {name}: {rest}{alcohol}"
