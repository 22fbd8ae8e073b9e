"""A drink tuned: the wished figures are there, the change is the least, and what cannot be had is said."""

from __future__ import annotations

import random
from collections.abc import Sequence

import pytest
from small_library import demo

from station.bar.nouns import Spec
from station.calc.drink import drink
from station.calc.pourable import around
from station.calc.tune import Wish, amounts_at, conflict, figures_of, is_met_as_poured, miss, tune, with_amounts
from station.calc.tuned_pour import inside, poured, windows_of

TIN = demo().library.drinks["tin-lantern"]
RUM, LIME, SYRUP, CITRIC, SALINE = 0, 1, 2, 4, 5


def figures(amounts: tuple[float, ...], places: tuple[int, ...]) -> dict[str, float]:
    return dict(figures_of(drink(with_amounts(TIN, places, amounts), demo()).glass))


def test_what_is_there_already_moves_nothing() -> None:
    now = figures_of(drink(TIN, demo()).glass)
    found = tune(TIN, demo(), (LIME, SYRUP), [Wish("acid", now["acid"], now["acid"]), Wish("sugar", 5.0, 8.9)])
    assert found.amounts == pytest.approx(amounts_at(TIN, (LIME, SYRUP)), rel=1e-9) and not found.missed


def test_two_figures_by_two_lines() -> None:
    found = tune(TIN, demo(), (LIME, SYRUP), [Wish("acid", 0.8, 0.8), Wish("ratio", 8.0, 8.0)])
    assert not found.missed
    got = figures(found.amounts, (LIME, SYRUP))
    assert got["acid"] == pytest.approx(0.8, rel=1e-6) and got["ratio"] == pytest.approx(8.0, rel=1e-6)


def test_a_window_is_entered_at_its_near_edge() -> None:
    found = tune(TIN, demo(), (LIME,), [Wish("acid", 0.6, 0.7)])
    assert figures(found.amounts, (LIME,))["acid"] == pytest.approx(0.7, rel=1e-6)


def test_dilution_follows_what_the_alcohol_becomes() -> None:
    """Solved on the drink in the glass: with less rum less ice melts, and the figure still stands."""
    found = tune(TIN, demo(), (RUM,), [Wish("abv", 13.0, 13.0)])
    made = found.drink
    assert made.dilution.fraction_of_initial < drink(TIN, demo()).dilution.fraction_of_initial
    assert figures_of(made.glass)["abv"] == pytest.approx(13.0, rel=1e-6)


def test_the_change_is_shared_by_the_lines_that_may_move() -> None:
    """Of two like lines each takes its part, by its effect; one alone would change more."""
    both = tune(TIN, demo(), (LIME, CITRIC), [Wish("acid", 1.0, 1.0)]).amounts
    alone = tune(TIN, demo(), (LIME,), [Wish("acid", 1.0, 1.0)]).amounts
    assert 22.5 < both[0] < alone[0] and both[1] > 2.0


@pytest.mark.parametrize(
    ("places", "wish"),
    [
        ((RUM,), Wish("abv", 60.0, 60.0)),
        ((SYRUP,), Wish("acid", 2.0, 2.0)),
        ((LIME,), Wish("sugar", 12.0, 12.0)),
        ((CITRIC,), Wish("volume", 50.0, 50.0)),
    ],
)
def test_what_cannot_be_had_is_missed_and_no_amount_falls_below_nothing(places: tuple[int, ...], wish: Wish) -> None:
    found = tune(TIN, demo(), places, [wish])
    assert found.missed == (wish,)
    assert all(value >= 0.0 for value in found.amounts)
    was = abs(miss(wish, drink(TIN, demo()).glass))
    assert abs(miss(wish, found.drink.glass)) <= was + 1e-9


def test_the_fewest_wishes_that_conflict_are_named() -> None:
    wishes = [Wish("abv", 15.0, 20.0), Wish("acid", 0.95, 0.95), Wish("ratio", 8.0, 8.0), Wish("sugar", 6.0, 6.0)]
    found = conflict(TIN, demo(), (RUM, LIME, SYRUP), wishes)
    assert [wish.figure for wish in found] == ["acid", "ratio", "sugar"]
    alone = conflict(TIN, demo(), (LIME, SYRUP), [Wish("abv", 50.0, 50.0), Wish("acid", 0.8, 0.8)])
    assert [wish.figure for wish in alone] == ["abv"]


