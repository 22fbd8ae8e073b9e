"""JSON Schemas for editors: shipped as generated, and of one mind with the reader about every file it can judge by itself."""

from __future__ import annotations

import copy
import json
import tomllib
from collections.abc import Iterator
from datetime import date
from fnmatch import fnmatch
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_library import CITRIC, HOUSE, ITEMS, MEASURES, SOUR, WINDOWS

from station.bar import editor_schema
from station.bar.editor_schema import FILES, json_schemas
from station.bar.kinds import BadValue
from station.files.checker import Finding, read_shape
from station.files.places import shipped

SCHEMAS = json_schemas()
JUDGES = {name: jsonschema.Draft202012Validator(one, format_checker=jsonschema.FormatChecker()) for name, one in SCHEMAS.items()}
SPECS = shipped("specs")
# All but the log of an invented month, which is no file of a library.
DEMO = sorted(str(path.relative_to(SPECS)) for path in SPECS.rglob("*.toml") if not {".station", "log"} & set(path.parts))


def kind_of(file: str) -> str:
    return next(name for name, (files, _) in FILES.items() if fnmatch(file, files))


def schema_takes(kind: str, data: dict[str, Any]) -> bool:
    return bool(JUDGES[kind].is_valid(json.loads(json.dumps(data, default=date.isoformat))))


def reader_takes(kind: str, data: dict[str, Any]) -> bool:
    findings: list[Finding] = []
    try:
        read_shape(data, FILES[kind][1], findings)
    except BadValue:
        return False
    return not findings


def test_what_is_shipped_is_what_is_generated() -> None:
    kept = {path.stem: path.read_text(encoding="utf-8") for path in editor_schema.FOLDER.glob("*")}
    assert kept == {name: editor_schema.written(one) for name, one in SCHEMAS.items()}, "run python -m station.bar.editor_schema"


@pytest.mark.parametrize("kind", SCHEMAS)
def test_each_is_a_schema_and_its_references_lead_somewhere(kind: str) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMAS[kind])
    referred = {one["$ref"] for one in tables(SCHEMAS[kind]) if "$ref" in one}
    assert referred == {f"#/$defs/{name}" for name in SCHEMAS[kind]["$defs"]}


@pytest.mark.parametrize("file", DEMO)
def test_every_demo_file_is_taken(file: str) -> None:
    data = tomllib.loads((SPECS / file).read_text(encoding="utf-8"))
    kind = kind_of(file)
    JUDGES[kind].validate(json.loads(json.dumps(data, default=date.isoformat)))
    assert reader_takes(kind, data)


def test_a_key_says_what_it_is_about() -> None:
    assert SCHEMAS["drink"]["properties"]["lines"]["items"]["properties"]["with"]["description"] == "the dispenser that counts it"


GOOD = {"station": HOUSE, "measures": MEASURES, "windows": WINDOWS, "ingredients": ITEMS, "stock": CITRIC, "drink": SOUR}


