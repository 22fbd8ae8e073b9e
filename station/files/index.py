"""The index: what the list of specs shows, kept in the cache folder so that no file need be read to show it.

A drink's row holds as long as its file's size, time and inode do, and all rows as long as what specs refer to (`links`) is
the same. It only lists, and says which files have faults; it answers no figure. Corrupt or of another version, it is made anew.

It is kept and held in columns, in the list's order, each read from its line of the file when it is first asked for: ten
thousand rows as objects would take longer to make than the first frame, and more memory than all the rest.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from itertools import compress, pairwise
from operator import attrgetter
from pathlib import Path
from typing import Any, overload

from station.bar.fault import Fault
from station.bar.listed import Listed

VERSION = 5
DRINKS = "drinks"

Stamp = tuple[int, int, int]
Columns = Mapping[str, Sequence[Any]]

# The lines of the file under its head: what is on the screen at once, what words find, what tells whether it still holds.
_SHOWN = (*Listed.__slots__, "retired")
_FOUND = ("text",)
_PROOF = ("size", "time", "inode", "digest", "faults")
_LINES = (_SHOWN, _FOUND, _PROOF)
# Columns of few different values.
_REPEATED = frozenset({"method", "style", "tags", "faulty", "retired"})

# dataclasses.astuple would copy every word.
_fault_values = attrgetter(*Fault.__slots__)


@dataclass(frozen=True, slots=True)
class Entry:
    """One drink's file as just read: its stamp and digest, its row, the text it is found by, and its faults."""

    stamp: Stamp
    digest: str
    listed: Listed
    text: str
    faults: tuple[Fault, ...] = ()
    retired: bool = False


@dataclass(frozen=True)
class Index:
    """The drinks there are. `links` names the state of everything specs refer to, `house` is the bar's name, `moved` the time
    of the drinks' folder when they were looked at. Places are those of the list, by name.
    """

    links: str
    house: str
    moved: int
    lines: tuple[bytes | memoryview, ...]

    def __len__(self) -> int:
        return len(self._shown["id"])

    def row(self, place: int) -> Listed:
        own_id, name, method, style, tags, faulty = (self._shown[column][place] for column in Listed.__slots__)
        return Listed(own_id, name, method, style, tags, faulty)

    def places(self, retired: bool = False) -> Sequence[int]:
        """The rows that are on the list; or the retired ones."""
        away = self._shown["retired"]
        assert isinstance(away, Repeated)
        return range(len(self)) if away.values == [retired] else [at for at, gone in enumerate(away) if gone == retired]

    @property
    def ids(self) -> Sequence[str]:
        return self._shown["id"]

    @property
    def names(self) -> Sequence[str]:
        return self._shown["name"]

    @property
    def texts(self) -> Sequence[str]:
        """What rows are found by, without capitals."""
        return self._found["text"]

    @property
    def usable(self) -> Iterable[str]:
        """The ids of drinks without a fault."""
        return (name for name, faulty in zip(self.ids, self._shown["faulty"], strict=True) if not faulty)

    @property
    def faults(self) -> Iterable[Fault]:
        """Everything wrong with drinks."""
        return (Fault(*values) for found in compress(self._proof["faults"], self._proof["faults"]) for values in found)

    @property
    def digests(self) -> Mapping[str, str]:
        """By file."""
        return dict(zip(map(file_of, self.ids), self._proof["digest"], strict=True))

    def still_true(self, stamps: Mapping[str, Stamp]) -> bool:
        """Whether it speaks of exactly these files as they are now."""
        return len(self) == len(stamps) == sum(1 for _ in self.holding(stamps))

    def holding(self, stamps: Mapping[str, Stamp]) -> Iterable[int]:
        """The places of the rows whose files still have these stamps."""
        proof = self._proof
        told = zip(self.ids, zip(proof["size"], proof["time"], proof["inode"], strict=True), strict=True)
        return (place for place, (name, stamp) in enumerate(told) if stamps.get(file_of(name)) == stamp)

    def columns(self) -> Columns:
        return {**self._shown, **self._found, **self._proof}

    @cached_property
    def _shown(self) -> Columns:
        return _read(_SHOWN, self.lines[0])

    @cached_property
    def _found(self) -> Columns:
        return _read(_FOUND, self.lines[1])

    @cached_property
    def _proof(self) -> Columns:
        return _read(_PROOF, self.lines[2])


class Repeated(Sequence[Any]):
    """A column of few different values: each once, and which of them stands at each place."""

    def __init__(self, values: list[Any], at: Sequence[int]) -> None:
        self.values, self.at = [tuple(one) if isinstance(one, list) else one for one in values], at

    def __len__(self) -> int:
        return len(self.at)

    @overload
    def __getitem__(self, place: int) -> Any: ...
    @overload
    def __getitem__(self, place: slice) -> list[Any]: ...
    def __getitem__(self, place: int | slice) -> Any:
        return [self.values[at] for at in self.at[place]] if isinstance(place, slice) else self.values[self.at[place]]


