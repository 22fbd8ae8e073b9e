"""Starting the screens: what must be set before the framework is imported, and the exit code after."""

from __future__ import annotations

import gc
import os

# Read once, when the framework is imported. Over a slow link no frame goes to motion, and an arrow key may come in two pieces.
_SETTINGS = {
    "TEXTUAL_ANIMATIONS": "none",
    "TEXTUAL_SMOOTH_SCROLL": "0",
    "ESCDELAY": "300" if "SSH_CONNECTION" in os.environ else "100",
}


def start(library: str) -> int:
    """Open the screens on that library, else on the user's own, made from the demo if need be. Returns the exit code."""
    for name, value in _SETTINGS.items():
        os.environ.setdefault(name, value)
    gc.disable()
    from station.desk.opening import opened, own_library

    shelf, made = (opened(library), False) if library else own_library()
    shelf.warm_up()
    from station.tui.app import StationApp

    app = StationApp(shelf, f"made your own library from the demo: {shelf.folder}" if made else "")
    app.run()
    return app.return_code or 0
