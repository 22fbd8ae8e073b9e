"""What a calibration changes, as a card says it: by liquid, with the reason, and nothing that stays as it was."""

from __future__ import annotations

from dataclasses import replace

import pytest

from station.calc.calibrating import Change, Glass
from station.calc.counting import Counted
from station.cards.calibration import believed, changes

GLASS = Glass(20.0, 6.0, 0.5)
MINE = Change("a", "Drink A", "malic", "Malic solution", "", "1 drop", 0.05, 0.06, GLASS, replace(GLASS, acid_g_per_100ml=0.51))
WHY = "no drop of it was weighed, so it goes by this dispenser's newest weighing, of Malic solution"
OTHER = replace(MINE, id="b", name="Drink B", item="tartaric", item_name="Tartaric solution", why=WHY, was_g=0.1, now_g=0.12)
SAME = replace(OTHER, id="c", name="Drink C", was_g=0.105, now_g=0.10501, now=GLASS)


@pytest.mark.parametrize("width", [120, 60, 40])
def test_each_liquid_stands_under_its_reason(width: int) -> None:
    whole = " ".join(" ".join(changes([MINE, OTHER], width)).split())
    assert whole.index("Malic solution (weighed now)") < whole.index("Drink A") < whole.index(f"Tartaric solution ({WHY})")
    assert "0.05 g → 0.06 g" in whole and "0.1 g → 0.12 g" in whole and "as citric" in whole and "% vol" in whole
    assert all(len(line) <= width for line in changes([MINE, OTHER], width))


@pytest.mark.parametrize("width", [120, 40])
def test_what_reads_the_same_before_and_after_is_no_change(width: int) -> None:
    said = changes([MINE, SAME], width)
    assert not any("Drink C" in line for line in said) and "1 more line moves by less" in " ".join(said)
    assert changes([SAME], width)[0] == "It changes no drink." and changes([], width) == ["It changes no drink."]


def test_a_glass_that_moves_is_a_change_though_the_grams_stay() -> None:
    """A stock counted by the drop is made otherwise: as much of it, with more acid."""
    moved = replace(SAME, now=replace(GLASS, acid_g_per_100ml=0.6))
    assert any("Drink C" in line and "0.5 → 0.6" in line for line in changes([moved], 120))


def test_what_is_believed_before_a_reading_is_said_with_its_doubt_and_its_source() -> None:
    one = Counted(0.0524, "Red-cap dropper, carried over from Citric solution", 0.0057, (("a", 0.003), ("b", 0.004)))
    whole = " ".join(believed("Malic solution", "drop", one, 120)).replace("\u00a0", " ")
    assert "one drop of Malic solution is 0.0524 g ± 0.005 g" in whole and "scatter by ± 0.0057 g" in whole
    assert "By: Red-cap dropper, carried over from Citric solution" in whole
    assert believed("Gin", "spray", None, 80) == ["What one spray of Gin weighs is not known yet."]
