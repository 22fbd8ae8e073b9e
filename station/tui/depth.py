"""How many colours the terminal has, by what its environment says of it."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum


class Depth(Enum):
    """A depth; its value is the framework's word for it."""

    TRUE = "truecolor"
    MANY = "256"
    FEW = "standard"
    NONE = ""

    @property
    def mixes(self) -> bool:
        """Whether a colour can be had as it was mixed, or nearly so."""
        return self in {Depth.TRUE, Depth.MANY}


_MONOCHROME = ("vt100", "vt102", "vt220", "vt320", "vt52")


def depth_of(environment: Mapping[str, str]) -> Depth:
    """`NO_COLOR` (not empty) comes first, then what COLORTERM, then what TERM says; a terminal that says nothing has 16."""
    term = environment.get("TERM", "").lower()
    if environment.get("NO_COLOR") or term.startswith(_MONOCHROME) or term.endswith(("-mono", "-m")):
        return Depth.NONE
    if environment.get("COLORTERM", "").strip().lower() in {"truecolor", "24bit"} or term.endswith("-direct"):
        return Depth.TRUE
    return Depth.MANY if term.endswith("-256color") or "kitty" in term else Depth.FEW
