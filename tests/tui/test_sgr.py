import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.tui.sgr import PLAIN, Style, blank, read_sgr, restyle

COLOURS = ["", "1", "7", "91", "5;0", "5;208", "2;0;0;0", "2;224;120;9"]
MARKS = ["1", "2", "3", "4", "5", "7", "8", "9", "21", "53"]


def _ink(colour: str) -> str:
    return f"38;{colour}" if ";" in colour else {"": "", "1": "31", "7": "37", "91": "91"}[colour]


def _paper(colour: str) -> str:
    return f"48;{colour}" if ";" in colour else {"": "", "1": "41", "7": "47", "91": "101"}[colour]


styles = st.builds(
    Style,
    st.sampled_from(COLOURS).map(_ink),
    st.sampled_from(COLOURS).map(_paper),
    st.frozensets(st.sampled_from(MARKS), max_size=4),
    st.sampled_from(["", "id=1;https://example.org", "id=2;file:a"]),
)


def _read(style: Style, text: str) -> Style:
    """The style after a text of SGR and OSC 8 sequences and nothing else."""
    position = 0
    for found in re.finditer(r"\x1b\[([\d;]*)m|\x1b\]8;([^\x1b]*)\x1b\\", text):
        assert found.start() == position
        position = found.end()
        link = "" if found[2] == ";" else found[2]
        style = style._replace(link=link) if found[1] is None else read_sgr(style, found[1])
    assert position == len(text)
    return style


@pytest.mark.parametrize(
    ("parameters", "style"),
    [
        ("", PLAIN),
        ("0", PLAIN),
        ("1;4;31;42", Style("31", "42", frozenset(("1", "4")))),
        ("07;38;5;208;48;2;1;2;3", Style("38;5;208", "48;2;1;2;3", frozenset("7"))),
        ("97;107;39;49", PLAIN),
        ("1;2;3;22", Style(marks=frozenset("3"))),
        ("4;21;24;9", Style(marks=frozenset("9"))),
        ("31;;1", Style(marks=frozenset("1"))),
    ],
)
def test_sgr_parameters_are_read(parameters: str, style: Style) -> None:
    assert read_sgr(PLAIN, parameters) == style


@pytest.mark.parametrize("parameters", ["58;5;1", "38;7;1", "38;2;1;2", "48", "10", "4:3", "199"])
def test_an_unknown_parameter_is_refused(parameters: str) -> None:
    with pytest.raises(ValueError):
        read_sgr(PLAIN, parameters)


@given(styles, styles)
def test_a_change_of_style_is_read_back_as_that_style(pen: Style, style: Style) -> None:
    sequence, after = restyle(pen, style)
    assert after == style
    assert _read(pen, sequence) == style


@given(styles, styles)
def test_a_blank_gets_all_of_a_style_that_can_be_seen(pen: Style, style: Style) -> None:
    sequence, after = restyle(pen, blank(style))
    assert _read(pen, sequence) == after
    assert (after.paper, after.link) == (style.paper, style.link)
    assert after.marks - {"1", "2", "3"} == style.marks - {"1", "2", "3"}
    if style.link or after.marks - {"1", "2", "3"}:
        assert after.ink == style.ink


@given(styles, styles)
def test_a_change_is_never_longer_than_starting_afresh(pen: Style, style: Style) -> None:
    afresh = restyle(PLAIN._replace(link=pen.link), style)[0]
    assert len(restyle(pen, style)[0]) <= len(afresh) + len("\x1b[0;m")


def test_nothing_is_sent_for_the_same_style() -> None:
    style = Style("31", "48;5;7", frozenset(("1", "4")), "id=1;a")
    assert restyle(style, style) == ("", style)
    assert restyle(style, blank(Style("32", "48;5;7", frozenset("3"), "")))[0] == "\x1b[24m\x1b]8;;\x1b\\"
