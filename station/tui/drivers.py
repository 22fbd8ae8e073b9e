"""Which driver carries the screens: ours where a terminal has file descriptors and signals, else the stock one."""

import os
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.driver import Driver


def driver_class() -> "type[Driver] | None":
    """The driver for this platform, None for Textual's own; `STATION_DRIVER=stock` asks for that."""
    if sys.platform == "win32" or os.environ.get("STATION_DRIVER") == "stock":
        return None
    from station.tui.wire import ChangedCellsDriver

    return ChangedCellsDriver
