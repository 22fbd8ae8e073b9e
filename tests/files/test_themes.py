"""A theme of the house's: read, held against the schema and the contrast it promises, or told what is wrong where."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from small_library import open_folder, write_library

from station.bar.fault import CannotAnswer
from station.desk.theming import dressed, wardrobe
from station.files.places import shipped
from station.files.themes import names, said_by, theme

GOOD = (shipped("themes") / "daylight.toml").read_text(encoding="utf-8")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return write_library(tmp_path / "library")


def put(library: Path, name: str, text: str) -> Path:
    path = library / "themes" / f"{name}.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def says(library: Path, name: str) -> None:
    house = library / "station.toml"
    house.write_text(f'{house.read_text(encoding="utf-8")}\n[shows]\ntheme = "{name}"\n', encoding="utf-8")


def test_a_theme_of_the_house_is_there_by_its_name_and_by_its_file(library: Path) -> None:
    path = put(library, "cellar", GOOD.replace("#1f2328", "#101418"))
    assert theme(library, "cellar").foreground == "#101418"
    assert theme(library, str(path)).foreground == "#101418"
    assert names(library)[-1] == "cellar"
    assert [one.asked for one in wardrobe(library)] == list(names(library))


def test_a_house_may_have_its_own_of_a_name_of_ours(library: Path) -> None:
    put(library, "daylight", GOOD.replace("#1f2328", "#101418"))
    assert theme(library, "daylight").foreground == "#101418"
    assert names(library).count("daylight") == 1


def test_what_station_toml_names_is_worn_and_what_is_asked_for_comes_first(library: Path) -> None:
    assert dressed(library).theme.id == "dark-bar"
    says(library, "night-red")
    assert dressed(library).theme.id == "night-red"
    assert dressed(library, "daylight").theme.id == "daylight"
    assert open_folder(library).library.faults == ()


@pytest.mark.parametrize(
    ("wrong", "right", "said"),
    [
        ('primary = "#1f4e79"', 'primary = "#1f4e7"', "“#1f4e7” is no colour (write e.g. #d8d2c4"),
        ('primary = "#1f4e79"', 'primry = "#1f4e79"', "did you mean primary?"),
        ('primary = "#1f4e79"', "primary = 3", "a string is wanted here"),
        ('primary = "#1f4e79"', "", "primary is missing"),
        ('primary = "#1f4e79"', 'primary = "green"', "all #rrggbb or all terminal colours"),
        ('dim = "#5c5f63"', 'dim = "#9c9f93"', "dim: on background its contrast is 2.5 to 1, under 4.5 (WCAG 2.2)"),
        ('dim = "#5c5f63"', 'dim = "#5c5f63"\ncontrast = 7.0', "its contrast is 5.8 to 1, under 7"),
        ('dim = "#5c5f63"', 'dim = "#5c5f63"\ncontrast = 1.0', "contrast"),
        ('dim = "#5c5f63"', "dim = ", "is not TOML"),
    ],
)
def test_a_faulty_theme_is_one_line_and_the_default_theme(library: Path, wrong: str, right: str, said: str) -> None:
    assert wrong in GOOD
    put(library, "cellar", GOOD.replace(wrong, right))
    found = dressed(library, "cellar")
    assert found.theme.id == "dark-bar"
    assert said in found.fault and "themes/cellar.toml:" in found.fault and "\n" not in found.fault
    assert {one.file for one in open_folder(library).library.faults} == {"themes/cellar.toml"}
    assert [one.asked for one in wardrobe(library) if one.fault] == ["cellar"]


def test_a_theme_that_is_not_there_is_offered_what_is(library: Path) -> None:
    says(library, "night-blue")
    assert "there is no theme night-blue (one of dark-bar, daylight," in dressed(library).fault
    fault = open_folder(library).library.faults[0]
    assert (fault.file, fault.key, fault.code, fault.severity) == ("station.toml", "shows theme", "unknown-theme", "warning")
    assert fault.line > 0


@pytest.mark.parametrize("name", ["../../secret", "/dev/zero", "/dev/null", "/nowhere/at-all.toml", "..", ".", "\x1b]52;c;x\x07"])
def test_no_name_leads_anywhere_but_to_a_theme(library: Path, name: str) -> None:
    found = dressed(library, name)
    assert found.fault and found.fault.isprintable() and found.theme.id == "dark-bar"


def test_a_link_out_of_the_library_and_a_pipe_are_no_themes(library: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside.toml"
    outside.write_text(GOOD, encoding="utf-8")
    (library / "themes").mkdir()
    (library / "themes" / "link.toml").symlink_to(outside)
    os.mkfifo(library / "themes" / "pipe.toml")
    with pytest.raises(CannotAnswer, match="outside the library"):
        theme(library, "link")
    with pytest.raises(CannotAnswer, match="not a plain file"):
        theme(library, "pipe")


def test_a_house_file_that_cannot_be_read_names_no_theme(library: Path) -> None:
    house = library / "station.toml"
    for raw in (b"\xff", b"shows = 3", b"[shows]\ntheme = 3", b"a." * 5000):
        house.write_bytes(raw)
        assert said_by(library) == ""
    house.unlink()
    os.mkfifo(house)
    assert said_by(library) == ""
