"""An amount in another unit is as many grams as it was, in digits a person would write, and it is said how near."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_library import HOUSE, demo, open_small

from station.bar.amount import parse_amount
from station.bar.fault import CannotAnswer
from station.bar.nouns import Line
from station.calc.blend import Blends
from station.calc.weigh import weigh
from station.desk.units_kept_equal import MOST_OFF, Equal, equals


def blends(folder: Path, more: str = "") -> Blends:
    return open_small(folder, {"station.toml": HOUSE.replace("[reads]\n", f"[reads]\n{more}")}).blends


def texts(line: Line, known: Blends, dispenser: str = "", ounce: str = "") -> dict[str, str]:
    return {one.unit: one.text for one in equals(line, known, dispenser, ounce)}


def line(item: str, amount: str, dispenser: str = "") -> Line:
    return Line(item, parse_amount(amount), dispenser)


# A metric bar's ounce is 30 ml, so three quarters of one are 22.5 ml exactly; of a US one (29.5735 ml, NIST Handbook 44,
# Appendix C) they are not.
@pytest.mark.parametrize(
    ("ounce", "amount", "other"),
    [
        ("30 ml", "22.5 ml", "3/4 oz"),
        ("30 ml", "45 ml", "1 1/2 oz"),
        ("30 ml", "60 ml", "2 oz"),
        ("30 ml", "10 ml", "1/3 oz"),
        ("us", "22.5 ml", "0.76 oz"),
        ("us", "60 ml", "2.03 oz"),
        ("imperial", "28.4 ml", "1 oz"),
    ],
)
def test_millilitres_are_ounces_as_the_house_reads_them(ounce: str, amount: str, other: str, tmp_path: Path) -> None:
    known = blends(tmp_path, f'ounce = "{ounce}"\n')
    assert texts(line("sour", amount), known)["oz"] == other
    assert texts(line("sour", amount), blends(tmp_path), ounce=ounce)["oz"] == other


# 1 l of water at 20 °C weighs 998.20 g (OIML R 22).
def test_water_by_volume_is_its_grams(tmp_path: Path) -> None:
    assert texts(line("water", "100 ml"), blends(tmp_path))["g"] == "100 g"
    assert texts(line("water", "1 l"), blends(tmp_path))["g"] == "998 g"


# Fifty drops weigh 2.6167 g by the three weighings of measures.toml: one is 0.052333 g.
def test_drops_are_grams_by_their_droppers_calibration(tmp_path: Path) -> None:
    known = blends(tmp_path)
    two = equals(line("citric-25", "2 drops", "dropper"), known, "dropper")
    assert [(one.text, one.said) for one in two if one.unit == "g"] == [("0.105 g", "0.32\u00a0% more by weight")]
    assert texts(line("citric-25", "0.1047 g"), known, "dropper")["drop"] == "2 drops"
    assert "drop" not in texts(line("citric-25", "0.13 g"), known, "dropper"), "two and a half drops were offered"


def test_a_powder_is_weighed_and_a_spoon_of_it_only_where_its_bulk_is_known(tmp_path: Path) -> None:
    assert list(texts(line("sugar", "5 g"), blends(tmp_path))) == ["g"]
    assert texts(line("sugar", "2 tsp"), blends(tmp_path))["g"] == "8.4 g"
    with pytest.raises(CannotAnswer, match=r"^citric-acid is a powder: its volume does not say its weight"):
        equals(line("citric-acid", "2 tsp"), blends(tmp_path), "")


@pytest.mark.parametrize("amount", ["2 parts", "top", "rinse"])
def test_what_has_no_grams_of_its_own_is_refused(amount: str, tmp_path: Path) -> None:
    with pytest.raises(CannotAnswer):
        equals(line("sour", amount), blends(tmp_path), "")


def test_a_top_stays_a_top(tmp_path: Path) -> None:
    assert texts(line("sour", "top 60 ml"), blends(tmp_path))["oz"] == "top 2.03 oz"


def test_what_is_exact_is_said_to_be_the_same() -> None:
    assert (Equal("1 oz", "oz", 0.0).said, Equal("1 oz", "oz", -0.002).said) == ("the same", "0.2\u00a0% less by weight")


LINES = [(one, spec.ounce) for spec in demo().library.drinks.values() for one in spec.lines]


@pytest.mark.parametrize(("one", "ounce"), LINES, ids=lambda value: getattr(value, "item", ""))
def test_no_line_of_the_demo_loses_half_a_per_cent(one: Line, ounce: str) -> None:
    try:
        found = equals(one, demo(), one.dispenser, ounce)
    except CannotAnswer as refused:
        assert "counted, not weighed" in str(refused)
        return
    check(one, found, ounce)


@given(
    st.floats(0.02, 2000.0),
    st.sampled_from(["ml", "cl", "oz", "g", "tsp"]),
    st.sampled_from(["lime-juice", "citric-25", "rum-light"]),
)
def test_no_amount_loses_half_a_per_cent(value: float, unit: str, item: str) -> None:
    one = line(item, f"{value:.4f} {unit}")
    check(one, equals(one, demo(), ""), "")


def check(one: Line, found: tuple[Equal, ...], ounce: str) -> None:
    """Each way is read again and weighed again; no two are in one unit, and none is longer than a person would write."""
    grams = weigh(one, demo().stuff, demo().library, ounce).mass_g
    assert len({way.unit for way in found}) == len(found)
    for way in found[1:]:
        again = Line(one.item, parse_amount(way.text), one.dispenser if way.unit == "drop" else "")
        ratio = weigh(again, demo().stuff, demo().library, ounce).mass_g / grams
        assert abs(ratio - 1.0) < MOST_OFF and ratio - 1.0 == pytest.approx(way.off, abs=1e-9)
        assert again.amount.role == one.amount.role and len(way.text) <= len("float 0.0001 barspoons")
