"""Theme files: the program's own, and a house's in `themes/` of its library, or one named by its path."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path

from station.bar.fault import CannotAnswer, Fault
from station.bar.theme import Theme
from station.files.places import named_path, shipped

FOLDER = "themes"
_LARGEST_HOUSE_FILE = 1_000_000


def said_by(folder: Path) -> str:
    """The theme that station.toml names; "" if it names none, or cannot be read: the library's own faults say why."""
    path = folder / "station.toml"
    try:
        if not path.is_file() or path.stat().st_size > _LARGEST_HOUSE_FILE:
            return ""
        name = tomllib.loads(path.read_text(encoding="utf-8-sig"))["shows"]["theme"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return ""
    return name if isinstance(name, str) else ""


def names(folder: Path) -> tuple[str, ...]:
    """Every theme one can ask for by name, the program's own first."""
    return names_in(f"{FOLDER}/{path.name}" for path in sorted((folder / FOLDER).glob("*.toml")))


def names_in(files: Iterable[str]) -> tuple[str, ...]:
    """The same, of a library that has these files."""
    own = sorted(path.stem for path in shipped(FOLDER).glob("*.toml"))
    house = [Path(file).stem for file in files if file.startswith(f"{FOLDER}/") and not Path(file).name.startswith(".")]
    return tuple(dict.fromkeys([*own, *house]))


def theme(folder: Path, asked: str) -> Theme:
    """The theme of that name, the library's before the program's, or of that file. Raises CannotAnswer, with the first fault."""
    if "/" in asked or asked.endswith(".toml"):
        path = named_path(asked)
        return _checked(path.parent, path.name)
    if (folder / FOLDER / f"{asked}.toml").exists():
        return _checked(folder, f"{FOLDER}/{asked}.toml")
    if f"{asked}.toml" in {path.name for path in shipped(FOLDER).iterdir()}:
        return own_theme(asked)
    raise CannotAnswer(f"there is no theme {asked[:80]}", f"one of {', '.join(names(folder))}")


def own_theme(name: str) -> Theme:
    """A theme of the program's own, which tests hold to be sound: nothing of the schema is loaded before the first frame."""
    return Theme(id=name, **tomllib.loads((shipped(FOLDER) / f"{name}.toml").read_text(encoding="utf-8")))


def _checked(root: Path, file: str) -> Theme:
    """A theme file held against the schema, as the library's other files are."""
    from station.files.parts import parsed_theme
    from station.files.source import read_source

    found, faults = parsed_theme(read_source(root, file))
    if found is None:
        raise CannotAnswer(*_first(faults), faults=faults)
    return found


def _first(faults: tuple[Fault, ...]) -> tuple[str, str]:
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    first = next((fault for fault in faults if fault.code != "missing-key"), faults[0])
    return f"{first}{more}", ""
