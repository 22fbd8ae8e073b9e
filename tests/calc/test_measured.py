"""A making as instruments found it: what was measured is what the figures then say."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_library import open_small, stock

from station.bar.composition import Composition
from station.bar.fault import CannotAnswer
from station.calc.acidity import ta_g
from station.calc.balance import Balance, balance
from station.calc.blend import Blends

JUICE = """\
[juice]
name = "Buffered juice"
kind = "juice"
ta = "1.0 g/100ml"
ph = 3.7
acid_split = { citric = 0.9, malic = 0.1 }
per_100_g = { sucrose = 4, fructose = 4 }
allergens = []
"""
LINES = ("juice: 900 g", "sugar: 50 g", "spirit: 50 g")


def blends(folder: Path, more: str, *lines: str) -> Blends:
    return open_small(folder, {"ingredients/juice.toml": JUICE, "stocks/s.toml": stock(*(lines or LINES), more=more)}).blends


def found(folder: Path, more: str, *lines: str) -> Balance:
    return balance(blends(folder, more, *lines).making("s").composition)


@pytest.fixture
def model(tmp_path: Path) -> Balance:
    return found(tmp_path / "model", "")


# The issue's own measure of a titration is 0.1 %.
@pytest.mark.parametrize("ta", [0.5, 0.85, 1.2, 2.0])
def test_a_measured_acidity_is_the_acidity_of_a_buffered_stock_too(ta: float, tmp_path: Path, model: Balance) -> None:
    now = found(tmp_path, f'measured = {{ ta = "{ta} g/100ml" }}')
    assert now.acid_g_per_100ml == pytest.approx(ta, rel=0.001)
    assert now.ml == pytest.approx(model.ml) and now.sugar_g_per_100ml == pytest.approx(model.sugar_g_per_100ml)


def test_so_is_one_on_another_basis(tmp_path: Path) -> None:
    whole = blends(tmp_path, 'measured = { ta = "12 g/l as tartaric to pH 7.0" }').making("s").composition
    assert 1000.0 * ta_g(whole, "tartaric", 7.0) / whole.volume_ml == pytest.approx(12.0, rel=0.001)


def test_an_unbuffered_one_comes_back(tmp_path: Path) -> None:
    now = found(tmp_path, 'measured = { ta = "5.5 g/100ml" }', "sour: 500 g", "sugar: 50 g")
    assert now.acid_g_per_100ml == pytest.approx(5.5, rel=0.001)


@pytest.mark.parametrize("ph", [3.0, 3.4, 4.0])
def test_a_measured_ph_is_the_ph(ph: float, tmp_path: Path, model: Balance) -> None:
    assert model.ph != pytest.approx(ph, abs=0.05)
    now = found(tmp_path, f"measured = {{ ph = {ph} }}")
    assert now.ph == pytest.approx(ph, abs=0.01)


def test_a_measured_acidity_and_ph_are_both_so(tmp_path: Path) -> None:
    now = found(tmp_path, 'measured = { ta = "1.1 g/100ml", ph = 3.4 }')
    assert now.acid_g_per_100ml == pytest.approx(1.1, rel=0.001)
    assert now.ph == pytest.approx(3.4, abs=0.01)


def test_brix_and_strength_are_as_measured_together(tmp_path: Path, model: Balance) -> None:
    now = found(tmp_path, "measured = { abv = 5, brix = 15 }")
    assert now.abv_pct == pytest.approx(5.0, abs=1e-6) and now.brix == pytest.approx(15.0, abs=1e-6)
    assert now.ml == pytest.approx(model.ml)
    # The same acid in as much liquid titrates the same, whatever water it is in.
    assert now.acid_g_per_100ml == pytest.approx(model.acid_g_per_100ml, rel=1e-4)


def test_the_cation_stays_where_nothing_was_lost(tmp_path: Path) -> None:
    before = blends(tmp_path / "a", "").making("s").composition["cation_mol"]
    after = blends(tmp_path / "b", "measured = { brix = 15 }").making("s").composition["cation_mol"]
    assert after == pytest.approx(before, rel=1e-9) and before > 0.0


def test_a_measured_yield_by_weight_loses_all_in_proportion(tmp_path: Path) -> None:
    whole = blends(tmp_path / "a", "").making("s").composition
    less = blends(tmp_path / "b", 'yield = "800 g"').making("s").composition
    assert isinstance(less, Composition)
    assert less.amounts == pytest.approx((whole * 0.8).amounts)


@pytest.mark.parametrize(
    ("measured", "said"),
    [
        ('{ ta = "1 g/100ml" }', "was measured to hold acid, its lines bring none"),
        ("{ brix = 10 }", "was measured to hold sugar, its lines bring none"),
        ("{ abv = 95 }", "A Stock"),
    ],
)
def test_what_cannot_be_is_said(measured: str, said: str, tmp_path: Path) -> None:
    lines = ("water: 100 g", "spirit: 50 g") if "abv" not in measured else ("sugar: 100 g", "water: 60 g")
    one = blends(tmp_path, f"measured = {measured}", *lines)
    with pytest.raises(CannotAnswer, match=said):
        one.making("s")


def test_a_measured_ph_that_the_acids_cannot_have_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CannotAnswer, match="pH"):
        blends(tmp_path, "measured = { ph = 1.2 }").making("s")
