"""An order as plain text, section by section: the same lines stand on paper and on the screen."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime

from station.bar import say
from station.bar.nouns import Library
from station.bar.shown_as import volume_in
from station.calc.buying import Bought
from station.calc.cost import Cost
from station.calc.filling import Filled
from station.calc.ordered import Cold, ListedOrder, OrderBatch, Ordered
from station.calc.prep import MAKE, MIX, ORDER, PRESS, Step
from station.cards.layout import caution_rows, rows_or_pairs, table, wrap
from station.cards.text import WIDTH, plainly, standard_drinks, state

# What a section is called, and how it is made.
Section = tuple[str, Callable[[Ordered, Library, int], list[str]]]

# How the rows of the cost go together.
_RELATED = (
    "The last two are of all there is: what is bought and what was on hand, the latter at the price of its packs. "
    "A serve costs what goes into it, not what is left."
)
_DOES = {ORDER: "order", MAKE: "make", PRESS: "press", MIX: "mix"}
_GAP = "  "
# What rounding leaves of nothing, g or pieces.
_NOTHING = 1e-6


@plainly
def listed(rows: Iterable[ListedOrder]) -> list[str]:
    """One line an order."""
    return table([(one.id, one.name, one.date.isoformat(), f"{say.number(one.guests, 9)} guests") for one in rows])


def table_row(one: ListedOrder) -> str:
    """An order in one row of a list."""
    return f"{one.date.isoformat()}  {one.name}, {say.number(one.guests, 9)} guests"


@plainly
def order_card(answer: Ordered, library: Library, width: int = WIDTH) -> list[str]:
    """The whole order, for one who plans it."""
    lines = headline(answer, width)
    for name, section in SECTIONS:
        lines += ["", name.upper(), *section(answer, library, width)]
    return lines


def headline(answer: Ordered, width: int) -> list[str]:
    """What it is, and from guests to drinks in one line."""
    invented = " · invented" if answer.invented else ""
    return [
        answer.name,
        f"{day(answer.starts)} {answer.starts:%H:%M} to {answer.ends:%H:%M} · {say.number(answer.guests, 9)} guests{invented}",
        *wrap(_drinks(answer), width),
    ]


def _drinks(answer: Ordered) -> str:
    made = f"{say.number(sum(answer.serves.values()), 9)} made"
    if answer.drinks is None:
        return f"{say.number(answer.mixed, 9)} drinks, {made}"
    other = f", {say.number(answer.other, 9)} others not planned here" if answer.other else ""
    return f"{say.number(answer.drinks, 9)} drinks expected, {say.number(answer.mixed, 9)} of them mixed ({made}){other}"


def assumptions(answer: Ordered, library: Library, width: int) -> list[str]:
    """Every figure the order rests on, and whether the order says it."""
    rows = [(one.label, one.value or say.NOTHING, "" if one.said else "taken") for one in answer.assumptions]
    head = wrap(
        "Estimates all, but the date, the guests and what was counted; taken: common practice, not said in the file.", width
    )
    return [*table(rows, right=frozenset({1}), width=width), *head]


def batches(answer: Ordered, library: Library, width: int) -> list[str]:
    """Each drink: serves, volume, with or without its water."""
    rows = [
        (
            one.name,
            f"{say.number(one.serves, 9)} serves",
            f"{volume_in(library.house, one.serving.ml)} a serve" if one.serving.ml else "made at the glass",
            f"{volume_in(library.house, one.total_ml)} in all" if one.serving.ml else "",
            state(one.diluted) + _freezer(one),
        )
        for one in answer.batches
    ]
    lines = rows_or_pairs(rows, frozenset({1, 2, 3}), width)
    if answer.without_alcohol:
        share = 100.0 * answer.without_alcohol / sum(answer.serves.values())
        lines += wrap(f"Without alcohol: {answer.without_alcohol} serves, {say.number(share)} % of those made.", width)
    return [*lines, *_cold_lines(answer.batches, width), *_how_many(answer, width)]


def _how_many(answer: Ordered, width: int) -> list[str]:
    """How the serves of the drinks that are shared out come about; nothing where all are counted."""
    if answer.shared is None:
        return []
    names = {one.id: one.name for one in answer.batches}
    counted = sum(one.serves for one in answer.pours if one.share is None)
    shared, mixed = say.number(answer.shared, 9), say.number(answer.shared + counted, 9)
    left = f"{mixed} mixed less {say.number(counted, 9)} counted are {shared} to share out" if counted else f"{mixed} mixed"
    extra = f", {say.number(100.0 * answer.overage)} % of each part extra" if answer.overage else ""
    rows = [
        (
            names[one.spec],
            f"{say.number(one.share)} × {shared} = {say.number(one.expected, 4)}",
            f"{say.number(one.serves, 9)} made",
        )
        for one in answer.pours
        if one.share and one.spec in names
    ]
    return ["", *wrap(f"How many: {left}{extra}, rounded up.", width), *rows_or_pairs(rows, frozenset({1, 2}), width)]


def prep(answer: Ordered, library: Library, width: int) -> list[str]:
    """What to do, in its order, with the latest start and the earliest by what keeps."""
    rows = [_step(place, one, answer, library) for place, one in enumerate(answer.prep, 1)]
    return rows_or_pairs(rows, frozenset({2}), width) if rows else ["nothing to make ahead"]


def vessels(answer: Ordered, library: Library, width: int) -> list[str]:
    """Where each drink is mixed and what it is filled into."""
    lines: list[str] = []
    for one in answer.batches:
        size = f"{volume_in(library.house, one.total_ml)}, {say.grams(one.total_g)}"
        lines += wrap(f"{one.name}: {state(one.diluted)}{_freezer(one)}, {size}", width)
        said = [mixed_in(one, library), *(filled(fill, library) for fill in one.fills)]
        lines += [_GAP + line for text in said for line in wrap(text, width - 2)]
    return lines


def shopping(answer: Ordered, library: Library, width: int) -> list[str]:
    """What to buy in packs, what is needed of it, what it costs, what stays."""
    rows = [_bought(one, answer.cost.currency, library) for one in answer.shop]
    lines = rows_or_pairs(rows, frozenset({1, 2, 4, 5}), width)
    for one in answer.shop:
        for line in fruit(one, library):
            lines += wrap(line, width)
    return [*lines, *wrap(f"Water into drinks and stocks: {say.grams(answer.masses.water_g)}", width)]


def beside(answer: Ordered, library: Library, width: int) -> list[str]:
    """Ice, water, glasses, garnish, and what each guest would drink."""
    low, high = answer.beside.ice_kg
    ice = f"{_kg(low)}" if low == high else f"{_kg(low)} to {_kg(high)}"
    rows = [
        ("Ice", ice),
        ("Water for guests", volume_in(library.house, 1000.0 * answer.beside.water_l)),
        ("Glasses", say.number(answer.beside.glasses, 9)),
    ]
    rows += [(f"  of them {kind}", say.number(count, 9)) for kind, count in answer.beside.glasses_by_kind.items()]
    rows += [
        (f"{one.name}, garnish", amount(one.need + one.lost, one.unit))
        for one in answer.shop
        if one.unit == "each" and not one.presses
    ]
    each = say.number(answer.standard_drinks_per_guest, 2)
    grams = say.grams(answer.standard_drinks_per_guest * library.house.standard_drink_g)
    alcohol = f"Alcohol for each guest, of the drinks planned here: {grams} = {each} {standard_drinks(library.house)}"
    return [*table(rows, right=frozenset({1}), width=width), *wrap(alcohol, width)]


def cost(answer: Ordered, library: Library, width: int) -> list[str]:
    """What the shopping comes to, each drink, each guest."""
    whole = answer.cost
    at_least = "" if whole.complete else "at least "
    rows = [
        ("To pay, in whole packs", f"{at_least}{money(whole.amount, whole.currency)}"),
        ("  a guest", f"{at_least}{money(whole.per_guest, whole.currency)}"),
        ("Goes into the drinks", f"{at_least}{money(whole.used, whole.currency)}"),
        ("Is left in packs", f"{at_least}{money(whole.left_over, whole.currency)}"),
    ]
    drinks = [
        (one.name, _each(one.cost, whole.currency), _for_all(one, whole.currency), _share(one, whole.currency))
        for one in answer.batches
    ]
    return [
        *table(rows, right=frozenset({1}), width=width),
        *wrap(_RELATED, width, hang=""),
        "",
        *rows_or_pairs(drinks, frozenset({1, 2}), width),
    ]


def allergens(answer: Ordered, library: Library, width: int) -> list[str]:
    """Drinks against allergens: yes where one is in it, ? where a supplier has not said."""
    rows = [(one.name, say.allergens(one.allergens), _traces(one)) for one in answer.batches]
    return rows_or_pairs(rows, frozenset(), width)


def cautions(answer: Ordered, library: Library, width: int) -> list[str]:
    return caution_rows(answer.cautions, width)


# In the order they are read.
SECTIONS: Sequence[Section] = (
    ("assumptions", assumptions),
    ("drinks", batches),
    ("prep", prep),
    ("vessels", vessels),
    ("shop", shopping),
    ("ice, glasses, water", beside),
    ("cost", cost),
    ("allergens", allergens),
    ("cautions", cautions),
)


def day(when: datetime) -> str:
    """A day as people say it."""
    return f"{when:%a} {when.day} {when:%b %Y}"


def clock(when: datetime) -> str:
    """A moment near the event: its weekday, day and hour."""
    return f"{when:%a} {when.day} {when:%b} {when:%H:%M}"


def money(amount: float, currency: str) -> str:
    """An amount in the house's currency, to the cent."""
    return f"{amount:.2f}{say.GAP}{currency}".rstrip()


