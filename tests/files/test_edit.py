"""Edits: the data comes out as wanted, and everything nobody touched stays, to the byte."""

from __future__ import annotations

import copy
import random
import re
import subprocess
import sys
import tomllib
from datetime import date
from types import MappingProxyType
from typing import Any

import pytest
from documents import documents, line_tables, small_tables, values
from hypothesis import example, given, settings
from hypothesis import strategies as st

from station.files.edit import EditRefused, edited
from station.files.spans import Spans, scan
from station.files.values import same

SPEC = """\
# Invented.

name = "Nightjar"   # the name
tags = [
    "sour",   # one
    "cold",   # two
]
acid_split = { citric = 0.97, malic = 0.03 } # by mass
method = "shake"

# the base
[[lines]]
item = "rum-light"
amount = "60 ml"   # jigger

# the acid
[[lines]]
item = "citric-25"
amount = "2 drops"
# a drop, not a splash

# loose

[[lines]]
item = "soda"
amount = "top 60 ml"
"""

RUM = '# the base\n[[lines]]\nitem = "rum-light"\namount = "60 ml"   # jigger\n'
ACID = '# the acid\n[[lines]]\nitem = "citric-25"\namount = "2 drops"\n# a drop, not a splash\n'
SODA = '[[lines]]\nitem = "soda"\namount = "top 60 ml"\n'
TOP = SPEC[: SPEC.index("\n# the base")]
LOOSE = "# loose\n"


def spec() -> dict[str, Any]:
    return tomllib.loads(SPEC)


def test_the_same_data_is_the_same_text() -> None:
    assert edited(SPEC, spec()) is SPEC


def test_a_changed_amount_changes_its_characters_only() -> None:
    wanted = spec()
    wanted["lines"][1]["amount"] = "3 drops"
    assert edited(SPEC, wanted) == SPEC.replace("2 drops", "3 drops")


def test_a_new_key_goes_below_the_last_of_its_table() -> None:
    wanted = spec()
    wanted["lines"][1]["with"] = "dropper-red"
    wanted["glass"] = "coupe"
    with_both = SPEC.replace('"2 drops"\n', '"2 drops"\nwith = "dropper-red"\n').replace(
        '"shake"\n', '"shake"\nglass = "coupe"\n'
    )
    assert edited(SPEC, wanted) == with_both


def test_a_removed_key_takes_its_line() -> None:
    wanted = spec()
    del wanted["method"], wanted["tags"]
    assert edited(SPEC, wanted) == SPEC.replace('method = "shake"\n', "").replace(
        SPEC[SPEC.index("tags") : SPEC.index("acid_")], ""
    )


def test_a_moved_line_takes_its_comments_along() -> None:
    wanted = spec()
    wanted["lines"] = [wanted["lines"][index] for index in (2, 0, 1)]
    assert edited(SPEC, wanted) == "\n".join([TOP, SODA, RUM, ACID, LOOSE])


def test_a_line_is_inserted_between_two() -> None:
    wanted = spec()
    wanted["lines"].insert(1, {"item": "lime-juice", "amount": "25 ml"})
    assert edited(SPEC, wanted) == "\n".join([TOP, RUM, '[[lines]]\nitem = "lime-juice"\namount = "25 ml"\n', ACID, LOOSE, SODA])


def test_a_line_is_inserted_first_and_last() -> None:
    wanted = spec()
    wanted["lines"] = [{"item": "ice"}, *wanted["lines"], {"item": "mint"}]
    mint, ice = '[[lines]]\nitem = "mint"\n', '[[lines]]\nitem = "ice"\n'
    assert edited(SPEC, wanted) == "\n".join([TOP, ice, RUM, ACID, LOOSE, SODA, mint])


def test_a_removed_line_takes_its_comments_and_leaves_the_loose_ones() -> None:
    wanted = spec()
    del wanted["lines"][1]
    assert edited(SPEC, wanted) == "\n".join([TOP, RUM, LOOSE, SODA])


