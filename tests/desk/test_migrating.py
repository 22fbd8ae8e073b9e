"""Another ounce, other spoons: what is written changes, what is poured does not."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from library_state import bytes_in, failing_from, figures
from small_library import HOUSE, SMALL, demo_copy, drink, open_folder, open_small, stock

from station.bar.amount import parse_amount
from station.bar.fault import CannotAnswer
from station.bar.units import OUNCES, SPOONS, ml_per
from station.calc.drink import drink as reckoned
from station.desk.checking import check
from station.desk.document import open_document
from station.desk.migrating import migrated
from station.desk.opening import Opened
from station.files import disk

# Four decimals of the largest unit a drink is poured in, the ounce: 0.00005 oz is 0.0015 ml.
ROUNDING_ML = 0.00005 * 30.0

OUNCES_EVERYWHERE = {
    "station.toml": HOUSE.replace('brim = "1.8 l"', 'brim = "0.5 gal"  # half').replace('"1.5 l"', '"3 pint"')
    + '\n[jiggers]\nsteps = [ "3/4 oz", "30 ml" , "1½ oz" ]\n',
    "drinks/long.toml": (
        "\ufeff"
        + drink(
            "build",
            'spirit: 1½ oz | batch_amount = "1.5 oz" # as in the glass',
            "sour: 3/4 oz",
            "syrup: 1 tbsp",
            'spirit: rinse | poured = "0.25 oz" | kept = "1/8 tsp"',
            "sour: top",
            more='washline = "10 oz"\n# "2 oz" is no amount here\nnotes = "2 oz"',
        )
    )
    .replace("\n", "\r\n")
    .encode(),
    "drinks/own.toml": drink("stir", "spirit: 2 oz", "syrup: 1 tsp", more='ounce = "imperial"'),
    "drinks/parts.toml": drink("stir", "spirit: 2 parts", "sour: 1 part", more='total = "3 oz"'),
    "stocks/house-sour.toml": stock("sour: 1 cup", "syrup: to 1 pint", more='par = "2 cups"\nyield = "0.9 pint"'),
    "ingredients/more.toml": (
        '[rum]\nname = "Rum"\nkind = "spirit"\nabv = 40\npacks = [{ size = "1 gal", price = 9 }, { size = "1 l" }]\n'
    ),
}


@pytest.fixture
def everywhere(tmp_path: Path) -> Opened:
    return open_small(tmp_path / "library", OUNCES_EVERYWHERE)


def pours(opened: Opened) -> dict[str, list[float]]:
    """Grams of every line of every drink."""
    drinks = opened.library.drinks.values()
    return {spec.id: [one.dose.mass_g for one in reckoned(spec, opened.blends).poured] for spec in drinks}


def test_every_amount_in_ounces_and_spoons_is_rewritten_and_nothing_else(everywhere: Opened) -> None:
    before = bytes_in(everywhere.folder)
    answer = migrated(everywhere, "imperial", "metric", write=True)
    assert (answer.was.ounce, answer.was.spoons) == ("us", "us")
    assert (answer.becomes.ounce, answer.becomes.spoons) == ("imperial", "metric")
    said = {(one.file, one.key): (one.was, one.becomes) for one in answer.amounts}
    assert said == {
        ("drinks/long.toml", "lines 1 amount"): ("1½ oz", "1.5613 oz"),
        ("drinks/long.toml", "lines 1 batch_amount"): ("1.5 oz", "1.5613 oz"),
        ("drinks/long.toml", "lines 2 amount"): ("3/4 oz", "0.7806 oz"),
        ("drinks/long.toml", "lines 3 amount"): ("1 tbsp", "0.9858 tbsp"),
        ("drinks/long.toml", "lines 4 poured"): ("0.25 oz", "0.2602 oz"),
        ("drinks/long.toml", "lines 4 kept"): ("1/8 tsp", "0.1232 tsp"),
        ("drinks/long.toml", "washline"): ("10 oz", "10.4084 oz"),
        ("drinks/own.toml", "lines 2 amount"): ("1 tsp", "0.9858 tsp"),
        ("drinks/parts.toml", "total"): ("3 oz", "3.1225 oz"),
        ("ingredients/more.toml", "rum packs 1 size"): ("1 gal", "0.8327 gal"),
        ("station.toml", "vessels pitcher brim"): ("0.5 gal", "0.4163 gal"),
        ("station.toml", "vessels pitcher fill"): ("3 pint", "2.498 pints"),
        ("station.toml", "jiggers steps 1"): ("3/4 oz", "0.7806 oz"),
        ("station.toml", "jiggers steps 3"): ("1½ oz", "1.5613 oz"),
        ("stocks/house-sour.toml", "lines 1 amount"): ("1 cup", "0.8327 cups"),
        ("stocks/house-sour.toml", "lines 2 amount"): ("to 1 pint", "to 0.8327 pints"),
        ("stocks/house-sour.toml", "par"): ("2 cups", "1.6653 cups"),
        ("stocks/house-sour.toml", "yield"): ("0.9 pint", "0.7494 pints"),
    }
    wanted = dict(before)
    for (file, _), (was, becomes) in said.items():
        wanted[file] = wanted[file].replace(f'"{was}"'.encode(), f'"{becomes}"'.encode())
    long = wanted["drinks/long.toml"]
    assert b'notes = "2 oz"' in long and long.startswith(b"\xef\xbb\xbf")
    wanted["station.toml"] = wanted["station.toml"].replace(
        b'timezone = "Europe/Lisbon"\n', b'timezone = "Europe/Lisbon"\nounce = "imperial"\nspoons = "metric"\n'
    )
    assert bytes_in(everywhere.folder) == wanted
    assert set(answer.files) == {file for file in wanted if wanted[file] != before[file]}


def test_a_place_and_the_largest_change_are_told(everywhere: Opened) -> None:
    answer = migrated(everywhere, "imperial")
    one = next(one for one in answer.amounts if one.key == "washline")
    line = OUNCES_EVERYWHERE["drinks/long.toml"].decode().split("\r\n")[one.line - 1]  # type: ignore[union-attr]
    assert line == 'washline = "10 oz"' and one.column == 1
    assert one.ml_was == pytest.approx(10 * 29.5735295625) and one.ml_becomes == pytest.approx(10.4084 * 28.4130625)
    moves = [abs(one.ml_becomes - one.ml_was) for one in answer.amounts]
    assert answer.largest_change_ml == max(moves) > 0.0
    assert answer.largest_change_pct == max(100 * move / one.ml_was for move, one in zip(moves, answer.amounts, strict=True))
    # Half of the last decimal, of the largest unit there is and of the smallest number there is.
    assert answer.largest_change_ml <= 0.00005 * 4546.09
    assert answer.largest_change_pct <= 100 * 0.00005 / 0.25


def test_what_would_be_done_is_shown_and_not_done(everywhere: Opened) -> None:
    before = bytes_in(everywhere.folder)
    shown = migrated(everywhere, "30 ml")
    assert not shown.written and shown.copy == "" and shown.amounts
    assert bytes_in(everywhere.folder) == before and not (everywhere.folder / ".station").exists()
    done = migrated(everywhere, "30 ml", write=True)
    assert done.written and (done.amounts, done.files, done.becomes) == (shown.amounts, shown.files, shown.becomes)


@pytest.mark.parametrize(("ounce", "spoons"), [("imperial", "us"), ("30 ml", "au"), ("", "imperial"), ("30 ml", "")])
def test_every_drink_keeps_its_grams_and_the_library_its_soundness(everywhere: Opened, ounce: str, spoons: str) -> None:
    before = pours(everywhere)
    vessels, steps = everywhere.library.house.vessels, everywhere.library.house.jigger_ml
    migrated(everywhere, ounce, spoons, write=True)
    again = open_folder(everywhere.folder)
    for opened in (everywhere, again):
        assert opened.library.house.ounce == (ounce or "us") and opened.library.house.spoons == (spoons or "us")
        for name, grams in pours(opened).items():
            # A fill up to the washline takes the roundings of all the lines; nothing here weighs over 1.3 g/ml.
            assert grams == pytest.approx(before[name], abs=6 * 1.3 * ROUNDING_ML), name
        assert opened.library.house.jigger_ml == pytest.approx(steps, abs=ROUNDING_ML)
        for vessel, one in opened.library.house.vessels.items():
            assert one.brim_ml == pytest.approx(vessels[vessel].brim_ml, abs=0.00005 * 4546.09)
        assert [fault for fault in check(opened.blends) if fault.severity == "error"] == []


def test_the_demo_keeps_its_figures(tmp_path: Path) -> None:
    opened = open_folder(demo_copy(tmp_path))
    before, grams, faults = figures(opened), pours(opened), check(opened.blends)
    migrated(opened, "imperial", "au", write=True)
    assert check(opened.blends) == faults
    for name, lines in pours(opened).items():
        assert lines == pytest.approx(grams[name], abs=1.4 * ROUNDING_ML)
    for name, one in figures(opened).items():
        assert one["glass"]["acid_g_per_100ml"] == pytest.approx(before[name]["glass"]["acid_g_per_100ml"], rel=2e-4)
        assert one["dilution"]["fraction_of_initial"] == pytest.approx(before[name]["dilution"]["fraction_of_initial"], rel=2e-4)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["oz", "cup", "pint", "gal", "tsp", "tbsp"]),
    st.floats(0.01, 1000),
    st.sampled_from([(ounce, spoons) for ounce in OUNCES for spoons in SPOONS if (ounce, spoons) != ("us", "us")]),
)
def test_any_amount_keeps_its_millilitres_to_the_last_decimal(
    tmp_path_factory: pytest.TempPathFactory, unit: str, value: float, reading: tuple[str, str]
) -> None:
    text = f"{value:.4f} {unit}"
    opened = open_small(tmp_path_factory.mktemp("bar"), {"drinks/a.toml": drink("stir", f"spirit: {text}")})
    amounts = migrated(opened, *reading).amounts
    was, becomes = ml_per(unit, "us", "us"), ml_per(unit, *reading)
    if was == becomes:
        assert amounts == ()
        return
    written = parse_amount(amounts[0].becomes)
    assert written.unit == unit
    assert abs((written.value or 0.0) * becomes - float(f"{value:.4f}") * was) <= 0.0000501 * becomes


def test_the_library_as_it_was_is_kept(everywhere: Opened) -> None:
    (everywhere.folder / "photo.jpg").write_bytes(b"not a file of the library")
    before = bytes_in(everywhere.folder)
    answer = migrated(everywhere, "imperial", write=True)
    assert answer.copy.startswith(".station/replaced/migrate-")
    copy = everywhere.folder / answer.copy
    kept = {str(path.relative_to(copy)): path.read_bytes() for path in copy.rglob("*") if path.is_file()}
    assert kept == {name: raw for name, raw in before.items() if name != "photo.jpg"}


def test_there_and_back_is_within_rounding(everywhere: Opened) -> None:
    before = pours(everywhere)
    for ounce in ("imperial", "30 ml", "us"):
        migrated(everywhere, ounce, write=True)
    assert pours(everywhere) == {name: pytest.approx(grams, abs=18 * 1.3 * ROUNDING_ML) for name, grams in before.items()}


@pytest.mark.parametrize(("ounce", "spoons"), [("", ""), ("us", ""), ("us", "us")])
def test_there_is_nothing_to_do(everywhere: Opened, ounce: str, spoons: str) -> None:
    before = bytes_in(everywhere.folder)
    answer = migrated(everywhere, ounce, spoons, write=True)
    assert answer.was == answer.becomes and answer.was.format == 1 and answer.files == ()
    assert bytes_in(everywhere.folder) == before and not (everywhere.folder / ".station").exists()


def test_only_the_reading_changes_where_no_amount_is_in_its_units(tmp_path: Path) -> None:
    opened = open_small(tmp_path)
    answer = migrated(opened, "30 ml", write=True)
    assert (answer.amounts, answer.files, answer.largest_change_ml) == ((), ("station.toml",), 0.0)
    assert tomllib.loads((tmp_path / "station.toml").read_text())["reads"] == {"timezone": "Europe/Lisbon", "ounce": "30 ml"}


# Refused.


def refused(opened: Opened, match: str, write: bool = True) -> CannotAnswer:
    before = bytes_in(opened.folder)
    with pytest.raises(CannotAnswer, match=match) as caught:
        migrated(opened, "imperial", write=write)
    assert bytes_in(opened.folder) == before
    return caught.value


@pytest.mark.parametrize(
    "files",
    [
        {"drinks/a.toml": "= broken"},
        {"drinks/a.toml": drink("stir", "spirit: 2 dorps")},
        {"drinks/a.toml": drink("stir", "sugar: 1 oz")},
        {"stocks/a.toml": stock("nothing: 1 oz")},
    ],
    ids=["no toml", "no amount", "an ounce of a solid", "unknown item"],
)
@pytest.mark.parametrize("write", [False, True])
def test_a_library_with_faults_could_not_follow(tmp_path: Path, files: dict[str, str], write: bool) -> None:
    error = refused(open_small(tmp_path, files), "the library has faults", write)
    assert {fault.file for fault in error.faults} == set(files)


def test_an_ounce_of_a_solid_is_not_taken_for_a_volume(tmp_path: Path) -> None:
    items = SMALL["ingredients/items.toml"].replace('bulk_density = "0.85 g/ml"', 'bulk_density = "0.85 g/ml"\npar = "16 oz"')
    opened = open_small(tmp_path, {"ingredients/items.toml": items})
    refused(opened, r"ingredients/items\.toml: sugar par: an ounce of a solid could be by volume or by weight")


def test_what_four_decimals_cannot_hold_is_not_rounded_away(tmp_path: Path) -> None:
    opened = open_small(tmp_path / "one", {"drinks/a.toml": drink("stir", "spirit: 2 oz", "sour: 0.0001 gal")})
    refused(opened, r"lines 2 amount: 0\.0001 gal would become 0\.0001 gal, off by more than the taste tolerance")
    huge = open_small(tmp_path / "two", {"drinks/a.toml": drink("stir", "spirit: 9999999 oz")})
    refused(huge, r"drinks/a\.toml: lines 1 amount: .*: the amount is too large")


def test_unsaved_edits_could_not_follow(everywhere: Opened) -> None:
    document = open_document(everywhere, "parts")
    document.type(0, "3 parts")
    refused(everywhere, "there are unsaved edits: parts")


@pytest.mark.parametrize("ounce", ["", "imperial"])
def test_a_newer_format_is_not_touched(tmp_path: Path, ounce: str) -> None:
    opened = open_small(tmp_path, {"station.toml": HOUSE.replace("format = 1", "format = 2")})
    with pytest.raises(CannotAnswer, match="newer format"):
        migrated(opened, ounce)
    with pytest.raises(CannotAnswer, match="newer format"):
        migrated(opened, ounce, write=True)


def test_the_demo_is_shown_and_not_written(everywhere: Opened) -> None:
    opened = open_folder(everywhere.folder, demo=True)
    assert migrated(opened, "imperial").amounts
    refused(opened, "the demo library is read only")


@pytest.mark.parametrize("number", [1, 3, 5])
def test_a_failure_midway_leaves_the_library_as_it_was(everywhere: Opened, number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    answers = figures(everywhere)
    monkeypatch.setattr(disk, "put", failing_from(number))
    refused(everywhere, r"nothing was changed: .*No space left on device")
    assert figures(everywhere) == answers


def test_without_a_copy_nothing_is_changed(everywhere: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*arguments: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(disk, "write_whole", full)
    refused(everywhere, "the library cannot be copied first: No space left on device")