def mixed_in(one: OrderBatch, library: Library) -> str:
    """Where a drink is mixed, or that it is not mixed ahead."""
    if not one.mixes:
        return "made at the glass"
    mix = one.mixes[0]
    vessel = library.house.vessels.get(mix.vessel or "")
    name = vessel.name if vessel else "one vessel"
    if mix.count > 1:
        return f"mix it in {mix.count} equal parts, each {volume_in(library.house, mix.ml)} = {say.grams(mix.g)} in {name}"
    return f"mix it once in {name}"


def filled(fill: Filled, library: Library) -> str:
    """Vessels filled alike: by weight, tared first, and gross; what stays empty."""
    vessel, scale = library.house.vessels[fill.vessel], library.house.scales.get(fill.scale)
    step = scale.readability_g if scale else None
    on = f" on the {scale.name}" if scale else ""
    return (
        f"fill {fill.count} × {vessel.name}: {volume_in(library.house, fill.ml)} = {say.grams(fill.g, step)} each, "
        f"{say.grams(fill.gross_g, step)} with the vessel{on}; {say.number(fill.headspace_pct, 2)} % of the brim volume empty"
    )


def fruit(one: Bought, library: Library) -> list[str]:
    """How many of a fruit each juice takes, at its low and at its usual yield."""
    found = []
    for press in one.presses:
        juice = f"{volume_in(library.house, press.ml)} of {library.name_of(press.juice)}"
        low = f"{say.number(press.at_low, 9)} at {say.number(press.low_ml)} ml each"
        usual = f"{say.number(press.at_usual, 9)} at {say.number(press.usual_ml)} ml"
        found.append(f"{one.name} for {juice}: {low}, {usual}")
    return found


