"""Where a figure stands on its gauge: by hand, and for any figure and window."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from station.calc.gauges import gauge, gauges

figures = st.floats(0.0, 200.0)
windows = st.tuples(figures, figures).map(lambda ends: (min(ends), max(ends)))


def test_the_window_is_the_middle_third_of_its_track() -> None:
    one = gauge("abv", (15.0, 20.0), 17.5)
    assert (one.start, one.end, one.standing) == (10.0, 25.0, "within")
    assert one.window_cells(15) == range(5, 11)
    # 17.5 is halfway: of fifteen cells the eighth.
    assert one.cell(17.5, 15) == 7


def test_no_track_begins_below_zero() -> None:
    one = gauge("abv", (0.0, 0.5), 0.0)
    assert (one.start, one.end) == (0.0, 1.0)
    assert one.cell(0.0, 10) == 0


def test_what_is_off_the_track_is_said_to_be() -> None:
    one = gauge("sugar", (5.0, 8.0), 30.0)
    assert one.cell(30.0, 20) == 20 and one.cell(1.9, 20) == -1
    assert one.cell(one.end, 20) == 19 and one.cell(one.start, 20) == 0


@given(windows, figures, st.integers(9, 80))
def test_a_mark_in_the_window_is_drawn_in_the_window_and_one_outside_never_on_the_wrong_side(
    window: tuple[float, float], value: float, cells: int
) -> None:
    one = gauge("acid", window, value)
    inside, place = one.window_cells(cells), one.cell(value, cells)
    if one.standing == "within":
        assert place in inside
    elif one.standing == "low":
        assert place <= inside[0]
    else:
        assert place >= inside[-1]


@given(windows, figures, figures)
def test_the_track_rests_on_the_window_alone(window: tuple[float, float], value: float, other: float) -> None:
    one, two = gauge("acid", window, value, other), gauge("acid", window, other)
    assert (one.start, one.end, one.window_cells(25)) == (two.start, two.end, two.window_cells(25))
    assert one.start < one.end


@given(windows, figures, figures, st.integers(9, 80))
def test_more_is_never_drawn_further_left(window: tuple[float, float], value: float, other: float, cells: int) -> None:
    one = gauge("acid", window, None)
    less, more = sorted((value, other))
    assert one.cell(less, cells) <= one.cell(more, cells)


def test_a_figure_that_is_not_there_has_a_gauge_without_a_mark() -> None:
    from small_library import demo

    from station.desk.look import show

    shown = show(demo(), "tin-lantern")
    found = gauges({**shown.window, "ph": (3.0, 4.0)}, shown.glass)
    assert [one.figure for one in found] == ["abv", "sugar", "acid", "ph"]
    assert found[-1].standing == "low"
    empty = gauge("ratio", (5.0, 9.0), None)
    assert (empty.standing, empty.value) == ("", None)
