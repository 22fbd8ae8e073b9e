"""The balance map: the library's drinks by the sugar and acid of their glass; arrows go from drink to drink."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.timer import Timer

from station.bar import say
from station.bar.glyphs import ascii_only
from station.calc.mapped import BalanceMap, Spot
from station.cards.picture import Picture, Piece, Plot, drawn, ground, legend
from station.desk.mapping import Survey
from station.desk.opening import Opened
from station.tui.main_view import MainView
from station.tui.pane import KeyAction, Pane, Row, fitted, row
from station.tui.view import Host, View

# So many drinks are reckoned before the first picture, and then at every tick, until all are.
_AT_ONCE, _A_TICK, _TICK_SECONDS = 60, 40, 0.05
_TITLE, _NAMES = 1, 2
_UNIT = " g/100 ml"
_STYLES = {
    "axis": "dim",
    "window": "within",
    "other": "dim",
    "alike": "strong",
    "was": "low",
    "here": "accent",
    "cursor": "chosen",
    "both": "chosen",
    "": "text",
}


class MapPane(Pane):
    """The picture, and under it what the pointer is on."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("map.sweeter", ("right",), "by_sugar", 1, hint="←→", label="by sugar"),
        KeyAction("map.drier", ("left",), "by_sugar", -1),
        KeyAction("map.sourer", ("up",), "by_acid", 1, hint="↑↓", label="by acid"),
        KeyAction("map.softer", ("down",), "by_acid", -1),
    )

    def __init__(self) -> None:
        super().__init__(id="map-pane")
        self.map: BalanceMap | None = None
        self.cursor = ""
        self._ground: tuple[BalanceMap, tuple[int, int], Plot] | None = None

    @property
    def spots(self) -> list[Spot]:
        """All drinks on the map, the one asked about among them."""
        return [] if self.map is None else [*self.map.spots, *([self.map.here] if self.map.here else [])]

    @property
    def pointed(self) -> Spot | None:
        """The drink the pointer is on."""
        return next((spot for spot in self.spots if spot.id == self.cursor), None)

    def put(self, found: BalanceMap) -> None:
        """Another map; the pointer stays on its drink, else it goes to the one asked about."""
        self.map = found
        if self.pointed is None:
            first = found.here or min(found.spots, key=_by_sugar, default=None)
            self.cursor = first.id if first else ""
        self.paint()

    def by_sugar(self, by: int) -> None:
        """To the drink with the next more or less sugar: every drink can be reached so."""
        self._step(sorted(self.spots, key=_by_sugar), by)

    def by_acid(self, by: int) -> None:
        self._step(sorted(self.spots, key=lambda spot: (spot.acid, spot.sugar, spot.id)), by)

    def on_click(self, event: events.Click) -> None:
        """On a drink: the pointer goes there; there already, to the next in that cell."""
        names = self._picture().cells.get((event.x, event.y - _TITLE), ()) if self.map else ()
        if names:
            place = names.index(self.cursor) + 1 if self.cursor in names else 0
            self.cursor = names[place % len(names)]
            self.paint()

    def paint(self) -> None:
        found = self.map
        if found is not None and not self.size.height:
            self.show(())  # no size to draw it for: it is drawn for the frame that gives one
        if found is None or not self.size.height:
            return
        picture = self._picture()
        rows: list[Row] = [self._title(found)]
        rows += [tuple((text, _STYLES[role]) for text, role in line) for line in picture.rows]
        rows += [tuple((text, _STYLES[role]) for text, role in line) for line in self._legend()]
        self.show([*rows, *self._named(found, picture)])

    def _legend(self) -> list[list[Piece]]:
        return legend(self.size.width, ascii_only())

    def _picture(self) -> Picture:
        assert self.map is not None
        size = self.size.width, self.size.height - _TITLE - _NAMES - len(self._legend())
        if self._ground is None or self._ground[0] is not self.map or self._ground[1] != size:
            self._ground = self.map, size, ground(self.map, *size, ascii_only())
        return drawn(self.map, *size, self.cursor, ascii_only(), self._ground[2])

    def _title(self, found: BalanceMap) -> Row:
        about = f" {found.here.name}" if found.here else ""
        window = f" · usual range: {found.style}" if found.window else ""
        waiting = f" · {found.waiting} to go" if found.waiting else ""
        left_out = f" · {found.left_out} cannot be reckoned" if found.left_out else ""
        return (("Balance map", "strong"), (about, "accent"), (f"{window}{waiting}{left_out}", "dim"))

    def _named(self, found: BalanceMap, picture: Picture) -> list[Row]:
        spot = self.pointed
        if spot is None:
            return [row("no drink can be reckoned yet", "dim")]
        sugar, acid = found.window or (None, None)
        figures = f"sugar {_said(spot.sugar, sugar)}, acid {_said(spot.acid, acid)}{_UNIT}"
        names = {one.id: one.name for one in self.spots}
        others = ", ".join(names[name] for name in picture.beside(spot.id) if name != spot.id)
        style = f", {spot.style}" if spot.style else ""
        also = f"also here: {others}" if others else ""
        width = self.size.width
        if width >= 70:
            return [((spot.name, "strong"), (f"{style}: {figures}", "text")), row(fitted(also, width), "dim")]
        # The axes say the unit, too.
        said = figures if len(figures) <= width else figures.removesuffix(_UNIT)
        return [((spot.name, "strong"), (f" {also}", "dim")), row(said)]

    def _step(self, order: list[Spot], by: int) -> None:
        at = next((place for place, spot in enumerate(order) if spot.id == self.cursor), None)
        if at is not None:
            self.cursor = order[max(0, min(len(order) - 1, at + by))].id
            self.paint()


