"""Amounts to grams: which figure is believed, and the sentence where none is."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_library import drink, open_small, stock

from station.bar.fault import CannotAnswer
from station.calc.weigh import Dose
from station.desk.look import show
from station.science.drop import PHARMACOPOEIA_DROP_G
from station.science.ethanol import WATER_G_PER_ML, density_g_per_ml, mass_fraction

DASHER = """
[dispensers.dasher]
name = "Dasher"
unit = "dash"
[[dispensers.dasher.calibrations]]
item = "water"
date = 2026-11-01
count = 10
reads = ["9.0 g", "9.1 g"]
"""
SPIRIT_G_PER_ML = density_g_per_ml(mass_fraction(40.0))


def dose(folder: Path, line: str, **files: str) -> Dose:
    """The first line of a drink of that line, weighed."""
    measures = files.pop("measures", "")
    spec = drink("none", line, more=files.pop("more", ""))
    opened = open_small(folder, {"drinks/d.toml": spec, "measures.toml": measures, **files}, without=("drinks/sour.toml",))
    assert opened.library.faults == ()
    shown = show(opened.blends, "d").lines[0]
    return Dose(shown.item, shown.g, shown.ml, shown.basis)


@pytest.mark.parametrize(
    ("line", "g", "ml", "basis"),
    [
        ("spirit: 60 ml", 60 * SPIRIT_G_PER_ML, 60.0, "by volume"),
        ("spirit: 2 oz", 2 * 29.5735295625 * SPIRIT_G_PER_ML, 2 * 29.5735295625, "by volume"),
        ("spirit: 60 g", 60.0, 60 / SPIRIT_G_PER_ML, "by weight"),
        ("water: 1 tbsp", 14.78676478125 * WATER_G_PER_ML, 14.78676478125, "by volume"),
        ("citric-acid: 2 g", 2.0, None, "by weight"),
        ("citric-acid: 1 oz wt", 28.349523125, None, "by weight"),
        ("sugar: 100 ml", 85.0, None, "by bulk density"),
        ("twist: 2 each", None, None, "by count"),
    ],
)
def test_a_line_is_weighed(line: str, g: float | None, ml: float | None, basis: str, tmp_path: Path) -> None:
    one = dose(tmp_path, line)
    assert one.g == (None if g is None else pytest.approx(g, rel=1e-9))
    assert one.ml == (None if ml is None else pytest.approx(ml, rel=1e-9))
    assert one.basis == basis


@pytest.mark.parametrize(("ounce", "ml"), [("us", 29.5735295625), ("imperial", 28.4130625), ("30 ml", 30.0)])
def test_an_ounce_is_the_specs_own_where_it_says_one(ounce: str, ml: float, tmp_path: Path) -> None:
    assert dose(tmp_path, "spirit: 1 oz", more=f'ounce = "{ounce}"').ml == pytest.approx(ml, rel=1e-12)


def test_an_ounce_is_the_houses_where_the_spec_says_none(tmp_path: Path) -> None:
    house = 'format = 1\n[reads]\nounce = "imperial"\nspoons = "au"\n'
    opened = open_small(tmp_path, {"station.toml": house, "drinks/d.toml": drink("none", "spirit: 1 oz", "syrup: 1 tbsp")})
    assert [line.ml for line in show(opened.blends, "d").lines] == pytest.approx([28.4130625, 20.0])


CALIBRATED = 'unit = "drop"\n[[dispensers.{0}.calibrations]]\nitem = "{1}"\ndate = {2}\ncount = {3}\nreads = [{4}]\n'


def dropper(name: str, item: str, day: str, count: int, reads: str) -> str:
    return f'[dispensers.{name}]\nname = "{name} dropper"\n' + CALIBRATED.format(name, item, day, count, reads)


def test_a_calibration_with_this_liquid_is_believed_first(tmp_path: Path) -> None:
    measures = dropper("red", "citric-25", "2026-11-04", 50, '"2.61 g", "2.58 g", "2.66 g"')
    one = dose(tmp_path, 'citric-25: 2 drops | with = "red"', measures=measures)
    assert one.g == pytest.approx(2 * (2.61 + 2.58 + 2.66) / 150, rel=1e-12)
    assert one.basis == "red dropper, 3 weighings, 4 Nov 2026"


def test_the_newest_calibration_counts_whatever_their_order(tmp_path: Path) -> None:
    again = '[[dispensers.red.calibrations]]\nitem = "citric-25"\ndate = 2026-12-01\ncount = 10\nreads = ["0.4 g"]\n'
    older = '[[dispensers.red.calibrations]]\nitem = "citric-25"\ndate = 2025-12-01\ncount = 10\nreads = ["0.9 g"]\n'
    measures = dropper("red", "citric-25", "2026-11-04", 50, '"2.61 g"') + again + older
    one = dose(tmp_path, "citric-25: 1 drop", measures=measures)
    assert (one.g, one.basis) == (pytest.approx(0.04), "red dropper, 1 weighing, 1 Dec 2026")


def test_an_unnamed_dispenser_is_the_houses_one_with_this_liquid(tmp_path: Path) -> None:
    measures = dropper("blue", "spirit", "2026-11-05", 50, '"1 g"') + dropper("red", "citric-25", "2026-11-04", 50, '"2.5 g"')
    one = dose(tmp_path, "citric-25: 1 drop", measures=measures)
    assert (one.g, one.basis) == (pytest.approx(0.05), "red dropper, 1 weighing, 4 Nov 2026")


def test_a_dash_carries_over_by_volume(tmp_path: Path) -> None:
    one = dose(tmp_path, "spirit: 2 dashes", measures=DASHER)
    assert one.g == pytest.approx(2 * 0.905 / WATER_G_PER_ML * SPIRIT_G_PER_ML, rel=1e-9)
    assert one.basis == "Dasher, never weighed with this; with water (2 weighings, 1 Nov 2026), same volume taken"


# Tate's law: a drop's mass goes with surface tension, so spirit's drops are under half of water's, not 5 % lighter.
def test_a_drop_carries_over_by_surface_tension_not_by_density(tmp_path: Path) -> None:
    one = dose(tmp_path, "spirit: 1 drop", measures=dropper("red", "water", "2026-11-04", 20, '"1 g"'))
    # Surface tension of 40 % vol spirit at 20 °C: about 30 mN/m against water's 72.75 (CRC Handbook; ±20 % for a drop).
    assert one.g == pytest.approx(0.05 * 30.0 / 72.75, rel=0.2)
    assert one.basis.startswith("red dropper, never weighed with this; with water (")


def test_the_houses_default_comes_next(tmp_path: Path) -> None:
    one = dose(tmp_path, "spirit: 2 dashes", measures='[defaults]\ndash = "0.6 ml"\n')
    assert (one.g, one.basis) == (pytest.approx(1.2 * SPIRIT_G_PER_ML), "the house's default, uncalibrated")


# Ph. Eur. 2.1.1: 20 drops of water weigh 1.000 ± 0.050 g.
def test_the_pharmacopoeias_drop_is_the_last_resort(tmp_path: Path) -> None:
    assert pytest.approx(1.0 / 20, rel=1e-12) == PHARMACOPOEIA_DROP_G
    one = dose(tmp_path, "water: 20 drops")
    assert one.g == pytest.approx(1.000, abs=0.050)
    assert one.basis == "built-in dropper figure (Ph. Eur. 2.1.1, 0.05 g of water), uncalibrated"


def test_a_dash_is_0_8_ml_by_common_practice(tmp_path: Path) -> None:
    one = dose(tmp_path, "spirit: 1 dash")
    assert (one.ml, one.basis) == (
        pytest.approx(0.8),
        "built-in dasher figure (0.8 ml ± 40 %, common practice, no source), uncalibrated",
    )


EGG = '[egg]\nname = "Egg"\nkind = "egg"\nallergens = ["egg"]\n'


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("citric-acid: 5 ml", "citric-acid is a powder: its volume does not say its weight (write g, or give it a bulk_density)"),
        ("sugar: 1 oz", "an ounce of sugar, a solid, could be by volume or by weight (write g or oz wt)"),
        (
            "spirit: 1 barspoon",
            "what one barspoon of spirit weighs is not known (calibrate a barspoon, or give [defaults] barspoon)",
        ),
        ("spirit: 1 spray", "what one spray of spirit weighs is not known (calibrate a spray, or give [defaults] spray)"),
        ("citric-acid: 1 dash", "what one dash of citric-acid weighs is not known (calibrate a dash, or give [defaults] dash)"),
        ("egg: 1 each", 'what one egg weighs is not known (give the item e.g. each = "30 g")'),
    ],
)
def test_an_amount_that_needs_a_missing_figure_says_so(line: str, said: str, tmp_path: Path) -> None:
    opened = open_small(tmp_path, {"drinks/d.toml": drink("none", line), "measures.toml": "", "ingredients/egg.toml": EGG})
    with pytest.raises(CannotAnswer) as refused:
        show(opened.blends, "d")
    assert str(refused.value) == said


def test_a_piece_with_its_own_weight_is_weighed(tmp_path: Path) -> None:
    one = dose(tmp_path, "egg: 2 each", **{"ingredients/egg.toml": EGG + 'each = "30 g"\n'})
    assert (one.g, one.basis) == (pytest.approx(60.0), "30 g each")


def test_a_dispenser_calibrated_with_what_is_gone_is_passed_over(tmp_path: Path) -> None:
    measures = dropper("red", "gone", "2026-11-04", 50, '"2.5 g"')
    opened = open_small(tmp_path, {"measures.toml": measures, "drinks/sour.toml": drink("none", "citric-25: 1 drop")})
    assert [fault.severity for fault in opened.library.faults] == ["warning"]
    assert show(opened.blends, "sour").lines[0].basis.startswith("built-in dropper figure")


# The liquid a dispenser was calibrated with may itself be counted with that dispenser: a bitters blend made in dashes, the
# dasher weighed with the blend.
def test_a_dispenser_calibrated_with_the_very_stock_it_counts_into_is_no_circle(tmp_path: Path) -> None:
    blend = stock("water: 10 g", "spirit: 2 dashes")
    measures = DASHER.replace('item = "water"', 'item = "blend"')
    opened = open_small(
        tmp_path, {"measures.toml": measures, "stocks/blend.toml": blend, "drinks/d.toml": drink("none", "blend: 10 g")}
    )
    try:
        shown = show(opened.blends, "d")
    except CannotAnswer as refused:
        assert "blend" in str(refused)
    else:
        assert shown.lines[0].g == pytest.approx(10.0)
