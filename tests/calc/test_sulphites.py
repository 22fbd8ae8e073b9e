"""Sulphites by mg, and what follows from an allergen that is named: carried through stocks, never lost, never guessed."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_library import NOON, drink, open_small, stock

from station.bar.cautions import ALLERGENS
from station.calc.batch import Target
from station.desk.batching import batched
from station.desk.look import show
from station.desk.opening import Opened

WINES = """
[wine]
name = "Wine"
kind = "wine"
abv = 12
allergens = ["sulphites"]
sulphites = "150 mg/l"

[faint]
name = "Faint wine"
kind = "wine"
abv = 12
allergens = []
sulphites = "8 mg/l"

[silent]
name = "Silent wine"
kind = "wine"
abv = 12
allergens = ["sulphites"]

[beer]
name = "Beer"
kind = "other"
abv = 5
allergens = ["wheat"]
"""


def opened(folder: Path, *lines: str, **stocks: str) -> Opened:
    files = {"ingredients/wines.toml": WINES, "drinks/one.toml": drink("build", *lines, more='dilution = "20 g"')}
    return open_small(folder, {**files, **{f"stocks/{name}.toml": text for name, text in stocks.items()}})


def test_milligrams_go_with_the_volume_through_stocks(tmp_path: Path) -> None:
    """30 ml of wine at 150 mg/l is 4.5 mg; half as wine, half in a stock that is half wine by weight and near it by volume."""
    one = opened(tmp_path, "wine: 15 ml", "spritz: 30 g", spritz=stock("wine: 500 g", "water: 500 g"))
    found = show(one.blends, "one").sulphites
    density = one.blends.stuff("wine").g_per_ml or 0.0
    by_hand = 0.150 * 15.0 + 0.150 * 15.0 / density
    assert found is not None and found.mg == pytest.approx(by_hand, rel=1e-9) and found.unstated == ()
    glass = show(one.blends, "one").glass
    assert found.mg_per_l == pytest.approx(1000.0 * by_hand / glass.ml)
    assert "sulphites" in show(one.blends, "one").allergens
    card = batched(one.blends, "one", Target(serves=10), None, NOON)
    assert card.sulphites == found


def test_under_ten_milligrams_they_are_counted_and_not_declared(tmp_path: Path) -> None:
    """EU Regulation 1169/2011 Annex II item 12: over 10 mg/kg or 10 mg/l."""
    answer = show(opened(tmp_path, "faint: 100 ml").blends, "one")
    assert answer.sulphites is not None and answer.sulphites.mg == pytest.approx(0.8)
    assert "sulphites" not in answer.allergens


def test_what_nobody_stated_is_named_and_not_guessed(tmp_path: Path) -> None:
    answer = show(opened(tmp_path, "silent: 30 ml", "wine: 30 ml").blends, "one")
    assert answer.sulphites is not None
    assert answer.sulphites.unstated == ("silent",) and answer.sulphites.mg == pytest.approx(4.5)


def test_a_drink_without_any_says_nothing(tmp_path: Path) -> None:
    assert show(opened(tmp_path, "spirit: 60 ml").blends, "one").sulphites is None


def test_wheat_is_gluten_too(tmp_path: Path) -> None:
    """US FASTER Act lists wheat, EU Annex II cereals containing gluten, wheat among them."""
    answer = show(opened(tmp_path, "mix: 60 ml", mix=stock("beer: 1 l", "water: 1 l")).blends, "one")
    assert answer.allergens == ("gluten", "wheat")


def test_every_name_of_the_two_lists_is_there() -> None:
    """EU Regulation 1169/2011 Annex II (14) and the US list of nine (21 USC 321(qq), FASTER Act)."""
    eu = {"gluten", "crustaceans", "egg", "fish", "peanut", "soy", "milk", "nuts", "celery", "mustard", "sesame"}
    eu |= {"sulphites", "lupin", "molluscs"}
    us = {"milk", "egg", "fish", "crustaceans", "nuts", "peanut", "wheat", "soy", "sesame"}
    assert len(eu) == 14 and len(us) == 9 and set(ALLERGENS) == eu | us
