"""What a person must be told of an order before they buy, make or serve."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from station.bar import say
from station.bar.cautions import Caution, caution
from station.bar.nouns import Library
from station.calc.buying import NO_PACK, NO_PRICE, Bought
from station.calc.ordered import OrderBatch
from station.calc.prep import Step

# Of a drink's own cautions those that an order repeats; the others stand on its card.
_REPEATED = frozenset({"allergen-unknown", "egg", "shake-diluted", "house"})


def of_batches(batches: Sequence[OrderBatch], shorts: Iterable[str], library: Library) -> Iterator[Caution]:
    """Vessels and scales that do not suffice, and what the freezer does to a batch."""
    for one, short in zip(batches, shorts, strict=True):
        if short:
            yield caution("order-vessels", one.id, name=one.name, short=short)
        for fill in one.fills:
            if not fill.scale and library.house.scales:
                vessel = library.house.vessels[fill.vessel].name
                yield caution("order-scale", one.id, name=one.name, vessel=vessel, grams=say.grams(fill.gross_g))
        yield from _frozen(one)


def of_mixing(batches: Sequence[OrderBatch], library: Library) -> Iterator[Caution]:
    """Drinks that are mixed in a kind of vessel of which none is left once all is filled."""
    full: dict[str, int] = {}
    for one in batches:
        for fill in one.fills:
            full[fill.vessel] = full.get(fill.vessel, 0) + fill.count
    for one in batches:
        kinds = {mix.vessel for mix in one.mixes} - {fill.vessel for fill in one.fills}
        for vessel in (library.house.vessels[kind] for kind in kinds if kind):
            if full.get(vessel.id, 0) >= vessel.count:
                yield caution("order-mixing", one.id, name=one.name, vessel=vessel.name)


def of_shopping(shop: Iterable[Bought]) -> Iterator[Caution]:
    """Items whose packs or prices are not known."""
    lines = list(shop)
    for code, note in (("order-pack", NO_PACK), ("order-price", NO_PRICE)):
        names = [one.name for one in lines if one.note == note]
        if names:
            yield caution(code, names=", ".join(names))


def of_steps(prep: Iterable[Step], library: Library) -> Iterator[Caution]:
    """What keeps too short a time to be made once."""
    for one in prep:
        if one.note:
            name = library.drinks[one.id].name if one.id in library.drinks else library.name_of(one.id)
            yield caution("order-keeps", one.id, name=name, note=one.note)


def of_drinks(found: Iterable[Iterable[Caution]]) -> Iterator[Caution]:
    """The drinks' own, each once."""
    yield from dict.fromkeys(one for cautions in found for one in cautions if one.code in _REPEATED)


def of_alcohol(each: float, hours: float, library: Library) -> Iterator[Caution]:
    """What every guest would drink on average; nothing where there is no alcohol."""
    if each > 0.0:
        grams = say.grams(library.house.standard_drink_g)
        yield caution("order-alcohol", each=say.number(each, 2), grams=grams, hours=say.number(each / hours, 2))


def _frozen(one: OrderBatch) -> Iterator[Caution]:
    cold = one.cold
    if cold is None:
        return
    if cold.freezing_c is None:
        yield caution("freezer-unknown", one.id, name=one.name)
    elif not cold.stays_liquid:
        share = say.NOTHING if cold.ice_share is None else say.number(100.0 * cold.ice_share, 2)
        room = say.NOTHING if cold.swells_pct is None else say.number(cold.swells_pct + 2.0, 2)
        freezing, freezer = say.fixed(cold.freezing_c, 0), say.fixed(cold.freezer_c, 1)
        yield caution("freezer-ice", one.id, name=one.name, freezing=freezing, freezer=freezer, share=share, room=room)
