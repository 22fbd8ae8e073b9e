"""A drink tuned: the lines that may move, the figures wished in the glass, and the amounts that give them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from station.bar import say
from station.bar.amount import Amount, AmountError, parse_amount, parse_number, rewritten
from station.bar.cautions import Caution
from station.bar.fault import CannotAnswer
from station.bar.nouns import House, Library, Spec
from station.bar.units import ml_per
from station.calc import caution, tune, tuned_pour
from station.calc import finer as calc_finer
from station.calc.backwards import Tuned, TunedLine, Wished
from station.calc.balance import Balance, balance
from station.calc.blend import Blends
from station.calc.drink import Drink, Poured, drink
from station.calc.tune import FIGURES, Tuning, Wish
from station.cards.backwards import digits, span_said
from station.desk.look import find_spec, nearest, sound_drink
from station.desk.tuning_notes import UNITS, WORDS, notes, out_of_range

WITHIN = "within"
# An exact amount is written with as many figures as keep every wish to a fifth of the 0.1 % that is promised, four at least.
_EXACTLY, _FEW_TO_MANY = 2e-4, (4, 5, 6, 7)

_VALUE = re.compile(r"(?P<number>[-−]?\s*[\d.,]+)\s*(?P<unit>\D.*)?")
_PER_100_ML, _PER_L = re.compile(r"(g\s*/\s*100\s*ml)?(\s*as\s+citric)?"), re.compile(r"g\s*/\s*l(\s*as\s+citric)?")
_PERCENT = re.compile(r"(%\s*(vol|abv)?)?")
# Above this no liquid is sugar water any more, no acid is dissolved, no glass is served.
_MOST = {"acid": 100.0, "sugar": 150.0, "abv": 100.0, "ratio": 1e4, "volume": 1e6}


def tuned(blends: Blends, name: str, move: Sequence[str], wants: Sequence[str]) -> Tuned:
    """That drink, the lines of the items in `move` tuned to wishes as `wish_of` reads them. Raises AmountError, CannotAnswer."""
    spec = find_spec(blends.library, name)
    return tuned_spec(blends, spec, places_of(spec, move), [wish_of(text, spec, blends.library) for text in wants])


def tuned_spec(blends: Blends, spec: Spec, places: Sequence[int], wishes: Sequence[Wish]) -> Tuned:
    """A spec as it stands, the lines at `places` tuned. Raises CannotAnswer."""
    library = blends.library
    before = sound_drink(blends, spec)
    _refuse_unmoved(before, places, library)
    figures = [wish.figure for wish in wishes]
    if not wishes:
        raise CannotAnswer("nothing is wished", f"say e.g. acid=0.85 g/100ml, or one of {', '.join(FIGURES)} {WITHIN}")
    if len(set(figures)) < len(figures):
        raise CannotAnswer("a figure is wished twice", "wish each once")
    exact = tune.tune(spec, blends, places, wishes)
    poured = tuned_pour.poured(spec, blends, exact, places, wishes)
    conflict = tune.conflict(spec, blends, places, wishes) if exact.missed else ()
    others = [place for place, line in enumerate(before.poured) if place not in places and movable(line)]
    finer = {} if exact.missed else calc_finer.finer(spec, blends, poured, places, others, wishes)
    many = _figures_written(spec, blends, exact, places, wishes)
    balances = [balance(one.glass) for one in (before, exact.drink, poured.drink)]
    return Tuned(
        id=spec.id,
        name=spec.name,
        possible=not exact.missed,
        conflict=tuple(wish.figure for wish in conflict),
        why=_why(conflict, exact, places, library),
        wishes=tuple(_wished(wish, exact, poured.drink, finer.get(wish), library, *balances) for wish in wishes),
        lines=tuple(_line(before, exact, poured, number, place, library, many) for number, place in enumerate(places)),
        before=balances[0],
        exact=balances[1],
        pourable=balances[2],
        out_of_range=out_of_range(blends, before, exact, poured, wishes),
        notes=notes(blends, before, exact, poured, places, wishes),
        cautions=_new_cautions(before, poured.drink, library),
    )


def places_of(spec: Spec, items: Sequence[str]) -> tuple[int, ...]:
    """The lines of these items. Raises CannotAnswer for one that has none, and for no items at all."""
    names = [line.item for line in spec.lines]
    for item in items:
        if item not in names:
            raise CannotAnswer(f"{item} is in no line of {spec.name}", nearest(item, names, "name its lines"))
    return tuple(place for place, name in enumerate(names) if name in items)


def wish_of(text: str, spec: Spec, library: Library) -> Wish:
    """`acid=0.85 g/100ml`, `abv=18 %`, `volume=150 ml`, `ratio=9`; `sugar=within` its window. Raises as `tuned`."""
    figure, equals, value = (part.strip() for part in text.partition("="))
    figure = figure.lower()
    if not equals or figure not in FIGURES:
        near = get_close_matches(figure, FIGURES, n=1, cutoff=0.5)
        example = f"write e.g. acid=0.85 g/100ml; the figures are {', '.join(FIGURES)}"
        remedy = f"did you mean {near[0]}=…?" if near and near[0] != figure else example
        raise AmountError(text, 0, f"“{text}” is no wish", remedy)
    if value.lower() == WITHIN:
        window = library.windows.get(spec.style)
        if window is None or figure not in window.figures:
            raise CannotAnswer(f"{spec.name} has no window for {WORDS[figure]}", f"wish a value: {figure}=…")
        return Wish(figure, *window.figures[figure])
    number = _value(figure, value, spec.ounce or library.house.ounce, library.house)
    if number < 0.0 or (number == 0.0 and figure in {"volume", "ratio"}):
        raise CannotAnswer(f"{said(figure, number)} cannot be: no drink has so little", "wish more")
    if number > _MOST[figure]:
        raise CannotAnswer(f"{said(figure, number)} cannot be: no drink has so much", "wish less")
    return Wish(figure, number, number)


def said(figure: str, value: float, many: int = 3) -> str:
    """A figure with its unit: `acid 0.85 g/100 ml as citric`."""
    return f"{WORDS[figure]} {say.number(value, many)} {UNITS[figure]}".rstrip()


def figure_of(found: Balance, figure: str) -> float | None:
    """A wished figure of a balance."""
    return found.ml if figure == "volume" else found.figures[figure]


def movable(poured: Poured) -> bool:
    """Whether a line can move: it is part of the liquid, by an amount that is said."""
    amount = poured.line.amount
    return poured.counts and amount.value is not None and amount.role != "rinse"


def _value(figure: str, text: str, ounce: str, house: House) -> float:
    found = _VALUE.fullmatch(text)
    if not found:
        raise AmountError(text, 0, f"“{text}” is no value for {WORDS[figure]}", f"write a number in {UNITS[figure] or 'g per g'}")
    number, unit = parse_number(found["number"].replace(" ", "")), (found["unit"] or "").strip().lower()
    if figure == "volume":
        read = parse_amount(f"1 {unit or 'ml'}")
        if read.measures == "volume":
            return number * ml_per(read.unit, ounce, house.spoons)
    elif figure == "abv" and _PERCENT.fullmatch(unit):
        return number
    elif figure in {"acid", "sugar"}:
        if _PER_100_ML.fullmatch(unit):
            return number
        if _PER_L.fullmatch(unit):
            return number / 10.0
    elif figure == "ratio" and not unit:
        return number
    raise AmountError(text, 0, f"{WORDS[figure]} is not in {found['unit']}", f"write it in {UNITS[figure] or 'g per g, as 9'}")


def _refuse_unmoved(before: Drink, places: Sequence[int], library: Library) -> None:
    if not places:
        raise CannotAnswer("no line may move", "name those that may: --move lime-juice,syrup-1-1")
    for place in places:
        if not movable(before.poured[place]):
            name = library.name_of(before.poured[place].line.item)
            raise CannotAnswer(f"{name} cannot move: it is not part of the liquid by an amount", "name another line")


def _wished(
    wish: Wish,
    exact: Tuning,
    made: Drink,
    finer: int | None,
    library: Library,
    before: Balance,
    found: Balance,
    poured: Balance,
) -> Wished:
    item = "" if finer is None else made.spec.lines[finer].item
    now, then = figure_of(found, wish.figure), figure_of(poured, wish.figure)
    return Wished(
        figure=wish.figure,
        low=wish.low,
        high=wish.high,
        was=figure_of(before, wish.figure),
        exact=now,
        pourable=then,
        met=wish not in exact.missed,
        met_as_poured=tune.is_met_as_poured(wish, made.glass, library.house.taste),
        rounding=then / now - 1.0 if now and then is not None else None,
        finer=item,
        finer_name=library.name_of(item) if item else "",
    )


def _line(before: Drink, exact: Tuning, poured: Tuning, number: int, place: int, library: Library, many: int) -> TunedLine:
    amount = before.poured[place].line.amount
    item = before.poured[place].line.item
    own = before.spec.lines[place].amount
    return TunedLine(
        item=item,
        name=library.name_of(item),
        unit=own.unit,
        was=own.value or 0.0,
        exact=exact.amounts[number],
        pourable=poured.amounts[number],
        was_text=amount.text,
        exact_text=_written(own, exact.amounts[number], many).text,
        pourable_text=rewritten(own, poured.amounts[number]).text,
        exact_g=exact.drink.poured[place].dose.mass_g,
        pourable_g=poured.drink.poured[place].dose.mass_g,
    )


def _figures_written(spec: Spec, blends: Blends, exact: Tuning, places: Sequence[int], wishes: Sequence[Wish]) -> int:
    """With how many figures the exact amounts must be written, so that what is read again meets the wishes as they do."""
    for many in _FEW_TO_MANY:
        amounts = [_written(spec.lines[place].amount, one, many) for place, one in zip(places, exact.amounts, strict=True)]
        try:
            glass = drink(tune.with_amounts(spec, places, [one.value or 0.0 for one in amounts]), blends).glass
        except CannotAnswer:  # rounded up, it is over the washline
            continue
        if all(abs(tune.miss(wish, glass) - tune.miss(wish, exact.drink.glass)) <= _EXACTLY for wish in wishes):
            break
    return many


def _written(own: Amount, value: float, many: int) -> Amount:
    return rewritten(own, float(f"{value:.{many}g}"))


def _new_cautions(before: Drink, after: Drink, library: Library) -> tuple[Caution, ...]:
    """What must be said of the tuned drink and was not of the one before."""
    old = {(one.code, one.about) for one in caution.of_drink(before, library)}
    return tuple(one for one in caution.of_drink(after, library) if (one.code, one.about) not in old)


def _why(conflict: Sequence[Wish], exact: Tuning, places: Sequence[int], library: Library) -> str:
    """What cannot be had, in one sentence; "" where all can."""
    if not conflict:
        return ""
    names = _listed([library.name_of(exact.drink.poured[place].line.item) for place in places])
    found = balance(exact.drink.glass)
    wished = _listed([_span_said(wish) for wish in conflict])
    reached = [(wish, figure_of(found, wish.figure)) for wish in conflict]
    nearest = _listed([said(wish.figure, value, digits(wish.low, wish.high)) for wish, value in reached if value is not None])
    together = " together" if len(conflict) > 1 else ""
    refused = f"{wished[0].upper()}{wished[1:]} cannot be had{together} by moving {names}"
    return f"{refused}: the nearest drink has {nearest}.{_strongest(conflict, exact, library)}"


def _strongest(conflict: Sequence[Wish], exact: Tuning, library: Library) -> str:
    """Why there is no more alcohol to be had, where that is what was wished."""
    strengths: Mapping[str, float] = {
        poured.line.item: balance(poured.stuff.per_g).abv_pct or 0.0 for poured in exact.drink.poured if poured.counts
    }
    item = max(strengths, key=lambda name: strengths[name], default="")
    if not any(wish.figure == "abv" and item and wish.low > strengths[item] for wish in conflict):
        return ""
    return f" The strongest line, {library.name_of(item)}, is {say.number(strengths[item])} % vol before any water."


def _span_said(wish: Wish) -> str:
    return f"{WORDS[wish.figure]} {span_said(wish.low, wish.high)} {UNITS[wish.figure]}".rstrip()


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""
