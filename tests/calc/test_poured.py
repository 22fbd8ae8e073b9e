"""What a pour comes to, held against grams reckoned forward by hand from what went into the vessel."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import demo, pitcher_card

from station.bar.amount import Amount
from station.bar.composition import Composition
from station.bar.logged import READ
from station.bar.nouns import Line
from station.calc import correct
from station.calc.acidity import ta_g
from station.calc.balance import balance
from station.calc.drink import drink
from station.calc.pour import DONE, WAY, Event, reads_g
from station.calc.pour_events import after
from station.calc.poured import as_poured
from station.calc.scales import VESSEL
from station.desk.pouring import pour_of, serve_of
from station.science.ethanol import ETHANOL_G_PER_ML

SPECS = sorted(demo().library.drinks)


@given(st.sampled_from(SPECS), st.lists(st.sampled_from([0.4, 0.8, 1.0, 1.0, 1.3, 2.5]), min_size=8, max_size=8))
@settings(max_examples=60, deadline=None)
def test_left_in_every_figure_is_reckoned_forward_from_the_grams_in_the_vessel(name: str, shares: list[float]) -> None:
    card = pitcher_card(name)
    if card is None:
        return
    pour, serve = pour_of(demo(), card), serve_of(demo().library.drinks[name], card, demo())
    lines = card.mixes[0].lines
    planned = [line.weigh_g for line in lines]
    went_in = [0.0] * len(lines)
    still = list(planned)
    for share in shares:
        if not pour.ahead or pour.ahead[0].kind != "in":
            break
        step = pour.ahead[0]
        reads = reads_g(pour, step) + (share - 1.0) * step.g / (step.times if step.apart else 1)
        pour = after(pour, Event(DONE, reads, READ))
        went_in[step.line] += share * step.g
        still[step.line] = 0.0
        if pour.off is not None:
            pour = after(pour, Event(WAY, way=correct.LEAVE))
        one = as_poured(pour, serve)
        mix = Composition.total(line.per_g * (there + more) for line, there, more in zip(pour.lines, went_in, still, strict=True))
        ml = mix.volume_ml
        assert one.now.g == pytest.approx(sum(went_in)) and one.ends.g == pytest.approx(sum(went_in) + sum(still))
        assert one.ends.ethanol_g == pytest.approx(mix["ethanol"], abs=1e-9)
        assert one.ends.abv_pct == pytest.approx(100.0 * mix["ethanol"] / ETHANOL_G_PER_ML / ml, abs=1e-9)
        assert one.ends.sugar_g_per_100ml == pytest.approx(100.0 * mix.sugar_g / ml, abs=1e-9)
        assert one.ends.acid_g_per_100ml == pytest.approx(100.0 * ta_g(mix) / ml, abs=1e-9)
        assert one.serves == pytest.approx(ml / (card.mixes[0].ml * card.mixes[0].count / card.serves))
        # A serve of the same volume brings its share of the alcohol, whatever else the glass has.
        brings = mix["ethanol"] / one.serves - one.planned.ethanol_g / one.planned_serves
        assert one.glass.ethanol_g - one.planned_glass.ethanol_g == pytest.approx(brings, abs=1e-9)
        gross = [place for place, g in enumerate(went_in) if g > 1.25 * planned[place] and g > planned[place] + 2.0]
        over = {pour.lines[place].item for place in gross}
        assert over <= {off.item for off in one.off if off.g > 0.0}
    while pour.ahead:
        pour = after(pour, Event(DONE))
    ended = as_poured(pour, serve)
    assert ended.now == ended.ends


def test_as_asked_nothing_is_off() -> None:
    for name in SPECS:
        if (card := pitcher_card(name)) is not None:
            pour = pour_of(demo(), card)
            one = as_poured(pour, serve_of(demo().library.drinks[name], card, demo()))
            assert one.off == () and one.outside == ()
            assert one.ends.g == pytest.approx(card.mixes[0].g)


@given(st.sampled_from(SPECS), st.lists(st.sampled_from([0.6, 1.0, 1.0, 1.5]), min_size=10, max_size=10))
@settings(max_examples=60, deadline=None)
def test_the_glass_of_what_is_in_the_vessel_is_that_of_the_drink_with_those_proportions(name: str, shares: list[float]) -> None:
    spec, card = demo().library.drinks[name], pitcher_card(name)
    own = any(line.batch_amount or line.hold_back or line.amount.value is None for line in spec.lines)
    if card is None or card.diluted or own or len({line.item for line in spec.lines}) < len(spec.lines):
        return
    pour, serve = pour_of(demo(), card), serve_of(spec, card, demo())
    by_item = {line.item: share for line, share in zip(card.mixes[0].lines, shares, strict=False)}
    held = tuple(line.wanted_g * by_item.get(line.item, 1.0) for line in pour.lines)
    one = as_poured(replace(pour, ahead=(), held={VESSEL: held}), serve)

    def amount(line: Line) -> Amount:
        by = by_item.get(line.item, 1.0) if line.when == "batch" else one.ends.ml / one.planned.ml
        return replace(line.amount, value=by * (line.amount.value or 0.0))

    other = replace(spec, lines=tuple(replace(line, amount=amount(line)) for line in spec.lines))
    shown = balance(drink(other, demo()).glass)
    for figure in ("abv", "sugar", "acid"):
        assert one.glass.figures[figure] == pytest.approx(shown.figures[figure], rel=1e-6, abs=1e-9)
