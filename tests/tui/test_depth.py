"""What the environment says of a terminal's colours, and what is made of a theme then."""

from __future__ import annotations

import pytest

from station.bar.theme import STYLES, TERMINAL_THEME
from station.files.themes import own_theme
from station.tui.depth import Depth, depth_of
from station.tui.palette import palette


@pytest.mark.parametrize(
    ("environment", "depth"),
    [
        ({"TERM": "xterm-256color", "COLORTERM": "truecolor"}, Depth.TRUE),
        ({"TERM": "xterm-direct"}, Depth.TRUE),
        ({"TERM": "xterm-256color"}, Depth.MANY),
        ({"TERM": "tmux-256color"}, Depth.MANY),
        ({"TERM": "linux"}, Depth.FEW),
        ({"TERM": "screen"}, Depth.FEW),
        ({"TERM": "xterm"}, Depth.FEW),
        ({}, Depth.FEW),
        ({"TERM": "vt220"}, Depth.NONE),
        ({"TERM": "xterm-mono"}, Depth.NONE),
        ({"TERM": "xterm-256color", "COLORTERM": "truecolor", "NO_COLOR": "1"}, Depth.NONE),
        ({"TERM": "xterm-256color", "NO_COLOR": ""}, Depth.MANY),
    ],
)
def test_the_environment_says_how_many_colours_there_are(environment: dict[str, str], depth: Depth) -> None:
    assert depth_of(environment) is depth


@pytest.mark.parametrize("name", ["dark-bar", TERMINAL_THEME])
def test_without_colours_a_style_has_none_and_what_is_chosen_is_reversed_and_bold(name: str) -> None:
    styles = palette(own_theme(name), Depth.NONE)
    assert all(style.color is None and style.bgcolor is None for style in styles.values())
    assert styles["chosen"].reverse and styles["chosen"].bold
    assert {name for name, style in styles.items() if style.reverse} == {name for name, recipe in STYLES.items() if recipe.bar}


def test_the_terminals_own_colours_are_sent_by_number() -> None:
    styles = palette(own_theme(TERMINAL_THEME), Depth.FEW)
    numbers = {style.color.number for style in styles.values() if style.color and not style.color.is_default}
    assert numbers == {2, 5}
    assert styles["chosen"].reverse and styles["cursor"].reverse
