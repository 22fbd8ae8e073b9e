"""What a person must be told before they pour, make or serve. Their texts and sources are in bar.cautions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from station.bar import say
from station.bar.cautions import UNKNOWN, Caution, caution
from station.bar.fault import CannotAnswer
from station.bar.nouns import Library, Spec, Window
from station.calc.acidity import ta_g
from station.calc.balance import balance
from station.calc.batch import Batch
from station.calc.blend import Making
from station.calc.dissolve import COLDEST_C, tartrate
from station.calc.drink import Drink, Poured
from station.calc.stuff import Stuff

# Mass fractions over which an acid is no drink line, and from which making from it stops until acknowledged.
DRINK_LIMIT = {"phosphoric": 0.10, "acetic": 0.10, "lactic": 0.20}
MAKE_LIMIT = {"phosphoric": 0.25, "acetic": 0.25, "lactic": 0.20}
STRONG_ACID = 0.25
# Lactic acid over this mass fraction in water is partly its own ester (common practice, no source).
ESTER_LIMIT = 0.5
SERVE_ACID_G, SERVE_SALT_G = 2.0, 1.0
_ROUNDING = 1.0 + 1e-9
# Ready-to-eat food that needs time and temperature control is dated where it is held longer (FDA Food Code 3-501.17).
_A_DAY = timedelta(hours=24)

_FIGURE_WORDS = {"abv": "ABV, %", "sugar": "Sugar, g/100 ml", "acid": "Acid, g/100 ml", "ratio": "Sugar to acid", "ph": "pH"}


def refuse_concentrates(drink: Drink, library: Library) -> None:
    """Raises CannotAnswer if a line of the drink is a corrosive concentrate."""
    for poured in drink.poured:
        for name, limit in DRINK_LIMIT.items():
            share = poured.stuff.per_g[name]
            if share > limit * _ROUNDING:
                strength = f"{say.percent(share, 'w/w')} {name}"
                raise CannotAnswer(
                    f"{library.name_of(poured.line.item)} is {strength}, a concentrate: never a drink line",
                    f"dilute it to a stock of {say.percent(limit, 'w/w')} or less first",
                )


def of_drink(drink: Drink, library: Library, single: bool = True) -> tuple[Caution, ...]:
    """Cautions for one serve; those that matter only where it stands in the cold are left out of a `single` one."""
    window = library.windows.get(drink.spec.style)
    return (
        *_strong_lines(drink, library),
        *_serve(drink, window),
        *_eggs(drink.poured),
        *_of_the_house(drink.spec, drink.poured, library),
        *_unknown_allergens(drink.poured, library),
        *_unbuffered(drink.poured, library),
        *(one for one in tartrate(drink.undiluted, COLDEST_C["fridge"]) if not single or one.word != "NOTE"),
    )


def of_batch(drink: Drink, made: Batch, library: Library) -> tuple[Caution, ...]:
    """Cautions for a batch: the drink's, and what making ahead adds."""
    shaken_twice = (caution("shake-diluted"),) if made.diluted and drink.spec.method == "shake" else ()
    told = (one for one in of_drink(drink, library, single=False) if one.code != "acid-unbuffered")
    return (*shaken_twice, *_gas(drink.poured, library), *told, caution("permission"))


def of_making(making: Making, stuffs: Iterable[tuple[str, Stuff]], library: Library) -> tuple[Caution, ...]:
    """Cautions for making a stock from these items."""
    found: list[Caution] = []
    for name, stuff in stuffs:
        acids = {acid: stuff.per_g[acid] for acid, limit in MAKE_LIMIT.items() if stuff.per_g[acid] >= limit / _ROUNDING}
        found += [
            caution("concentrate-make", name, name=library.name_of(name), strength=say.number(100 * share), acid=acid)
            for acid, share in acids.items()
        ]
        if stuff.g_per_ml is not None and stuff.per_g["lactic"] >= ESTER_LIMIT:
            found.append(caution("lactic-ester", name, name=library.name_of(name)))
        if not acids and stuff.acid_like:
            found.append(caution("acid-powder", name, name=library.name_of(name)))
    return tuple(found)


def keeping(made: datetime, use_by: datetime | None) -> tuple[Caution, ...]:
    """What pH and keeping have to do with one another, where something is kept over a day."""
    return (caution("keeping"),) if use_by is None or use_by - made > _A_DAY else ()


def allergens(stuffs: Iterable[Stuff]) -> tuple[str, ...]:
    """Every allergen of these, and "?" where any is unknown."""
    known: set[str] = set()
    for stuff in stuffs:
        known |= stuff.allergens
        if stuff.unknown:
            known.add(UNKNOWN)
    return tuple(sorted(known))


def may_contain(stuffs: Iterable[Stuff]) -> tuple[str, ...]:
    """Every trace warned of that is no allergen of these already."""
    listed = list(stuffs)
    return tuple(sorted(frozenset().union(*(one.may_contain for one in listed)) - set(allergens(listed))))


def _of_the_house(spec: Spec, poured: Iterable[Poured], library: Library) -> Iterator[Caution]:
    """What the house wrote beside the spec, its items and stocks."""
    for text in spec.cautions:
        yield Caution("house", "NOTE", text, "the house", spec.id)
    for one in poured:
        found = library.items.get(one.line.item) or library.stocks.get(one.line.item)
        for text in found.cautions if found else ():
            yield Caution("house", "NOTE", f"{library.name_of(one.line.item)}: {text}", "the house", one.line.item)


def _gas(poured: Iterable[Poured], library: Library) -> Iterator[Caution]:
    names = [library.name_of(one.line.item) for one in poured if one.stuff.carbonated and one.line.when == "batch"]
    if names:
        yield caution("gas", names=", ".join(names))


def _strong_lines(drink: Drink, library: Library) -> Iterator[Caution]:
    for poured in drink.poured:
        share = poured.stuff.per_g.acid_g
        if share > STRONG_ACID * _ROUNDING:
            name = library.name_of(poured.line.item)
            yield caution("acid-strong", poured.line.item, name=name, strength=say.number(100 * share))


def _serve(drink: Drink, window: Window | None) -> Iterator[Caution]:
    acid, salt = ta_g(drink.glass), drink.glass["salt"]
    if acid > SERVE_ACID_G:
        yield caution("serve-acid", grams=say.number(acid))
    if salt > SERVE_SALT_G:
        yield caution("serve-salt", grams=say.number(salt))
    values = balance(drink.glass).figures if window else {}
    for figure, (_, high) in window.figures.items() if window else ():
        value = values[figure]
        if value is not None and value > 2.0 * high:
            yield caution("serve-window", figure=_FIGURE_WORDS[figure], value=say.number(value), high=say.number(high))


def _eggs(poured: Iterable[Poured]) -> Iterator[Caution]:
    if any("egg" in one.stuff.allergens for one in poured):
        yield caution("egg")


def _unknown_allergens(poured: Iterable[Poured], library: Library) -> Iterator[Caution]:
    unknown = sorted({library.name_of(item) for one in poured for item in one.stuff.unknown})
    if unknown:
        yield caution("allergen-unknown", names=", ".join(unknown))


def _unbuffered(poured: Iterable[Poured], library: Library) -> Iterator[Caution]:
    names = sorted({library.name_of(one.line.item) for one in poured if one.stuff.unbuffered})
    if names:
        yield caution("acid-unbuffered", names=", ".join(names))
