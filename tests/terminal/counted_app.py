"""The station, saying at its end how many of its own sequences the driver did not understand: LIBRARY FILE."""

from __future__ import annotations

import sys
from pathlib import Path

from station.desk.opening import opened
from station.tui.app import StationApp
from station.tui.wire import ChangedCellsDriver


class CountedApp(StationApp):
    """Writes the count when it is left."""

    def leave(self) -> None:
        if isinstance(self._driver, ChangedCellsDriver):
            Path(sys.argv[2]).write_text(str(self._driver.unknown_sequences), encoding="utf-8")
        super().leave()


if __name__ == "__main__":
    CountedApp(opened(sys.argv[1])).run()
