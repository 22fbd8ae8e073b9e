"""The stocks: what is there, what should be, and the way to each one's making card."""

from __future__ import annotations

from datetime import UTC, datetime

from station.bar import say
from station.bar.fault import CannotAnswer
from station.cards.lots import briefly
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
        there = f"{say.grams(one.on_hand_g)} there" if one.on_hand_g is not None else f"{one.lots} lots, not weighed"
        ends = f" · use by {briefly(one.use_by, self.shelf.library.house)}" if one.use_by else ""
        par = f" · par {one.par}" if one.par else ""
        return Pick(one.id, one.name, there, f"{one.trouble or one.strength or 'nothing to say of its strength'}{par}{ends}")
