"""The stocks: what is there, what should be, and the way to each one's making card."""

from __future__ import annotations

from datetime import UTC, datetime

from station.bar import say
from station.bar.fault import CannotAnswer
from station.bar.nouns import House
from station.bar.shown_as import volume_in
from station.cards.text import until
from station.desk.logging import news
from station.desk.opening import Opened
from station.desk.stock_list import StockRow, stock_list
from station.tui.pane import KeyAction, Pane
from station.tui.pick_list import Pick, PickList
from station.tui.view import Host, View


class StocksView(View):
    """Every stock by name; Enter makes it."""

    KEYS = (KeyAction("stocks.back", ("escape",), "back", hint="Esc", label="back"),)

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.list = PickList("Stocks", self.make, "this house has no stocks")
        super().__init__(host, self.list, name="stocks")

    @property
    def active_pane(self) -> Pane:
        return self.list

    def enter(self) -> None:
        self.list.activate(True)
        try:
            rows, said = stock_list(self.shelf, datetime.now(UTC)), " ".join(news(self.shelf))
        except CannotAnswer as error:
            rows, said = [], str(error)
        self.list.put([self._pick(one) for one in rows])
        self.host.say(said, "warn")

    def again(self) -> None:
        self.enter()

    def make(self, chosen: Pick) -> None:
        from station.tui.make_view import MakeView

        view = self.host.view(MakeView)
        view.take(chosen.id)
        self.host.put_on(view)

    def _pick(self, one: StockRow) -> Pick:
        house = self.shelf.library.house
        par = f"par {_amount(one, one.par, house)}" if one.par is not None else "no par"
        ends = f"use by {until(one.use_by, house)}" if one.use_by else ""
        strength = one.trouble or one.strength or "nothing to say of its strength"
        return Pick(one.id, one.name, _there(one, house), " · ".join(part for part in (par, strength, ends) if part))


def _amount(one: StockRow, value: float, house: House) -> str:
    return volume_in(house, value) if one.in_ml else say.grams(value)


def _there(one: StockRow, house: House) -> str:
    """How much is there, in the unit of the par beside it; that nobody counted it is another thing than that none is left."""
    if not one.counted:
        return "not counted"
    if not one.lots:
        return "none left"
    lots = f"{one.unweighed} lot{'s' if one.unweighed > 1 else ''} not weighed" if one.unweighed else ""
    there = f"{_amount(one, one.there, house)} there" if one.there is not None else ""
    return ", ".join(part for part in (there, lots) if part)
