"""The program's own themes can be read by whoever they are for."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rich.color import Color, ColorSystem

from station.bar.theme import (
    DEFAULT_THEME,
    LEAST_CONTRAST,
    ROLES,
    STYLES,
    TERMINAL_THEME,
    USUAL_CONTRAST,
    Theme,
    luminance,
    too_faint,
)
from station.files.places import shipped
from station.files.themes import own_theme
from station.science.contrast import contrast_ratio

OWN = {path.stem: own_theme(path.stem) for path in shipped("themes").glob("*.toml")}
MIXED = [theme for theme in OWN.values() if not theme.terminal]


def named(theme: Theme) -> str:
    return theme.id


def test_there_are_five() -> None:
    assert set(OWN) == {DEFAULT_THEME, "daylight", "high-contrast", "night-red", TERMINAL_THEME}
    assert all(theme.about.endswith(".") for theme in OWN.values())
    assert [theme.id for theme in OWN.values() if not theme.dark] == ["daylight"]


@pytest.mark.parametrize("theme", MIXED, ids=named)
def test_every_text_stands_out_as_far_as_its_theme_promises(theme: Theme) -> None:
    assert list(too_faint(theme)) == []


def test_only_the_red_one_promises_less_than_is_usual_and_says_so() -> None:
    less = [theme for theme in MIXED if theme.contrast < USUAL_CONTRAST]
    assert [(theme.id, theme.contrast) for theme in less] == [("night-red", LEAST_CONTRAST)]
    assert "3 to 1" in less[0].about


@pytest.mark.parametrize("theme", MIXED, ids=named)
def test_the_same_holds_with_256_colours(theme: Theme) -> None:
    """As the terminal's nearest of 256 colours (xterm's cube and greys, by rich), which is what is sent there."""

    def nearest(colour: str) -> str:
        return Color.parse(colour).downgrade(ColorSystem.EIGHT_BIT).get_truecolor().hex

    seen = replace(theme, **{role: nearest(getattr(theme, role)) for role in ROLES})
    assert list(too_faint(seen)) == []


@pytest.mark.parametrize("ground", ["#000000", "#ffffff"])
def test_the_terminals_two_colours_show_on_both_grounds(ground: str) -> None:
    """With the IBM VGA text palette's values (from memory), the faintest in use; the least is that of WCAG 2.2, 1.4.11."""
    vga = {"green": "#00aa00", "magenta": "#aa00aa"}
    theme = OWN[TERMINAL_THEME]
    used = {getattr(theme, role) for role in ROLES} - {"default"}
    assert used == set(vga)
    assert all(contrast_ratio(luminance(vga[colour]), luminance(ground)) >= LEAST_CONTRAST for colour in used)


def test_the_night_is_red_only() -> None:
    theme = OWN["night-red"]
    assert all(int(getattr(theme, role)[1:3], 16) >= 2 * int(getattr(theme, role)[3:5], 16) for role in ROLES)


def test_a_faint_text_is_found() -> None:
    faint = replace(OWN[DEFAULT_THEME], dim=OWN[DEFAULT_THEME].background)
    assert [(ink, paper, ratio) for ink, paper, ratio in too_faint(faint)] == [("dim", "background", 1.0)]


def test_every_style_is_made_of_roles() -> None:
    assert {role for recipe in STYLES.values() for role in (recipe.ink, recipe.paper)} == set(ROLES)
