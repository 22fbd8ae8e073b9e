"""Wishes as a person writes them, and the answer fed forward through `show`."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

import pytest
from small_library import demo

from station.bar.amount import AmountError, parse_amount
from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.calc.backwards import Tuned
from station.calc.blend import Blends
from station.calc.drink import drink
from station.calc.tune import FIGURES, Wish, figures_of, with_amounts
from station.cards import backwards
from station.desk.look import show
from station.desk.tuning import figure_of, movable, places_of, tuned, tuned_spec, wish_of

TIN = demo().library.drinks["tin-lantern"]


@pytest.mark.parametrize(
    ("text", "wish"),
    [
        ("acid=0.85 g/100ml", Wish("acid", 0.85, 0.85)),
        ("acid = 0,85 g / 100 ml as citric", Wish("acid", 0.85, 0.85)),
        ("acid=8.5 g/l", Wish("acid", 0.85, 0.85)),
        ("Sugar=7", Wish("sugar", 7.0, 7.0)),
        ("abv=18 %", Wish("abv", 18.0, 18.0)),
        ("abv=18 % vol", Wish("abv", 18.0, 18.0)),
        ("ratio=9", Wish("ratio", 9.0, 9.0)),
        ("volume=150 ml", Wish("volume", 150.0, 150.0)),
        ("volume=5 oz", Wish("volume", 5 * 29.5735295625, 5 * 29.5735295625)),
        ("volume=150", Wish("volume", 150.0, 150.0)),
        ("acid=within", Wish("acid", 0.76, 0.94)),
        ("abv=0", Wish("abv", 0.0, 0.0)),
    ],
)
def test_a_wish_is_read(text: str, wish: Wish) -> None:
    read = wish_of(text, TIN, demo().library)
    assert (read.figure, read.low, read.high) == (wish.figure, pytest.approx(wish.low), pytest.approx(wish.high))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("acid", "“acid” is no wish (write e.g. acid=0.85 g/100ml; the figures are acid, sugar, ratio, abv, volume)"),
        ("acit=1", "“acit=1” is no wish (did you mean acid=…?)"),
        ("acid=lots", "“lots” is no value for acid (write a number in g/100 ml as citric)"),
        ("acid=3 %", "acid is not in % (write it in g/100 ml as citric)"),
        ("ratio=9 g", "sugar to acid is not in g (write it in g per g, as 9)"),
        ("volume=90 g", "volume is not in g (write it in ml)"),
        ("acid=1,250", "1,250 can be read two ways: 1.25 or 1250? (write it without the comma)"),
    ],
)
def test_what_is_no_wish_is_refused_with_what_to_write(text: str, said: str) -> None:
    with pytest.raises(AmountError) as refused:
        wish_of(text, TIN, demo().library)
    assert str(refused.value) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("acid=-0.2 g/100ml", "acid -0.2 g/100 ml as citric cannot be: no drink has so little (wish more)"),
        ("volume=0 ml", "volume 0 ml cannot be: no drink has so little (wish more)"),
        ("abv=101 %", "ABV 101 % vol cannot be: no drink has so much (wish less)"),
        ("ratio=within", "Tin Lantern has no window for sugar to acid (wish a value: ratio=…)"),
    ],
)
def test_what_no_drink_can_be_is_the_datas_no(text: str, said: str) -> None:
    with pytest.raises(CannotAnswer) as refused:
        wish_of(text, TIN, demo().library)
    assert str(refused.value).replace("\u00a0", " ") == said


@pytest.mark.parametrize(
    ("move", "wants", "said"),
    [
        ((), ("acid=0.8",), "no line may move (name those that may: --move lime-juice,syrup-1-1)"),
        (("lime-coin",), ("acid=0.8",), "Lime coin cannot move: it is not part of the liquid by an amount (name another line)"),
        (("lime-jus",), ("acid=0.8",), "lime-jus is in no line of Tin Lantern (did you mean lime-juice?)"),
        (("lime-juice",), (), "nothing is wished (say e.g. acid=0.85 g/100ml, or one of acid, sugar, ratio, abv, volume within)"),
        (("lime-juice",), ("acid=0.8", "acid=0.9"), "a figure is wished twice (wish each once)"),
    ],
)
def test_an_empty_question_is_said_to_be_one(move: Sequence[str], wants: Sequence[str], said: str) -> None:
    with pytest.raises(CannotAnswer) as refused:
        tuned(demo(), "tin-lantern", move, wants)
    assert str(refused.value) == said


def test_more_alcohol_than_the_strongest_line_is_said_with_that_line() -> None:
    found = tuned(demo(), "tin-lantern", ["rum-light"], ["abv=60 %"])
    assert not found.possible and found.conflict == ("abv",)
    assert found.why.startswith("ABV 60 % vol cannot be had by moving Light rum: the nearest drink has ABV 23 % vol.")
    assert found.why.endswith("The strongest line, Light rum, is 40 % vol before any water.")


def test_wishes_that_pull_against_each_other_are_named_together() -> None:
    found = tuned(demo(), "tin-lantern", ["lime-juice", "syrup-1-1"], ["acid=0.95", "ratio=8", "sugar=6", "abv=within"])
    assert found.conflict == ("acid", "sugar", "ratio") or set(found.conflict) == {"acid", "sugar", "ratio"}
    assert "cannot be had together by moving Lime juice, fresh and Sugar syrup" in found.why


def fed_forward(spec: Spec, answer: Tuned, places: Sequence[int]) -> dict[str, float | None]:
    """The figures `show` gives for the spec with the exact amounts written into it as text."""
    lines = list(spec.lines)
    for place, line in zip(places, answer.lines, strict=True):
        was = lines[place].amount
        lines[place] = replace(lines[place], amount=parse_amount(line.exact_text, was.unit))
    library = demo().library
    edited = replace(library, drinks={**library.drinks, spec.id: replace(spec, lines=tuple(lines))})
    glass = show(Blends(edited), spec.id).glass
    return {figure: figure_of(glass, figure) for figure in FIGURES}


@pytest.mark.parametrize("seed", range(25))
def test_the_answer_fed_forward_through_show_gives_the_wished_figures(seed: int) -> None:
    rng = random.Random(seed)
    spec = demo().library.drinks[rng.choice(sorted(demo().library.drinks))]
    made = drink(spec, demo())
    can = [place for place, one in enumerate(made.poured) if movable(one) and not one.line.amount.role]
    places = rng.sample(can, min(3, len(can)))
    there = [
        one.line.amount.value * rng.uniform(0.7, 1.4) for one in (made.poured[place] for place in places) if one.line.amount.value
    ]
    goal = figures_of(drink(with_amounts(spec, places, there), demo()).glass)
    some = [name for name in rng.sample(FIGURES, len(places)) if (goal[name] > 0.06 and goal["acid"] > 0.1) or name == "volume"]
    asked = some or ["volume"]
    answer = tuned_spec(demo(), spec, places, [Wish(name, goal[name], goal[name]) for name in asked])
    assert answer.possible
    found = fed_forward(spec, answer, places)
    for name in asked:
        assert found[name] == pytest.approx(goal[name], rel=3e-4)


def test_what_pouring_costs_is_reckoned_from_the_poured_drink() -> None:
    found = tuned(demo(), "tin-lantern", ["lime-juice"], ["acid=0.8"])
    (wish,), (line,) = found.wishes, found.lines
    assert line.pourable_text == "22.5 ml" and line.pourable == 22.5
    assert wish.pourable == pytest.approx(found.pourable.acid_g_per_100ml)
    assert wish.pourable is not None and wish.exact is not None
    assert wish.rounding == pytest.approx(wish.pourable / wish.exact - 1.0)


def test_an_amount_stays_in_its_own_unit_and_a_top_stays_one() -> None:
    place = places_of(demo().library.drinks["kettle-regatta"], ["soda-water"])
    spec = demo().library.drinks["kettle-regatta"]
    found = tuned_spec(demo(), spec, place, [Wish("volume", 220.0, 220.0)])
    assert found.lines[0].exact_text.startswith("top ") and found.lines[0].exact_text.endswith(" ml")
    assert found.exact.ml == pytest.approx(220.0, rel=1e-6)


def test_a_line_that_comes_to_nothing_is_said() -> None:
    found = tuned(demo(), "tin-lantern", ["citric-25"], ["acid=0.1"])
    assert found.lines[0].exact == pytest.approx(0.0, abs=1e-6) and found.lines[0].pourable >= 1.0
    assert any("comes to nothing" in note for note in found.notes)


def test_a_dose_that_needs_a_caution_brings_it() -> None:
    found = tuned(demo(), "tin-lantern", ["citric-25"], ["acid=2"])
    assert {one.code for one in found.cautions} >= {"serve-acid"}


def test_the_card_says_what_was_what_is_and_what_pouring_costs() -> None:
    found = tuned(demo(), "tin-lantern", ["citric-25", "lime-juice"], ["acid=0.95 g/100ml"])
    text = "\n".join(backwards.tuned(found)).replace("\u00a0", " ")
    assert "Lime juice, fresh          22.5 ml  24.4 ml  22.5 ml" in text
    assert "Citric solution, 25 % w/w  2 drops  2 drops  9 drops" in text
    assert "wished 0.95" in text and "Poured instead of exactly: Acid −0.1 % (relative)." in text


def test_a_wish_that_rounding_loses_is_said_in_words_at_the_head() -> None:
    found = tuned(demo(), "tin-lantern", ["lime-juice"], ["acid=0.94"])
    (wish,) = found.wishes
    assert found.possible and wish.met and not wish.met_as_poured
    text = "\n".join(backwards.tuned(found)).replace("\u00a0", " ")
    assert text.index("NOT MET AS POURED: acid 0.893, wished 0.94. Take it exactly") < text.index("Lime juice")
    assert "wished 0.94: not as poured" in text
    near = tuned(demo(), "tin-lantern", ["citric-25", "lime-juice"], ["acid=0.94"])
    assert near.wishes[0].met_as_poured and "NOT MET" not in "\n".join(backwards.tuned(near))


def said(name: str, move: Sequence[str], wants: Sequence[str]) -> str:
    """The card in one line."""
    return " ".join(" ".join(backwards.tuned(tuned(demo(), name, move, wants))).replace("\u00a0", " ").split())


def test_the_line_that_would_make_up_for_it_is_named_and_does() -> None:
    found = tuned(demo(), "tin-lantern", ["lime-juice"], ["acid=0.95"])
    assert found.wishes[0].finer == "citric-25"
    assert "Take it exactly, or let Citric solution, 25 % w/w move, too." in said("tin-lantern", ["lime-juice"], ["acid=0.95"])
    assert tuned(demo(), "tin-lantern", ["lime-juice", "citric-25"], ["acid=0.95"]).wishes[0].met_as_poured


def test_where_no_line_that_stays_makes_up_for_it_that_is_said() -> None:
    assert "Take it exactly, to be weighed: no line that stays makes up for it." in said("tin-lantern", ["rum-light"], ["abv=13"])


def test_a_line_that_would_help_one_wish_of_two_is_said_to_help_that_one() -> None:
    asked = ["rum-light", "lime-juice"], ["abv=14.5", "acid=0.85"]
    found = tuned(demo(), "tin-lantern", *asked)
    assert [(wish.met_as_poured, wish.finer) for wish in found.wishes] == [(False, ""), (False, "citric-25")]
    assert "or let Citric solution, 25 % w/w move, too, for acid." in said("tin-lantern", *asked)


@pytest.mark.parametrize("seed", range(8))
def test_whatever_line_is_named_makes_the_wish_met(seed: int) -> None:
    rng = random.Random(seed)
    spec = demo().library.drinks[rng.choice(["tin-lantern", "salt-ferry", "pillow-magistrate", "quarry-sunday"])]
    place = max(range(len(spec.lines)), key=lambda one: drink(spec, demo()).poured[one].composition.acid_g)
    goal = figures_of(drink(spec, demo()).glass)["acid"] * rng.uniform(1.04, 1.12)
    wishes = [Wish("acid", goal, goal)]
    (wish,) = tuned_spec(demo(), spec, [place], wishes).wishes
    if wish.finer:
        again = tuned_spec(demo(), spec, sorted({place, *places_of(spec, [wish.finer])}), wishes)
        assert again.wishes[0].met_as_poured
    else:
        # The first has no other acid line; the dash of the second is too coarse.
        assert wish.met_as_poured or spec.id in {"pillow-magistrate", "salt-ferry"}


def test_a_volume_nobody_wished_that_moves_is_said_with_what_to_do() -> None:
    text = said("tin-lantern", ["rum-light", "syrup-1-1", "lime-juice"], ["abv=17", "sugar=6", "acid=0.85"])
    assert "THE VOLUME MOVES: from 154 ml to 71.6 ml exactly" in text
    assert "At 154 ml these lines cannot give the rest: let another move, and wish volume=154, too." in text
    free = ["elderflower-liqueur", "water", "vodka"]
    assert "152 ml to 172 ml exactly, 175 ml as poured. To keep it, wish volume=152, too." in said(
        "glass-commuter", free, ["sugar=4.5"]
    )
    assert tuned(demo(), "glass-commuter", free, ["sugar=4.5", "volume=152"]).possible
    assert "THE VOLUME" not in said("tin-lantern", ["lime-juice"], ["acid=0.95"])
    assert "THE VOLUME" not in said("tin-lantern", ["lime-juice", "rum-light"], ["volume=120"])


def test_a_figure_nobody_wished_that_leaves_its_usual_range_is_named() -> None:
    found = tuned(demo(), "quarry-sunday", ["apple-brandy"], ["abv=14.5"])
    (out,) = found.out_of_range
    assert (out.figure, out.low, out.high, out.out_exactly, out.out_as_poured) == ("acid", 0.76, 0.94, True, True)
    text = said("quarry-sunday", ["apple-brandy"], ["abv=14.5"])
    assert (
        "OUT OF THE USUAL RANGE: acid 0.975 exactly and 0.965 as poured (usually 0.76 to 0.94 g/100 ml as citric)."
        " To hold it, wish it within its range, too." in text
    )
    assert not tuned(demo(), "quarry-sunday", ["apple-brandy"], ["abv=14.5", "acid=0.97"]).out_of_range


def test_a_dose_that_makes_up_for_the_jigger_is_said_to() -> None:
    text = said("tin-lantern", ["lime-juice", "citric-25"], ["acid=0.95"])
    assert "Citric solution, 25 % w/w makes up for what the other lines cannot be poured to: 9 drops." in text


def test_a_wish_is_said_as_it_was_wished_and_its_figures_as_finely() -> None:
    text = said("tin-lantern", ["rum-light"], ["abv=16.15"])
    assert "ABV 16.1 16.15 16.1 % vol at 20 °C wished 16.15" in text
    assert "wished 148" not in said("tin-lantern", ["rum-light"], ["volume=5 oz"])
    none = tuned(demo(), "tin-lantern", ["rum-light"], ["abv=60.25"])
    assert none.why.startswith("ABV 60.25 % vol cannot be had by moving Light rum")


def test_an_exact_amount_is_written_with_four_figures() -> None:
    found = tuned(demo(), "tin-lantern", ["lime-juice"], ["acid=0.95"])
    assert found.lines[0].exact_text == "24.36 ml" and found.lines[0].exact == pytest.approx(24.357, abs=1e-3)