def amount(value: float, unit: str) -> str:
    """Grams as kg from 1 kg up, or pieces."""
    if unit == "each":
        count = math.ceil(value - 1e-9)
        return f"{say.number(count, 9)}{say.GAP}piece{'' if count == 1 else 's'}"
    return _kg(value / 1000.0) if value >= 1000.0 else say.grams(value)


def packs(one: Bought) -> str:
    """The packs to buy; without any, the amount itself."""
    if one.packs:
        return " + ".join(f"{pack.count} × {pack.size}" for pack in one.packs)
    return amount(one.bought, one.unit) if one.bought else "nothing"


def _bought(one: Bought, currency: str, library: Library) -> tuple[str, ...]:
    """Every amount of a row in one measure: volumes of what is a liquid, else grams or pieces."""

    def size(value: float) -> str:
        if one.need_ml and one.need:
            return volume_in(library.house, one.need_ml * value / one.need)
        return amount(value, one.unit)

    paid = one.note if one.cost is None else money(one.cost, currency)
    there = f"on hand {size(one.on_hand)}" if one.on_hand > _NOTHING else ""
    left = math.floor(one.left_over + 1e-9) if one.unit == "each" else one.left_over
    over = f"{size(left)} left over" if one.left_over > _NOTHING else ""
    return (one.name, f"need {size(one.need + one.lost)}", there, f"buy {packs(one).replace(' each', ' pieces')}", paid, over)


