"""What the log says there is: which lots are there, which one is taken next, and drinks reckoned with what was measured of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from station.bar.fault import CannotAnswer
from station.bar.logged import Lot, Mark, Measurement
from station.bar.nouns import Library
from station.calc.blend import Blends
from station.calc.found import Found, found_to_be
from station.calc.keeping import clock
from station.calc.lots import Standing, next_used, standings
from station.calc.shelf_life import fresh_until
from station.desk.logging import has_log, log_of, told
from station.desk.opening import Opened


@dataclass(frozen=True, slots=True)
class Shelf:
    """By item, the lot that is taken next, and how each that was measured was found to be."""

    lots: Mapping[str, Standing] = field(default_factory=dict)
    found: Mapping[str, Found] = field(default_factory=dict)

    def measured(self, blends: Blends) -> Blends:
        """The memo with what was measured in place of what the files say.

        A stock that is there already was made of other lots: it stays as its file says unless it was measured itself.
        """
        if not self.found:
            return blends
        made = {item: blends.stuff(item) for item in self.lots if item in blends.library.stocks}
        return blends.with_found({**made, **{item: one.stuff for item, one in self.found.items()}})

    def for_making(self, blends: Blends, stock: str) -> Blends:
        """As `measured`, but that stock is being made: it is what its lines make it."""
        others = Shelf({name: one for name, one in self.lots.items() if name != stock}, _without(self.found, stock))
        return others.measured(blends)

    def ends(self, item: str, library: Library, here: datetime) -> datetime | None:
        """The use-by of what goes in of that item: its lot's, or as made or opened `here`."""
        lot = self.lots.get(item)
        return lot.lot.use_by if lot else fresh_until(library, item, here, clock(library.house))


def _without(found: Mapping[str, Found], name: str) -> dict[str, Found]:
    return {item: one for item, one in found.items() if item != name}


EMPTY = Shelf()


def shelf_of(opened: Opened, moment: datetime) -> Shelf:
    """The shelf at that moment; empty where nothing was logged. Raises CannotAnswer where the log cannot be read."""
    lots = next_used(standing_after(opened, moment), moment)
    return Shelf(lots, {item: found for item, one in lots.items() if (found := _found(opened.blends, one)) is not None})


def standing_after(opened: Opened, moment: datetime) -> list[Standing]:
    """Every lot that is in date at `moment`, as it stands."""
    if not has_log(opened):
        return []
    with told():
        return as_they_stand(opened, log_of(opened).ending_after(moment))


def as_they_stand(opened: Opened, lots: Iterable[Lot]) -> list[Standing]:
    """These lots with what was taken of them, measured of them and said of them."""
    listed = list(lots)
    names = [lot.uuid for lot in listed]
    log = log_of(opened)
    with told():
        taken, measured, marks = log.from_parts(names), log.of_lots(Measurement, names), log.of_lots(Mark, names)
    return standings(listed, taken, measured, marks)


def _found(blends: Blends, one: Standing) -> Found | None:
    """The lot as measured; None where nothing was, or where the library no longer has a liquid it could be."""
    if one.measured is None:
        return None
    try:
        return found_to_be(blends.stuff(one.lot.item), one.measured, one.lot.name)
    except CannotAnswer:
        return None
