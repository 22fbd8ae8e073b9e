"""The day's list: par less what is there, capped by what is used before it ends, in making order, for a service day."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from log_rows import a_lot, a_weighing
from small_library import NOON, open_small, stock

from station.bar.amount import AmountError
from station.calc.making import Yield
from station.cards.lots import prepared as card
from station.desk.logging import add
from station.desk.making import made
from station.desk.opening import Opened
from station.desk.preparing import DAYS, LEAST_DAYS, prepared

CORDIAL = stock("citric-acid: 20 g", "water: 980 g", more='keeps = "3 days"\npar = "5 kg"')


def used(opened: Opened, days: int, grams: float, now: datetime = NOON) -> None:
    """The log of a bar that took so many grams of cordial on each of the last days."""
    batch = a_lot("sour", "batch", made=now - timedelta(days=days))
    at = [now - timedelta(days=day) for day in range(1, days + 1)]
    rows = [a_weighing(batch, line, item="cordial", wanted_g=grams, actual_g=grams, at=moment) for line, moment in enumerate(at)]
    add(opened, batch, *rows)


@pytest.mark.parametrize(
    ("days", "made_g", "capped"), [(LEAST_DAYS - 1, 5000.0, False), (LEAST_DAYS, 600.0, True), (DAYS, 600.0, True)]
)
def test_no_more_is_made_than_goes_before_it_ends(days: int, made_g: float, capped: bool, tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"stocks/cordial.toml": CORDIAL})
    used(opened, days, 200.0)
    (one,) = prepared(opened, "", NOON).make
    assert one.g == pytest.approx(made_g)
    assert one.cap.replace("\u00a0", " ") == ("keeps 3 days, and 200 g of it go in a day: no more than 600 g" if capped else "")


def test_what_another_making_takes_is_made_in_spite_of_the_cap(tmp_path: Path) -> None:
    other = stock("cordial: 900 g", "sugar: 100 g", more='par = "2 kg"')
    opened = open_small(tmp_path, {"stocks/cordial.toml": CORDIAL.replace("5 kg", "100 g"), "stocks/other.toml": other})
    used(opened, LEAST_DAYS, 200.0)
    found = {one.item: one for one in prepared(opened, "", NOON).make}
    assert list(found) == ["cordial", "other"]
    assert found["cordial"].needed_g == pytest.approx(1900.0) and found["cordial"].g == pytest.approx(1800.0)


def test_after_midnight_it_is_still_the_evening_before(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"stocks/cordial.toml": CORDIAL})
    night = NOON.replace(hour=3)
    assert str(prepared(opened, "", night).day) == "2026-11-24"
    assert str(prepared(opened, "", NOON).day) == "2026-11-25"


def test_a_lot_that_ends_before_the_day_begins_does_not_count(tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"stocks/cordial.toml": CORDIAL})
    add(opened, a_lot("cordial", "stock", g=4000.0, use_by=NOON + timedelta(days=1)))
    assert [round(one.g) for one in prepared(opened, "", NOON).make] == [1000]
    assert [round(one.g) for one in prepared(opened, "2026-11-26", NOON).make] == [1000]
    assert [round(one.g) for one in prepared(opened, "2026-11-27", NOON).make] == [5000]


def test_lots_nobody_weighed_are_named_and_count_for_nothing(tmp_path: Path) -> None:
    opened, lot = open_small(tmp_path, {"stocks/cordial.toml": CORDIAL}), a_lot("cordial", "stock")
    add(opened, lot)
    (one,) = prepared(opened, "", NOON).make
    assert one.unmeasured == (lot.short,) and one.on_hand_g == 0.0 and one.g == pytest.approx(5000.0)


def test_a_strength_by_volume_is_the_one_by_weight_times_the_density(tmp_path: Path) -> None:
    salt = '[salt]\nname = "Salt"\nkind = "salt"\nform = "solid"\nper_100_g = { salt = 100 }\nallergens = []\n'
    files = {"ingredients/salt.toml": salt, "stocks/mixed.toml": stock("water: 700 g", "salt: 100 g", "sugar: 200 g")}
    card = made(open_small(tmp_path, files).blends, "mixed", Yield(), NOON)
    assert (card.salt_pct_ww, card.brix) == (pytest.approx(10.0), pytest.approx(20.0))
    assert card.salt_pct_wv == pytest.approx(10.0 * card.g / card.ml) and card.salt_pct_wv > 10.0
    assert card.sugar_pct_wv == pytest.approx(20.0 * card.g / card.ml)
    assert card.parts == "by weight: 7 parts water + 1 part Salt + 2 parts Sugar"


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "0206-05-01"])
def test_a_day_no_bar_works_on_is_refused(day: str, tmp_path: Path) -> None:
    with pytest.raises(AmountError, match="is not within 2000 to 2199"):
        prepared(open_small(tmp_path, {"stocks/cordial.toml": CORDIAL}), day, NOON)


def test_the_list_says_volumes_in_the_house_s_own_ounce(tmp_path: Path) -> None:
    house = 'format = 1\n[reads]\nounce = "imperial"\n[shows]\nvolume = "oz"\n'
    opened = open_small(tmp_path, {"stocks/cordial.toml": CORDIAL, "station.toml": house})
    answer = prepared(opened, "", NOON)
    (one,) = answer.make
    assert one.ml is not None
    said = " ".join(card(answer, opened.library.house)).replace("\u00a0", " ")
    # An imperial fluid ounce is 28.4130625 ml (UK Units of Measurement Regulations 1995).
    assert f"= {one.ml / 28.4130625:.3g} oz" in said
