"""Answers as plain text: the list, a spec, a batch card."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from functools import wraps
from typing import ParamSpec

from station.bar import say
from station.bar.cautions import Caution
from station.bar.listed import Listed
from station.bar.nouns import House, Library, Scale, is_of_edit
from station.bar.shown_as import volume_in
from station.calc.answers import Batched, LotUsed, Shown
from station.calc.balance import Balance
from station.calc.batch import BatchLine, Mix, is_whole
from station.calc.dilution import Dilution
from station.calc.keeping import in_house
from station.calc.sulphites import Sulphites
from station.cards import doubt, there
from station.cards.layout import caution_rows, table, wrap
from station.cards.serving import at_the_glass, portion

WIDTH, NARROW = 78, 50

# Cautions that stand at a card's head, beside the word they are about.
_FIRST = frozenset({"shake-diluted"})
# Bases that an amount in ml or g says of itself: a card has no row to spare for them.
_PLAIN_BASES = frozenset({"by volume", "by weight"})

Rows = list[tuple[str, ...]]
Given = ParamSpec("Given")


def plainly(card: Callable[Given, list[str]]) -> Callable[Given, list[str]]:
    """A card whose every line is made plain, whatever names and notes stand in it."""

    @wraps(card)
    def made(*args: Given.args, **kwargs: Given.kwargs) -> list[str]:
        return [say.plain(line, 2000) for line in card(*args, **kwargs)]

    return made


# Each balance figure's name and unit with its basis, as every card and screen says it.
FIGURE_NAMES = {"abv": "ABV", "sugar": "Sugar", "acid": "Acid", "ratio": "Sugar : acid", "ph": "pH"}
FIGURE_UNITS = {
    "abv": "% vol at 20 °C",
    "sugar": "g/100 ml",
    "acid": "g/100 ml as citric",
    "ratio": "g sugar per g acid",
    "ph": "",
}


# Why a reading is not always the sum of the grams above it.
_READINGS = "Pour to the readings: they sum the grams before rounding, so the grams shown may add up to a little more or less."

# What the acid of a card is, in words.
ACID = "Acid: all that a titration finds (TA: base is added up to pH 8.2), counted as if it were all citric acid."


@plainly
def listed(rows: Iterable[Listed]) -> list[str]:
    """One line a spec."""
    return table([(row.id, "FAULTY" if row.faulty else row.name, row.method, row.style) for row in rows])


@plainly
def shown(answer: Shown, library: Library) -> list[str]:
    """One serve: lines with their grams, dilution, balance before ice and in the glass."""
    house = library.house
    rows = [
        (
            line.amount,
            line.prepared,
            volume_in(house, line.ml),
            say.grams(line.g),
            doubt.grams(line.g_sd),
            line.occasion,
            f"{line.basis}; {line.note}" if line.note else line.basis,
        )
        for line in answer.lines
    ]
    served_in = f", {answer.served_in}" if answer.served_in else ""
    return [
        *title(answer.name, f"{answer.method}{served_in} · one serve"),
        *table(rows, right=frozenset({0, 2, 3})),
        "",
        *_dilution(answer),
        "",
        *_balances(answer, house),
        *doubt.of_one_drink(answer.glass_sd, WIDTH),
        "",
        *_acids(answer),
        *_how(answer),
        *allergen_lines(answer.allergens, answer.may_contain),
        *_sulphites(answer.sulphites, library),
        f"Alcohol in it: {say.grams(answer.glass.ethanol_g)} = {say.number(answer.standard_drinks)} {standard_drinks(house)}",
        *caution_lines(answer.cautions),
    ]


@plainly
def batch_card(answer: Batched, library: Library, width: int = WIDTH) -> list[str]:
    """The card to weigh from: DILUTED or UNDILUTED first, then every mix, fills, what is added at the glass."""
    freezer = " · for the FREEZER" if answer.for_freezer else ""
    return [
        *title(answer.name, f"{state(answer.diluted)}{freezer} · {say.number(answer.full_serves, 6)} full serves")[:-1],
        *_unsaved(answer, min(width, WIDTH)),
        "",
        *(line for text in _totals(answer, library.house) for line in wrap(text, min(width, WIDTH))),
        *there.on_hand(answer, library, min(width, WIDTH)),
        *doubt.by_rounding(answer.rounded, width),
        *caution_lines([one for one in answer.cautions if one.code in _FIRST], width),
        *(line for mix in answer.mixes for line in mix_lines(mix, library, width)),
        *_fills(answer, library),
        "",
        *at_the_glass(answer.serving, answer.service, library, min(width, WIDTH)),
        *doubt.side_by_side(answer, min(width, WIDTH)),
        "",
        *allergen_lines(answer.allergens, answer.may_contain),
        *_sulphites(answer.sulphites, library),
        *_alcohol(answer, library.house),
        f"Use by: {until(answer.use_by, library.house)}",
        *_lots(answer, width),
        *caution_lines([one for one in answer.cautions if one.code not in _FIRST], width),
    ]


def _unsaved(answer: Batched, width: int) -> list[str]:
    """That the card is of an edit; nothing where it is of the drink as its file has it."""
    edit = is_of_edit(answer.spec_revision)
    return wrap("NOT SAVED: this card is of the edit as it stands.", width) if edit else []


def standard_drinks(house: House) -> str:
    """The unit alcohol is counted in, with what one holds."""
    return f"standard drinks of {say.grams(house.standard_drink_g)} alcohol each"


def state(diluted: bool) -> str:
    return "DILUTED" if diluted else "UNDILUTED"


def moment(when: datetime | None) -> str:
    """A date and time as people read it; a dash where none is known."""
    return f"{when.day} {when:%b %Y, %H:%M}" if when else say.NOTHING


def until(when: datetime | None, house: House) -> str:
    """A use-by: the moment itself with its weekday, by the house's clock; a dash where none is known."""
    if when is None:
        return say.NOTHING
    here = in_house(when, house)
    return f"{here:%a} {moment(here)}"


