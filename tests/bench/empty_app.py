"""The least a Textual program can be: what start-up is measured against."""

from textual.app import App, ComposeResult
from textual.widgets import Static


class EmptyApp(App[None]):
    """One line of text."""

    def compose(self) -> ComposeResult:
        yield Static("ready")


if __name__ == "__main__":
    EmptyApp().run()
