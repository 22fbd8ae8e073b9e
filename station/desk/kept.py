"""What is kept of unfinished work, by the document it belongs to."""

from __future__ import annotations

from station.desk.opening import Opened
from station.files.drafts import Drafts, Unwritten
from station.files.places import private_folder

EDITS, POURS, CALIBRATIONS = "drinks", "pours", "calibrations"


def drafts_of(opened: Opened) -> Drafts | Unwritten:
    """The library's drafts; in a look-up its own, which end with it."""
    return opened.unwritten if opened.look else Drafts(private_folder(opened.folder))


def drafted(opened: Opened) -> tuple[str, ...]:
    """The specs that have an unsaved edit."""
    return tuple(drafts_of(opened).names(EDITS))
