"""Starting the screens: what must be set before the framework is imported, and the exit code after."""

from __future__ import annotations

import gc
import os
import signal
import sys

from station.tui.depth import depth_of

# Read once, when the framework is imported. Over a slow link no frame goes to motion, and an arrow key may come in two pieces.
_SETTINGS = {
    "TEXTUAL_ANIMATIONS": "none",
    "TEXTUAL_SMOOTH_SCROLL": "0",
    "ESCDELAY": "300" if "SSH_CONNECTION" in os.environ else "100",
}
# So many specs are read in about a second: a person who waits longer is told what for.
_MANY = 500


def start(library: str, theme: str = "", look: bool = False) -> int:
    """Open the screens on that library, else on the user's own, made from the demo if need be. Returns the exit code.

    `theme`: a name or a file, else what station.toml names. `look`: nothing is written, by any way (see guard).
    """
    if look:
        _look_only()
    for name, value in _SETTINGS.items():
        os.environ.setdefault(name, value)
    depth = depth_of(os.environ)
    os.environ["TEXTUAL_COLOR_SYSTEM"] = depth.value or "auto"
    os.environ.pop("NO_COLOR", None)  # the framework's own answer to it is greys; ours is no colour at all
    gc.disable()
    from station.desk.opening import opened, own_library
    from station.desk.theming import dressed

    shelf, made = (opened(library, look), False) if library or look else own_library()
    shelf.warm_up()
    if (unread := shelf.unread()) > _MANY:
        print(f"station: reading {unread} drinks; the next start will not wait for it", file=sys.stderr, flush=True)
    dress = dressed(shelf.folder, theme)
    if dress.fault:
        print(f"station: {dress.fault}", file=sys.stderr)
    from station.tui.app import StationApp

    greeting = dress.fault or (f"made your own library from the demo: {shelf.folder}" if made else "")
    app = StationApp(shelf, greeting, dress.theme, depth)
    app.run()
    return app.return_code or 0


def _look_only() -> None:
    """Nothing can be written or started from here on, and nothing a client's environment says reaches the framework."""
    from station.files import guard

    signal.signal(signal.SIGTSTP, signal.SIG_IGN)
    for name in [name for name in os.environ if name.startswith("TEXTUAL")]:
        del os.environ[name]
    guard.install()