def _step(place: int, one: Step, answer: Ordered, library: Library) -> tuple[str, ...]:
    names = {batch.id: batch.name for batch in answer.batches} if one.do == MIX else {}
    size = "" if one.do == ORDER else f"{say.grams(one.g)} = {volume_in(library.house, one.ml)}"
    latest = clock(one.start_by)
    if one.do == ORDER:
        when = f"start by {latest}"
    elif one.takes_h:
        when = f"start by {latest}, takes {say.number(one.takes_h)} h"
    else:
        when = f"ready by {latest}, its time is not stated"
    early = f", not before {clock(one.not_before)}" if one.not_before else ""
    name = names.get(one.id) or library.name_of(one.id)
    return (f"{place} {_DOES[one.do]} {name}", size, f"{when}{early}")


def _cold_lines(made: Iterable[OrderBatch], width: int) -> list[str]:
    return [line for one in made if one.cold for line in wrap(f"{one.name}: {_cold(one.cold)}", width)]


def _cold(cold: Cold) -> str:
    if cold.freezing_c is None:
        return f"in the freezer at {say.fixed(cold.freezer_c, 1)} °C; where ice forms in it is not known"
    stays = "it stays liquid" if cold.stays_liquid else "it turns to slush"
    share = f", {say.number(100.0 * (cold.ice_share or 0.0), 2)} % of its water ice" if cold.ice_share else ""
    return f"ice forms from {say.fixed(cold.freezing_c, 0)} °C, an estimate: at {say.fixed(cold.freezer_c, 1)} °C {stays}{share}"


def _each(one: Cost, currency: str) -> str:
    return f"{'' if one.complete else 'at least '}{money(one.amount, currency)} a serve"


def _for_all(one: OrderBatch, currency: str) -> str:
    whole = one.cost.times(one.serves)
    return f"{'' if whole.complete else 'at least '}{money(whole.amount, currency)} for {say.number(one.serves, 9)} serves"


def _share(one: OrderBatch, currency: str) -> str:
    if one.cost_share is None or one.price is None:
        return ""
    share = f"{'' if one.cost.complete else 'at least '}{say.number(100.0 * one.cost_share, 2)} %"
    return f"{share} of its price of {money(one.price, currency)}"


def _freezer(one: OrderBatch) -> str:
    return ", for the FREEZER" if one.for_freezer else ""


def _traces(one: OrderBatch) -> str:
    return f"may contain traces of {', '.join(one.may_contain)}" if one.may_contain else ""


def _kg(value: float) -> str:
    return f"{say.number(value)}{say.GAP}kg"