def test_a_ratio_needs_acid_enough_to_be_stated() -> None:
    found = tune(TIN, demo(), (LIME, CITRIC), [Wish("ratio", 500.0, 500.0)])
    assert found.missed


def test_as_poured_every_amount_is_a_sum_of_steps_or_whole() -> None:
    wishes = [Wish("acid", 0.95, 0.95), Wish("sugar", 7.0, 7.0)]
    places = (LIME, SYRUP, CITRIC)
    found = poured(TIN, demo(), tune(TIN, demo(), places, wishes), places, wishes)
    lime, syrup, drops = found.amounts
    assert (lime / 7.5, syrup / 7.5, drops) == pytest.approx((round(lime / 7.5), round(syrup / 7.5), round(drops)))


def test_the_finer_line_makes_up_for_the_coarser_one() -> None:
    wishes = [Wish("acid", 0.95, 0.95)]
    exact = tune(TIN, demo(), (LIME, CITRIC), wishes)
    found = poured(TIN, demo(), exact, (LIME, CITRIC), wishes)
    assert found.amounts[0] == 22.5
    assert abs(miss(wishes[0], found.drink.glass)) < 0.01


def test_a_line_is_not_rounded_away_from_what_the_others_come_to() -> None:
    """62.6 ml of gin became 82.5: settled before the egg white, it made up for a fraction of one that was then rounded away."""
    spec = demo().library.drinks["wool-parliament"]
    items = [line.item for line in spec.lines]
    places = [items.index(item) for item in ("syrup-1-1", "gin-dry", "egg-white")]
    wishes = [Wish("sugar", 7.14, 7.14), Wish("acid", 0.568, 0.568)]
    exact = tune(spec, demo(), places, wishes)
    found = poured(spec, demo(), exact, places, wishes)
    assert exact.amounts[1] == pytest.approx(62.6, abs=0.2) and found.amounts == (22.5, 67.5, 1.0)


@pytest.mark.parametrize("places", [(LIME,), (LIME, SYRUP), (RUM, LIME), (LIME, CITRIC), (RUM, LIME, SYRUP, CITRIC)])
@pytest.mark.parametrize("acid", [0.8, 0.94, 1.05])
def test_a_step_of_one_line_that_meets_a_wish_moves_what_nobody_wished_or_goes_past_the_exact_amount(
    places: tuple[int, ...], acid: float
) -> None:
    wishes = [Wish("acid", acid, acid), Wish("sugar", 6.5, 6.5)]
    exact = tune(TIN, demo(), places, wishes)
    found = poured(TIN, demo(), exact, places, wishes)
    owns, house = amounts_at(TIN, places), demo().library.house
    was, then = figures_of(drink(TIN, demo()).glass), figures_of(exact.drink.glass)

    def missed(amounts: Sequence[float]) -> float:
        glass = drink(with_amounts(TIN, places, amounts), demo()).glass
        return max(abs(miss(wish, glass)) for wish in wishes)

    def moved(amounts: Sequence[float]) -> float:
        made = figures(tuple(amounts), places)
        ends = {name: sorted((was[name], then[name])) for name in ("abv", "volume")}
        return max(max(low / made[name], made[name] / high, 1.0) for name, (low, high) in ends.items())

    for at, (place, value) in enumerate(zip(places, found.amounts, strict=True)):
        for near in (0.999 * value, 1.001 * value):
            for step in around(TIN.lines[place].amount, near, house):
                beside = [*found.amounts[:at], step, *found.amounts[at + 1 :]]
                between = min(owns[at], exact.amounts[at]) <= step <= max(owns[at], exact.amounts[at])
                assert not (missed(beside) < missed(found.amounts) - 0.002 and between) or moved(beside) > moved(found.amounts)


