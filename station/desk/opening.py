"""Which library a question is asked of, its list at once, and its snapshot when a question first needs it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from station.bar.fault import CannotAnswer
from station.files import index, places
from station.files.drafts import Unwritten
from station.files.finding import found
from station.files.watch import Watch

if TYPE_CHECKING:
    from station.bar.nouns import Library
    from station.calc.blend import Blends
    from station.files.reader import LibraryReader
    from station.lots.log import Log


@dataclass(slots=True)
class Opened:
    """A library that is open. Its list comes from the index where that still holds, so that nothing need be read to show it.

    `by` is who works here, once they said so; `session` names this run, `log` is its log, once they are needed.
    """

    folder: Path
    demo: bool = False
    look: bool = False
    unwritten: Unwritten = field(default_factory=Unwritten)
    by: str = ""
    session: str = ""
    log: Log | None = None
    _reader: LibraryReader | None = None
    _blends: Blends | None = None
    # The index, until more than the list has been read.
    _warm: index.Index | None = None
    _watch: Watch | None = None

    @property
    def reader(self) -> LibraryReader:
        if self._reader is None:
            self._load()
        assert self._reader is not None
        return self._reader

    @property
    def blends(self) -> Blends:
        """The newest snapshot's memo. Raises CannotAnswer if the folder cannot be read any more."""
        if self._blends is None:
            self._load()
        assert self._blends is not None
        return self._blends

    @property
    def library(self) -> Library:
        return self.blends.library

    @property
    def read_only(self) -> bool:
        """The demo, and a library of a newer format, are never written; nor is any in a look-up."""
        return self.demo or self.look or any(fault.code == "newer-format" for fault in self.library.faults)

    @property
    def standing(self) -> str:
        """In a word or two why nothing is written here; "" where it is."""
        if self.look:
            return "look-up, nothing is written"
        return "demo, read only" if self.demo else "read only" if self.read_only else ""

    def find(self, words: str = "", retired: bool = False) -> index.Rows:
        """The specs that hold all the words, misspelt ones too where none does; of those on the list, or of the retired."""
        return found(self.reader.index if self._warm is None else self._warm, words, retired)

    @property
    def house(self) -> str:
        """The bar's name."""
        return self.library.house.name if self._warm is None else self._warm.house

    @property
    def loaded(self) -> bool:
        """Whether more than the list has been read."""
        return self._blends is not None

    def warm_up(self) -> None:
        """Take the list from the index if no file came, went or was replaced since. One written in place is found by the read."""
        kept = index.load(places.index_file(self.folder))
        if kept is not None and (kept.moved == index.moved(self.folder) or kept.still_true(index.drink_files(self.folder))):
            self._warm = kept

    def unread(self) -> int:
        """How many drinks must be read before there is a list: none where the index gives it."""
        return 0 if self._warm is not None or self.loaded else len(index.drink_files(self.folder))

    def it_is(self, now: datetime) -> None:
        """From now on it is the bar's day of that moment: calibrations over a month old are called old."""
        from station.desk.asked import house_day

        self._blends = self.blends.on(house_day(now, self.library.house))

    def look_around(self, also: Iterable[str] = ()) -> bool:
        """Take in what another program changed since the last look. True if anything did. `also`: files that are open."""
        if self._watch is None:
            self._watch = Watch(self.folder)
        return self._watch.moved(also) and self.reread()

    def reread(self) -> bool:
        """Take in what changed on disk. True if anything did; what was reckoned and is not reached is kept."""
        library = self.reader.read()
        if library.revision == self.library.revision:
            return False
        self._blends = self.blends.after(library)
        return True

    def _load(self) -> None:
        from station.calc.blend import Blends
        from station.files.reader import LibraryReader

        if not self.look:
            self._mend()
        reader = LibraryReader(self.folder, places.index_file(self.folder), self._warm)
        try:
            library = reader.read()
        except OSError as error:
            raise CannotAnswer(f"{self.folder} cannot be read: {error.strerror}", "check its permissions") from None
        self._reader, self._blends, self._warm = reader, Blends(library), None

    def _mend(self) -> None:
        """Half a change that a killed program left is taken back before anything is read."""
        from station.files.save import Busy, NotWritable, OutsideLibrary, mend

        try:
            mend(self.folder)
        except (Busy, NotWritable, OutsideLibrary) as error:
            raise CannotAnswer(f"a change of this library was cut off and cannot be taken back: {error}") from None


def opened(named: str = "", look: bool = False) -> Opened:
    """The named library, else the user's own, else the shipped demo. Raises CannotAnswer if a named folder is not there."""
    if named:
        folder = places.named_path(named)
        if not folder.exists():
            raise CannotAnswer(f"there is no folder {named}", "check the name; nothing was made")
        if not folder.is_dir():
            raise CannotAnswer(f"{folder} is no folder", "name the folder that holds station.toml")
        return Opened(folder, look=look)
    own = places.user_library()
    return Opened(own, look=look) if own.is_dir() else Opened(places.shipped("specs"), demo=True, look=look)


def own_library() -> tuple[Opened, bool]:
    """The user's own library, made from the demo if there is none yet; and whether it was made. Raises CannotAnswer."""
    own = places.user_library()
    made = not own.is_dir()
    if made:
        try:
            places.copied_demo(own)
        except OSError as error:
            raise CannotAnswer(f"{own} cannot be made: {error.strerror}", "name a folder with --library") from None
    return Opened(own), made
