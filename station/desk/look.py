"""Looking a spec up: its lines weighed, its balance, or what is wrong with its file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches
from pathlib import PurePosixPath

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer, Fault
from station.bar.nouns import House, Library, Spec, Stock
from station.calc import caution
from station.calc.acidity import sour_as_citric_g, ta_as
from station.calc.answers import Shown, ShownLine
from station.calc.balance import balance
from station.calc.blend import Blends
from station.calc.drink import Drink, Poured, drink
from station.calc.sources import ICE, ICE_NAME, Source, sources
from station.calc.spread import of_one_drink
from station.calc.sulphites import sulphites

# What parts a drink's id from the version that is meant, as in `tin-lantern@1`.
AT = "@"


def faulty_drinks(library: Library) -> dict[str, tuple[Fault, ...]]:
    """Drinks whose file could not be used, by id, with what is wrong."""
    faults: dict[str, list[Fault]] = {}
    for fault in library.faults:
        name = PurePosixPath(fault.file).stem
        if fault.severity == "error" and fault.file.startswith("drinks/") and name not in library.drinks:
            faults.setdefault(name, []).append(fault)
    return {name: tuple(found) for name, found in faults.items()}


def find_spec(library: Library, name: str) -> Spec:
    """The spec of that id. Raises CannotAnswer with its faults, or with the nearest id."""
    if name in library.drinks:
        return library.drinks[name]
    faults = faulty_drinks(library).get(name, ())
    if faults:
        raise CannotAnswer(f"{name} has a fault", "mend its file first", faults)
    saved, at, _ = name.partition(AT)
    if at and saved in library.drinks:
        raise CannotAnswer(f"{name} names a version, which only `station compare` takes", f"write {saved}")
    raise CannotAnswer(f"there is no drink {name}", nearest(name, library.drinks, "see `station list`"))


def find_stock(library: Library, name: str) -> Stock:
    """The stock of that id. Raises CannotAnswer with its faults, or with the nearest id."""
    if name in library.stocks:
        return library.stocks[name]
    faults = library.faults_of(f"stocks/{name}.toml")
    if faults:
        raise CannotAnswer(f"{name} has a fault", "mend its file first", faults)
    raise CannotAnswer(f"there is no stock {name}", nearest(name, library.stocks, "see the stocks folder"))


def show(blends: Blends, name: str) -> Shown:
    """One serve of that spec. Raises CannotAnswer."""
    made = sound_drink(blends, find_spec(blends.library, name))
    return in_full(shown(blends, made), made, blends.library)


def sound_drink(blends: Blends, spec: Spec) -> Drink:
    """One serve, refused where a line is a concentrate. Raises CannotAnswer."""
    made = drink(spec, blends)
    caution.refuse_concentrates(made, blends.library)
    return made


def shown(blends: Blends, made: Drink) -> Shown:
    """A drink as it is shown."""
    library, spec = blends.library, made.spec
    window = library.windows.get(spec.style)
    glass = balance(made.glass)
    return Shown(
        id=spec.id,
        name=spec.name,
        method=spec.method,
        served_in=spec.glass,
        ice=spec.ice,
        strain=spec.strain,
        steps=spec.steps,
        notes=spec.notes,
        lines=tuple(_line(poured, library) for poured in made.poured),
        dilution=made.dilution,
        before=balance(made.undiluted),
        glass=glass,
        glass_sd=None,
        acids={name: 100.0 * grams / glass.ml for name, grams in made.glass.acids.items()} if glass.ml else {},
        acid_from=_acid_from(made),
        sour_as_citric=None,
        ta_in_house_basis=_in_house_basis(made.glass, library.house.acidity),
        window=window.figures if window else {},
        window_source=window.source if window else "",
        cautions=caution.of_drink(made, library),
        allergens=caution.allergens(poured.stuff for poured in made.poured),
        may_contain=caution.may_contain(poured.stuff for poured in made.poured),
        standard_drinks=glass.ethanol_g / library.house.standard_drink_g,
        sulphites=sulphites(made.poured, glass.ml),
    )


def in_full(answer: Shown, made: Drink, library: Library) -> Shown:
    """The answer with how sour the glass counts, how far its figures may be off and what each line brings: that takes as long
    to find as all the rest."""
    sour = sour_as_citric_g(made.glass)
    as_citric = None if sour is None else 100.0 * sour / answer.glass.ml
    return replace(answer, sour_as_citric=as_citric, glass_sd=of_one_drink(made), sources=sources_of(made, library))


def sources_of(made: Drink, library: Library) -> tuple[Source, ...]:
    """What each line brings of the glass, and the water of the dilution last."""
    lines = ((one.line.item, library.name_of(one.line.item), one.composition) for one in made.poured)
    return sources((*lines, (ICE, ICE_NAME, Composition.of(water=made.dilution.water_g))))


def _in_house_basis(glass: Composition, basis: str) -> float | None:
    if basis == House().acidity or glass.volume_ml <= 0.0:
        return None
    return 100.0 * ta_as(glass, basis) / glass.volume_ml


def _acid_from(made: Drink) -> dict[str, float]:
    """Each item's share of the glass's acid, by mass."""
    whole = made.glass.acid_g
    brought: dict[str, float] = {}
    for poured in made.poured:
        grams = poured.composition.acid_g
        if grams > 0.0:
            brought[poured.line.item] = brought.get(poured.line.item, 0.0) + grams / whole
    return brought


def _line(poured: Poured, library: Library) -> ShownLine:
    line, dose = poured.line, poured.dose
    name = library.name_of(line.item)
    return ShownLine(
        line.item, name, line.amount.text, dose.ml, dose.g, dose.g_sd, line.when, dose.basis, line.optional, line.prep, line.note
    )


def nearest(name: str, known: Iterable[str], otherwise: str) -> str:
    """A remedy for a name nobody knows: the nearest one that is known, else what to do `otherwise`."""
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    return f"did you mean {near[0]}?" if near else otherwise