@pytest.mark.parametrize(
    ("name", "wish", "times", "dose"),
    [
        ("attic-glacier", "acid", 1.06, "saline-20"),
        ("kettle-regatta", "sugar", 0.93, "citric-25"),
        ("noon-librarian", "acid", 1.06, "saline-20"),
        ("noon-librarian", "sugar", 0.93, "saline-20"),
    ],
)
def test_a_dose_is_not_multiplied_to_make_up_for_a_fraction_of_a_per_cent(name: str, wish: str, times: float, dose: str) -> None:
    """One drop of saline became 42, and 8 of an acid 134, because their water brought a wish nearer by what nobody tastes."""
    spec = demo().library.drinks[name]
    places = range(min(5, len(spec.lines)))
    value = times * figures_of(drink(spec, demo()).glass)[wish]
    wishes = [Wish(wish, value, value)]
    exact = tune(spec, demo(), places, wishes)
    found = poured(spec, demo(), exact, places, wishes)
    at = [line.item for line in spec.lines].index(dose)
    assert 0.5 <= found.amounts[at] / exact.amounts[at] <= 2.0
    assert abs(miss(wishes[0], found.drink.glass)) < 0.025 or found.amounts == amounts_at(spec, places)


def spec_and_places(name: str, *items: str) -> tuple[Spec, tuple[int, ...]]:
    spec = demo().library.drinks[name]
    return spec, tuple(place for place, line in enumerate(spec.lines) if line.item in items)


def test_a_dose_makes_up_for_the_jigger_and_two_lines_are_not_poured_half_as_much_again() -> None:
    """Grapefruit 22.5 ml became 37.5 and malic 2 dashes: 10 % more drink, its ABV out of the usual range it stood in."""
    spec, places = spec_and_places("salt-ferry", "malic-20", "saline-20", "lime-juice", "grapefruit-juice")
    wishes = [Wish("acid", 0.95, 0.95)]
    found = poured(spec, demo(), tune(spec, demo(), places, wishes), places, wishes)
    assert found.amounts == (15.0, 22.5, 3.0, 6.0)
    assert abs(miss(wishes[0], found.drink.glass)) < 0.021


def test_a_wish_that_was_met_is_not_lost_for_another() -> None:
    """Acid stood at 0.853, was wished at 0.85, and became 1.01, so that the ratio should be met."""
    spec, places = spec_and_places("borrowed-ladder", "lemon-juice", "honey-syrup")
    wishes = [Wish("acid", 0.85, 0.85), Wish("ratio", 8.0, 8.0)]
    found = poured(spec, demo(), tune(spec, demo(), places, wishes), places, wishes)
    assert is_met_as_poured(wishes[0], found.drink.glass, 0.02)


@pytest.mark.parametrize("name", sorted(demo().library.drinks))
@pytest.mark.parametrize(("figure", "times"), [("acid", 1.1), ("sugar", 0.9)])
def test_pouring_throws_no_figure_out_of_where_it_stood_and_stands_exactly(name: str, figure: str, times: float) -> None:
    """What nobody wished stays in its usual range and within a tenth of where it was or is exactly; a wish gets no worse."""
    spec = demo().library.drinks[name]
    made = drink(spec, demo())
    was = figures_of(made.glass)
    bring = {
        place: part.composition.acid_g if figure == "acid" else part.composition.sugar_g for place, part in enumerate(made.poured)
    }
    can = [place for place in bring if made.poured[place].counts and spec.lines[place].amount.value and bring[place] > 0.0]
    places = sorted(sorted(can, key=lambda place: -bring[place])[:3])
    if was[figure] < 0.05 or not places:
        return
    wishes = [Wish(figure, times * was[figure], times * was[figure])]
    exact = tune(spec, demo(), places, wishes)
    found = poured(spec, demo(), exact, places, wishes)
    then, now = figures_of(exact.drink.glass), figures_of(found.drink.glass)
    usual = windows_of(spec, demo(), wishes)
    assert inside(was, usual) & inside(then, usual) <= inside(now, usual)
    for other in {"acid", "sugar", "abv", "volume"} - {figure}:
        low, high = sorted((was[other], then[other]))
        assert 0.9 * low <= now[other] <= 1.1 * high
    assert abs(miss(wishes[0], found.drink.glass)) <= abs(miss(wishes[0], made.glass)) + 1e-9


