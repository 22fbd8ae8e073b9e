"""The flat unit table is the definitions file, and no run of the program waits for the units library."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from station.bar import unit_table, units


def test_the_flat_table_is_the_generated_one() -> None:
    path = Path(unit_table.__file__)
    assert path.read_text(encoding="utf-8") == units.generated_table()


def test_every_unit_with_a_size_has_one_and_no_other_has() -> None:
    for unit, measures in units.MEASURES.items():
        for ounce in units.OUNCES:
            for spoons in units.SPOONS:
                if measures == "volume":
                    assert units.ml_per(unit, ounce, spoons) > 0.0
                else:
                    with pytest.raises(KeyError):
                        units.ml_per(unit, ounce, spoons)
        if measures == "mass":
            assert units.g_per(unit) > 0.0
        else:
            with pytest.raises(KeyError):
                units.g_per(unit)


def test_only_the_ounce_family_follows_the_ounce_and_only_spoons_the_spoons() -> None:
    follows = {unit for unit, measures in units.MEASURES.items() if measures == "volume" and len(readings(unit)) > 1}
    assert follows == {"oz", "cup", "pint", "gal", "tsp", "tbsp"}


def readings(unit: str) -> set[float]:
    return {units.ml_per(unit, ounce, spoons) for ounce in units.OUNCES for spoons in units.SPOONS}


def test_reading_an_amount_does_not_import_the_units_library() -> None:
    code = (
        "import sys; from station.bar.amount import parse_amount; from station.bar.units import ml_per;"
        "a = parse_amount('1 1/2 oz'); assert ml_per(a.unit, 'us', 'us') > 29; assert 'pint' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
