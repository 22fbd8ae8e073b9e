from __future__ import annotations

from pathlib import Path

import pytest
from small_library import demo_copy

from station.files.watch import Watch


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return demo_copy(tmp_path)


def test_nothing_moves_by_itself(library: Path) -> None:
    watch = Watch(library)
    assert [watch.moved(), watch.moved(), watch.moved()] == [False, False, False]


@pytest.mark.parametrize("file", ["station.toml", "measures.toml", "ingredients/juice.toml", "stocks/citric-25.toml"])
def test_a_file_written_in_place_is_seen(library: Path, file: str) -> None:
    watch = Watch(library)
    watch.moved()
    with (library / file).open("a", encoding="utf-8") as text:
        text.write("# more\n")
    assert watch.moved()
    assert not watch.moved()


def test_a_drink_replaced_removed_or_new_is_seen(library: Path) -> None:
    watch = Watch(library)
    watch.moved()
    drink = library / "drinks" / "tin-lantern.toml"
    spare = library / "drinks" / "new.tmp"
    spare.write_bytes(drink.read_bytes())
    spare.replace(drink)
    assert watch.moved()
    drink.unlink()
    assert watch.moved()


def test_an_open_drink_written_in_place_is_seen_once_it_is_named(library: Path) -> None:
    watch = Watch(library)
    also = ["drinks/tin-lantern.toml"]
    watch.moved(also)
    with (library / also[0]).open("a", encoding="utf-8") as text:
        text.write("# more\n")
    assert watch.moved(also)


def test_opening_another_drink_is_no_change(library: Path) -> None:
    watch = Watch(library)
    watch.moved(["drinks/tin-lantern.toml"])
    assert not watch.moved(["drinks/salt-ferry.toml"])
