"""The stocks of a house as a list: what is there in date, what should be, until when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from station.bar.fault import CannotAnswer
from station.bar.nouns import Stock
from station.calc.lots import Standing
from station.calc.weigh import grams_of
from station.desk.logging import has_log, log_of, told
from station.desk.making import strength_of
from station.desk.on_shelf import standing_after
from station.desk.opening import Opened


@dataclass(frozen=True, slots=True)
class StockRow:
    """A stock: its strength with its basis, what is there in date and its par, the first end.

    `there` is the sum of the lots somebody weighed, None where no lot says how much it is; `par` None where the file names
    none. Both are ml where the par is a volume, else g: `in_ml` says which. `lots` are in date, `unweighed` those of them
    nobody weighed; `counted` is whether any lot of it was ever logged.
    """

    id: str
    name: str
    strength: str
    there: float | None
    par: float | None
    in_ml: bool
    lots: int
    unweighed: int
    counted: bool
    use_by: datetime | None
    trouble: str


def stock_list(opened: Opened, now: datetime) -> list[StockRow]:
    """Every stock, by name. Raises CannotAnswer where the log cannot be read."""
    there = [one for one in standing_after(opened, now) if one.there and one.lot.kind == "stock"]
    stocks = sorted(opened.library.stocks.values(), key=lambda one: one.name.casefold())
    return [_row(opened, stock, [one for one in there if one.lot.item == stock.id]) for stock in stocks]


def _row(opened: Opened, stock: Stock, lots: list[Standing]) -> StockRow:
    known = [one.left_g for one in lots if one.left_g is not None]
    strength, trouble, g_per_ml, par_g = "", "", None, None
    try:
        stuff = opened.blends.stuff(stock.id)
        strength, g_per_ml = strength_of(stuff), stuff.g_per_ml
        par_g = grams_of(stock.par, stock.id, opened.blends.stuff, opened.library) if stock.par else None
    except CannotAnswer as error:
        trouble = str(error)
    in_ml = g_per_ml is not None and stock.par is not None and stock.par.measures == "volume"
    each = g_per_ml if in_ml and g_per_ml else 1.0
    return StockRow(
        id=stock.id,
        name=stock.name,
        strength=strength,
        there=sum(known) / each if known else None,
        par=None if par_g is None else par_g / each,
        in_ml=in_ml,
        lots=len(lots),
        unweighed=len(lots) - len(known),
        counted=bool(lots) or _ever_logged(opened, stock.id),
        use_by=min((one.lot.use_by for one in lots if one.lot.use_by), default=None),
        trouble=trouble,
    )


def _ever_logged(opened: Opened, stock: str) -> bool:
    if not has_log(opened):
        return False
    with told():
        return bool(log_of(opened).lots_of(stock))
