"""What the shadow sends must make a terminal show what the whole stream would have: pyte is the witness."""

from dataclasses import dataclass
from itertools import pairwise

import pyte
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from station.tui.shadow import Shadow

ENTER, LEAVE = "\x1b[?1049h", "\x1b[?1049l"
LOOKS = ["", "1", "7", "3;4", "9;31", "38;5;208;48;5;17", "38;2;224;224;224;48;2;30;30;30", "1;38;2;224;224;224;48;2;30;30;30",
         "7;38;2;0;48;84;48;2;30;30;30", "2;92;104", "48;2;1;120;212"]  # fmt: skip
CLUSTERS = ["a", "b", " ", " ", " ", "│", "▔", "…", "水", "酒", "e\u0301", "c\u0327", "o\u0302", "°"]
WIDE = frozenset("水酒")

Cell = tuple[str, str]
"""A cluster and its SGR parameters; a wide cluster is followed by an empty one."""

COLUMNS, LINES = 14, 4
FULL = [(y, 0, [(" ", "48;5;17")] * COLUMNS) for y in range(LINES)]


@dataclass(frozen=True)
class Step:
    """A paint: pieces of lines as (line, column, cells); where its stream is cut; what is done to the shadow after it."""

    pieces: list[tuple[int, int, list[Cell]]]
    cuts: list[int]
    taken: bool
    forgotten: bool


@st.composite
def pieces(draw: st.DrawFn, width: int) -> list[Cell]:
    """Cells that fill a width exactly."""
    cells: list[Cell] = []
    while len(cells) < width:
        look = draw(st.sampled_from(LOOKS))
        for cluster in draw(st.lists(st.sampled_from(CLUSTERS), min_size=1, max_size=5)):
            if cluster in WIDE and len(cells) + 2 <= width:
                cells += [(cluster, look), ("", look)]
            elif cluster not in WIDE and len(cells) < width:
                cells.append((cluster, look))
    return cells


@st.composite
def steps(draw: st.DrawFn) -> list[Step]:
    """Paints one after the other; as a compositor's do, none leaves half of a wide character standing."""
    frame = [list(cells) for _, _, cells in FULL]
    made = [Step(FULL, [], draw(st.booleans()), False)]
    for _ in range(draw(st.integers(1, 5))):
        painted = []
        for y in sorted(draw(st.sets(st.integers(0, LINES - 1), min_size=1))):
            edges = [x for x in range(COLUMNS + 1) if x == COLUMNS or frame[y][x][0]]
            start, end = sorted(draw(st.lists(st.sampled_from(edges), min_size=2, max_size=2, unique=True)))
            frame[y][start:end] = draw(pieces(end - start))
            painted.append((y, start, frame[y][start:end]))
        cuts = draw(st.lists(st.integers(1, 300), max_size=3))
        made.append(Step(painted, cuts, draw(st.booleans()), draw(st.integers(0, 9)) == 0))
    return made


def stream(painted: list[tuple[int, int, list[Cell]]]) -> str:
    """The pieces as a compositor writes them: cursor, then each cell's look, text, reset; a new line; at last the cursor."""
    texts = []
    for y, x, cells in painted:
        segments = [f"\x1b[{look}m{text}\x1b[0m" if look else text for text, look in cells if text]
        texts.append(f"\x1b[{y + 1};{x + 1}H" + "".join(segments))
    return "\n".join(texts) + "\x1b[2;3H"


class Witness:
    """A terminal emulator, and what can be seen on it."""

    def __init__(self) -> None:
        self.screen = pyte.Screen(COLUMNS, LINES)
        self.emulator = pyte.Stream(self.screen)
        self.emulator.feed("\x1b[?7l")

    def cells(self) -> list[list[tuple[object, ...]]]:
        """Every cell without what a blank does not show."""
        return [[self._seen(self.screen.buffer[y][x]) for x in range(COLUMNS)] for y in range(LINES)]

    @staticmethod
    def _seen(cell: pyte.screens.Char) -> tuple[object, ...]:
        lined = (cell.underscore, cell.strikethrough, cell.reverse)
        hidden = cell.data in (" ", "") and not any(lined)
        return (cell.data, cell.bg, lined, *(() if hidden else (cell.fg, cell.bold, cell.italics)))


def fresh() -> Shadow:
    shadow = Shadow(COLUMNS, LINES)
    shadow.feed(ENTER)
    return shadow


def painted(shadow: Shadow, text: str) -> str:
    """What is sent for one paint."""
    shadow.feed(text)
    return shadow.take()


