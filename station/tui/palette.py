"""The styles rows are painted in, from a theme's colours and as many of them as the terminal has.

They are not component classes of the panes: matching those against the style sheet, pane by pane, was a tenth of the start.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeAlias

from rich.style import Style

from station.bar.theme import STYLES, Recipe, Theme
from station.tui.depth import Depth

Palette: TypeAlias = Mapping[str, Style]


def palette(theme: Theme, depth: Depth) -> Palette:
    """Every style. Without colours, or with the terminal's own, a bar is drawn in reverse: nobody knows what stands on what."""
    if depth is Depth.NONE:
        return {name: Style(bold=recipe.bold, reverse=recipe.bar) for name, recipe in STYLES.items()}
    paint = _own if theme.terminal else _mixed
    return {name: paint(theme, recipe) for name, recipe in STYLES.items()}


def _mixed(theme: Theme, recipe: Recipe) -> Style:
    return Style(color=getattr(theme, recipe.ink), bgcolor=getattr(theme, recipe.paper), bold=recipe.bold)


def _own(theme: Theme, recipe: Recipe) -> Style:
    ink, paper = (recipe.paper, recipe.ink) if recipe.bar else (recipe.ink, recipe.paper)
    colours = [getattr(theme, role).replace("bright ", "bright_") for role in (ink, paper)]
    return Style(color=colours[0], bgcolor=colours[1], bold=recipe.bold, reverse=recipe.bar)
