"""Which line that stays is named to make up for what the moving ones cannot be poured to: only one that is for the figure."""

from __future__ import annotations

import pytest
from small_library import demo

from station.calc.movers import is_for
from station.calc.tune import FIGURES
from station.desk.tuning import movable, sound_drink, tuned_spec, wish_of


def named(name: str, move: str, want: str) -> tuple[str, bool]:
    """The item named, "" for none, and whether the wish is met as poured without it."""
    spec = demo().library.drinks[name]
    places = [place for place, line in enumerate(spec.lines) if line.item == move]
    (wish,) = tuned_spec(demo(), spec, places, [wish_of(want, spec, demo().library)]).wishes
    return wish.finer, wish.met_as_poured


@pytest.mark.parametrize(("name", "want"), [("wool-parliament", "acid=0.62"), ("winter-turnstile", "acid=0.12")])
def test_no_spirit_and_no_liqueur_is_named_to_thin_the_acid(name: str, want: str) -> None:
    assert named(name, "citric-25", want) == ("", False)


def test_the_drops_are_named_for_the_juice() -> None:
    assert named("tin-lantern", "lime-juice", "acid=0.95") == ("citric-25", False)


@pytest.mark.parametrize("name", ["tin-lantern", "salt-ferry", "winter-turnstile", "wool-parliament", "quarry-sunday"])
def test_whatever_line_is_named_is_for_the_figure(name: str) -> None:
    spec = demo().library.drinks[name]
    before = sound_drink(demo(), spec)
    was = tuned_spec(demo(), spec, [0], [wish_of("abv=12", spec, demo().library)]).before
    for figure in (one for one in FIGURES if one != "volume"):
        for place in (place for place, line in enumerate(before.poured) if movable(line)):
            wish = wish_of(f"{figure}={(was.figures[figure] or 0.0) * 1.06:.3g}", spec, demo().library)
            (found,) = tuned_spec(demo(), spec, [place], [wish]).wishes
            for line in (line for line in before.poured if found.finer and line.line.item == found.finer):
                assert is_for(figure, line.composition), (figure, place, found.finer)