def test_a_moved_line_can_change_on_the_way() -> None:
    wanted = spec()
    acid = wanted["lines"].pop(1)
    wanted["lines"].append({**acid, "amount": "4 drops"})
    assert edited(SPEC, wanted) == "\n".join([TOP, RUM, LOOSE, SODA, ACID.replace("2 drops", "4 drops")])


def test_another_item_in_the_same_place_keeps_the_place() -> None:
    wanted = spec()
    wanted["lines"][1]["item"] = "malic-25"
    assert edited(SPEC, wanted) == SPEC.replace("citric-25", "malic-25")


@pytest.mark.parametrize(
    ("tags", "text"),
    [
        (["sour", "warm"], '    "sour",   # one\n    "warm",   # two\n'),
        (["sour"], '    "sour",   # one\n'),
        (["cold"], '    "cold",   # two\n'),
        (["sour", "cold", "new"], '    "sour",   # one\n    "cold",   # two\n    "new",\n'),
        (["sour", "new", "cold"], '    "sour",   # one\n    "new",\n    "cold",   # two\n'),
        (["new", "sour", "cold"], '    "new",\n    "sour",   # one\n    "cold",   # two\n'),
    ],
)
def test_elements_come_and_go_with_their_comments(tags: list[str], text: str) -> None:
    assert edited(SPEC, spec() | {"tags": tags}) == SPEC.replace('    "sour",   # one\n    "cold",   # two\n', text)


@pytest.mark.parametrize(
    ("before", "wanted", "after"),
    [
        ("[1, 2]", [1, 2, 3], "[1, 2, 3]"),
        ("[1, 2]", [3, 1, 2], "[3, 1, 2]"),
        ("[1, 2, 3]", [1, 3], "[1, 3]"),
        ("[1, 2, 3 ]", [1], "[1 ]"),
        ("[1, 2, 3,]", [1, 2], "[1, 2, ]"),
        ("[1, 2]", [], "[]"),
        ("[ ]", [1], "[1]"),
        ("[\n  1, # one\n  2 # two\n]", [1, 2, 3], "[\n  1, # one\n  2, # two\n  3\n]"),
        ("[\n  1, # one\n  2 # two\n]", [1], "[\n  1, # one\n   # two\n]"),
        ("[1 # one\n, 2, 3]", [2, 3], "[2, 3]"),
        ("[[1], [2, 3]]", [[1], [2, 4]], "[[1], [2, 4]]"),
        ("{ a = 1, b = 2 }", {"a": 1, "b": 3}, "{ a = 1, b = 3 }"),
        ("{ a = 1, b = 2 }", {"a": 1}, "{ a = 1 }"),
        ("{ a.b = 1 }", {"a": {"b": 2}}, "{ a = { b = 2 } }"),
        ("[{ size = '1 l',price = 6.40 }]", [{"size": "1 l", "price": 6.8}], "[{ size = '1 l',price = 6.8 }]"),
    ],
)
def test_inline_values_change_where_they_must(before: str, wanted: Any, after: str) -> None:
    assert edited(f"x = {before} # c\n", {"x": wanted}) == f"x = {after} # c\n"


ROWS = """\
lines = [  # in order
    { item = "rum", amount = "60 ml" }, # the base
    # a drop, not a splash
    { item = "acid", amount = "3 drops" },  # last in the cup
    { item = "soda", amount = "90 ml" } # cold
    # no garnish
]
"""
HEAD, RUM_ROW, ACID_ROW, SODA_ROW, FOOT = (
    "lines = [  # in order\n",
    '    { item = "rum", amount = "60 ml" }, # the base\n',
    '    # a drop, not a splash\n    { item = "acid", amount = "3 drops" },  # last in the cup\n',
    '    { item = "soda", amount = "90 ml" }, # cold\n',
    "    # no garnish\n]\n",
)


