"""The orders there are: arrows move, Enter opens."""

from __future__ import annotations

from typing import ClassVar

from textual import events

from station.bar.fault import CannotAnswer
from station.calc.ordered import ListedOrder
from station.cards.order import table_row
from station.desk.opening import Opened
from station.desk.ordering import faulty_orders, listed
from station.tui.pane import KeyAction, Pane, Row, columns, row, wrapped
from station.tui.view import Host, View

_HEAD = 2


class OrdersPane(Pane):
    """An order a row, by date; those with faults after them."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("orders.open", ("enter", "right"), "open", hint="Enter", label="open"),
        KeyAction("orders.next", ("down",), "move", 1, hint="↑↓", label="move"),
        KeyAction("orders.previous", ("up",), "move", -1),
        KeyAction("orders.back", ("escape", "left"), "back", hint="Esc", label="back"),
    )

    def __init__(self, view: OrdersView) -> None:
        super().__init__(id="orders-pane")
        self.view = view
        self.found: tuple[ListedOrder, ...] = ()
        self.faulty: tuple[str, ...] = ()
        self.at = 0

    def take(self, found: tuple[ListedOrder, ...], faulty: tuple[str, ...]) -> None:
        self.found, self.faulty = found, faulty
        self.at = max(0, min(self.at, len(found) + len(faulty) - 1))
        self.paint()

    def move(self, by: int) -> None:
        self.at = max(0, min(len(self.found) + len(self.faulty) - 1, self.at + by))
        self.paint()

    def open(self) -> None:
        names = [*(one.id for one in self.found), *self.faulty]
        if names:
            self.view.open(names[self.at])

    def back(self) -> None:
        self.view.host.back()

    def on_click(self, event: events.Click) -> None:
        place = self.first + event.y - _HEAD
        if 0 <= place < len(self.found) + len(self.faulty):
            self.at = place
            self.open()

    def paint(self) -> None:
        width = max(20, self.size.width - 2)
        rows: list[Row] = [row("Orders", "strong"), row()]
        texts = [*(table_row(one) for one in self.found), *(f"{name} × faulty" for name in self.faulty)]
        for place, text in enumerate(texts):
            style = "chosen" if place == self.at else "warn" if place >= len(self.found) else "text"
            rows.append((("▸ " if place == self.at else "  ", style), *columns([(text, width, "<")], style)))
        if not texts:
            rows += wrapped("No order yet: copy specs/orders/harvest-supper.toml into orders/ and change it.", width, "dim")
        self.show(rows, max(0, self.at + _HEAD + 1 - max(1, self.size.height)))


class OrdersView(View):
    """The list of orders."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.pane = OrdersPane(self)
        super().__init__(host, self.pane, name="orders")

    @property
    def active_pane(self) -> Pane:
        return self.pane

    def enter(self) -> None:
        self.pane.take(listed(self.shelf.library), faulty_orders(self.shelf.library))
        self.pane.activate(True)

    def again(self) -> None:
        self.enter()

    def open(self, name: str) -> None:
        from station.tui.order_view import OrderView

        order = self.host.view(OrderView)
        try:
            order.take(name)
        except CannotAnswer as error:
            self.host.say(str(error.faults[0]) if error.faults else str(error), "warn")
        else:
            self.host.put_on(order)