class MapView(View):
    """The map about the open drink, as it stands and as it is saved; about none where none is open."""

    KEYS = (
        KeyAction("map.open", ("enter",), "open", hint="Enter", label="open it"),
        KeyAction("map.back", ("escape", "m"), "back", hint="Esc", label="back"),
    )

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.shelf = shelf
        self.pane = MapPane()
        super().__init__(host, self.pane, name="map")
        self.survey: Survey | None = None
        self._timer: Timer | None = None
        self._ticks = self._wait = 2

    @property
    def active_pane(self) -> Pane:
        return self.pane

    def enter(self) -> None:
        """The drinks as they are now; a library that has not changed since is not reckoned again."""
        if self.survey is None or self.survey.blends is not self.shelf.blends:
            self.survey = Survey(self.shelf.blends)
        self.survey.step(_AT_ONCE)
        document = self._main.lines.document
        self.pane.cursor = document.saved.id if document else self.pane.cursor
        self._paint()
        if not self.survey.done and self._timer is None:
            self._ticks = self._wait = 2
            self._timer = self.set_interval(_TICK_SECONDS, self._go_on)

    def open(self) -> None:
        spot = self.pane.pointed
        if spot is not None:
            self.host.put_on(self._main)
            self._main.open_named(spot.id)

    @property
    def _main(self) -> MainView:
        return self.host.view(MainView)

    def _go_on(self) -> None:
        """A few more drinks, as long as the map is looked at."""
        if self.survey is not None and self.has_class("-on"):
            self.survey.step(_A_TICK)
            self._wait -= 1
            if self.survey.done or self._wait <= 0:
                self._paint()
                # Ever more rarely, as there is ever more to paint.
                self._ticks = self._wait = round(1.5 * self._ticks)
        if self._timer is not None and (self.survey is None or self.survey.done or not self.has_class("-on")):
            self._timer.stop()
            self._timer = None

    def _paint(self) -> None:
        if self.survey is not None:
            document = self._main.lines.document
            spec, saved = (document.spec, document.saved) if document else (None, None)
            self.pane.put(self.survey.map_of(spec, saved))


def _by_sugar(spot: Spot) -> tuple[float, float, str]:
    return spot.sugar, spot.acid, spot.id


def _said(value: float, window: tuple[float, float] | None) -> str:
    return say.number(value) + (f" {say.standing(value, window)}" if window else "")