class Rows(Sequence[Listed]):
    """Rows at these places of an index, each made when it is looked at."""

    def __init__(self, index: Index, places: Sequence[int]) -> None:
        self._index, self.places = index, places

    def __len__(self) -> int:
        return len(self.places)

    @overload
    def __getitem__(self, at: int) -> Listed: ...
    @overload
    def __getitem__(self, at: slice) -> Rows: ...
    def __getitem__(self, at: int | slice) -> Listed | Rows:
        return Rows(self._index, self.places[at]) if isinstance(at, slice) else self._index.row(self.places[at])

    @cached_property
    def place_of(self) -> Mapping[str, int]:
        """Places in the index by id."""
        ids = self._index.ids
        return {ids[place]: place for place in self.places}

    def led_by(self, names: Iterable[str]) -> Rows:
        """The same rows, those of these ids first, in that order."""
        first = dict.fromkeys(map(self.place_of.__getitem__, names))
        return Rows(self._index, [*first, *(place for place in self.places if place not in first)])


def file_of(name: str) -> str:
    """The file of the drink of that id."""
    return f"{DRINKS}/{name}.toml"


def made(links: str, house: str, moved: int, fresh: Iterable[Entry], old: Index | None = None, kept: Iterable[int] = ()) -> Index:
    """An index of drinks just read, and of those of an older one that stand there at the places `kept`."""
    columns = _columns(list(fresh))
    if old is not None:
        take = list(kept)
        before = old.columns()
        columns = {name: [*map(before[name].__getitem__, take), *values] for name, values in columns.items()}
    order = sorted(range(len(columns["id"])), key=lambda at: (columns["name"][at].casefold(), columns["id"][at]))
    ordered = {name: [column[at] for at in order] for name, column in columns.items()}
    return Index(links, house, moved, tuple(_written({name: ordered[name] for name in line}) for line in _LINES))


def load(path: Path) -> Index | None:
    """The index kept there; None if there is none that can be used."""
    try:
        raw = path.read_bytes()
        ends = list(_ends(raw))
        told, content = raw[: ends[0]], memoryview(raw)[ends[0] + 1 :]
        if told != _sum(content):
            return None
        kept, *lines = (memoryview(raw)[start + 1 : end] for start, end in pairwise((*ends, len(raw))))
        head = json.loads(bytes(kept))
        if head["version"] != VERSION or len(lines) != len(_LINES):
            return None
        return Index(str(head["links"]), str(head["house"]), int(head["moved"]), tuple(lines))
    except (OSError, ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError):
        return None


def _ends(raw: bytes) -> Iterator[int]:
    """Where lines end: copies of them would cost more than reading them."""
    end = raw.find(b"\n")
    while end >= 0:
        yield end
        end = raw.find(b"\n", end + 1)


def _sum(content: bytes | memoryview) -> bytes:
    """What an index's first line is: a broken disk's bytes may still be JSON, and hide a fault."""
    return f"{zlib.crc32(content):08x}".encode()


def keep(path: Path, index: Index) -> None:
    """Write the index, whole or not at all. A cache folder that cannot be written costs time, nothing else."""
    head = {"version": VERSION, "links": index.links, "house": index.house, "moved": index.moved}
    content = b"\n".join((json.dumps(head).encode(), *index.lines))
    spare = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        spare.write_bytes(_sum(content) + b"\n" + content)
        spare.replace(path)
    except OSError:
        with suppress(OSError):
            spare.unlink(missing_ok=True)


def moved(folder: Path) -> int:
    """The time of the drinks' folder: a file that came, went or was replaced has moved it, as nearly every program saves."""
    try:
        return (folder / DRINKS).stat().st_mtime_ns
    except OSError:
        return 0


def drink_files(folder: Path) -> dict[str, Stamp]:
    """Every drink's file with its stamp, in order of name. One that has gone meanwhile is left out."""
    stamps: dict[str, Stamp] = {}
    try:
        found = sorted(os.scandir(folder / DRINKS), key=lambda entry: entry.name)
    except OSError:
        return stamps
    for one in found:
        if one.name.endswith(".toml") and not one.name.startswith(".") and (info := _status(one)):
            stamps[f"{DRINKS}/{one.name}"] = (info.st_size, info.st_mtime_ns, info.st_ino)
    return stamps


def _status(one: os.DirEntry[str]) -> os.stat_result | None:
    """The file's status; of a link that leads nowhere the link's own; None if it has gone."""
    for follow in (True, False):
        try:
            return one.stat(follow_symlinks=follow)
        except OSError:
            continue
    return None


def _columns(entries: Sequence[Entry]) -> dict[str, list[Any]]:
    """As the lines of the file name them."""
    columns: dict[str, list[Any]] = {name: [getattr(one.listed, name) for one in entries] for name in Listed.__slots__}
    columns["retired"] = [one.retired for one in entries]
    columns["text"] = [one.text for one in entries]
    columns |= {name: [one.stamp[at] for one in entries] for at, name in enumerate(("size", "time", "inode"))}
    columns["digest"] = [one.digest for one in entries]
    columns["faults"] = [[_fault_values(fault) for fault in one.faults] for one in entries]
    return columns


def _written(columns: Mapping[str, Sequence[Any]]) -> bytes:
    """A line: each column, those of few values as the values and which of them stands at each place."""
    said = []
    for name, column in columns.items():
        values = list(dict.fromkeys(column)) if name in _REPEATED else []
        number = {value: at for at, value in enumerate(values)}
        said.append([values, [number[value] for value in column]] if name in _REPEATED else column)
    # A file's name may be bytes that are no text.
    return json.dumps(said, ensure_ascii=False).encode(errors="surrogatepass")


def _read(names: Sequence[str], line: bytes | memoryview) -> Columns:
    said = zip(names, json.loads(bytes(line)), strict=True)
    return {name: Repeated(*column) if name in _REPEATED else column for name, column in said}


NOTHING = made("", "", 0, ())
