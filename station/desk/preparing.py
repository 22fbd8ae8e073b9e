"""The day: what should be there, what is, and so what to make, in making order."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from station.bar import say
from station.bar.dates import parse_date
from station.bar.fault import CannotAnswer
from station.bar.nouns import House, Item, Stock
from station.calc import keeping
from station.calc.blend import Blends
from station.calc.explode import making_order
from station.calc.lot_answers import Prep, PrepList
from station.calc.lots import Standing
from station.calc.shelf_life import fresh_until
from station.calc.weigh import grams_of
from station.desk.logging import has_log, log_of, told
from station.desk.on_shelf import standing_after
from station.desk.opening import Opened

# The mean use of a day is taken over so many service days, and from so few on.
DAYS, LEAST_DAYS = 28, 7
# Less than this is not worth making, g.
_LEAST_G = 0.5


@dataclass(frozen=True, slots=True)
class _Day:
    """What the log says of one service day: lots in date by item, and the mean use a day of each, g."""

    moment: datetime
    there: Mapping[str, list[Standing]]
    use_g: Mapping[str, float]


def prepared(opened: Opened, day_text: str, now: datetime) -> PrepList:
    """What to make for that service day, today's where none is named. Raises AmountError for no date, CannotAnswer."""
    library, house = opened.library, opened.library.house
    here = keeping.in_house(now, house)
    today = keeping.service_day(here, keeping.clock(house))
    day = parse_date(day_text) if day_text else today
    start = datetime.combine(day, keeping.clock(house), tzinfo=here.tzinfo)
    moment = max(start, here) if day == today else start
    found = _Day(moment, _there(standing_after(opened, moment), moment), _use(opened, today))
    pars, notes = _pars(opened.blends)
    needed = dict(pars)
    order = making_order((name for name in library.stocks if name in pars), library)
    makes: dict[str, Prep] = {}
    for name in reversed(order):
        one = _prep(opened.blends, name, pars, needed, found)
        if one.g >= _LEAST_G:
            makes[name] = one
            _take(opened.blends, name, one.g, needed)
    gets = [_prep(opened.blends, name, pars, needed, found) for name in library.items if name in pars]
    return PrepList(
        day=day,
        make=tuple(makes[name] for name in order if name in makes),
        get=tuple(one for one in gets if one.g >= _LEAST_G),
        notes=tuple(notes),
    )


def _pars(blends: Blends) -> tuple[dict[str, float], list[str]]:
    """Grams that should be there, by item; and a sentence for each par that has no weight."""
    library, pars, notes = blends.library, dict[str, float](), list[str]()
    nouns: Iterable[Item | Stock] = (*library.stocks.values(), *library.items.values())
    for noun in nouns:
        if noun.par is not None:
            try:
                pars[noun.id] = grams_of(noun.par, noun.id, blends.stuff, library)
            except CannotAnswer as error:
                notes.append(f"{noun.name} has a par of {noun.par.text}, left out: {error}")
    return pars, notes


def _there(standing: Iterable[Standing], moment: datetime) -> dict[str, list[Standing]]:
    found: dict[str, list[Standing]] = {}
    for one in standing:
        if one.there and one.in_date(moment) and one.lot.kind != "batch":
            found.setdefault(one.lot.item, []).append(one)
    return found


def _use(opened: Opened, today: date) -> dict[str, float]:
    """Mean grams a service day that were weighed out of each item; none before the log has LEAST_DAYS days."""
    if not has_log(opened):
        return {}
    house = opened.library.house
    oldest = datetime.combine(today - timedelta(days=DAYS), keeping.clock(house), tzinfo=ZoneInfo(house.timezone))
    with told():
        weighings = log_of(opened).weighed_since(oldest)
    days = {one.uuid: keeping.service_day(keeping.in_house(one.at, house), keeping.clock(house)) for one in weighings}
    recent = [one for one in weighings if days[one.uuid] < today]
    span = (today - min((days[one.uuid] for one in recent), default=today)).days
    used: dict[str, float] = {}
    for one in recent if span >= LEAST_DAYS else ():
        used[one.item] = used.get(one.item, 0.0) + one.actual_g / span
    return used


def _prep(blends: Blends, name: str, pars: Mapping[str, float], needed: Mapping[str, float], day: _Day) -> Prep:
    library, stuff = blends.library, blends.stuff(name)
    noun: Item | Stock = library.stocks.get(name) or library.items[name]
    lots = day.there.get(name, [])
    on_hand = sum(one.left_g or 0.0 for one in lots)
    wanted = needed.get(name, 0.0)
    most, cap = _cap(noun, day.use_g.get(name, 0.0), library.house)
    most = max(most, wanted - pars.get(name, 0.0))
    grams = max(0.0, min(wanted, most) - on_hand)
    ml = grams / stuff.g_per_ml if stuff.g_per_ml else None
    return Prep(
        item=name,
        name=noun.name,
        par_g=pars.get(name, 0.0),
        needed_g=wanted,
        on_hand_g=on_hand,
        g=grams,
        ml=ml,
        cap=cap if wanted > most else "",
        use_by=fresh_until(library, name, day.moment, keeping.clock(library.house)),
        store=noun.store,
        lots=tuple(one.lot.short for one in lots),
        unmeasured=tuple(one.lot.short for one in lots if one.left_g is None),
        pieces=_pieces(noun, ml),
    )


def _cap(noun: Item | Stock, use_g: float, house: House) -> tuple[float, str]:
    """No more than is used before it ends, where the log knows how much that is."""
    keeps = keeping.keeps_of(noun)
    if keeps is None or use_g <= 0.0:
        return math.inf, ""
    most = use_g * max(1.0, keeps.hours / 24.0)
    return most, f"keeps {keeps}, and {say.grams(use_g)} of it go in a day: no more than {say.grams(most)}"


def _take(blends: Blends, name: str, grams: float, needed: dict[str, float]) -> None:
    """What making so much of a stock takes of its parts, that much more is needed of them."""
    making = blends.making(name)
    for dose in making.doses:
        needed[dose.item] = needed.get(dose.item, 0.0) + dose.mass_g * grams / making.composition.mass_g


def _pieces(noun: Item | Stock, ml: float | None) -> tuple[float, float] | None:
    fruit = noun.fruit if isinstance(noun, Item) else None
    if fruit is None or ml is None:
        return None
    return math.ceil(ml / fruit.usual_ml), math.ceil(ml / fruit.low_ml)
