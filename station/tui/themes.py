"""Colour themes from `themes/*.toml`, checked before they are used."""

from __future__ import annotations

import tomllib

from textual.theme import Theme

from station.bar.fault import CannotAnswer
from station.files.places import shipped


def theme(name: str) -> Theme:
    """The shipped theme of that name. Raises CannotAnswer, in one sentence, for a file that is no theme."""
    path = shipped("themes") / f"{name}.toml"
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        data.pop("about", None)
        made = Theme(name=name, **data)
        made.to_color_system().generate()
    except (OSError, ValueError, TypeError) as error:
        raise CannotAnswer(f"the theme {name} cannot be used: {error}", f"mend {path.name}") from None
    return made