def figure_rows(before: Balance, glass: Balance, window: Mapping[str, tuple[float, float]]) -> Rows:
    """Each figure before ice and in the glass, with its unit and where it stands in the window."""
    was, now = before.figures, glass.figures
    rows: Rows = []
    for figure, name in FIGURE_NAMES.items():
        value = now[figure]
        standing = ""
        if figure in window and value is not None:
            low, high = window[figure]
            standing = f"{say.standing(value, window[figure])} {say.number(low)} to {say.number(high)}"
        old, new = say.number(was[figure]), say.number(value)
        if figure == "ph":
            old, new = say.ph(before.ph, bool(before.ph_note)), say.ph(glass.ph, bool(glass.ph_note))
        rows.append((name, old, new, FIGURE_UNITS[figure], standing))
    return rows


def ph_note(glass: Balance) -> list[str]:
    """Why there is no pH, or how far it is good."""
    return wrapped(f"pH: {glass.ph_note}.") if glass.ph_note else []


def title(name: str, under: str) -> list[str]:
    return [say.plain(name), under, ""]


def _dilution_said(water: Dilution) -> str:
    """The water of the ice, and what part it is of the volume before and after."""
    before, after = (f"{say.number(100.0 * one)}{say.GAP}%" for one in (water.fraction_of_initial, water.fraction_of_final))
    return f"Dilution: {say.grams(water.water_g)} water = {before} of the volume before ice = {after} of the volume after it"


def _dilution(answer: Shown) -> list[str]:
    water = answer.dilution
    if water.water_g == 0.0:
        return ["Dilution: none, it meets no ice"]
    return [*wrap(_dilution_said(water), WIDTH, "          "), *wrap(f"          {water.source}", WIDTH, "          ")]


def _balances(answer: Shown, house: House) -> list[str]:
    volumes = ("Volume", volume_in(house, answer.before.ml), volume_in(house, answer.glass.ml), "", "")
    head = ("", "before", "glass", "", "window" if answer.window else "")
    lines = table([head, volumes, *figure_rows(answer.before, answer.glass, answer.window)], right=frozenset({1, 2}))
    if answer.ta_in_house_basis is not None:
        lines += wrapped(f"TA as {house.acidity}: {say.number(answer.ta_in_house_basis)} g/100 ml in the glass.")
    lines += [*wrapped(ACID), *ph_note(answer.glass)]
    return lines + ([f"Window: {say.plain(answer.window_source)}"] if answer.window_source else [])


def _totals(answer: Batched, house: House) -> tuple[str, str]:
    """The whole and the portion; the count of serves only where it is not the whole one of the line above."""
    serves = "" if is_whole(answer.serves) else f" ({say.number(answer.serves, 4)} serves)"
    limit = f", as far as {answer.limited_by} goes" if answer.limited_by else ""
    water = f", {say.grams(answer.water_g)} of it water for dilution" if answer.diluted and answer.water_g else ""
    total = f"{volume_in(house, answer.total_ml)} = {say.grams(answer.total_g)} in all"
    return f"{total}{serves}{limit}{water}", portion(answer.serving, house)


