"""The application: one library, its views, a theme, and a way out that loses nothing."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from functools import partial
from importlib import import_module
from pathlib import Path

from rich.text import Text
from textual import events
from textual.app import App, ComposeResult

from station.bar.theme import Theme
from station.desk.opening import Opened
from station.desk.theming import default_theme, terminal_theme
from station.tui import hangup
from station.tui.boundary import Boundary
from station.tui.depth import Depth
from station.tui.drivers import driver_class
from station.tui.key_bar import KeyBar, Offer
from station.tui.main_view import MainView
from station.tui.palette import palette
from station.tui.pane import KeyAction, Pane, row
from station.tui.places import GoTo
from station.tui.themes import worn
from station.tui.view import V, View

INTERRUPTED = 130
# How often the library is looked at for another program's changes.
LOOK_SECONDS = 2.0
# Between two steps of getting ready.
_BREATH_SECONDS = 0.03

_LEAVE = KeyAction("app.leave", ("ctrl+q",), "leave", hint="^q", label="leave station")
_ACTIONS = KeyAction("app.actions", ("question_mark", "f1"), "show_actions", hint="?", label="keys")
# Made when the first frame is up, so that no key waits for them.
_WANTED_SOON = (
    GoTo("batch", "", "batch_view", "BatchView"),
    GoTo("pour", "", "pour_view", "PourView"),
    GoTo("acid", "", "acid_view", "AcidView"),
)


class StationApp(App[None], inherit_bindings=False):
    """Views over one open library. Keys go straight to the view that is on, in the order they came."""

    CSS_PATH = Path(__file__).with_name("station.tcss")
    TITLE = "station"
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, shelf: Opened, greeting: str = "", theme: Theme | None = None, depth: Depth = Depth.TRUE) -> None:
        super().__init__(driver_class=driver_class())
        # News is a row and there is no hovering: the widgets for them would cost the start a second layout.
        self._disable_notifications = self._disable_tooltips = True
        self.shelf = shelf
        self.greeting = greeting
        self.head = Pane(id="head", classes="one-row")
        self.status = Pane(id="status", classes="one-row")
        self.bar = KeyBar(id="keys", classes="one-row")
        self.main = MainView(self, shelf)
        self.views: list[View] = [self.main]
        self.trail: list[View] = [self.main]
        self.boundary = Boundary(self)
        self._in_key = False
        self.depth = depth
        self.wear(theme or default_theme())

    def wear(self, theme: Theme) -> None:
        """Put on another theme, or, where colours cannot be mixed, the terminal's own."""
        self.worn = theme
        fitting = theme if theme.terminal or self.depth.mixes else terminal_theme()
        carried = worn(fitting)
        self.register_theme(carried)
        self.theme = carried.name
        if not self.is_running:
            self.stylesheet.set_variables(self.get_css_variables())
            self._styled = carried
        self.palette = palette(fitting, self.depth)
        for pane in self.query(Pane) if self.is_running else ():
            pane.refresh()

    def refresh_css(self, animate: bool = True) -> None:
        """What the framework asks for at every start, too, when the styles have just been read with this theme's colours."""
        if self.current_theme is not self._styled:
            self._styled = self.current_theme
            super().refresh_css(animate)

    def compose(self) -> ComposeResult:
        yield self.head
        yield self.main
        yield self.status
        yield self.bar

    def on_mount(self) -> None:
        self.put_on(self.main)
        if self.greeting:
            self.say(self.greeting)
        hangup.install(self, lambda: None)
        self.call_after_refresh(self._settle, [*self._to_settle()])

    async def on_event(self, event: events.Event) -> None:
        """Keys and pasted text are handled here and now; everything else goes the framework's way."""
        if isinstance(event, events.Key):
            self._typed(lambda: self._press(event))
        elif isinstance(event, events.Paste):
            self._typed(lambda: self.on.paste(event.text))
        else:
            await super().on_event(event)

    def _typed(self, act: Callable[[], object]) -> None:
        """Whatever a key moves, the key bar is made once, when it has done its work."""
        self._in_key = True
        try:
            self.guarded(act)
        finally:
            self._in_key = False
        self.guarded(self.refresh_keys)

    def guarded(self, act: Callable[[], object]) -> None:
        """Do it; where it fails the list is there again, and the program goes on."""
        try:
            act()
        except Exception as error:
            self.boundary.caught(error)

    def _fatal_error(self) -> None:
        """The framework's last resort prints local variables, which may hold any text of a file's; ours is a sentence."""
        self._exit_renderables.append(Text(self.boundary.last_words(self._exception)))
        self._close_messages_no_wait()

    def start_over(self) -> None:
        """The list, and a fresh view the next time in place of the one that was on."""
        broken = self.on
        self.trail = [self.main]
        if broken is not self.main:
            self.views.remove(broken)
            self.call_later(broken.remove)
        self.main.leave()
        self.put_on(self.main)

    def view(self, kind: type[V]) -> V:
        """The one view of that kind, made and mounted when it is first wanted."""
        for one in self.views:
            if isinstance(one, kind):
                return one
        made: V = kind(self, self.shelf)  # type: ignore[call-arg,arg-type]  # every kind of view is made with these two
        self.views.append(made)
        self.mount(made, after=self.main)
        return made

    def put_on(self, view: View) -> None:
        """Put that view on. One that is on the way here already is gone back to."""
        if view in self.trail:
            del self.trail[self.trail.index(view) :]
        self.trail.append(view)
        view.enter()
        self._show()

    def back(self) -> None:
        if len(self.trail) > 1:
            self.say("")  # what was said there is not of here
            del self.trail[-1]
            self.on.again()
            self._show()

    def _show(self) -> None:
        for one in self.views:
            one.set_class(one is self.on, "-on")
        self.paint_head()
        self.refresh_keys()

    @property
    def on(self) -> View:
        """The view that is on."""
        return self.trail[-1]

    def say(self, text: str, style: str = "accent") -> None:
        self.status.show([row(text, style)])

    def refresh_keys(self) -> None:
        if not self._in_key:
            self.bar.offer(self._offers())

    def leave(self) -> None:
        """Nothing to save: every key's edit is in its draft before it is painted."""
        self.exit()

    def _press(self, event: events.Key) -> None:
        if event.key in _LEAVE.keys:
            self.leave()
        elif event.key == "ctrl+c":
            self.exit(return_code=INTERRUPTED)
        elif event.key == "ctrl+z":
            if not self.shelf.look:
                self.action_suspend_process()
        elif event.key in _ACTIONS.keys:
            self.show_actions()
        else:
            self.on.press(event)

    def show_actions(self) -> None:
        """All that can be done here, with its keys."""
        from station.tui.actions_view import ActionsView

        actions = self.view(ActionsView)
        if self.on is not actions:
            actions.take("keys here; names of places lead there", self._offers())
            self.put_on(actions)

    def _offers(self) -> list[Offer]:
        own: list[Offer] = [(_LEAVE, lambda action: self.leave()), (_ACTIONS, lambda action: self.show_actions())]
        return [*self.on.offers(), *own]

    def _settle(self, steps: list[Callable[[], object]]) -> None:
        """The first frame is up: get ready for more than the list, a step at a time, so that a key can come between two."""

        def next_step() -> None:
            if self.screen_stack and self.screen.is_attached:  # else the terminal is gone already
                self.guarded(steps[0])
                self._settle(steps[1:])

        if steps:
            self.set_timer(_BREATH_SECONDS, next_step)

    def _to_settle(self) -> Iterator[Callable[[], object]]:
        """Read the library behind the list, and make what the first keys will want."""
        yield lambda: import_module("station.files.reader")
        yield self._read
        yield from (partial(self._make, one) for one in _WANTED_SOON)
        yield self._settled

    def _make(self, wanted: GoTo) -> None:
        self.view(wanted.kind())

    def _read(self) -> None:
        self.shelf.it_is(datetime.now(UTC))  # the library is read now, so that no key waits for it
        self.main.specs.reload()
        self.main.specs.paint()
        self.paint_head()

    def _settled(self) -> None:
        from station.desk.logging import warm_up

        warm_up(self.shelf)
        self.set_interval(LOOK_SECONDS, self._look_around)
        # What start-up made lives as long as the program, so the collector need never look at it again.
        gc.enable()
        gc.freeze()

    def _look_around(self) -> None:
        def look_around() -> None:
            self.shelf.it_is(datetime.now(UTC))
            if self.main.look_around():
                self.paint_head()

        self.guarded(look_around)

    def paint_head(self) -> None:
        new = len(self.main.spec_shelf.unwritten)
        said = [_count(len(self.shelf.find()) + new, "drink") + (f", {new} never saved" if new else "")]
        if self.shelf.loaded:
            faults = sum(fault.severity == "error" for fault in self.shelf.library.faults)
            said += [self.shelf.standing]
            said += [f"{_count(faults, 'fault')}: station check" if faults else ""]
        self.head.show([((self.shelf.house or "station", "strong"), (f"  {' · '.join(filter(None, said))}", "dim"))])


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
