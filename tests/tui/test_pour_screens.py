"""The pour view: a reading typed as one sees it, the ways on marked and done, undone, resumed; at every size."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from screens import LEAST, PLAIN, SMALL, WIDE, press, screens, shows, text_of
from small_library import demo_copy

from station.desk.log_questions import in_date
from station.desk.opening import opened
from station.tui import pour_view
from station.tui.app import StationApp
from station.tui.pour_view import PourView

SIZES = pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL, LEAST], ids=lambda size: f"{size[0]}x{size[1]}")
TO_THE_LIME = "tin Enter b Enter p Space Space Space"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


@pytest.fixture(autouse=True)
def no_bounce(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("station.tui.pour_view.TAP_SECONDS", 0.0)


def size_of(app: StationApp) -> float:
    assert isinstance(app.on, PourView) and app.on.pour is not None
    return app.on.pour.pour.size


@SIZES
async def test_a_mis_pour_is_typed_and_corrected_and_the_rest_follows(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, TO_THE_LIME)
        assert shows(app, "line 4 of 6")
        await press(pilot, "1 2 7 5")
        assert shows(app, "it should read 1202 g")
        await press(pilot, "Enter")
        assert "Lime juice, fresh: 423 g in, 350 g wanted" in " ".join(" ".join(text_of(app)).split())
        assert shows(app, "1 draw off, make up") and shows(app, "2 raise the others") and shows(app, "3 leave it in")
        assert all(len(line) <= size[0] for line in text_of(app))
        await press(pilot, "Enter")
        assert shows(app, "Draw off the mix") and shows(app, "4 of 7 lines in")
        await press(pilot, "Back")
        assert shows(app, "3 leave it")
        await press(pilot, "Back")
        assert shows(app, "line 4 of 6") and not shows(app, "leave it")


@SIZES
async def test_a_pour_of_an_unsaved_edit_says_so_at_its_head_from_line_to_line(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter 5 5 Enter b Enter p")
        assert shows(app, "of an edit not saved") and shows(app, "line 1 of 6") and shows(app, "reads")
        await press(pilot, "Space Space")
        assert shows(app, "of an edit not saved") and shows(app, "line 3 of 6")
        assert all(len(line) <= size[0] for line in text_of(app))


async def test_the_way_at_hand_says_what_it_does_and_enter_takes_it(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 6 0 Enter")
        await press(pilot, "Down")
        assert shows(app, "over the Pitcher's fill of 1.5 L")
        await press(pilot, "Down Up Enter")
        assert size_of(app) > 1.0
        # 1.165 times the card's 1525 g is 1776.5 g; the 0.7 g of drops that are within tolerance stay out.
        assert shows(app, "when full, by what is in: 1776 g, 17.46 serves")
        assert shows(app, "planned: 1525 g, 15 serves")


async def test_a_digit_that_is_no_way_does_nothing(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 7 5 Enter 9 0")
        assert shows(app, "3 leave it")


@SIZES
async def test_a_digit_marks_a_way_without_colour_and_does_nothing(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 7 5 Enter")
        assert shows(app, "▸1 draw off, make up") and shows(app, " 3 leave it in")
        await press(pilot, "3")
        assert shows(app, "▸3 leave it in") and shows(app, " 1 draw off, make up") and shows(app, "3 is marked, Enter does it")
        await press(pilot, "Enter")
        assert shows(app, "line 5 of 6")


@SIZES
async def test_a_reading_typed_again_is_no_choice(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 7 5 Enter 1 2 7 5")
        assert shows(app, "1275 is no way on")
        await press(pilot, "Enter")
        assert shows(app, "nothing done") and shows(app, "▸1 draw off, make up")
        await press(pilot, "Back 1 2 0 2 Enter")
        assert shows(app, "line 5 of 6") and not shows(app, "leave it")


async def test_only_space_confirms_only_enter_does_a_way_and_only_backspace_undoes(library: Path) -> None:
    """Four Enters ticked four lines off with nothing weighed; ← looked like the way back and took two readings away."""
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter Enter p Enter Enter Right Down Left Up")
        assert shows(app, "line 1 of 6")
        await press(pilot, "Space Space Left Up Enter")
        assert shows(app, "line 3 of 6")
        await press(pilot, "1 2 7 5 Enter")
        assert shows(app, "▸1 ")
        stood = text_of(app)
        await press(pilot, "Right Left Space")
        assert text_of(app) == stood


async def test_a_digit_later_than_a_reading_would_be_typed_is_a_change_of_mind(
    library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 7 5 Enter 3")
        assert shows(app, "3 is marked, Enter does it")
        await press(pilot, "2")
        assert shows(app, "32 is no way on")
        monkeypatch.setattr(pour_view, "MIND_SECONDS", 0.0)
        await press(pilot, "1")
        assert shows(app, "1 is marked, Enter does it")


async def test_a_tap_on_a_way_takes_it(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 7 5 Enter")
        row = next(y for y, line in enumerate(text_of(app)) if "3 leave it" in line)
        await pilot.click("#pour-pane", offset=(5, 0))
        await pilot.pause()
        assert shows(app, "3 leave it")
        await pilot.click("#pour-pane", offset=(5, row - 2))
        await pilot.pause()
        assert shows(app, "line 5 of 6") and shows(app, "Sugar syrup")


async def test_killed_in_the_middle_of_a_question_it_is_asked_again(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 7 5 Enter")
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        assert shows(app, "Taken up again: 4 of 6 lines were confirmed.")
        assert shows(app, "Lime juice, fresh: 423 g in, 350 g wanted")
        await press(pilot, "1 Enter")
        assert shows(app, "Draw off the mix")


async def test_what_is_typed_can_be_forgotten_and_rubbed_out(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 2 Back Back")
        assert shows(app, "until Bench scale reads:")
        await press(pilot, "1 2 3 Esc")
        assert shows(app, "until Bench scale reads:") and app.on.id == "pour"


async def test_a_reading_that_cannot_be_is_said_and_stays_to_be_mended(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 3 0 0 Enter")
        assert shows(app, "before this line, so it cannot read less")
        assert shows(app, "it should read 1202 g")


async def test_a_scale_that_was_zeroed_is_read_from_nothing(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} z")
        assert shows(app, "zeroed: it reads 0 g now, the 852 g in it still count")
        await press(pilot, "3 5 1 Enter")
        assert shows(app, "line 5 of 6") and not shows(app, "leave it")


MISSED = "tin Enter b Enter p Space Space 1 2 7 5 Enter"


def flat(app: StationApp) -> str:
    return " ".join(" ".join(text_of(app)).split())


@SIZES
async def test_a_mis_pour_left_in_is_marked_until_the_end_and_undone_is_not(library: Path, size: tuple[int, int]) -> None:
    left, acid = "over by 423 g of Light rum, left in", "acid 0.675 g/100 ml as citric"
    outside = "outside its window 0.76 to 0.94)"
    in_now = "1625 g in, cup 4.03 g" if size == LEAST else "1625 g in of 1948 g, 4.03 g in the cup"
    async with screens(library, size) as (app, pilot):
        await press(pilot, MISSED)
        assert left not in flat(app)
        await press(pilot, "3 Enter")
        assert left in flat(app) and acid in flat(app) and outside in flat(app)
        await press(pilot, "Back")
        assert left not in flat(app) and shows(app, "3 leave it in")
        await press(pilot, "3 Enter Space")
        assert left in flat(app) and in_now in flat(app)
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        assert left in flat(app) and acid in flat(app) and outside in flat(app) and in_now in flat(app)
        await press(pilot, "Space Space Space")
        assert (
            shows(app, "done · 1948 g in")
            and shows(app, ": write it on the vessel.")
            and left in flat(app)
            and acid in flat(app)
            and outside in flat(app)
        )
        assert "in it: 1948 g, 19.43 serves, 43.4 standard drinks of 10 g" in flat(app)
        assert all(len(line) <= size[0] for line in text_of(app))


@pytest.mark.parametrize("size", [WIDE, PLAIN, SMALL], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_after_a_mis_pour_what_is_and_what_was_planned_both_stand(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, f"{MISSED} 3 Enter")
        assert "when full, by what is in: 1948 g, 19.43 serves, 43.4 standard drinks" in flat(app)
        assert "planned: 1525 g, 15 serves, 29.4 standard drinks of 10 g" in flat(app)


@SIZES
async def test_before_anything_is_poured_nothing_is_in_it(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        assert shows(app, "line 1 of 6 · 0 g in of 1525 g")
        if size[1] > LEAST[1]:
            assert "in it now: 0 g, 0 standard drinks" in flat(app)
            assert "when full, as planned: 1525 g, 15 serves, 29.4 standard drinks of 10 g" in flat(app)


@SIZES
async def test_each_way_says_what_goes_in_the_total_the_serves_and_what_differs(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, MISSED)
        if size[1] <= LEAST[1]:
            await press(pilot, "Right")
        assert "take out 423 g Light rum, then add 350 g Lime juice, fresh; 276 g Sugar syrup" in flat(app)
        assert "(668 g together)" in flat(app) and "makes in all 1525 g = 1.5 L, 15 serves" in flat(app)
        await press(pilot, "Right Down Down Right" if size[1] <= LEAST[1] else "Down Down")
        figures = ("ABV 28.3 % vol at 20 °C (card 24.8)", "sugar 8.11 g/100 ml (card 10.5)")
        for said in (*figures, "acid 1.06 g/100 ml as citric (card 1.37)"):
            assert said in flat(app)
        assert "makes in all 1948 g = 1.94 L, 19.43 serves" in flat(app)


@SIZES
async def test_what_a_scale_or_vessel_cannot_hold_is_questioned_once(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b Enter p Space Space 9 9 9 9 Enter")
        assert "9999 g? Bench scale ends at 5360 g with the Pitcher on it: type it again if so." in flat(app)
        assert shows(app, "line 3 of 6") and not shows(app, "leave it in")
        await press(pilot, "1 9 0 0 Enter")
        assert "1900 g? It is 2 L, the Pitcher's brim 1.8 L: type it again if so." in flat(app)
        await press(pilot, "1 9 0 0 Enter")
        assert "1900 g in, 852 g wanted, over by 1048 g" in flat(app)


async def test_on_the_least_screen_a_way_that_leaves_the_tolerance_says_by_what(library: Path) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, "tin Enter b Enter p Space 6 0 Enter")
        assert shows(app, "3 leave it in too full, salt +2200.5 %") and shows(app, "2 raise the others            too full")


async def test_the_rows_stay_where_they_are_from_line_to_line(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        first = next(y for y, line in enumerate(text_of(app)) if "until Pocket scale" in line)
        await press(pilot, "Space")
        assert shows(app, "line 2 of 6") and "until Pocket scale" in text_of(app)[first]


async def test_what_is_in_the_cup_is_no_gram_of_the_vessel(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p Space Space 9 0 0 Enter Down Down Enter")
        assert shows(app, "900 g in of 1573 g, 4.03 g in the cup")


@SIZES
async def test_the_keys_of_wet_hands_stand_on_the_bar(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        bar = text_of(app)[-1]
        assert all(key in bar for key in ("Space next", "⌫ undo", "z zero", "Esc leave", "?")), bar
        await press(pilot, "Space Space 1 2")
        bar = text_of(app)[-1]
        assert all(key in bar for key in ("Enter take", "⌫ rub", "Esc forget", "?")), bar
        await press(pilot, "7 5 Enter")
        bar = text_of(app)[-1]
        assert all(key in bar for key in ("Enter do", "⌫ undo", "↑↓ mark", "Esc leave", "?")), bar


@SIZES
async def test_a_wrong_bottle_is_found_its_reading_typed_and_the_rest_follows(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b Enter p Space Space Space w vod")
        assert shows(app, "What went in instead?") and shows(app, "▸ Vodka")
        await press(pilot, "Enter Space")
        flat = " ".join(" ".join(text_of(app)).split())
        assert "Vodka went into the vessel" in flat and "852 g before" in flat  # Space with nothing typed confirms nothing
        await press(pilot, "882 Enter")
        assert shows(app, "Vodka: 30 g in, not on the card")
        assert all(len(line) <= size[0] for line in text_of(app))
        await press(pilot, "2 Enter")
        flat = " ".join(" ".join(text_of(app)).split())
        assert "30 g of Vodka, not on the card" in flat and "Lime juice, fresh" in flat
        await press(pilot, "Back Back")
        assert shows(app, "line 4 of 6") and not shows(app, "Vodka")


@SIZES
async def test_an_allergen_that_went_in_is_discarded_with_its_reason_in_the_log(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b Enter p Space Space Space w egg Enter 882 Enter")
        flat = " ".join(" ".join(text_of(app)).split())
        assert "DISCARD, do not correct." in flat and "Egg white, pasteurised brings an allergen" in flat
        await press(pilot, "Space 1 9 Tab")
        assert shows(app, "DISCARD, do not correct.")
        await press(pilot, "Enter")
        assert app.on.id == "batch" and shows(app, "is discarded")
    log = in_date(opened(str(library)), datetime.now(UTC))
    assert not [row for row in log if row.name == "Tin Lantern"]


async def test_no_bottle_was_wrong_after_all(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p w Esc")
        assert shows(app, "line 1 of 6") and not shows(app, "What went in instead?")
        await press(pilot, "w vod Enter 1 2 Esc")
        assert shows(app, "line 1 of 6") and not shows(app, "Vodka")
        await press(pilot, "Space")
        assert shows(app, "line 2 of 6")


async def test_after_a_refused_reading_a_digit_begins_another(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 3 0 0 Enter 1")
        assert app.on.typing == "1"  # type: ignore[attr-defined]  # a PourView
        await press(pilot, "Back 3 0 0 Enter Back 9")
        assert app.on.typing == "309"  # type: ignore[attr-defined]


async def test_what_was_said_in_a_pour_is_not_said_where_one_comes_back_to(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 3 0 0 Enter")
        assert shows(app, "so it cannot read less")
        await press(pilot, "Esc Esc")
        assert app.on.id == "batch" and not shows(app, "cannot read less")


@pytest.mark.parametrize("size", [(120, 60), (60, 20)], ids=["120x60", "60x20"])
async def test_a_way_alone_on_the_screen_is_offered_only_where_they_have_no_room_together(
    library: Path, size: tuple[int, int]
) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 1 3 0 0 Enter")
        offered = any(action.id == "way.whole" for action in app.on.active_pane.working())
        assert offered == (size == (60, 20))
        before = text_of(app)
        await press(pilot, "Right")
        assert (text_of(app) == before) != offered


@SIZES
async def test_one_of_several_equal_mixes_says_so_and_how_the_next_is_poured(library: Path, size: tuple[int, int]) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b 20 Space l Enter p")
        assert shows(app, "one of 2 equal mixes")
        await press(pilot, " ".join(["Space"] * 7))
        flat = " ".join(" ".join(text_of(app)).split())
        assert "One of 2 equal mixes: close it, then p pours the next." in flat
        await press(pilot, "Space p")
        assert shows(app, "line 1 of 6")
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b Enter p")
        assert not shows(app, "equal mixes")


async def test_a_reading_that_was_refused_is_typed_again_or_forgotten_and_never_confirmed_as_asked(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, f"{TO_THE_LIME} 9 9 9 9 Enter")
        assert shows(app, "9999 g?")
        await press(pilot, "Space")
        assert shows(app, "line 4 of 6") and shows(app, "9999 g?")
        await press(pilot, "Esc")
        assert app.on.id == "pour" and not shows(app, "9999 g?")
        await press(pilot, "Space")
        assert shows(app, "line 5 of 6")


async def test_a_way_alone_on_the_least_screen_can_be_read_to_its_end(library: Path) -> None:
    async with screens(library, LEAST) as (app, pilot):
        await press(pilot, "tin Enter b Enter p Space Space Space w gin-dry Enter 1152 Enter Right")
        assert any(action.id == "way.read-down" for action in app.on.active_pane.working())
        seen = set()
        for _ in range(30):
            seen |= set(text_of(app))
            await press(pilot, "Down")
        assert any("when full" in line for line in seen) and not any("more" in line for line in text_of(app)[:-2])
        await press(pilot, " ".join(["Up"] * 30) + " Left")
        assert shows(app, "Dry gin: 300 g in")


@SIZES
async def test_what_went_into_the_vessel_while_the_cup_was_asked_for_is_said_to_have(
    library: Path, size: tuple[int, int]
) -> None:
    async with screens(library, size) as (app, pilot):
        await press(pilot, "tin Enter b Enter p w rum-light Enter")
        flat = " ".join(" ".join(text_of(app)).split())
        assert "Light rum went into the vessel" in flat and "Bench scale under the vessel read 0 g before" in flat
        await press(pilot, "Tab")
        assert "Pocket scale under the cup" in " ".join(" ".join(text_of(app)).split())
        await press(pilot, "Tab 852 Enter")
        assert shows(app, "Citric solution, 25 % w/w") and shows(app, "852 g in")
        await press(pilot, "Space Space")
        assert shows(app, "Lime juice, fresh")


async def test_where_something_is_to_be_taken_out_no_bottle_can_be_wrong(library: Path) -> None:
    async with screens(library, PLAIN) as (app, pilot):
        await press(pilot, "tin Enter b Enter p 3 Enter Enter")
        assert shows(app, "out of the cup")
        await press(pilot, "w")
        assert app.on.id == "pour" and shows(app, "nothing is being put in just now (do this step first)")
        assert not shows(app, "What went in instead?")
        await press(pilot, "Space w vod Enter")
        assert shows(app, "Vodka went into the cup")
