"""The styles rows are painted in, from a theme's colours.

They are not component classes of the panes: matching those against the style sheet, pane by pane, was a tenth of the start.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeAlias

from rich.style import Style
from textual.color import Color

Palette: TypeAlias = Mapping[str, Style]

# Each style's foreground and background among the theme's colours, and whether it is bold.
_RECIPES = {
    "text": ("foreground", "background", False),
    "dim": ("dim", "background", False),
    "strong": ("foreground", "background", True),
    "accent": ("accent", "background", True),
    "chosen": ("background", "primary", True),
    "chosen-dim": ("foreground", "panel", False),
    "field": ("accent", "panel", True),
    "cursor": ("background", "accent", False),
    "low": ("warning", "background", True),
    "high": ("warning", "background", True),
    "within": ("success", "background", False),
    "warn": ("warning", "background", False),
    "key": ("primary", "background", True),
}
STYLES = frozenset(_RECIPES)
# How far dim text goes from the foreground towards the background.
_DIM = 0.35


def palette(colours: Mapping[str, str]) -> Palette:
    """Every style, from the theme's variables."""
    parsed = {
        name: Color.parse(colours[name])
        for name in ("foreground", "background", "accent", "primary", "panel", "warning", "success")
    }
    parsed["dim"] = parsed["foreground"].blend(parsed["background"], _DIM)
    hexes = {name: colour.hex6 for name, colour in parsed.items()}
    return {name: Style(color=hexes[fore], bgcolor=hexes[back], bold=bold) for name, (fore, back, bold) in _RECIPES.items()}