def mix_lines(mix: Mix, library: Library, width: int) -> list[str]:
    """What to weigh for a mix, in sequence, with what the scale reads after each line."""
    vessel = library.house.vessels.get(mix.vessel or "")
    name = vessel.name if vessel else "one vessel"
    each = " each" if mix.count > 1 else ""
    times = f"{mix.count} equal mixes, each in {name}" if mix.count > 1 else f"in {name}"
    cups = [line for line in mix.lines if line.into != "vessel"]
    straight = [line for line in mix.lines if line.into == "vessel"]
    lines = ["", *wrap(f"Mix {times}: {volume_in(library.house, mix.ml)}, {say.grams(mix.g)}{each}", min(width, WIDTH), hang="")]
    if mix.count > 1:
        lines += wrap(f"The lines are of one mix: weigh it {mix.count} times.", min(width, WIDTH), hang="")
    if cups:
        lines += ["", "First, together in a tared cup:", *_weighings(cups, mix.g, library, width)]
    lines += [
        "",
        "Then into the tared vessel:" if cups else "Into the tared vessel:",
        *_weighings(straight, mix.g, library, width),
        *(wrap(_READINGS, min(width, WIDTH)) if _off_the_sum(mix.lines, library) else []),
    ]
    if cups:
        reads = f"the scale reads {say.grams(mix.g, _readability(straight, library))}"
        overloaded = any(line.apart for line in straight)
        lines.append(f"Last, tip the cup in{'' if overloaded else f': {reads}'}")
    return lines


def _weighings(lines: list[BatchLine], mix_g: float, library: Library, width: int) -> list[str]:
    """A row a line: what, how much, what the scale reads, where there is room the volume and scale; the rest under it."""
    rows, under = [], []
    for line in lines:
        scale = library.house.scales.get(line.scale)
        step = scale.readability_g if scale else None
        ml = volume_in(library.house, line.ml) if line.ml is not None and line.weigh_g == line.g else ""
        times = f"{line.times} × " if line.times > 1 else ""
        reads, on = f"{times}reads {say.grams(line.reads_g, step)}", _scale_name(scale)
        columns = (ml, reads, on) if width >= WIDTH else (reads,) if width >= NARROW else ()
        rows.append((what(line, library), say.grams(line.weigh_g, step), *columns))
        basis = "" if line.basis in _PLAIN_BASES else line.basis
        said = (
            (() if columns else (reads,))
            + (() if on in columns else (on,))
            + (acid_in(line.acid_g), line.rounded, basis, doubt.in_mix(line.g_sd, line.g, mix_g, step or 0.0), line.note)
        )
        text = " · ".join(part for part in said if part)
        under.append(textwrap.wrap(text, width - 2, initial_indent="  ", subsequent_indent="  ", break_on_hyphens=False))
    heads = table(rows, right=frozenset({1, 2, 3}), width=width)
    return [text for head, foot in zip(heads, under, strict=True) for text in (head, *foot)]


def _off_the_sum(lines: Sequence[BatchLine], library: Library) -> bool:
    """Whether a reading is not the one before it and the line's grams, as a card shows the three."""
    steps: dict[str, int] = {}
    for line in lines:
        scale = library.house.scales.get(line.scale)
        if scale is None or line.apart:
            continue
        grams, reads = (round(one / scale.readability_g) for one in (line.weigh_g, line.reads_g))
        if reads != steps.get(line.into, 0) + grams:
            return True
        steps[line.into] = reads
    return False


def what(line: BatchLine, library: Library) -> str:
    """What goes on the scale: the item, or the weaker solution that brings it."""
    name = library.name_of(line.item)
    return let_down(name) if line.intermediate else name


def let_down(name: str) -> str:
    """What is weighed where no scale sees the dose itself."""
    return f"{name}, let down with water"


def _scale_name(scale: Scale | None) -> str:
    return scale.name if scale else "no scale"


def _readability(lines: list[BatchLine], library: Library) -> float | None:
    scale = library.house.scales.get(lines[0].scale) if lines else None
    return scale.readability_g if scale else None


def acid_in(acid_g: Mapping[str, float]) -> str:
    return ", ".join(f"{say.grams(grams)} of it {acid}" for acid, grams in acid_g.items())


def _fills(answer: Batched, library: Library) -> list[str]:
    return [
        f"Fill {fill.count} × {library.house.vessels[fill.vessel].name}: "
        f"{volume_in(library.house, fill.ml)} = {say.grams(fill.g)} each"
        for fill in answer.fills
        if fill.count > answer.mixes[0].count
    ]


