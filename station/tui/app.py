"""The application: one library, its views, a theme, and a way out that loses nothing."""

from __future__ import annotations

import gc
from pathlib import Path
from typing import TYPE_CHECKING

from textual import events
from textual.app import App, ComposeResult

from station.desk.opening import Opened
from station.tui import hangup
from station.tui.drivers import driver_class
from station.tui.key_bar import KeyBar
from station.tui.main_view import MainView
from station.tui.palette import palette
from station.tui.pane import KeyAction, Pane, row
from station.tui.themes import theme
from station.tui.view import View

if TYPE_CHECKING:
    from station.tui.acid_view import AcidView
    from station.tui.batch_view import BatchView
    from station.tui.pour_view import PourView

INTERRUPTED = 130
# How often the library is looked at for another program's changes.
LOOK_SECONDS = 2.0

_LEAVE = KeyAction("app.leave", ("ctrl+q",), "leave", hint="^q", label="leave station")


class StationApp(App[None], inherit_bindings=False):
    """Views over one open library. Keys go straight to the view that is on, in the order they came."""

    CSS_PATH = Path(__file__).with_name("station.tcss")
    TITLE = "station"
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, shelf: Opened, greeting: str = "") -> None:
        super().__init__(driver_class=driver_class())
        self.shelf = shelf
        self.greeting = greeting
        self.head = Pane(id="head", classes="one-row")
        self.status = Pane(id="status", classes="one-row")
        self.bar = KeyBar(id="keys", classes="one-row")
        self.main = MainView(self, shelf)
        self.batch: BatchView | None = None
        self.pour: PourView | None = None
        self.acid: AcidView | None = None
        self.view: View = self.main
        self.register_theme(theme("dark-bar"))
        self.theme = "dark-bar"
        self.palette = palette(self.get_css_variables())

    def compose(self) -> ComposeResult:
        yield self.head
        yield self.main
        yield self.status
        yield self.bar

    def on_mount(self) -> None:
        self._put_on(self.main)
        if self.greeting:
            self.say(self.greeting)
        hangup.install(self, lambda: None)
        self.call_after_refresh(self._settle)

    async def on_event(self, event: events.Event) -> None:
        """Keys and pasted text are handled here and now; everything else goes the framework's way."""
        if isinstance(event, events.Key):
            self._press(event)
        elif isinstance(event, events.Paste):
            self.view.paste(event.text)
        else:
            await super().on_event(event)

    def switch(self, view: str) -> None:
        """Put that view on; a batch takes the spec from the main view, a pour the card from the batch."""
        batch, pour, acid = self._furnished()
        if view == "acid" and (document := self.main.lines.document) is not None:
            acid.take(document.spec, document.saved.lines[self.main.lines.at].item)
            self._put_on(acid)
        elif view == "batch":
            if self.view is self.main and self.main.batch_spec is not None:
                batch.take(self.main.batch_spec)
            self._put_on(batch)
        elif view == "pour" and batch.answer is not None:
            pour.take(batch.answer, batch.target.text, batch.water)
            self._put_on(pour)
        else:
            self._put_on(self.main)

    def say(self, text: str, style: str = "accent") -> None:
        self.status.show([row(text, style)])

    def refresh_keys(self) -> None:
        self.bar.offer([*self.view.offers(), (_LEAVE, lambda action: self.leave())])

    def leave(self) -> None:
        """Nothing to save: every key's edit is in its draft before it is painted."""
        self.exit()

    def _press(self, event: events.Key) -> None:
        if event.key in _LEAVE.keys:
            self.leave()
        elif event.key == "ctrl+c":
            self.exit(return_code=INTERRUPTED)
        elif event.key == "ctrl+z":
            self.action_suspend_process()
        else:
            self.view.press(event)

    def _put_on(self, view: View) -> None:
        self.view = view
        for one in (self.main, self.batch, self.pour, self.acid):
            if one is not None:
                one.set_class(one is view, "-on")
        self._paint_head()
        self.refresh_keys()

    def _furnished(self) -> tuple[BatchView, PourView, AcidView]:
        """The views beside the main one, made when they are first wanted or the first frame is up, whichever is sooner."""
        if self.batch is None or self.pour is None or self.acid is None:
            from station.tui.acid_view import AcidView
            from station.tui.batch_view import BatchView
            from station.tui.pour_view import PourView

            self.batch, self.pour = BatchView(self, self.shelf), PourView(self, self.shelf)
            self.acid = AcidView(self, self.shelf)
            self.mount(self.batch, self.pour, self.acid, after=self.main)
        return self.batch, self.pour, self.acid

    def _settle(self) -> None:
        """The first frame is up: read the library behind the list, and make what the first keys will want."""
        self._furnished()
        self.shelf.library  # noqa: B018  # read now, so that no key waits for it
        self.main.specs.reload()
        self._paint_head()
        self.set_interval(LOOK_SECONDS, self._look_around)
        # What start-up made lives as long as the program, so the collector need never look at it again.
        gc.enable()
        gc.freeze()

    def _look_around(self) -> None:
        if self.main.look_around():
            self._paint_head()

    def _paint_head(self) -> None:
        said = [_count(len(self.shelf.find()), "drink")]
        if self.shelf.loaded:
            faults = sum(fault.severity == "error" for fault in self.shelf.library.faults)
            said += ["demo, read only" if self.shelf.demo else "read only" if self.shelf.read_only else ""]
            said += [f"{_count(faults, 'fault')}: station check" if faults else ""]
        self.head.show([((self.shelf.house or "station", "strong"), (f"  {' · '.join(filter(None, said))}", "dim"))])


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
