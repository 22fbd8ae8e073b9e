"""The places one can go to from anywhere, by the search over all actions. Their modules are imported when one goes there."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import cast

from station.tui.view import View


@dataclass(frozen=True, slots=True)
class GoTo:
    """A place: its label as one finds it, and the view that stands there. One that only `writes` is not there in a look-up."""

    id: str
    label: str
    module: str
    view: str
    writes: bool = False

    def kind(self) -> type[View]:
        """The class of the view."""
        return cast("type[View]", getattr(import_module(f"station.tui.{self.module}"), self.view))


PLACES: tuple[GoTo, ...] = (
    GoTo("drinks", "drinks: find, edit, batch", "main_view", "MainView"),
    GoTo("stocks", "stocks: what is there, make one", "stocks_view", "StocksView", writes=True),
    GoTo("prep", "prep today: what to make", "prep_view", "PrepView", writes=True),
    GoTo("delivery", "delivery: what came, measured, logged", "delivery_view", "DeliveryView", writes=True),
    GoTo("log", "log: everything, in date, discard, trace", "log_view", "LogView", writes=True),
    GoTo("calibrate", "calibrate: droppers, dashers, spoons", "calibrate_view", "CalibrateView", writes=True),
    GoTo("orders", "orders: events, prep, shopping", "orders_view", "OrdersView"),
    GoTo("map", "balance map: drinks by sugar and acid", "map_view", "MapView"),
    GoTo("lookup", "look up: a drink at a glance", "lookup_view", "LookupView"),
    GoTo("themes", "colours: choose a theme", "theme_view", "ThemeView"),
)
