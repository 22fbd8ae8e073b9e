"""The floors: imports point down only, heavy libraries stay where they belong, and everything can be read on one screen."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import station

PACKAGE = Path(station.__file__).parent
MODULES = sorted(path for path in PACKAGE.rglob("*.py"))
# Each floor and those it stands on. `files`, `lots` and `cards` stand side by side and do not know one another.
BELOW = {
    "science": set[str](),
    "bar": {"science"},
    "calc": {"bar", "science"},
    "files": {"calc", "bar", "science"},
    "lots": {"calc", "bar", "science"},
    "cards": {"calc", "bar", "science"},
    "desk": {"files", "lots", "cards", "calc", "bar", "science"},
    "verbs": {"desk", "files", "lots", "cards", "calc", "bar", "science"},
    "cli": {"verbs", "tui", "desk", "files", "lots", "cards", "calc", "bar", "science"},
    "tui": {"desk", "files", "lots", "cards", "calc", "bar", "science"},
    "__main__": {"cli"},
    "__init__": set(),
}
ONLY_IN = {
    "textual": {"tui"},
    "rich": {"cards", "tui", "cli", "verbs"},
    "sqlite3": {"lots"},
    "pint": {"bar"},
    "tomli_w": {"files"},
    "tomllib": {"files", "desk", "tui"},
    "argparse": {"cli", "verbs"},
}
LONGEST_FUNCTION, LONGEST_MODULE = 50, 400


def floor(path: Path) -> str:
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """Every module a file imports, at its top or inside a function, also only for the type checker."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, name.name) for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: a relative import hides its floor"
            yield node.lineno, node.module or ""
            if node.module == "station":
                yield from ((node.lineno, f"station.{name.name}") for name in node.names)


def named(path: Path) -> str:
    return str(path.relative_to(PACKAGE))


def test_there_is_a_floor_for_every_module() -> None:
    assert {floor(path) for path in MODULES} <= set(BELOW)
    assert len(MODULES) > 50


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_imports_point_down_only(path: Path) -> None:
    own = floor(path)
    up = []
    for line, name in imports(path):
        parts = name.split(".")
        if parts[0] == "station" and len(parts) > 1 and parts[1] not in {own, *BELOW[own]}:
            up.append((line, name))
    assert up == []


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_libraries_stay_on_their_floor(path: Path) -> None:
    strays = [
        (line, name)
        for line, name in imports(path)
        if name.split(".")[0] in ONLY_IN and floor(path) not in ONLY_IN[name.split(".")[0]]
    ]
    assert strays == []


def test_the_guard_sees_what_it_guards() -> None:
    seen = {name.split(".")[0] for path in MODULES for _, name in imports(path)}
    assert {"textual", "pint", "tomllib", "station"} <= seen
    arrows = {(floor(path), name.split(".")[1]) for path in MODULES for _, name in imports(path) if name.startswith("station.")}
    assert {("tui", "desk"), ("desk", "files"), ("calc", "bar"), ("bar", "science")} <= arrows


# The physics is the physics: no floor above it keeps a gas constant, a density or a molar mass of its own.
SCIENTIFIC = {998.20123, 789.2391, 0.998203, 0.789239, 192.124, 58.443, 8.314, 333.55, 0.41}


@pytest.mark.parametrize("path", [path for path in MODULES if floor(path) != "science"], ids=named)
def test_no_physical_constant_stands_above_science(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found = [
        (node.lineno, node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, float) and node.value in SCIENTIFIC
    ]
    assert found == []


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_every_function_can_be_read_without_scrolling(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    kinds = (ast.FunctionDef, ast.AsyncFunctionDef)
    functions = [node for node in ast.walk(tree) if isinstance(node, kinds)]
    long = [(node.name, length) for node in functions if (length := (node.end_lineno or 0) - node.lineno + 1) > LONGEST_FUNCTION]
    assert long == []


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_no_module_is_longer_than_one_sitting(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_MODULE


def test_functions_are_short_as_a_rule() -> None:
    lengths = sorted(
        (node.end_lineno or 0) - node.lineno + 1
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef)
    )
    assert lengths[len(lengths) // 2] <= 10