def test_a_line_written_as_an_inline_table_takes_its_comments_along() -> None:
    rum, acid, soda = tomllib.loads(ROWS)["lines"]
    assert edited(ROWS, {"lines": [soda, acid, rum]}) == HEAD + SODA_ROW + ACID_ROW + RUM_ROW + FOOT
    gin = {"item": "gin", "amount": "50 ml"}
    told = edited(ROWS, {"lines": [acid, gin, {**rum, "item": "gin"}]}, {"lines": [1, None, 0]})
    assert told == "".join([HEAD, ACID_ROW, '    { item = "gin", amount = "50 ml" },\n', RUM_ROW.replace("rum", "gin"), FOOT])
    assert edited(ROWS, {"lines": [rum, soda]}) == HEAD + RUM_ROW + SODA_ROW + FOOT
    windows = ROWS.replace("\n", "\r\n")
    assert edited(windows, {"lines": [gin, rum]}) == (
        (HEAD + '    { item = "gin", amount = "50 ml" },\n' + RUM_ROW + FOOT).replace("\n", "\r\n")
    )


CALIBRATED = """\
# droppers
[dispensers.red]
unit = "drop"
# in November
[[dispensers.red.calibrations]]
item = "water"
count = 50

[dispensers.blue]
unit = "drop"
"""


def test_a_calibration_joins_its_own_dispenser() -> None:
    wanted = tomllib.loads(CALIBRATED)
    wanted["dispensers"]["red"]["calibrations"].append({"item": "citric-25", "date": date(2026, 11, 4), "reads": ["2.61 g"]})
    added = '[[dispensers.red.calibrations]]\nitem = "citric-25"\ndate = 2026-11-04\nreads = ["2.61 g"]\n'
    assert edited(CALIBRATED, wanted) == CALIBRATED.replace("count = 50\n", "count = 50\n" + added)


def test_the_first_calibration_of_a_dispenser_gets_a_head() -> None:
    wanted = tomllib.loads(CALIBRATED)
    wanted["dispensers"]["blue"]["calibrations"] = [{"count": 20}]
    assert edited(CALIBRATED, wanted) == CALIBRATED + "\n[[dispensers.blue.calibrations]]\ncount = 20\n"


def test_a_new_dispenser_gets_a_header_as_its_siblings_have() -> None:
    wanted = tomllib.loads(CALIBRATED)
    wanted["dispensers"]["green"] = {"unit": "dash"}
    assert edited(CALIBRATED, wanted) == CALIBRATED + '\n[dispensers.green]\nunit = "dash"\n'


def test_a_removed_dispenser_takes_its_calibrations() -> None:
    wanted = tomllib.loads(CALIBRATED)
    del wanted["dispensers"]["red"]
    assert edited(CALIBRATED, wanted) == '# droppers\n[dispensers.red]\n\n[dispensers.blue]\nunit = "drop"\n'[28:]


