"""TOML text for what is new. Each value is spelled by tomli-w; the layout is ours.

tomli-w would write a list's short tables inline and every list over several lines. Here a list of tables gets `[[name]]` heads,
and any other list stands on one line while it fits.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from station.files.values import is_tables, plain

WIDTH = 100

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def fresh(data: Mapping[str, Any]) -> str:
    """A new file's text: `tomllib.loads` of it is `data`. Raises TypeError for what TOML has no value for."""
    return _section("", plain(data))


def section(path: Iterable[str], table: Mapping[str, Any], array: bool) -> str:
    """A table with its header, `[path]` or `[[path]]`, and its sub-tables."""
    name = dotted(path)
    return _section(name, table, f"[[{name}]]" if array else f"[{name}]")


def line(names: Iterable[str], value: Any) -> str:
    """`key = value` and a line feed; a list that would be too long stands one element a line."""
    text = f"{dotted(names)} = {inline(value)}\n"
    if len(text) <= WIDTH or not isinstance(value, list) or not value:
        return text
    return "".join((f"{dotted(names)} = [\n", *(f"    {inline(one)},\n" for one in value), "]\n"))


def inline(value: Any) -> str:
    """A value's text on one line."""
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{dotted((key,))} = {inline(one)}' for key, one in value.items())} }}" if value else "{}"
    if isinstance(value, list):
        return f"[{', '.join(map(inline, value))}]"
    return _spelled("x", value)[len("x = ") :]


def dotted(names: Iterable[str]) -> str:
    """A key's parts, quoted where they must be, joined by dots."""
    return ".".join(name if _BARE.fullmatch(name) else _spelled(name, 0)[: -len(" = 0")] for name in names)


def _spelled(key: str, value: Any) -> str:
    import tomli_w  # only the write path pays for it

    return tomli_w.dumps({key: value}).removesuffix("\n")


def _section(name: str, table: Mapping[str, Any], header: str = "") -> str:
    """Own values first: after a sub-table's header they would belong to it. A header that says nothing is left out."""
    inner = {key: value for key, value in table.items() if isinstance(value, dict) or is_tables(value)}
    own = "".join(line((key,), value) for key, value in table.items() if key not in inner)
    says = own or not inner or header.startswith("[[")
    parts = [f"{header}\n{own}" if header else own] if says else []
    for key, value in inner.items():
        path = f"{name}.{dotted((key,))}" if name else dotted((key,))
        if isinstance(value, dict):
            parts.append(_section(path, value, f"[{path}]"))
        else:
            parts.extend(_section(path, one, f"[[{path}]]") for one in value)
    return "\n".join(parts)
