"""JSON Schemas of a library's files, for editors: completion, hovers and a first check while a file is typed.

`python -m station.bar.editor_schema` writes them beside this module, or into the folder named after it; a test holds them equal
to what the schema declares. What needs another line or file (sums, references, parts without a total) `station check` says.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from station.bar import schema
from station.bar.kinds import ID_SCHEMA, Key, Kind, Rows, Shape, Table
from station.bar.patterns import SPELLED

DIALECT = "https://json-schema.org/draft/2020-12/schema"
FOLDER = Path(__file__).with_name("editor")

# By kind of file: where such files stand, and their shape.
FILES: Mapping[str, tuple[str, Shape]] = {
    "station": ("station.toml", schema.HOUSE),
    "measures": ("measures.toml", schema.MEASURES),
    "windows": ("windows.toml", schema.WINDOWS),
    "ingredients": ("ingredients/*.toml", schema.ITEMS),
    "stock": ("stocks/*.toml", schema.STOCK),
    "drink": ("drinks/*.toml", schema.DRINK),
    "order": ("orders/*.toml", schema.ORDER),
    "theme": ("themes/*.toml", schema.THEME),
}


def json_schemas() -> dict[str, dict[str, Any]]:
    """The JSON Schema (draft 2020-12) of each kind of file."""
    return {name: _document(files, shape) for name, (files, shape) in FILES.items()}


def _document(files: str, shape: Shape) -> dict[str, Any]:
    body = _shape(shape)
    return {"$schema": DIALECT, "title": files, **body, "$defs": {name: SPELLED[name] for name in sorted(set(_referred(body)))}}


def _shape(shape: Shape) -> dict[str, Any]:
    if isinstance(shape, Kind):
        return dict(shape.schema)
    if isinstance(shape, Table):
        return _table(shape)
    if isinstance(shape, Rows):
        return {"type": "array", "items": _table(shape.each), "minItems": shape.least}
    return {"type": "object", "propertyNames": ID_SCHEMA, "additionalProperties": _table(shape.each)}


def _table(table: Table) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": {key.name: _key(key) for key in table.keys},
        "required": [key.name for key in table.keys if key.required],
        "additionalProperties": False,
    }


def _key(key: Key) -> dict[str, Any]:
    return {"description": key.about, **_shape(key.kind)} if key.about else _shape(key.kind)


def _referred(value: object) -> Iterator[str]:
    """The names of all definitions a schema refers to."""
    if isinstance(value, Mapping):
        if isinstance(value.get("$ref"), str):
            yield value["$ref"].rpartition("/")[2]
        for one in value.values():
            yield from _referred(one)


def written(one: Mapping[str, Any]) -> str:
    """A schema as its file holds it."""
    return json.dumps(one, ensure_ascii=False, indent=2) + "\n"


def write(folder: Path) -> None:
    """Write every schema into the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, one in json_schemas().items():
        (folder / f"{name}.json").write_text(written(one), encoding="utf-8")


if __name__ == "__main__":
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER)
