"""One amount in every unit."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import demo, open_small

from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.calc.converting import Converted
from station.desk.converting import convert


def values(one: Converted) -> dict[str, float | None]:
    return {row.unit: row.value for row in one.rows}


# 21 CFR 101.9 aside, a US fluid ounce is 29.5735295625 ml, an imperial one 28.4130625 ml (NIST SP 811; Weights and Measures Act).
def test_a_volume_of_water_in_both_ounces_and_grams() -> None:
    one = values(convert(demo(), "29.5735295625 ml", "water"))
    assert one["fl oz (US)"] == pytest.approx(1.0)
    assert one["fl oz (imperial)"] == pytest.approx(29.5735295625 / 28.4130625)
    # Water at 20 °C: 0.998203 g/ml (IAPWS-95).
    assert one["g"] == pytest.approx(29.5735295625 * 0.998203, rel=2e-6)
    assert one["oz wt"] == pytest.approx(29.5735295625 * 0.998203 / 28.349523125, rel=2e-6)


# 50 drops weigh 7.85/3 g on the mean: 5.2333 g are 100 of them.
def test_grams_become_drops_by_the_calibration() -> None:
    one = convert(demo(), "5.2333333 g", "citric-25")
    row = next(row for row in one.rows if row.unit == "drop")
    assert (row.value, row.basis) == (pytest.approx(100.0, rel=1e-6), "Red-cap dropper, 3 weighings, 4 Nov 2026")


def test_jiggers_are_said_as_fills() -> None:
    row = next(row for row in convert(demo(), "52.5 ml", "rum-light").rows if row.unit == "jiggers")
    assert (row.value, row.said.replace("\u00a0", " ")) == (52.5, "45 ml + 7.5 ml")


units = st.sampled_from(["g", "ml", "drop", "dash", "barspoon", "oz", "tsp"])


@given(units, st.floats(0.5, 500.0), st.sampled_from(["citric-25", "rum-light", "aromatic-bitters", "honey-syrup"]))
@settings(max_examples=60, deadline=None)
def test_there_and_back_is_the_same_amount(unit: str, value: float, item: str) -> None:
    there = convert(demo(), f"{value:.4f} {unit}", item)
    grams = convert(demo(), f"{there.g:.8f} g", item)
    back = values(grams)[{"oz": "fl oz (US)", "tsp": "tsp (metric)"}.get(unit, unit)]
    assert back == pytest.approx(float(f"{value:.4f}"), rel=1e-5)


def test_a_part_of_a_batch_by_weight_and_by_volume() -> None:
    by_weight = convert(demo(), "4 g", "citric-25", whole="1.6 kg").share
    by_volume = convert(demo(), "45 ml", "rum-light", whole="1.5 l").share
    assert by_weight is not None and by_volume is not None
    assert (by_weight.fraction, by_weight.basis) == (pytest.approx(4 / 1600), "w/w")
    assert (by_volume.fraction, by_volume.basis) == (pytest.approx(0.03), "v/v")


def test_parts_of_a_batch_become_an_amount() -> None:
    assert convert(demo(), "3 parts", "rum-light", whole="1.5 l", parts=6).ml == pytest.approx(750.0)


def test_a_unit_nobody_calibrated_says_so() -> None:
    row = next(row for row in convert(demo(), "1 g", "citric-25").rows if row.unit == "spray")
    assert row.value is None and "calibrate a spray" in row.basis


def test_a_powder_has_the_volume_it_lies_in(tmp_path: Path) -> None:
    blends = open_small(tmp_path).blends
    assert values(convert(blends, "85 g", "sugar"))["ml"] == pytest.approx(100.0)
    row = next(row for row in convert(blends, "85 g", "citric-acid").rows if row.unit == "ml")
    assert row.value is None and "bulk_density" in row.basis


@pytest.mark.parametrize(
    ("text", "item", "more", "said"),
    [
        ("2 dorps", "citric-25", {}, "“dorps” is no unit here (did you mean drops?)"),
        ("top", "soda-water", {}, "“top” says when it goes in (give a number and a unit, e.g. 2 drops)"),
        ("2 g", "citric", {}, "there is no item or stock citric (see `station check`)"),
        ("2 drops", "citric-25", {"dispenser": "red"}, "there is no dispenser red (one of dropper-red, dasher-small, barspoon)"),
        (
            "2 dashes",
            "citric-25",
            {"dispenser": "dropper-red"},
            "dropper-red gives a drop, the amount is in dash (give it in drops, or name another)",
        ),
        (
            "3 parts",
            "rum-light",
            {},
            "“3 parts”: parts of what? (give the batch and how many parts it has: --in, --parts)",
        ),
        (
            "3 g",
            "rum-light",
            {"whole": "3 drops"},
            "“3 drops” is no mass or volume (give the batch's volume or weight, e.g. 1.5 l)",
        ),
        ("2 g", "citric-acid", {"whole": "1 l"}, "citric-acid has no volume to be a part of 1 l (give the whole by weight)"),
        ("2 each", "lime-coin", {}, 'what 2 each of lime-coin weighs is not known (give the item e.g. each = "30 g")'),
    ],
)
def test_what_cannot_be_converted_is_refused(text: str, item: str, more: dict[str, str], said: str) -> None:
    with pytest.raises((CannotAnswer, AmountError)) as refused:
        convert(demo(), text, item, **more)  # type: ignore[arg-type]  # the texts among its arguments
    assert str(refused.value) == said
