"""Which colours the screens come in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from station.bar.fault import CannotAnswer
from station.bar.theme import DEFAULT_THEME, TERMINAL_THEME, Theme
from station.files import themes


def default_theme() -> Theme:
    return themes.own_theme(DEFAULT_THEME)


def terminal_theme() -> Theme:
    """The theme of the terminal's own colours."""
    return themes.own_theme(TERMINAL_THEME)


@dataclass(frozen=True, slots=True)
class Dressed:
    """The theme asked for by that name or file, or another and in one line why it is not that; "" if it is."""

    asked: str
    theme: Theme
    fault: str = ""


def dressed(folder: Path, asked: str = "") -> Dressed:
    """The theme asked for by name or file, else the one station.toml names, else the default; a faulty one gives way to that."""
    name = asked or themes.said_by(folder) or DEFAULT_THEME
    try:
        return Dressed(name, themes.theme(folder, name))
    except CannotAnswer as error:
        return Dressed(name, default_theme(), f"{error}; {DEFAULT_THEME} is used")


def wardrobe(folder: Path) -> Iterator[Dressed]:
    """Every theme one can choose by name; a faulty one with its fault."""
    return (dressed(folder, name) for name in themes.names(folder))
