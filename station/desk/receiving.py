"""A delivery measured, or a lot measured again: logged, and what that does to the drinks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta

from station.bar import say
from station.bar.amount import Amount, AmountError
from station.bar.composition import Composition
from station.bar.dates import checked, parse_date
from station.bar.fault import CannotAnswer
from station.bar.logged import Lot, Measurement, Row
from station.bar.nouns import Item, Library, Stock
from station.bar.quantity import QuantityError, acidity
from station.calc import caution, keeping
from station.calc.acidity import ta_g
from station.calc.answers import BoughtAcid
from station.calc.balance import balance
from station.calc.blend import Blends
from station.calc.drink import drink
from station.calc.found import Found, found_to_be, to_spec
from station.calc.lot_answers import LotLogged, LotToSpec, Moved
from station.calc.stuff import Stuff
from station.calc.weigh import grams_of
from station.desk.adjusting import one_gram, source_of
from station.desk.asked import some
from station.desk.logging import add, find_lot, named, new_uuid
from station.desk.lot_rows import row_of
from station.desk.on_shelf import as_they_stand
from station.desk.opening import Opened

# A juice's acid varies by a third or so; so many times what its file says is likelier a slip (our own limit, no source).
_FAR = 2.0
# A lot made in the future is a slip of the hand, beyond clocks that differ.
_AHEAD = timedelta(minutes=10)
_HOTTEST_C, _COLDEST_C = 130.0, -40.0


@dataclass(frozen=True, slots=True)
class Delivery:
    """What a person says of a lot: texts as typed, "" for what they did not say. `of` names a lot that is in the log already."""

    item: str
    ta: str = ""
    ph: float | None = None
    brix: float | None = None
    temp_c: float | None = None
    amount: str = ""
    pieces: float | None = None
    made: str = ""
    use_by: str = ""
    code: str = ""
    of: str = ""

    @property
    def measures(self) -> bool:
        return self.tells or self.temp_c is not None

    @property
    def describes(self) -> bool:
        """Whether it says what the lot is: how much of it there is, when it was made and ends, the supplier's code."""
        return bool(self.amount or self.made or self.use_by or self.code) or self.pieces is not None

    @property
    def tells(self) -> bool:
        """Whether anything was measured that says what is in it."""
        return bool(self.ta) or self.ph is not None or self.brix is not None


def received(opened: Opened, said: Delivery, by: str, now: datetime) -> LotLogged:
    """Log the delivery. Raises AmountError for what cannot be read, CannotAnswer; then nothing is logged."""
    lot, found = log_delivery(opened, said, by, now)
    blends, stuff = opened.blends, opened.blends.stuff(said.item)
    return LotLogged(
        row=row_of(as_they_stand(opened, [lot])[0]),
        ta=said.ta,
        ph=said.ph,
        brix=said.brix,
        temp_c=said.temp_c,
        spec_g_per_100ml=_ta(stuff) if found else None,
        measured_g_per_100ml=_ta(found.stuff) if found else None,
        to_spec=_to_spec(blends, found.stuff, stuff) if found and said.ta else None,
        moved=_moved(blends, said.item, found) if found else (),
        ml_per_piece=lot.ml / lot.pieces if lot.ml and lot.pieces else None,
        notes=found.notes if found else (),
    )


def doubt_of(opened: Opened, said: Delivery) -> str:
    """In words, that a TA is far from what the item's file says, as a misplaced point would be; "" where it is not.

    Raises AmountError for what no instrument says.
    """
    _refuse_wild(said)
    filed = _ta(opened.blends.stuff(said.item)) if said.ta else 0.0
    if filed <= 0.0 or 1.0 / _FAR < acidity(said.ta).g_per_100_ml / filed < _FAR:
        return ""
    return f"TA {said.ta}: its file says {say.number(filed)}"


def log_delivery(opened: Opened, said: Delivery, by: str, now: datetime) -> tuple[Lot, Found | None]:
    """The lot, in the log, and how it was found to be. Raises as `received`."""
    library = opened.library
    if said.item not in library.items and said.item not in library.stocks:
        raise CannotAnswer(f"there is no item or stock {said.item}", "see `station check`, or add it to a file")
    _refuse_wild(said)
    person, stuff = named(opened, by), opened.blends.stuff(said.item)
    lot = _again(opened, said) if said.of else _lot(opened, said, person, now)
    here = keeping.in_house(now, library.house)
    one = Measurement(new_uuid(), lot.uuid, here, person, said.ta, said.ph, said.brix, said.temp_c)
    found = found_to_be(stuff, one, lot.name) if said.tells else None
    rows: list[Row] = [*([] if said.of else [lot]), *([one] if said.measures else [])]
    add(opened, *rows)
    return lot, found


def uses(library: Library, name: str) -> list[str]:
    """The drinks that hold that item, directly or in a stock."""
    holding, front = {name}, {name}
    while front:
        front = {one for one, stock in library.stocks.items() if any(line.item in front for line in stock.lines)} - holding
        holding |= front
    return [one for one, spec in library.drinks.items() if any(line.item in holding for line in spec.lines)]