@settings(max_examples=250, deadline=None)
@given(steps())
def test_the_difference_shows_what_the_stream_shows(made: list[Step]) -> None:
    whole, sent, shadow = Witness(), Witness(), fresh()
    for step in made:
        text = stream(step.pieces)
        whole.emulator.feed(text)
        edges = sorted({0, len(text), *(cut for cut in step.cuts if cut < len(text))})
        for start, end in pairwise(edges):
            shadow.feed(text[start:end])
        if step.taken or step is made[-1]:
            sent.emulator.feed(shadow.take())
            assert sent.screen.display == whole.screen.display
            assert sent.cells() == whole.cells()
            assert (sent.screen.cursor.x, sent.screen.cursor.y) == (2, 1)
            assert shadow.take() == ""
        if step.forgotten:
            shadow.forget()
    assert shadow.unknown == 0


@settings(max_examples=50, deadline=None)
@given(steps(), steps())
def test_a_scrawl_of_another_program_is_gone_after_forgetting(before: list[Step], after: list[Step]) -> None:
    whole, sent, shadow = Witness(), Witness(), fresh()
    for step in (*before, *after):
        whole.emulator.feed(stream(step.pieces))
        sent.emulator.feed(painted(shadow, stream(step.pieces)))
    sent.emulator.feed("\x1b[2;2H\x1b[31mwall: the server goes down\x1b[H")
    shadow.forget()
    sent.emulator.feed(shadow.take())
    assert sent.cells() == whole.cells()


def test_a_changed_letter_costs_a_cursor_move_and_the_letter() -> None:
    shadow = fresh()
    painted(shadow, "\x1b[1;1H\x1b[31;44mweigh 12 g\x1b[0m\x1b[3;1H")
    assert painted(shadow, "\x1b[1;1H\x1b[31;44mweigh 13 g\x1b[0m\x1b[3;1H") == "\x1b[1;8H\x1b[44m3\x1b[3H"


def test_nothing_is_sent_for_the_same_again() -> None:
    shadow = fresh()
    painted(shadow, stream(FULL))
    assert painted(shadow, stream(FULL)) == ""


def test_a_cursor_that_alone_moves_is_sent() -> None:
    shadow = fresh()
    painted(shadow, stream(FULL))
    assert painted(shadow, "\x1b[4;5H") == "\x1b[4;5H"
    assert painted(shadow, "\x1b[4;9H") == "\x1b[4C"


def test_the_cursor_is_addressed_anew_after_a_character_of_doubtful_width() -> None:
    shadow = fresh()
    sent = painted(shadow, "\x1b[1;1H水ab…c e\u0301f\x1b[H")
    assert "水\x1b[1;3Hab…\x1b[1;6Hc e\u0301\x1b[1;9Hf" in sent


def test_joined_and_selected_characters_stay_in_one_cell() -> None:
    shadow = fresh()
    sent = painted(shadow, "\x1b[1;1H👩\u200d🔬x❤\ufe0fy\x1b[H")
    assert "👩\u200d🔬\x1b[1;3Hx❤\ufe0f\x1b[1;6Hy" in sent


def test_a_wide_character_overwritten_by_half_leaves_no_other_half() -> None:
    shadow = fresh()
    painted(shadow, "\x1b[1;1Ha水b\x1b[H")
    assert painted(shadow, "\x1b[1;3Hc\x1b[H") == "a c\x1b[1H"
    painted(shadow, "\x1b[1;2H水\x1b[H")
    assert painted(shadow, "\x1b[1;2Hd\x1b[H") == "ad \x1b[1H"


@pytest.mark.parametrize("cut", ["", "\x1b[31m", "\x1b[2;3H"])
def test_a_mark_combines_with_a_wide_character(cut: str) -> None:
    shadow = fresh()
    shadow.feed(f"\x1b[2;1H水{cut}\u3099")
    assert "水\u3099\x1b[2;3H" in shadow.take()


def test_a_new_line_goes_to_the_start_of_the_next() -> None:
    shadow = fresh()
    assert "\x1b[3Hb" in painted(shadow, "\x1b[2;7Ha\nb\x1b[H")


@pytest.mark.parametrize(("text", "sent"), [("X2345X", "X2345X"), ("X23456X", "X\x1b[5CX")])
def test_few_cells_between_two_changes_are_written_again(text: str, sent: str) -> None:
    shadow = fresh()
    painted(shadow, "\x1b[1;1H12345678\x1b[4H")
    assert painted(shadow, f"\x1b[1;1H{text}\x1b[4H") == f"\x1b[1H{sent}\x1b[4H"


def test_what_is_painted_outside_is_not_sent() -> None:
    shadow = fresh()
    shadow.feed("\x1b[1;13Habc\x1b[9;1Hbelow\x1b[1;14H水\x1b[H")
    sent = shadow.take()
    assert "a\x1b" not in sent.replace("a ", "")
    assert "below" not in sent
    assert "c" not in sent
    assert "水" not in sent


def test_growing_back_shows_what_was_outside() -> None:
    shadow = fresh()
    painted(shadow, "\x1b[1;13Hxy\x1b[4;1Hlast\x1b[H")
    shadow.resize(12, 3)
    assert "y" not in (small := shadow.take())
    assert "last" not in small
    shadow.resize(COLUMNS, LINES)
    assert "xy" in (again := shadow.take())
    assert "last" in again


