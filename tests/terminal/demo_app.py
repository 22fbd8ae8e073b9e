"""A small app of stock widgets, run by the terminal tests: a list, a table, an input that moves a panel, a footer."""

import os
import sys
from pathlib import Path
from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.widgets import DataTable, Footer, Input, OptionList, Static

from station.tui import hangup
from station.tui.drivers import driver_class
from station.tui.wire import ChangedCellsDriver

WIDE = "水 100 g, sirôp, cafe\u0301, 酒 40 %"


class DemoApp(App[None]):
    """Three panes, as wide as the screen."""

    CSS = """
    #list { width: 26; height: 1fr; }
    #middle { width: 1fr; }
    #table { height: 1fr; }
    #panel { height: 12; background: $panel; border: round $primary; }
    """
    CALM = """
    OptionList:focus, DataTable:focus, Input:focus { background-tint: transparent 0%; }
    OptionList:focus, Input:focus { border: tall $border-blurred; }
    """
    BINDINGS: ClassVar = [
        Binding("f2", "clipboard", "Copy"),
        Binding("f3", "panel", "Wide text"),
        Binding("f4", "unknown", "Count"),
        Binding("f5", "flip", "Light"),
        Binding("ctrl+z", "suspend_process", "Stop", priority=True),
    ]

    def compose(self) -> ComposeResult:
        with Horizontal():
            yield OptionList(*[f"Drink number {n:02}" for n in range(40)], id="list")
            with Vertical(id="middle"):
                yield Input(placeholder="amount", id="input")
                yield DataTable(id="table", cursor_type="row")
                yield Static("", id="panel", markup=False)
        yield Footer()

    def on_mount(self) -> None:
        table = self.query_one(DataTable)
        table.add_columns("item", "amount", "grams")
        for n in range(8):
            table.add_row(f"line {n}", f"{n * 7.5} ml", f"{n * 7.71:.2f}")
        entry = self.query_one(Input)
        entry.cursor_blink = False
        entry.focus()
        hangup.install(self, self.save)

    def save(self) -> None:
        Path(sys.argv[1]).write_text(self.query_one(Input).value)

    def on_input_changed(self, event: Input.Changed) -> None:
        seen = len(event.value)
        lines = [f"{name:<12}{seen * factor:8.3f} g" for name, factor in (("sugar", 1.1), ("acid", 0.07), ("alcohol", 2.5))]
        self.query_one("#panel", Static).update("\n".join([f"value: {event.value}", *lines]))

    def action_panel(self) -> None:
        self.query_one("#panel", Static).update("\n".join([WIDE, WIDE[::2], *[WIDE[n:] for n in range(6)]]))

    def action_clipboard(self) -> None:
        self.copy_to_clipboard("copied")

    def action_flip(self) -> None:
        """Change every cell."""
        self.theme = "textual-light" if self.theme == "textual-dark" else "textual-dark"

    def action_unknown(self) -> None:
        driver = self._driver
        count = driver.unknown_sequences if isinstance(driver, ChangedCellsDriver) else "stock"
        self.query_one("#panel", Static).update(f"unknown: {count}")


if __name__ == "__main__":
    if os.environ.get("DEMO_CALM"):
        DemoApp.CSS += DemoApp.CALM
    app = DemoApp(driver_class=driver_class())
    app.run()
    sys.exit(app.return_code)
