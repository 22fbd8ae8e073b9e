"""The look-up with a view that tries to write: LIBRARY."""

from __future__ import annotations

import sys
from pathlib import Path

from station.tui import batch_view, start


def write(*_: object) -> None:
    (Path(sys.argv[1]) / "written").write_text("x", encoding="ascii")


if __name__ == "__main__":
    batch_view.BatchView.take = write  # type: ignore[method-assign]
    sys.exit(start.start(sys.argv[1], look=True))
