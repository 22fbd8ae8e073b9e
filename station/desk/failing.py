"""A failure of the program's own, noted so that it can be told and mended; the person goes on working."""

from __future__ import annotations

import traceback
from datetime import UTC, datetime

from station.bar.say import plain
from station.desk.opening import Opened
from station.files.places import make_private, private_folder

LOG = "failures.log"
# A log that has grown over this is begun anew; the old one is kept beside it.
LARGEST_LOG_BYTES = 200_000


def noted(opened: Opened, error: BaseException) -> str:
    """Write the traceback to the log beside the drafts: where that is, or "" if it cannot be written."""
    if opened.look:
        return ""
    private = private_folder(opened.folder)
    path = private / LOG
    told = [part for chunk in traceback.format_exception(error) for part in chunk.splitlines()]
    text = "\n".join([datetime.now(UTC).isoformat(timespec="seconds"), *(plain(line, 1000) for line in told)])
    try:
        make_private(private)
        if path.exists() and path.stat().st_size > LARGEST_LOG_BYTES:
            path.replace(path.with_suffix(".old"))
        with path.open("a", encoding="utf-8", errors="backslashreplace") as log:
            log.write(f"{text}\n\n")
    except OSError:
        return ""
    return str(path)
