"""Coming near the card does not trade what one tastes for small figures, and leaving it comes first where it is worth no work."""

from __future__ import annotations

import pytest
from small_library import NOON, demo

from station.calc.backwards import Corrected, Way
from station.calc.batch import Target
from station.desk.batching import batched
from station.desk.correcting import corrected
from station.desk.went_in import given

TIN = batched(demo(), "tin-lantern", Target(vessel="pitcher"), None, NOON)
ATTIC = batched(demo(), "attic-glacier", Target(vessel="bottle"), None, NOON)


def asked(*ins: str, none_left: tuple[str, ...] = (), tipped: bool = False, attic: bool = False) -> Corrected:
    return corrected(demo(), ATTIC if attic else TIN, [given(one, demo()) for one in ins], None, tipped, none_left)


def by_weight(way: Way) -> dict[str, float]:
    """Each line's share of the mix by weight over the card's, less 1; 0 where it is as on the card."""
    return {one.item: one.by for one in way.off if one.by is not None}


def way(found: Corrected, name: str) -> Way:
    return next(one for one in found.ways if one.way == name)


# By hand: 600 of 852.3 g of rum make 0.704 of the card: lime 246, syrup 194, maraschino 29.7 g, no water. Only the doses that are
# tipped in, a trace of salt and 0.03 of 1.37 g of acid, are then 1/0.704 = 42 % too much.
def test_a_bottle_that_ran_out_is_made_less_of_not_watered_to_thin_a_trace_of_salt() -> None:
    best = asked("rum-light=600g", none_left=("rum-light",), tipped=True).ways[0]
    added = {move.item: move.g for move in best.adds}
    assert best.way == "nearest" and abs(best.moved["abv"] or 0.0) < 0.04
    by_hand = {"lime-juice": 246.0, "syrup-1-1": 194.0, "maraschino-liqueur": 29.7}
    assert {item: added[item] for item in by_hand} == pytest.approx(by_hand, rel=0.1)
    assert added["water"] < 20.0
    off = by_weight(best)
    assert all(abs(off.get(item, 0.0)) < 0.1 for item in ("rum-light", "lime-juice", "maraschino-liqueur"))


# By hand: 300 g of water beside the card's 1525 g make every line 1525/1825 of its share, 16.4 % less. No line that is tasted
# need be thinner than that by more than a twentieth to bring sugar and acid back.
def test_water_by_mistake_is_not_made_room_for_with_the_lime() -> None:
    found = asked("rum-light", "water=300g")
    best, left = found.ways[0], found.ways[-1]
    assert best.way == "nearest" and best.fits_vessel and not left.fits_vessel
    off = by_weight(best)
    assert all(off.get(item, 0.0) > -0.17 for item in ("rum-light", "lime-juice", "maraschino-liqueur"))
    assert off.get("citric-25", 0.0) < 3.0
    assert all(abs(best.moved[name] or 0.0) < abs(left.moved[name] or 0.0) for name in ("abv", "sugar", "acid", "salt"))


# By hand: 48 g beside 1525 g are 3 % less of every line, which nobody tastes: the card's amounts go on, less what has no room.
def test_a_little_of_a_strange_spirit_is_no_reason_for_acid_in_place_of_lime() -> None:
    best = asked("rum-light", "vodka=48g").ways[0]
    assert best.fits_vessel
    assert all(abs(by) < 0.1 for item, by in by_weight(best).items() if item != "vodka")
    added = {move.item: move.g for move in best.adds}
    assert added["lime-juice"] == pytest.approx(350.0, rel=0.02) and added["citric-25"] == pytest.approx(1.57, rel=0.1)


# By hand: the sherry's 69 g too much bring acid from 0.087 to 0.114 g/100 ml, a trace either way; the water stays the card's.
def test_a_hundredth_of_a_gram_of_acid_is_not_bought_with_water() -> None:
    best = asked("caraway-spirit", "dry-sherry=120g", none_left=("caraway-spirit",), tipped=True, attic=True).ways[0]
    assert best.way == "nearest" and best.fits_vessel
    off = by_weight(best)
    assert all(abs(off.get(item, 0.0)) < 0.1 for item in ("water", "pear-liqueur", "celery-bitters"))
    assert (best.moved["abv"] or 0.0) > -0.1


# By hand: without its 276 g of syrup the drink has the liqueur's sugar only. Three times the liqueur would bring some of it.
def test_leaving_it_comes_first_where_coming_near_is_not_clearly_nearer() -> None:
    found = asked("rum-light=880g", none_left=("syrup-1-1",))
    assert [one.way for one in found.ways] == ["leave", "nearest"]
    assert (way(found, "nearest").moved["sugar"] or 0.0) < 0.5 * (way(found, "leave").moved["sugar"] or 0.0)


def test_coming_near_comes_first_where_it_is_and_no_line_pays_for_it() -> None:
    found = asked("rum-light", "lime-juice=300g", none_left=("lime-juice",))
    assert [one.way for one in found.ways] == ["nearest", "leave"]
    assert abs(way(found, "leave").moved["acid"] or 0.0) > 0.1
