"""The index: what the list of specs shows, kept in the cache folder so that no file need be read to show it.

An entry holds as long as its file's size, time and inode do, and all of them as long as what specs refer to (`links`) is
the same. It only lists, and says which files have faults; it answers no figure. Corrupt or of another version, it is made anew.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from operator import attrgetter
from pathlib import Path

from station.bar.fault import Fault
from station.bar.listed import Listed

VERSION = 3
DRINKS = "drinks"

Stamp = tuple[int, int, int]

# dataclasses.astuple would copy every word.
_listed_values, _fault_values = attrgetter(*Listed.__slots__), attrgetter(*Fault.__slots__)


@dataclass(frozen=True, slots=True)
class Entry:
    """One drink's file as last read: its stamp and digest, its row, the text it is found by, and its faults."""

    stamp: Stamp
    digest: str
    listed: Listed
    text: str
    faults: tuple[Fault, ...] = ()
    retired: bool = False


@dataclass(frozen=True, slots=True)
class Index:
    """Entries by file; `links` names the state of everything specs refer to, `house` is the bar's name."""

    links: str
    house: str
    entries: Mapping[str, Entry]


def load(path: Path) -> Index | None:
    """The index kept there; None if there is none that can be used."""
    try:
        told, _, content = path.read_bytes().partition(b"\n")
        kept = json.loads(content) if told == _sum(content) else {}
        if kept["version"] != VERSION:
            return None
        return Index(str(kept["links"]), str(kept["house"]), {file: _entry(*values) for file, values in kept["entries"].items()})
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _sum(content: bytes) -> bytes:
    """What an index's first line is: a broken disk's bytes may still be JSON, and hide a fault."""
    return f"{zlib.crc32(content):08x}".encode()


def keep(path: Path, index: Index) -> None:
    """Write the index, whole or not at all. A cache folder that cannot be written costs time, nothing else."""
    entries = {
        file: [
            entry.stamp,
            entry.digest,
            _listed_values(entry.listed),
            entry.text,
            [_fault_values(fault) for fault in entry.faults],
            entry.retired,
        ]
        for file, entry in index.entries.items()
    }
    whole = {"version": VERSION, "links": index.links, "house": index.house, "entries": entries}
    # A file's name may be bytes that are no text.
    content = json.dumps(whole, ensure_ascii=False).encode(errors="surrogatepass")
    spare = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        spare.write_bytes(_sum(content) + b"\n" + content)
        spare.replace(path)
    except OSError:
        with suppress(OSError):
            spare.unlink(missing_ok=True)


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


def still_true(index: Index, stamps: Mapping[str, Stamp]) -> bool:
    """Whether the index speaks of exactly these files as they are now."""
    return index.entries.keys() == stamps.keys() and all(index.entries[file].stamp == stamp for file, stamp in stamps.items())


def _entry(stamp: list[int], digest: str, listed: list[object], text: str, faults: list[list[object]], retired: bool) -> Entry:
    size, time, inode = stamp
    name, shown, method, style, tags, faulty = listed
    row = Listed(str(name), str(shown), str(method), str(style), tuple(map(str, tags)), bool(faulty))  # type: ignore[call-overload]
    found = tuple(Fault(*fault) for fault in faults)  # type: ignore[arg-type]  # as astuple wrote it
    return Entry((int(size), int(time), int(inode)), str(digest), row, str(text), found, bool(retired))
