"""The stocks of a house as a list: what is there in date, what should be, until when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from station.bar.fault import CannotAnswer
from station.desk.making import strength_of
from station.desk.on_shelf import standing_after
from station.desk.opening import Opened


@dataclass(frozen=True, slots=True)
class StockRow:
    """A stock: its strength with its basis, grams there in date (None: lots nobody weighed), par as written, the first end."""

    id: str
    name: str
    strength: str
    on_hand_g: float | None
    lots: int
    par: str
    use_by: datetime | None
    trouble: str


def stock_list(opened: Opened, now: datetime) -> list[StockRow]:
    """Every stock, by name. Raises CannotAnswer where the log cannot be read."""
    there = [one for one in standing_after(opened, now) if one.there and one.lot.kind == "stock"]
    rows = []
    for name, stock in sorted(opened.library.stocks.items(), key=lambda pair: pair[1].name.casefold()):
        lots = [one for one in there if one.lot.item == name]
        known = [one.left_g for one in lots if one.left_g is not None]
        try:
            strength, trouble = strength_of(opened.blends.stuff(name)), ""
        except CannotAnswer as error:
            strength, trouble = "", str(error)
        rows.append(
            StockRow(
                id=name,
                name=stock.name,
                strength=strength,
                on_hand_g=sum(known) if known or not lots else None,
                lots=len(lots),
                par=stock.par.text if stock.par else "",
                use_by=min((one.lot.use_by for one in lots if one.lot.use_by), default=None),
                trouble=trouble,
            )
        )
    return rows