CONTROLS = ["\x07", "\x1b[?25l", "\x1b[?2004h", "\x1b[>25u", "\x1b[<u", "\x1b[?2026$p", "\x1b[c", "\x1b[6n", "\x1b[5 q",
            "\x1b[22;0t", "\x1b]0;title 水\x07", "\x1b]52;c;YWJj\x07", "\x1b]11;?\x1b\\", "\x1b]22;pointer\x07",
            "\x1bP+q544e\x1b\\"]  # fmt: skip


def test_what_is_no_paint_passes_in_order_and_costs_no_repaint() -> None:
    shadow = fresh()
    painted(shadow, stream(FULL))
    for control in CONTROLS:
        shadow.feed(control)
    assert shadow.take() == "".join(CONTROLS)
    assert shadow.unknown == 0


@pytest.mark.parametrize("control", CONTROLS)
def test_a_control_cut_anywhere_passes_whole(control: str) -> None:
    for cut in range(1, len(control)):
        shadow = fresh()
        painted(shadow, stream(FULL))
        shadow.feed(control[:cut])
        assert shadow.take() == ""
        shadow.feed(control[cut:])
        assert shadow.take() == control


UNKNOWN = ["\x1b[2J", "\x1b[5A", "\x1b[?1K", "\x1b7", "\x1b(0", "\t", "\x9b", "\x1bPq#1\x1b\\", "\x1b[58;5;1mx"]


@pytest.mark.parametrize("sequence", UNKNOWN)
def test_what_is_unknown_passes_is_counted_and_all_is_painted_after_it(sequence: str) -> None:
    shadow = fresh()
    painted(shadow, stream(FULL))
    shadow.feed(sequence)
    sent = shadow.take()
    assert shadow.unknown >= 1
    assert sent.startswith(f"{sequence}\x1b[0m\x1b[1H")
    assert sent.count(" ") == COLUMNS * LINES


def test_a_sequence_broken_off_does_not_hold_up_what_follows() -> None:
    shadow = fresh()
    shadow.feed("\x1b[12\x05\x1b]0;title\x1b[1;1Hdone")
    assert "done" in shadow.take()
    assert shadow.unknown


def test_modes_come_before_the_paint() -> None:
    shadow = Shadow(COLUMNS, LINES)
    shadow.feed(f"{ENTER}\x1b[?25l{stream(FULL)}\x07")
    assert shadow.take().startswith(f"{ENTER}\x1b[?25l\x07\x1b[0m\x1b[1H")


def test_nothing_is_painted_before_there_is_paint() -> None:
    assert painted(Shadow(COLUMNS, LINES), f"{ENTER}\x1b[?25l") == f"{ENTER}\x1b[?25l"


def test_leaving_drops_the_paint_and_leaves_no_colour_behind() -> None:
    shadow = fresh()
    painted(shadow, "\x1b[4;12H\x1b[31m\x1b]8;;https://example.org\x1b\\red\x1b]8;;\x1b\\\x1b[0m")
    shadow.feed(f"{stream(FULL)}{LEAVE}\x1b[?25h")
    assert shadow.take() == f"\x1b[0m\x1b]8;;\x1b\\{LEAVE}\x1b[?25h"
    assert painted(shadow, stream(FULL)) == ""


def test_leaving_at_once_after_forgetting_leaves_no_colour_behind() -> None:
    shadow = fresh()
    painted(shadow, "\x1b[1;1H\x1b[31mred")
    shadow.forget()
    shadow.feed(LEAVE)
    assert shadow.take() == f"\x1b[0m{LEAVE}"


def test_coming_back_paints_what_was_there() -> None:
    shadow = fresh()
    painted(shadow, "\x1b[1;1Hstill here\x1b[H")
    assert painted(shadow, LEAVE) == f"\x1b[0m{LEAVE}"
    assert "still here" in painted(shadow, ENTER)


def test_a_synchronized_frame_is_sent_as_one() -> None:
    shadow = fresh()
    shadow.feed("\x1b[?2026h")
    assert shadow.holding
    shadow.feed(f"{stream(FULL)}\x1b[?2026l")
    assert not shadow.holding
    sent = shadow.take().removeprefix(ENTER)
    assert sent.startswith("\x1b[?2026h")
    assert sent.endswith("\x1b[?2026l")
    assert sent.count("2026") == 2
    assert painted(shadow, f"\x1b[?2026h{stream(FULL)}\x1b[?2026l") == ""


def test_a_link_reaches_its_text_only() -> None:
    shadow = fresh()
    sent = painted(shadow, "\x1b[1;1Ha\x1b]8;id=1;https://example.org\x1b\\b c\x1b]8;;\x1b\\d\x1b[H")
    assert "a\x1b]8;id=1;https://example.org\x1b\\b c\x1b]8;;\x1b\\d" in sent
