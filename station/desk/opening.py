"""Which library a question is asked of, and its snapshot."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from station.bar.fault import CannotAnswer
from station.bar.nouns import Library
from station.calc.blend import Blends
from station.files import places
from station.files.reader import LibraryReader


@dataclass(slots=True)
class Opened:
    """A library that is open: where it is, whether it is the shipped demo, and its newest snapshot."""

    folder: Path
    reader: LibraryReader
    blends: Blends
    demo: bool = False

    @property
    def library(self) -> Library:
        return self.blends.library

    @property
    def read_only(self) -> bool:
        """The demo, and a library of a newer format, are never written."""
        return self.demo or any(fault.code == "newer-format" for fault in self.library.faults)

    def reread(self) -> bool:
        """Take in what changed on disk. True if anything did; what was reckoned and is not reached is kept."""
        library = self.reader.read()
        if library.revision == self.library.revision:
            return False
        self.blends = self.blends.after(library)
        return True


def opened(named: str = "") -> Opened:
    """The named library, else the user's own, else the shipped demo. Raises CannotAnswer if a named folder is not there."""
    if named:
        return _read(Path(named).expanduser(), demo=False)
    own = places.user_library()
    return _read(own, demo=False) if own.is_dir() else _read(places.shipped("specs"), demo=True)


def own_library() -> tuple[Opened, bool]:
    """The user's own library, made from the demo if there is none yet; and whether it was made. Raises CannotAnswer."""
    own = places.user_library()
    made = not own.is_dir()
    if made:
        try:
            places.copied_demo(own)
        except OSError as error:
            raise CannotAnswer(f"{own} cannot be made: {error.strerror}", "name a folder with --library") from None
    return _read(own, demo=False), made


def _read(folder: Path, demo: bool) -> Opened:
    reader = LibraryReader(folder)
    try:
        library = reader.read()
    except FileNotFoundError:
        raise CannotAnswer(f"there is no folder {folder}", "check the name; nothing was made") from None
    except NotADirectoryError:
        raise CannotAnswer(f"{folder} is no folder", "name the folder that holds station.toml") from None
    except OSError as error:
        raise CannotAnswer(f"{folder} cannot be read: {error.strerror}", "check its permissions") from None
    return Opened(folder, reader, Blends(library), demo)