def test_as_poured_no_line_grows_past_ten_times_itself_where_a_wish_cannot_be_had() -> None:
    """600 ml, ten jiggers of 60, was poured as 795: after a wish no amount can meet."""
    wishes = [Wish("abv", 45.0, 45.0)]
    exact = tune(TIN, demo(), (RUM,), wishes)
    assert exact.amounts == pytest.approx((600.0,))
    assert poured(TIN, demo(), exact, (RUM,), wishes).amounts == pytest.approx((600.0,))


def test_a_line_that_cannot_help_stays_where_a_wish_cannot_be_had() -> None:
    """Saline was taken out for a thousandth of the acid wished, as its water thins it."""
    assert tune(TIN, demo(), (SALINE,), [Wish("acid", 1.0, 1.0)]).amounts == (3.0,)
    rum, saline = tune(TIN, demo(), (RUM, SALINE), [Wish("abv", 45.0, 45.0)]).amounts
    assert (rum, saline) == (pytest.approx(600.0), 3.0)


@pytest.mark.parametrize(
    ("wish", "met"),
    [
        (Wish("acid", 0.88, 0.88), True),
        (Wish("acid", 0.94, 0.94), False),
        (Wish("acid", 0.9, 0.95), False),
        (Wish("acid", 0.8, 0.9), True),
    ],
)
def test_as_poured_a_value_is_met_within_taste_and_a_range_as_it_is(wish: Wish, met: bool) -> None:
    """The drink has acid 0.893: 1.5 % over 0.88, 5 % under 0.94, 0.8 % under 0.9."""
    assert is_met_as_poured(wish, drink(TIN, demo()).glass, 0.02) == met


def test_nothing_beside_the_nearest_drink_misses_less() -> None:
    """Three wishes of which any two fix the third: the squares of what is missed are least, against every step beside it."""
    places, wishes = (RUM, LIME, SYRUP), [Wish("acid", 0.95, 0.95), Wish("ratio", 8.0, 8.0), Wish("sugar", 6.0, 6.0)]
    found = tune(TIN, demo(), places, wishes)
    assert found.missed
    rng = random.Random(7)

    def missed(amounts: Sequence[float]) -> float:
        now = figures(tuple(amounts), places)
        ratio = (now["sugar"] - 8.0 * now["acid"]) / figures_of(drink(TIN, demo()).glass)["sugar"]
        return ((now["acid"] - 0.95) / 0.95) ** 2 + ((now["sugar"] - 6.0) / 6.0) ** 2 + ratio**2

    least = missed(found.amounts)
    for _ in range(300):
        step = 10.0 ** rng.uniform(-4, -0.5)
        assert missed([max(0.0, one * (1.0 + rng.gauss(0, 1) * step)) for one in found.amounts]) >= least - 1e-6


def test_a_bare_top_makes_up_the_glass_and_one_that_is_too_full_on_the_way_is_searched_on_from() -> None:
    spec = demo().library.drinks["paddock-meridian"]
    place = next(place for place, line in enumerate(spec.lines) if line.amount.value and line.when == "batch")
    was = figures_of(drink(spec, demo()).glass)
    found = tune(spec, demo(), (place,), [Wish("abv", 0.6 * was["abv"], 0.6 * was["abv"])])
    assert not found.missed
    # The top fills by its own volume; what mixing takes of it is not filled again, and is another fraction at another strength.
    assert figures_of(found.drink.glass)["volume"] == pytest.approx(was["volume"], rel=1e-3)


def test_a_usual_range_is_not_lost_to_come_nearer_a_wish() -> None:
    spec = demo().library.drinks["tin-lantern"]
    places, wishes = (0, 1, 2), [Wish("sugar", 7.5063, 7.5063)]
    exact = tune(spec, demo(), places, wishes)
    acid = figures_of(poured(spec, demo(), exact, places, wishes).drink.glass)["acid"]
    low, high = demo().library.windows[spec.style].figures["acid"]
    assert low <= figures_of(exact.drink.glass)["acid"] <= high and low <= acid <= high
