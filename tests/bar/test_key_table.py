"""README lists every key of every file, as the schema declares them."""

from __future__ import annotations

from pathlib import Path

import pytest

from station.bar import key_table
from station.bar.editor_schema import FILES
from station.bar.kinds import Kind, Rows, Shape, Tables

README = Path(__file__).resolve().parents[2] / "README.md"


def keys(shape: Shape) -> set[str]:
    """The names of all keys under a shape."""
    if isinstance(shape, Kind):
        return set()
    if isinstance(shape, Rows | Tables):
        return keys(shape.each)
    return {key.name for key in shape.keys}.union(*(keys(key.kind) for key in shape.keys))


def test_readme_holds_the_generated_tables() -> None:
    text = README.read_text(encoding="utf-8")
    assert text == key_table.in_readme(text), "run python -m station.bar.key_table"


def test_it_is_readmes_last_section() -> None:
    assert README.read_text(encoding="utf-8").rstrip().endswith(key_table.END)


@pytest.mark.parametrize("name", FILES)
def test_no_key_is_left_out(name: str) -> None:
    named = set(key_table.tables().replace(".", "`").split("`"))
    assert (
        keys(FILES[name][1]) - {"reads", "shows", "tolerance", "scales", "vessels", "jiggers", "defaults", "dispensers"} <= named
    )


def test_every_row_has_three_cells() -> None:
    rows = [line for line in key_table.tables().splitlines() if line.startswith("|")]
    assert len(rows) > 100 and {line.count(" | ") for line in rows} == {2}


def test_a_text_without_the_markers_is_refused() -> None:
    with pytest.raises(ValueError, match="are not in the text"):
        key_table.in_readme("# station\n")
