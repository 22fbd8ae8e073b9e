"""A colour theme: eight colours, and the styles everything on the screen is painted in, made of them.

The roles are the framework's words for colours, so that a theme can be carried over: text stands on `background`, the chosen
row is `background` on `primary`, what is typed `accent` on `panel`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields

from station.science.contrast import contrast_ratio, relative_luminance

DEFAULT_THEME = "dark-bar"
# Asked for where a terminal has sixteen colours of its own, whatever they look like.
TERMINAL_THEME = "plain"

# WCAG 2.2: success criterion 1.4.3 (AA, 4.5 to 1 for text); the least any theme may ask of itself is 1.4.11's 3 to 1.
USUAL_CONTRAST, LEAST_CONTRAST, MOST_CONTRAST = 4.5, 3.0, 21.0

_COLOURS = ("black", "red", "green", "yellow", "blue", "magenta", "cyan", "white")
TERMINAL_COLOURS = ("default", *_COLOURS, *(f"bright {colour}" for colour in _COLOURS))
HEX_COLOUR = "#[0-9a-fA-F]{6}"


@dataclass(frozen=True, slots=True)
class Recipe:
    """A style: the roles of its ink and its paper, whether it is bold, and whether it is a filled `bar`."""

    ink: str
    paper: str
    bold: bool = False
    bar: bool = False


STYLES: Mapping[str, Recipe] = {
    "text": Recipe("foreground", "background"),
    "dim": Recipe("dim", "background"),
    "strong": Recipe("foreground", "background", bold=True),
    "accent": Recipe("accent", "background", bold=True),
    "chosen": Recipe("background", "primary", bold=True, bar=True),
    "chosen-dim": Recipe("foreground", "panel"),
    "field": Recipe("accent", "panel", bold=True),
    "cursor": Recipe("background", "accent", bar=True),
    "low": Recipe("warning", "background", bold=True),
    "high": Recipe("warning", "background", bold=True),
    "within": Recipe("success", "background"),
    "warn": Recipe("warning", "background"),
    "key": Recipe("primary", "background", bold=True),
}


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours by role: each `#rrggbb`, or all of them names of the terminal's own. `contrast` is the least it promises."""

    id: str
    about: str
    foreground: str
    background: str
    dim: str
    primary: str
    accent: str
    panel: str
    warning: str
    success: str
    contrast: float = USUAL_CONTRAST

    @property
    def terminal(self) -> bool:
        """Whether its colours are the terminal's own, of which nobody knows how they look."""
        return self.foreground in TERMINAL_COLOURS

    @property
    def dark(self) -> bool:
        """Whether light text stands on a dark ground; taken as so where nobody knows."""
        return self.terminal or luminance(self.background) < luminance(self.foreground)


ROLES = tuple(field.name for field in fields(Theme) if field.name not in {"id", "about", "contrast"})


def is_colour(text: str) -> bool:
    return text in TERMINAL_COLOURS or re.fullmatch(HEX_COLOUR, text) is not None


def luminance(colour: str) -> float:
    """The relative luminance of `#rrggbb`."""
    red, green, blue = (int(colour[place : place + 2], 16) / 255.0 for place in (1, 3, 5))
    return relative_luminance(red, green, blue)


def too_faint(theme: Theme) -> Iterator[tuple[str, str, float]]:
    """Each pair of roles that text is painted in with less contrast than the theme promises, and what it has."""
    if theme.terminal:
        return
    for ink, paper in sorted({(recipe.ink, recipe.paper) for recipe in STYLES.values()}):
        ratio = contrast_ratio(luminance(getattr(theme, ink)), luminance(getattr(theme, paper)))
        if ratio < theme.contrast:
            yield ink, paper, ratio