def _sulphites(found: Sulphites | None, library: Library) -> list[str]:
    """By mg, from what items state; the EU and the US declare them from 10 mg to the litre or kilogram."""
    if found is None:
        return []
    more = f", and what nobody states of {'; '.join(map(library.name_of, found.unstated))}" if found.unstated else ""
    known = f"{say.number(found.mg)} mg a serve, {say.number(found.mg_per_l)} mg/L of the glass, as SO2" if found.mg else ""
    return wrapped(f"Sulphites: {known}{more if known else more.removeprefix(', and ')}.")


def _alcohol(answer: Batched, house: House) -> list[str]:
    """Grams of alcohol and standard drinks of the whole, of a serve, and of each vessel it is filled out into."""
    whole, serve = say.number(answer.standard_drinks), say.number(answer.standard_drinks_per_serve)
    lines = [
        f"Alcohol in it: {say.grams(answer.ethanol_g)} = {whole} {standard_drinks(house)}",
        f"  a serve: {say.grams(answer.ethanol_g_per_serve)} = {serve} of them",
    ]
    for fill in answer.fills if len(answer.fills) > 1 or (answer.fills and answer.fills[0].count > 1) else ():
        share, name = fill.g / answer.total_g, house.vessels[fill.vessel].name
        held = f"{say.grams(answer.ethanol_g * share)} = {say.number(answer.standard_drinks * share)} of them"
        lines.append(f"  each {name}: {held}")
    return lines


def lot_line(lot: LotUsed) -> str:
    """A lot a card takes from, and what was measured of it."""
    found = [f"TA {lot.ta}" if lot.ta else "", f"pH {say.number(lot.ph)}" if lot.ph is not None else ""]
    said = ", ".join(part for part in found if part)
    by = f", measured {moment(lot.measured_at)} by {lot.measured_by}" if lot.measured_at else ""
    return f"{lot.name}: lot {lot.lot}{f', {said}' if said else ''}{by}"


def _lots(answer: Batched, width: int) -> list[str]:
    """The lots it takes from, and how far what was measured of them moves the glass."""
    lines = [line for lot in answer.lots for line in wrap(lot_line(lot), width)]
    if answer.glass_by_files is not None:
        lines += wrap(f"So the glass has {moved(answer.glass_by_files, answer.glass)}.", width)
    return ["", "From the lots on the shelf:", *lines] if lines else []


def moved(before: Balance, after: Balance) -> str:
    """How far a glass moved: acid, and sugar to acid."""
    was, now = say.number(before.acid_g_per_100ml), say.number(after.acid_g_per_100ml)
    acid = f"{now} g acid as citric per 100 ml (by the files {was})"
    if after.sugar_acid_ratio is None or before.sugar_acid_ratio is None:
        return acid
    return f"{acid}, {say.number(after.sugar_acid_ratio)} g sugar per g acid ({say.number(before.sugar_acid_ratio)})"


def _acids(answer: Shown) -> list[str]:
    """Each acid of the glass, and how sour it counts: an opinion apart from the titration."""
    whole = sum(answer.acids.values())
    if not whole:
        return []
    kinds = [
        f"{name} {say.number(grams)} g/100 ml ({say.percent(grams / whole, 'of all acid by weight')})"
        for name, grams in answer.acids.items()
    ]
    lines = wrapped(f"Acids in the glass: {', '.join(kinds)}.")
    if answer.sour_as_citric is not None:
        sour = say.number(answer.sour_as_citric, 2)
        lines += wrapped(f"Counts as sour as about {sour} g citric per 100 ml (by molecules, Neta et al. 2007; an estimate).")
    return [*lines, ""]


def _how(answer: Shown) -> list[str]:
    """Ice, strain, steps and notes, as far as the spec says them."""
    said = [f"Ice: {answer.ice}" if answer.ice else "", f"Strain: {answer.strain}" if answer.strain else ""]
    said += [f"{place}. {step}" for place, step in enumerate(answer.steps, 1)]
    lines = [line for text in (*said, answer.notes) for line in wrapped(text)]
    return [*lines, ""] if lines else []


def wrapped(text: str, width: int = WIDTH) -> list[str]:
    return wrap(text, min(width, WIDTH), hang="")


def allergen_lines(allergens: Iterable[str], may_contain: Iterable[str]) -> list[str]:
    traces = ", ".join(may_contain)
    return [f"Allergens: {say.allergens(allergens)}", *([f"May contain traces of: {traces}"] if traces else [])]


def caution_lines(cautions: Iterable[Caution], width: int = WIDTH) -> list[str]:
    lines = caution_rows(cautions, min(width, WIDTH))
    return ["", *lines] if lines else []