@pytest.mark.parametrize(
    ("before", "wanted", "after"),
    [
        ("[a.b]\nx = 1\n", {"a": {"b": {"x": 1}, "y": 2}}, "[a]\ny = 2\n\n[a.b]\nx = 1\n"),
        ("a.b = 1\nc = 2\n", {"a": {"b": 1, "d": {"e": 3}}, "c": 2}, "a.b = 1\na.d = { e = 3 }\nc = 2\n"),
        ("a.b = 1\n", {"a": {}}, "\n[a]\n"),
        ("[a.b]\n", {"a": {}}, "\n[a]\n"),
        ("[[a.b]]\nx = 1\n\n[[a.c]]\n", {"a": {"b": [{"x": 1}], "c": 2, "d": 3}}, "[a]\nc = 2\nd = 3\n\n[[a.b]]\nx = 1\n"),
        ("x = []\ny = 1\n", {"x": [{"i": 1}], "y": 1}, "y = 1\n\n[[x]]\ni = 1\n"),
        ("[[x]]\ni = 1\n", {"x": []}, "x = []\n\n"),
        ("[[x]]\ni = 1\n", {"x": 1}, "x = 1\n\n"),
        ("a = 1\n[b.c]\n", {"a": 1, "z": 3, "b": {"c": {}, "y": 2}}, "a = 1\nz = 3\n\n[b]\ny = 2\n\n[b.c]\n"),
        ("a = 1\n[[x]]\ni = 1\n", {"a": 1, "b": 2, "x": [{"j": 0}, {"i": 1}]}, "a = 1\nb = 2\n[[x]]\nj = 0\n[[x]]\ni = 1\n"),
        ("# top\n\n[a]\nx = 1\n", {"a": {"x": 1}, "y": 2}, "# top\ny = 2\n\n[a]\nx = 1\n"),
        ("[a]\nx = 1\n", {"a": {"x": 1}, "y": 2}, "y = 2\n\n[a]\nx = 1\n"),
        ("  a = 1", {"a": 1, "b": 2}, "  a = 1\n  b = 2"),
        ("", {"a": 1}, "a = 1\n"),
        ("# only\n", {"a": 1}, "# only\n\na = 1\n"),
        ("[[x]]\ni = 1\n\n[[x]]\ni = 2\n", {"x": [{"i": 2}]}, "[[x]]\ni = 2\n"),
        ("[[x]]\ni = 1\n", {"x": [{"i": 1}, {"i": 2}]}, "[[x]]\ni = 1\n\n[[x]]\ni = 2\n"),
        ("a = 1\n[[x]]\ni = 1\n", {"a": 1, "x": [{"i": 1}, {"i": 2}]}, "a = 1\n[[x]]\ni = 1\n[[x]]\ni = 2\n"),
    ],
)
def test_keys_and_tables_change_form_only_when_they_must(before: str, wanted: dict[str, Any], after: str) -> None:
    assert edited(before, wanted) == after


def test_new_lines_end_as_the_others_do() -> None:
    text = SPEC.replace("\n", "\r\n")
    wanted = spec()
    wanted["lines"] += [{"item": "mint", "note": "two\nlines"}]
    wanted["steps"] = ["a" * 60, "b" * 60]
    result = edited(text, wanted)
    assert result.count("\n") == result.count("\r\n") > text.count("\n")
    assert text[text.index("# the base") :] in result


def test_a_missing_last_newline_stays_missing() -> None:
    wanted = spec()
    wanted["lines"].append({"item": "mint"})
    assert edited(SPEC.removesuffix("\n"), wanted).endswith('\n[[lines]]\nitem = "mint"')


@pytest.mark.parametrize("wanted", [1.0, True, "1", [1], {"x": 1}])
def test_a_value_of_another_type_is_another_value(wanted: Any) -> None:
    assert same(tomllib.loads(edited("x = 1\n", {"x": wanted})), {"x": wanted})


def test_frozen_mappings_and_tuples_are_written_as_tables_and_lists() -> None:
    assert edited("", MappingProxyType({"x": (1, MappingProxyType({"y": ()}))})) == "x = [1, { y = [] }]\n"


def test_scattered_tables_can_change_but_not_move() -> None:
    text = "[[a]]\nx = 1\n[b]\n[a.c]\ny = 2\n[[a]]\nx = 3\n"
    wanted = tomllib.loads(text)
    wanted["a"][0]["c"]["y"] = 5
    assert edited(text, wanted) == text.replace("y = 2", "y = 5")
    wanted["a"].reverse()
    with pytest.raises(
        EditRefused, match=r"^the file is left as it is: other tables stand between those of a; move them out first$"
    ):
        edited(text, wanted)


def test_what_utf8_cannot_hold_is_refused() -> None:
    with pytest.raises(EditRefused, match=r"'\\udcff' cannot be written as UTF-8"):
        edited("a = 'b'\n", {"a": "\udcff"})


def test_an_edit_that_would_say_something_else_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("station.files.inline.inline", lambda value: "2")
    with pytest.raises(EditRefused, match="would not say what was wanted"):
        edited("a = 1\n", {"a": 3})
    monkeypatch.setattr("station.files.inline.inline", lambda value: "]")
    with pytest.raises(EditRefused, match="would not be TOML"):
        edited("a = 1\n", {"a": 3})


def test_what_toml_has_no_value_for_is_a_type_error() -> None:
    with pytest.raises(TypeError):
        edited("a = 1\n", {"a": None})


