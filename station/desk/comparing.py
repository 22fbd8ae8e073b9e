"""Two drinks, or two versions of one: as it is saved, as its unsaved edit has it, as it was before a save."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.calc.answers import Shown
from station.calc.blend import Blends
from station.calc.compared import EDITED, SAVED, Compared, compared
from station.desk.document import open_document
from station.desk.look import AT, find_spec, shown, sound_drink
from station.desk.opening import Opened
from station.desk.resuming import edited_spec
from station.files.replaced import copies, noun_in


@dataclass(frozen=True, slots=True)
class Version:
    """One version of a drink: how it is asked for, and what it is: saved, edited, or when it was replaced (ISO 8601, UTC)."""

    asked: str
    version: str
    spec: Spec

    @property
    def replaced_at(self) -> datetime | None:
        """When a save replaced it; None for the saved one and the edit."""
        return None if self.version in (SAVED, EDITED) else datetime.fromisoformat(self.version)


def compare(opened: Opened, left: str, right: str) -> Compared:
    """Two versions, each asked for as `id`, `id@edited` or `id@1` (before the last save), `id@2` … Raises CannotAnswer."""
    return compare_versions(opened.blends, version(opened, left), version(opened, right))


def compare_versions(blends: Blends, left: Version, right: Version) -> Compared:
    """Both with the items and stocks as they are now. Raises CannotAnswer, naming the side."""
    return compared(_shown(blends, left), left.version, _shown(blends, right), right.version)


def version(opened: Opened, asked: str) -> Version:
    """The version asked for. Raises CannotAnswer."""
    name, at, which = asked.partition(AT)
    spec = find_spec(opened.library, name)
    if not at or which == SAVED:
        return Version(asked, SAVED, spec)
    if which == EDITED:
        return _edited(opened, spec)
    if not (which.isascii() and which.isdecimal()):
        raise CannotAnswer(
            f"“{which}” is no version of {name}", f"write {name}{AT}{EDITED}, or {name}{AT}1 for before the last save"
        )
    found = next((one for one in _replaced(opened, spec) if one.asked == f"{name}{AT}{int(which)}"), None)
    if found is None:
        raise CannotAnswer(f"there is no {asked} that can be read", _there_are(opened, spec))
    return found


def versions(opened: Opened, name: str) -> tuple[Version, ...]:
    """Every version of a drink that can be read: saved, edited, then what saves replaced, newest first. Raises CannotAnswer."""
    spec = find_spec(opened.library, name)
    edited = edited_spec(open_document(opened, name))
    unsaved = [Version(f"{name}{AT}{EDITED}", EDITED, edited)] if edited else []
    return (Version(name, SAVED, spec), *unsaved, *_replaced(opened, spec))


def _edited(opened: Opened, spec: Spec) -> Version:
    edited = edited_spec(open_document(opened, spec.id))
    if edited is None:
        raise CannotAnswer(f"{spec.id} has no unsaved edit", _there_are(opened, spec))
    return Version(f"{spec.id}{AT}{EDITED}", EDITED, edited)


def _replaced(opened: Opened, spec: Spec) -> Iterator[Version]:
    """Copies of the spec's file that can be read as a drink; they are counted with those that cannot."""
    for place, copy in enumerate(copies(opened.folder, spec.file), 1):
        noun, _ = noun_in(opened.folder, spec.file, copy)
        if isinstance(noun, Spec):
            yield Version(f"{spec.id}{AT}{place}", copy.replaced_at.isoformat(), noun)


def _there_are(opened: Opened, spec: Spec) -> str:
    asked = [one.asked for one in versions(opened, spec.id)]
    return f"there is {', '.join(asked[:6])}{' …' if len(asked) > 6 else ''}"


def _shown(blends: Blends, one: Version) -> Shown:
    try:
        return shown(blends, sound_drink(blends, one.spec))
    except CannotAnswer as error:
        raise CannotAnswer(f"{one.asked}: {error.message}", error.remedy, error.faults) from None