def _lot(opened: Opened, said: Delivery, by: str, now: datetime) -> Lot:
    library, house = opened.library, opened.library.house
    noun: Item | Stock = library.items.get(said.item) or library.stocks[said.item]
    stuff = opened.blends.stuff(said.item)
    made = _moment(said.made, now, opened)
    amount = some(said.amount, "it", "lot") if said.amount else None
    if said.pieces is not None and not 0.0 < said.pieces <= 1e6:
        raise AmountError(str(said.pieces), 0, f"{said.pieces:g} pieces is no count", "say how many fruit were pressed")
    grams = _grams(amount, said.item, opened)
    keeps = keeping.keeps_of(noun)
    ends = [keeping.use_by(made, keeps, keeping.clock(house))] if keeps else []
    if said.use_by:
        ends.append(_last_day(said.use_by, made, opened))
    return Lot(
        uuid=new_uuid(),
        kind="bought" if isinstance(noun, Item) else "stock",
        item=said.item,
        name=noun.name,
        made=made,
        by=by,
        use_by=min(ends, default=None),
        g=grams,
        ml=grams / stuff.g_per_ml if grams is not None and stuff.g_per_ml else None,
        store=noun.store,
        allergens=caution.allergens([stuff]),
        may_contain=tuple(sorted(stuff.may_contain)),
        pieces=said.pieces,
        code=said.code,
        revision=opened.reader.source(noun.file).digest,
        text=opened.reader.source(noun.file).text if isinstance(noun, Stock) else "",
    )


def _again(opened: Opened, said: Delivery) -> Lot:
    lot = find_lot(opened, said.of)
    if lot.item != said.item:
        raise CannotAnswer(f"lot {lot.short} is {lot.name}, not {said.item}", "name the item it is of")
    if not said.measures:
        raise CannotAnswer("nothing was measured", "give --ta, --ph, --brix or --temp")
    if said.describes:
        raise CannotAnswer(f"lot {lot.short} is logged already", "of a lot measured again say only TA, pH, °Bx and temperature")
    return lot


def _refuse_wild(said: Delivery) -> None:
    """Raises AmountError for what no instrument says."""
    if said.ta:
        try:
            acidity(said.ta)
        except QuantityError as error:
            raise AmountError(said.ta, 0, error.reason, error.remedy) from None
    for value, low, high, what in (
        (said.ph, 0.0, 14.0, "a pH"),
        (said.brix, 0.0, 95.0, "a °Bx"),
        (said.temp_c, _COLDEST_C, _HOTTEST_C, "a temperature in °C"),
    ):
        if value is not None and not low <= value <= high:
            raise AmountError(str(value), 0, f"{value:g} is no {what[2:]}", f"write {low:g} to {high:g}")


def _grams(amount: Amount | None, item: str, opened: Opened) -> float | None:
    return None if amount is None else grams_of(amount, item, opened.blends.stuff, opened.library)


def _moment(text: str, now: datetime, opened: Opened) -> datetime:
    """When it was made: as said, by the house's clock, else now. Raises AmountError."""
    here = keeping.in_house(now, opened.library.house)
    if not text:
        return here
    try:
        said = datetime.fromisoformat(text)
    except ValueError:
        raise AmountError(text, 0, f"“{text}” is no date and time", "write e.g. 2026-11-25 16:30") from None
    checked(said.date(), text)
    moment = said.replace(tzinfo=here.tzinfo) if said.tzinfo is None else said.astimezone(here.tzinfo)
    if moment > here + _AHEAD:
        raise AmountError(text, 0, f"{text} is still to come", "say when it was made")
    return moment


def _last_day(text: str, made: datetime, opened: Opened) -> datetime:
    """The end of the service day a supplier dates it to. Raises AmountError."""
    ends: time = keeping.clock(opened.library.house)
    return datetime.combine(parse_date(text) + timedelta(days=1), ends, tzinfo=made.tzinfo)


def _to_spec(blends: Blends, found: Stuff, spec: Stuff) -> LotToSpec | None:
    """Acid or water for a litre; None where the item has no acid of its own to come back to."""
    if _ta(spec) <= 0.0:
        return None
    kinds = {acid: source_of(blends, acid) for acid in spec.per_g.acids}
    bought = {acid: item for acid, item in kinds.items() if item} or {"citric": ""}
    made = to_spec(found, spec, {acid: one_gram(blends, acid, item) for acid, item in bought.items()})
    acids = tuple(
        BoughtAcid(acid, bought[acid], grams / blends.stuff(bought[acid]).per_g[acid] if bought[acid] else None)
        for acid, grams in made.acids_g.items()
    )
    return LotToSpec(acids, sum(made.acids_g.values()), made.water_g, balance(made.liquid))


def _moved(blends: Blends, item: str, found: Found) -> tuple[Moved, ...]:
    """Each drink's glass with the lot in place of what the file says; drinks that cannot be reckoned are left out."""
    measured = blends.with_found({item: found.stuff})
    moved = []
    for name in uses(blends.library, item):
        spec = blends.library.drinks[name]
        try:
            before, after = drink(spec, blends).glass, drink(spec, measured).glass
        except CannotAnswer:
            continue
        if not spec.retired:
            moved.append(Moved(name, spec.name, balance(before), balance(after)))
    return tuple(sorted(moved, key=lambda one: one.name))


def _ta(stuff: Stuff) -> float:
    """g per 100 ml as citric to pH 8.2."""
    whole: Composition = stuff.per_g * (100.0 * (stuff.g_per_ml or 1.0))
    return 100.0 * ta_g(whole) / whole.volume_ml
