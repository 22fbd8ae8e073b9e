"""A lot as lists and cards say it."""

from __future__ import annotations

from datetime import datetime

from station.bar.logged import Lot
from station.bar.nouns import is_of_edit
from station.calc.answers import LotUsed
from station.calc.lot_answers import LotRow
from station.calc.lots import Standing
from station.desk.on_shelf import Shelf, shelf_of
from station.desk.opening import Opened


def row_of(one: Standing) -> LotRow:
    return _row(one.lot, one.left_g, one.half_made, one.off_plan)


def bare_row(lot: Lot) -> LotRow:
    """A lot nobody asked what is left of."""
    return _row(lot, None, False)


def _row(lot: Lot, left_g: float | None, half_made: bool, off_plan: str = "") -> LotRow:
    return LotRow(
        lot=lot.short,
        uuid=lot.uuid,
        kind=lot.kind,
        item=lot.item,
        name=lot.name,
        made=lot.made,
        by=lot.by,
        use_by=lot.use_by,
        g=lot.g,
        left_g=left_g,
        diluted=lot.diluted,
        half_made=half_made,
        store=lot.store,
        code=lot.code,
        allergens=lot.allergens,
        off_plan=off_plan,
        of_edit=is_of_edit(lot.revision),
    )


def used(shelf: Shelf, item: str) -> LotUsed | None:
    """The lot of that item a card takes from, if there is one."""
    one = shelf.lots.get(item)
    if one is None:
        return None
    measured, found = one.measured, shelf.found.get(item)
    return LotUsed(
        item=item,
        name=one.lot.name,
        lot=one.lot.short,
        uuid=one.lot.uuid,
        use_by=one.lot.use_by,
        left_g=one.left_g,
        ta=measured.ta if measured and found else "",
        ph=measured.ph if measured and found else None,
        measured_at=measured.at if measured and found else None,
        measured_by=measured.by if measured and found else "",
        notes=found.notes if found else (),
    )


def apart(opened: Opened, moment: datetime) -> dict[str, LotUsed]:
    """By item, the lots a card takes that were measured to be other than their files say. Raises CannotAnswer."""
    shelf = shelf_of(opened, moment)
    moved = (item for item, one in shelf.found.items() if one.stuff.per_g != opened.blends.stuff(item).per_g)
    return {item: lot for item in moved if (lot := used(shelf, item)) is not None}