def test_the_writer_is_loaded_only_to_write() -> None:
    script = "import sys, station.files.edit as e; e.edited('a = 1', {'a': 1}); print('tomli_w' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"


# Random documents, randomly changed.

anything = st.one_of(values, small_tables, line_tables)


@st.composite
def changes(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """A document's text, and what it shall say."""
    text, content = draw(documents())
    wanted = copy.deepcopy(content)
    rng = random.Random(draw(st.integers(0, 2**32)))
    for _ in range(draw(st.integers(1, 4))):
        change(rng, wanted, draw(anything))
    return text, wanted


def change(rng: random.Random, top: dict[str, Any], new: Any) -> None:
    """One step of a person at work: put, take, or move something anywhere."""
    place: Any = top
    while inner := [
        one for one in (place.values() if isinstance(place, dict) else place) if isinstance(one, dict | list) and one
    ]:
        if rng.random() < 0.35:
            break
        place = rng.choice(inner)
    if isinstance(place, dict):
        key = rng.choice([*place, "new", "a b"])
        if rng.random() < 0.3:
            place.pop(key, None)
        else:
            place[key] = new
        return
    match rng.randrange(4):
        case 0:
            rng.shuffle(place)
        case 1:
            del place[rng.randrange(len(place))]
        case 2:
            place.insert(rng.randrange(len(place) + 1), copy.deepcopy(rng.choice(place)))
        case _:
            place[rng.randrange(len(place))] = new


@settings(max_examples=150)
@given(changes())
def test_any_change_is_made_exactly_and_only_once(changed: tuple[str, dict[str, Any]]) -> None:
    text, wanted = changed
    result = edited(text, wanted)
    assert same(tomllib.loads(result), wanted)
    assert edited(result, wanted) is result


def untouched_lines(spans: Spans, old: dict[str, Any], new: dict[str, Any]) -> list[str]:
    """The statements outside any array of tables whose value stays as it was."""
    return [
        spans.text[entry.start : entry.end].rstrip("\r\n")
        for section in spans.sections
        for entry in section.entries
        if all(isinstance(step, str) for step in entry.path) and same(at(old, entry.path), at(new, entry.path))
    ]


def at(table: Any, path: tuple[Any, ...]) -> Any:
    for step in path:
        table = table.get(step) if isinstance(table, dict) else None
    return table


@settings(max_examples=100)
@given(changes())
def test_an_untouched_statement_stays_to_the_byte(changed: tuple[str, dict[str, Any]]) -> None:
    text, wanted = changed
    result = edited(text, wanted)
    for line in untouched_lines(scan(text), tomllib.loads(text), wanted):
        assert line in result


@settings(max_examples=100)
@given(documents(), st.integers(0, 2**32))
def test_an_untouched_block_stays_to_the_byte_wherever_it_goes(document: tuple[str, dict[str, Any]], seed: int) -> None:
    text, wanted = document
    rng = random.Random(seed)
    spans = scan(text)
    blocks = []
    for key in [key for key, value in wanted.items() if (key, 0) in spans.keys and (key,) not in spans.values]:
        for index in range(len(wanted[key])):
            span = spans.table_block((key, index))
            blocks.append(text[slice(*span)].rstrip("\r\n") if span else "")
        rng.shuffle(wanted[key])
        wanted[key].insert(rng.randrange(len(wanted[key]) + 1), {"item": "a", "amount": "inserted"})
    result = edited(text, wanted)
    assert all(block in result for block in blocks)
    assert comments(text) == comments(result)


def comments(text: str) -> list[str]:
    """Every comment of the documents' writer, who numbers them."""
    return sorted(re.findall(r"#[^#\n]* \d+\.(?=\r?\n|$)", text))


# Two lines alike, the first changed: it was taken for a new one, and the other for the first, moved.
ALIKE = '[["item" .item ]]  # one\nitem = "a"\n[[ item. item]]  # two\n"item" = "a"\n'


@settings(max_examples=100)
@example((ALIKE, tomllib.loads(ALIKE)), 0)
@given(documents(), st.integers(0, 2**32))
def test_a_changed_scalar_moves_nothing_around_it(document: tuple[str, dict[str, Any]], seed: int) -> None:
    text, wanted = document
    spans = scan(text)
    paths = [path for path in spans.values if not isinstance(at_any(wanted, path), dict | list) and plain_parents(spans, path)]
    if not paths:
        return
    path = random.Random(seed).choice(sorted(paths, key=repr))
    at_any(wanted, path[:-1])[path[-1]] = "a new value"
    start, end = spans.values[path]
    assert edited(text, wanted) == f'{text[:start]}"a new value"{text[end:]}'


def plain_parents(spans: Spans, path: tuple[Any, ...]) -> bool:
    """Whether no inline table around `path` has dotted keys (it is then written anew as a whole)."""
    inside = [path[:depth] for depth in range(1, len(path)) if path[:depth] in spans.values]
    return not inside or all(path[:depth] in spans.values for depth in range(len(inside[0]), len(path)))


def at_any(place: Any, path: tuple[Any, ...]) -> Any:
    for step in path:
        place = place[step]
    return place


# Who knows which line is which says so: its comments go along, whatever became of its item.


def test_a_line_that_moved_and_names_another_item_keeps_its_comments_where_that_is_said() -> None:
    wanted = spec()
    rum, acid, soda = wanted["lines"]
    wanted["lines"] = [soda, {**rum, "item": "gin-dry"}, acid]
    told = edited(SPEC, wanted, {"lines": [2, 0, 1]})
    assert told == "\n".join([TOP, SODA, RUM.replace("rum-light", "gin-dry"), ACID, LOOSE])
    assert "# the base" not in edited(SPEC, wanted)


def test_of_two_lines_of_one_item_the_one_that_is_said_goes() -> None:
    text = SPEC.replace('item = "soda"', 'item = "citric-25"')
    wanted = tomllib.loads(text)
    del wanted["lines"][1]
    wanted["lines"][1]["amount"] = "2 drops"
    assert edited(text, wanted, {"lines": [0, 2]}) == "\n".join(
        [TOP, RUM, LOOSE, SODA.replace("soda", "citric-25").replace("top 60 ml", "2 drops")]
    )


def test_lines_that_are_all_new_replace_the_old() -> None:
    wanted = spec() | {"lines": [{"item": "mint", "amount": "6 leaves"}]}
    assert tomllib.loads(edited(SPEC, wanted, {"lines": [None]})) == wanted


@pytest.mark.parametrize("told", [[0], [0, 0, 1], [0, 1, 3], [-1, 0, 1]])
def test_an_order_that_cannot_be_is_the_caller_s_error(told: list[int]) -> None:
    wanted = spec()
    wanted["lines"].reverse()
    with pytest.raises(ValueError, match=r"^lines cannot continue as said"):
        edited(SPEC, wanted, {"lines": told})


@settings(max_examples=60)
@given(st.lists(st.integers(0, 2), unique=True), st.integers(0, 2**32))
def test_said_orders_are_made_exactly_and_every_block_that_stays_keeps_its_comments(order: list[int], seed: int) -> None:
    rng = random.Random(seed)
    wanted, told = spec(), list[int | None](order)
    lines = [dict(wanted["lines"][one]) for one in order]
    for line in lines:
        if rng.random() < 0.5:
            line["item"] = rng.choice(["rum-light", "citric-25", "soda"])
    lines.insert(rng.randrange(len(lines) + 1), {"item": "soda", "amount": "1 ml"})
    told.insert(next(place for place, line in enumerate(lines) if line.get("amount") == "1 ml"), None)
    wanted["lines"] = lines
    result = edited(SPEC, wanted, {"lines": told})
    assert tomllib.loads(result) == wanted
    if order:
        assert [one for one in ("# the base", "# a drop, not a splash") if one not in result] == [
            one for place, one in enumerate(("# the base", "# a drop, not a splash")) if place not in order
        ]
