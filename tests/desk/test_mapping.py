"""The balance map: every drink in its place, whatever the library."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from small_library import SOUR, demo, demo_copy, drink, open_folder, open_small

from station.bar.fault import CannotAnswer
from station.calc.mapped import Spot, axes
from station.cards.picture import drawn, legend, map_card
from station.desk.look import show
from station.desk.mapping import Survey, balance_map, library_map
from station.desk.plainly import as_json

figures = st.floats(0.0, 500.0)


def test_a_drink_stands_where_its_glass_does() -> None:
    found = library_map(demo(), "tin-lantern")
    glass = show(demo(), "tin-lantern").glass
    assert found.here is not None and found.was is None
    assert (found.here.sugar, found.here.acid) == (glass.sugar_g_per_100ml, glass.acid_g_per_100ml)
    assert len(found.spots) == len(demo().library.drinks) - 1
    assert found.window == ((5.0, 8.9), (0.76, 0.94))
    assert {one.id for one in found.spots if one.alike} == {
        name for name, spec in demo().library.drinks.items() if spec.style == "shaken" and name != "tin-lantern"
    }
    assert as_json(found)


def test_an_edit_shows_where_the_drink_was(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    from station.desk.document import open_document

    document = open_document(opened, "sour")
    document.type(1, "30 ml")
    found = balance_map(opened.blends, document.spec, document.saved)
    assert found.here is not None and found.was is not None
    assert found.here.acid > found.was.acid
    assert found.spots == ()


def test_what_cannot_be_reckoned_is_counted_and_what_is_retired_is_not_there(tmp_path: Path) -> None:
    opened = open_small(
        tmp_path,
        {
            "drinks/two.toml": drink("none", "sugar: 2 barspoons"),
            "drinks/old.toml": "retired = true\n" + SOUR,
        },
    )
    found = library_map(opened.blends)
    assert [one.id for one in found.spots] == ["sour"]
    assert (found.left_out, found.here, found.window) == (1, None, None)
    with pytest.raises(CannotAnswer, match="there is no drink nothing"):
        library_map(opened.blends, "nothing")


def test_an_empty_library_has_an_empty_map(tmp_path: Path) -> None:
    found = library_map(open_small(tmp_path, without=("drinks/sour.toml",)).blends)
    assert found.spots == () and "\n".join(map_card(found))


@settings(max_examples=25)
@given(st.lists(st.integers(1, 9), min_size=1, max_size=8))
def test_a_survey_in_steps_is_the_whole_map(steps: list[int]) -> None:
    spec = demo().library.drinks["salt-ferry"]
    survey = Survey(demo())
    for step in steps:
        survey.step(step)
        part = survey.map_of(spec)
        assert part.waiting + len(part.spots) in (len(demo().library.drinks), len(demo().library.drinks) - 1)
    while not survey.step(5):
        pass
    assert survey.map_of(spec) == balance_map(demo(), spec)


def test_after_a_file_changes_the_map_is_as_a_fresh_one(tmp_path: Path) -> None:
    opened = open_folder(demo_copy(tmp_path))
    library_map(opened.blends)
    file = tmp_path / "library" / "ingredients" / "juice.toml"
    file.write_text(file.read_text(encoding="utf-8").replace('ta = "6', 'ta = "5', 1), encoding="utf-8")
    opened.reread()
    assert library_map(opened.blends, "tin-lantern") == library_map(open_folder(tmp_path / "library").blends, "tin-lantern")
    assert library_map(opened.blends, "tin-lantern") != library_map(demo(), "tin-lantern")


@given(st.lists(st.tuples(figures, figures), max_size=12), st.integers(1, 130), st.integers(1, 50), st.booleans())
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_any_library_can_be_drawn_at_any_size(places: list[tuple[float, float]], width: int, height: int, plain: bool) -> None:
    from station.calc.mapped import BalanceMap

    spots = tuple(Spot(f"d{place}", "", "", sugar, acid, place % 2 == 0) for place, (sugar, acid) in enumerate(places))
    box = ((1.0, 400.0), (0.5, 3.0)) if len(places) % 2 else None
    sugar_to, acid_to = axes(spots, box)
    found = BalanceMap(sugar_to, acid_to, spots[1:], spots[0] if spots else None, None, "", box, "", 0, 0)
    picture = drawn(found, width, height, "d1", plain)
    assert {len("".join(text for text, _ in row)) for row in picture.rows[1:]} == {max(width, 18)}
    assert len(picture.rows) == max(height, 6)
    assert sorted(name for names in picture.cells.values() for name in names) == sorted(spot.id for spot in spots)
    assert all(spot.id in picture.beside(spot.id) for spot in spots)
    if plain:
        assert "".join(picture.lines).isascii() and "".join(text for line in legend(width, plain) for text, _ in line).isascii()


@given(st.lists(st.tuples(figures, figures), min_size=1))
def test_the_axes_hold_every_drink_and_end_at_a_round_figure(places: list[tuple[float, float]]) -> None:
    sugar_to, acid_to = axes((Spot("", "", "", *one) for one in places), None)
    assert sugar_to >= max(sugar for sugar, _ in places) and acid_to >= max(acid for _, acid in places)
    for end in (sugar_to, acid_to):
        digits = end / 10 ** math.floor(math.log10(end))
        assert round(digits, 6) in {1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10}


def test_the_picture_by_hand() -> None:
    """Sugar 0 to 10 over twelve cells, acid 0 to 1 over five: 5.2 g is past their middle, 0.9 g in the top fifth."""
    from station.calc.mapped import BalanceMap

    here, other = Spot("a", "A", "", 5.2, 0.9), Spot("b", "B", "", 0.4, 0.1)
    found = BalanceMap(10.0, 1.0, (other,), here, None, "", ((4.0, 8.0), (0.55, 0.99)), "", 0, 0)
    rows = [row[6:] for row in drawn(found, 18, 8, plain=True).lines][1:6]
    assert rows == [
        "    +-X--+",
        "    |    |",
        "    +----+",
        "",
        ".",
    ]


def test_the_pointer_on_the_drink_asked_about_is_a_sign_of_its_own() -> None:
    from station.calc.mapped import BalanceMap

    here, other = Spot("a", "A", "", 5.2, 0.9), Spot("b", "B", "", 0.4, 0.1)
    found = BalanceMap(10.0, 1.0, (other,), here, None, "", None, "", 0, 0)

    def signs(cursor: str) -> set[str]:
        return set("".join(drawn(found, 40, 16, cursor).lines)) & set("●◆◈")

    assert (signs("a"), signs("b"), signs("")) == ({"◈"}, {"●", "◆"}, {"●"})


@pytest.mark.parametrize("width", [40, 60, 80])
def test_the_legend_names_every_sign_within_its_width(width: int) -> None:
    for plain in (False, True):
        rows = ["".join(text for text, _ in line).rstrip() for line in legend(width, plain)]
        assert all(len(row) <= width for row in rows) and len(rows) <= 2
        whole = " ".join(rows)
        assert all(name in whole for name in ("this drink", "chosen", "both", "saved", "its style", "others", "usual range"))


def test_a_drink_on_the_frame_takes_its_place_and_the_frame_goes_on() -> None:
    from station.calc.mapped import BalanceMap

    found = BalanceMap(10.0, 1.0, (Spot("b", "B", "", 6.0, 0.9),), None, None, "", ((4.0, 8.0), (0.55, 0.99)), "", 0, 0)
    top = next(line for line in drawn(found, 40, 8).lines if "┏" in line)
    assert re.fullmatch(r".*┏━+[\u2801-\u28ff]━+┓", top)