@pytest.mark.parametrize(
    ("kind", "good", "bad"),
    [
        ("drink", 'amount = "60 ml"', 'amuont = "60 ml"'),
        ("drink", 'amount = "60 ml"', 'amount = "2 dorps"'),
        ("drink", 'amount = "60 ml"', 'amount = "-60 ml"'),
        ("drink", 'amount = "60 ml"', 'amount = "0 ml"'),
        ("drink", 'amount = "60 ml"', 'amount = "nan ml"'),
        ("drink", 'amount = "60 ml"', 'amount = "1,500 ml"'),
        ("drink", 'amount = "60 ml"', "amount = 60"),
        ("drink", 'method = "shake"', 'method = "shaken"'),
        ("drink", 'method = "shake"', ""),
        ("drink", 'style = "shaken"', 'style = "Shaken!"'),
        ("drink", 'style = "shaken"', 'dilution = "25 %"'),
        ("drink", 'style = "shaken"', "tuned_on = 7"),
        ("drink", 'when = "finish"', 'when = "later"'),
        ("stock", "[[lines]]", "[lines]"),
        ("stock", 'keeps = "90 days"', 'keeps = "90 years"'),
        ("ingredients", "abv = 40", "abv = 140"),
        ("ingredients", "abv = 40", "abv = -1"),
        ("ingredients", "abv = 40", f"abv = {'9' * 400}"),
        ("ingredients", "abv = 40", "abv = true"),
        ("ingredients", "[spirit]", "[Spirit]"),
        ("ingredients", "{ sucrose = 100 }", "{ sucros = 100 }"),
        ("ingredients", "{ sucrose = 100 }", "{ sucrose = 101 }"),
        ("ingredients", "allergens = []", 'allergens = ["eggs"]'),
        ("measures", "count = 50", "count = 0"),
        ("measures", "count = 50", "count = 50.5"),
        ("measures", 'reads = ["2.61 g", "2.58 g", "2.66 g"]', "reads = []"),
        ("windows", "[15, 20]", "[15]"),
        ("windows", 'source = "invented"', ""),
        ("station", 'brim = "1.8 l"', 'brim = "1.8 kg"'),
        ("station", "format = 1", 'format = "1"'),
    ],
)
def test_a_broken_document_is_refused_by_both(kind: str, good: str, bad: str) -> None:
    text = GOOD[kind]
    assert good in text and reader_takes(kind, tomllib.loads(text)) and schema_takes(kind, tomllib.loads(text))
    broken = tomllib.loads(text.replace(good, bad, 1)) if kind != "stock" or "[[" not in good else {"name": "A", "lines": {}}
    assert not reader_takes(kind, broken) and not schema_takes(kind, broken)


def tables(value: object) -> Iterator[dict[str, Any]]:
    """Every table in a value, itself included."""
    if isinstance(value, dict):
        yield value
    for one in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from tables(one)


# In place of any value of a demo file: what one kind of key takes and others refuse. (A whole float, a date that is text and a
# range written backwards are beyond JSON Schema, nan and infinities beyond JSON.)
INSTEAD: tuple[Any, ...] = (
    *(True, -1, 10**9, 0.25, [], {}, ["25 g"], {"citric": 0.5}, [{"item": "x", "amount": "1 g"}], [1, 2]),
    *(
        "BAD ID!",
        "zzz zzz",
        "word",
        "1 dorps",
        "25 g",
        "1.5 l",
        "top",
        "2 drops",
        "2 %",
        "40 % of initial",
        "90 days",
        "1.1 g/ml",
    ),
    *("6 g/l as malic", "30 mg/l", "05:00", "x" * 65, "y" * 20_001),
)


instead = st.sampled_from(INSTEAD).map(copy.deepcopy)


@st.composite
def altered(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """A demo file's data with one to three values replaced, keys renamed or keys left out."""
    file = draw(st.sampled_from(DEMO))
    data = tomllib.loads((SPECS / file).read_text(encoding="utf-8"))
    for _ in range(draw(st.integers(1, 3))):
        table = draw(st.sampled_from([one for one in tables(data) if one] or [data]))
        key = draw(st.sampled_from(sorted(table) or ["name"]))
        match draw(st.sampled_from(["replace", "rename", "drop", "borrow"])):
            case "replace":
                table[key] = draw(instead)
            case "rename":
                table[draw(st.sampled_from(["amuont", "nmae", "x-1", "notes", "price", "invented"]))] = table.pop(key, "")
            case "drop":
                table.pop(key, None)
            case _:
                table[draw(st.sampled_from(["ph", "brix", "keeps", "packs", "measured", "total"]))] = draw(instead)
    return kind_of(file), data


@given(altered())
@settings(max_examples=300, deadline=None)
def test_schema_and_reader_are_of_one_mind(case: tuple[str, dict[str, Any]]) -> None:
    assert schema_takes(*case) == reader_takes(*case)


@pytest.mark.long
@given(altered())
@settings(max_examples=10_000, deadline=None)
def test_schema_and_reader_are_of_one_mind_very_often(case: tuple[str, dict[str, Any]]) -> None:
    assert schema_takes(*case) == reader_takes(*case)
