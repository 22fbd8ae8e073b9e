"""Amounts in another unit."""

from __future__ import annotations

import pytest

from station.bar.nouns import House
from station.bar.shown_as import WAYS, next_way, ounce_ml_of, shown_as, volume_in

US_OUNCE_ML = 29.5735295625  # 231 cubic inches / 128: NIST Handbook 44, Appendix C
IMPERIAL_OUNCE_ML = 28.4130625  # Weights and Measures Act 1985 (UK), Schedule 1: the gallon is 4.54609 L, a 160th of it


def spaced(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(("way", "said"), [("authored", "3/4 oz"), ("ml", "22.2 ml"), ("oz", "0.75 oz"), ("g", "21 g")])
def test_an_ounce_of_spirit_in_every_way(way: str, said: str) -> None:
    assert spaced(shown_as(way, "3/4 oz", 0.75 * US_OUNCE_ML, 21.0, US_OUNCE_ML)) == said


@pytest.mark.parametrize("way", WAYS)
def test_what_has_no_such_measure_stays_as_written(way: str) -> None:
    assert shown_as(way, "1 each", None, None, US_OUNCE_ML) == "1 each"


def test_the_ounce_is_the_spec_s_own_else_the_house_s() -> None:
    house = House(ounce="imperial", volume="oz")
    assert ounce_ml_of(house) == pytest.approx(IMPERIAL_OUNCE_ML)
    assert ounce_ml_of(house, "us") == pytest.approx(US_OUNCE_ML)
    assert ounce_ml_of(house, "30 ml") == 30.0


def test_a_house_that_shows_ounces_shows_its_own() -> None:
    assert spaced(volume_in(House(ounce="imperial", volume="oz"), 2 * IMPERIAL_OUNCE_ML)) == "2 oz"
    assert spaced(volume_in(House(volume="oz"), 2 * US_OUNCE_ML)) == "2 oz"


def test_the_ways_go_round() -> None:
    way, seen = "authored", []
    for _ in WAYS:
        way = next_way(way)
        seen.append(way)
    assert seen == ["ml", "oz", "g", "authored"]
