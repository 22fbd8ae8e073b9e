"""What is wrong in a library is told with file, line, column, key, reason and remedy; what is right goes on working."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from small_library import CITRIC, HOUSE, ITEMS, MEASURES, SMALL, SOUR, WINDOWS, drink, read_small, stock, write_library

from station.bar.cautions import ALLERGENS
from station.bar.fault import Fault
from station.calc.blend import Blends
from station.desk.checking import check
from station.files.finding import found as rows_of
from station.files.reader import LibraryReader, read_library


def faults(folder: Path, files: dict[str, str | bytes] | None = None, without: tuple[str, ...] = ()) -> list[str]:
    return [str(fault) for fault in read_small(folder, files, without).faults]


def item(name: str, *more: str) -> str:
    return "\n".join([f"[{name}]", f'name = "{name}"', 'kind = "other"', *more, ""])


def test_the_small_library_has_no_fault(tmp_path: Path) -> None:
    assert faults(tmp_path) == []
    assert check(Blends(read_library(tmp_path))) == ()


# One file that is wrong, and its one line of fault.
ONE_BAD_FILE: list[tuple[str, str | bytes, str]] = [
    (
        "drinks/bad.toml",
        'name = "A"\nmethod = \n',
        "2:10: is not TOML: invalid value (mend this line; the rest is read after it)",
    ),
    (
        "drinks/bad.toml",
        "[[lines",
        "1:1: is not TOML: expected ']]' at the end of an array declaration (mend this line; the rest is read after it)",
    ),
    ("drinks/bad.toml", 'a = "x\n', "1:7: is not TOML: illegal character '\\n' (mend this line; the rest is read after it)"),
    (
        "drinks/bad.toml",
        drink("shake", "spirrit: 60 ml"),
        "5:1: lines 1 item: there is no item or stock spirrit (did you mean spirit?)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", "xyzzy: 60 ml"),
        "5:1: lines 1 item: there is no item or stock xyzzy (add it to ingredients/ or stocks/)",
    ),
    ("drinks/bad.toml", drink("shake", "spirit: 2 dorps"), "6:1: lines 1 amount: “dorps” is no unit here (did you mean drops?)"),
    (
        "drinks/bad.toml",
        drink("shake", "spirit: 60 ml", "spirit: -5 ml"),
        "10:1: lines 2 amount: an amount cannot be below zero (write a positive number, e.g. 22.5 ml)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", "spirit: 0 ml"),
        "6:1: lines 1 amount: the amount is zero (write how much goes in, e.g. 22.5 ml)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", "spirit: 1,500 ml"),
        "6:1: lines 1 amount: 1,500 can be read two ways: 1.5 ml or 1500 ml? (write it without the comma)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", "spirit: 1e400 ml"),
        "6:1: lines 1 amount: “e400 ml” is no unit here (e.g. ml, oz, g, drops, dashes, barspoon)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", f"spirit: {'9' * 400} ml"),
        "6:1: lines 1 amount: the number is too long (write at most 15 digits)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", "spirit: nan ml"),
        "6:1: lines 1 amount: no number here (write a number and a unit, e.g. 22.5 ml, 3/4 oz or 2 drops)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", "spirit: 60 ml").replace('"60 ml"', "60"),
        '6:1: lines 1 amount: a string is wanted here, not a integer (write it in quotes: "60")',
    ),
    ("drinks/bad.toml", drink("shake", "spirit: top"), "6:1: lines 1 amount: “top” does not say how much (write e.g. top 60 ml)"),
    ("drinks/bad.toml", drink("shake", "spirit: to 1 l"), "6:1: lines 1 amount: “to” is for stocks (write how much goes in)"),
    (
        "drinks/bad.toml",
        drink("shaken", "spirit: 60 ml"),
        "2:1: method: “shaken” is not known here (did you mean shake? one of shake, stir, build, blend, carbonate, none)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", "spirit: 60 ml", more='dilution = "25 %"'),
        "3:1: dilution: “25 %” has no basis: of initial = 20 % of final, of final = 33.3 % of initial "
        "(write e.g. 52 % of initial)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", "spirit: 60 ml", more='style = "shakn"'),
        "3:1: style: there is no window shakn (did you mean shaken?)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", 'citric-25: 2 drops | with = "droper"'),
        "7:1: lines 1 with: there is no dispenser droper (did you mean dropper?)",
    ),
    (
        "drinks/bad.toml",
        drink("shake", 'citric-25: 2 ml | with = "dropper"'),
        "7:1: lines 1 with: dropper gives a drop, the amount is in ml (write the amount in drops or name another)",
    ),
    (
        "drinks/bad.toml",
        'name = "A"\nmethod = "shake"\nlines = []\n',
        "3:1: lines: there are no lines (add at least one [[lines]])",
    ),
    ("drinks/bad.toml", b'name = "caf\xe9"\n', "1:12: is not UTF-8 text (save it as UTF-8)"),
    (
        "drinks/Bad One.toml",
        drink("shake", "spirit: 60 ml"),
        "1:1: the file's name “Bad One” is no id (lower-case letters and digits, joined by -)",
    ),
    ("ingredients/bad.toml", item("x", "abv = nan"), "4:1: x abv: nan is no number to reckon with (0 to 100)"),
    ("ingredients/bad.toml", item("x", "abv = inf"), "4:1: x abv: inf is no number to reckon with (0 to 100)"),
    ("ingredients/bad.toml", item("x", "abv = 1e400"), "4:1: x abv: inf is no number to reckon with (0 to 100)"),
    ("ingredients/bad.toml", item("x", "abv = -1"), "4:1: x abv: -1 is out of range (0 to 100)"),
    ("ingredients/bad.toml", item("x", f"abv = {'9' * 400}"), "4:1: x abv: the number is out of range (0 to 100)"),
    ("ingredients/bad.toml", item("x", "abv = true"), "4:1: x abv: a number is wanted here, not a boolean (write a number)"),
    (
        "ingredients/bad.toml",
        item("x", 'allergens = ["eggs"]'),
        f"4:14: x allergens 1: “eggs” is not known here (did you mean egg? one of {', '.join(ALLERGENS)})",
    ),
    (
        "ingredients/bad.toml",
        item("x", 'ta = "6 g/100ml"'),
        "4:1: x ta: it does not say which acids (add e.g. acid_split = { citric = 1 })",
    ),
    (
        "ingredients/bad.toml",
        item("x", "brix = 50", "per_100_g = { sucrose = 50 }"),
        "4:1: x brix: the sugars are listed as well (keep one of the two)",
    ),
    (
        "ingredients/bad.toml",
        item("x", 'form = "solid"', "per_100_g = { sucrose = 60, glucose = 60 }"),
        "5:1: x per_100_g: it holds more than 100 g (lower a figure)",
    ),
    (
        "ingredients/bad.toml",
        item("x", 'ta = "6 g/100ml"', "acid_split = { citric = 0.5 }"),
        "5:1: x acid_split: the shares sum to 0.5 (make them sum to 1)",
    ),
    (
        "ingredients/bad.toml",
        item("x", "per_100_g = { sucros = 60 }"),
        "4:1: x per_100_g: “sucros” is not known here (did you mean sucrose?)",
    ),
    ("stocks/bad.toml", stock("bad: 100 g"), "4:1: lines 1 item: stocks go round in a circle: bad → bad (break it at one line)"),
    (
        "windows.toml",
        WINDOWS.replace("[15, 20]", "[20, 15]"),
        "2:1: shaken abv: the range runs from 20 down to 15 (write the lower figure first)",
    ),
    (
        "station.toml",
        HOUSE.replace('fill = "1.5 l"', 'fill = "1.9 l"'),
        "19:1: vessels pitcher fill: the working fill is over the brim (lower the fill)",
    ),
    (
        "station.toml",
        HOUSE.replace('"Europe/Lisbon"', '"Europe/Lisboa"'),
        "4:1: reads timezone: “Europe/Lisboa” is no time zone (write e.g. Europe/Lisbon)",
    ),
    (
        "station.toml",
        HOUSE.replace("format = 1", "format = 2"),
        "1:1: format: this library's format is 2, newer than this program's 1: it is read only (update the program)",
    ),
]


def by_reason(one: tuple[str, str | bytes, str]) -> str:
    return one[2].partition(": ")[2][:40]


@pytest.mark.parametrize(("file", "content", "said"), ONE_BAD_FILE, ids=map(by_reason, ONE_BAD_FILE))
def test_one_thing_wrong_is_one_line(file: str, content: str | bytes, said: str, tmp_path: Path) -> None:
    told = [line for line in faults(tmp_path, {file: content}) if "rests" not in line and not line.startswith("drinks/sour")]
    assert told == [f"{file}:{said}"]


@pytest.mark.parametrize(("file", "content", "said"), ONE_BAD_FILE, ids=map(by_reason, ONE_BAD_FILE))
def test_one_bad_file_never_hides_the_good_ones(file: str, content: str | bytes, said: str, tmp_path: Path) -> None:
    library = read_small(tmp_path, {file: content})
    expected = {"sour"} if file != "windows.toml" else set()
    assert expected <= set(library.drinks)
    assert {"spirit", "citric-acid", "twist"} <= set(library.items)
    assert "citric-25" in library.stocks
    if file.startswith("drinks/"):
        name = Path(file).stem
        reader = LibraryReader(tmp_path)
        reader.read()
        assert [row.faulty for row in rows_of(reader.index, "") if row.id == name] == [True]


def test_a_key_written_wrongly_is_unknown_and_missing(tmp_path: Path) -> None:
    told = faults(tmp_path, {"drinks/bad.toml": drink("shake", "spirit: 60 ml").replace("amount", "amuont")})
    assert told == [
        "drinks/bad.toml:4:3: lines 1 amount: amount is missing (add it: a number and a unit, e.g. 22.5 ml or 2 drops)",
        "drinks/bad.toml:6:1: lines 1 amuont: the key amuont is not known here (did you mean amount?)",
    ]


def test_all_faults_of_a_library_come_at_once_and_in_order(tmp_path: Path) -> None:
    two = drink("shaek", "spirit: 2 dorps").replace("name =", "nmae =")
    told = faults(tmp_path, {"drinks/bad.toml": two, "ingredients/bad.toml": item("x", "abv = 200")})
    assert [line.split(": ")[0] + ": " + line.split(": ")[1] for line in told] == [
        "drinks/bad.toml:1:1: name",
        "drinks/bad.toml:1:1: nmae",
        "drinks/bad.toml:2:1: method",
        "drinks/bad.toml:6:1: lines 1 amount",
        "ingredients/bad.toml:4:1: x abv",
    ]


# Line and column in the text as it is written: behind comments, in inline tables, under dotted heads, after wide characters.
@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ('# é\n\n[x]\nname = "X"\nkind = "other"\n  abv = 200\n', 6, 3),
        ('[x]\nname = "X"\nkind = "other"\nper_100_g = { water = 50, sucrose = 500 }\n', 4, 27),
        ('[x]\nname = "Ünï"\nkind = "other"\nallergens = [\n  "egg",\n  "eggs",\n]\n', 6, 3),
        ('x.name = "X"\nx.kind = "other"\nx.abv = 200\n', 3, 3),
        ('x = { name = "X", kind = "other", abv = 200 }\n', 1, 35),
    ],
)
def test_a_fault_stands_where_its_key_is(text: str, line: int, column: int, tmp_path: Path) -> None:
    found = read_small(tmp_path, {"ingredients/bad.toml": text}).faults
    assert [(fault.line, fault.column) for fault in found] == [(line, column)]


def test_a_circle_names_every_stock_of_it_on_each(tmp_path: Path) -> None:
    round_and_round = {
        "stocks/a.toml": stock("b: 1 g"),
        "stocks/b.toml": stock("water: 1 g", "c: 1 g"),
        "stocks/c.toml": stock("a: 1 g"),
    }
    library = read_small(tmp_path, {**round_and_round, "drinks/d.toml": drink("stir", "a: 10 g")})
    said = "stocks go round in a circle: a → b → c → a (break it at one line)"
    assert [str(fault) for fault in library.faults] == [
        "drinks/d.toml:5:1: lines 1 item: a in stocks/a.toml has a fault (mend stocks/a.toml first)",
        f"stocks/a.toml:4:1: lines 1 item: {said}",
        f"stocks/b.toml:8:1: lines 2 item: {said}",
        f"stocks/c.toml:4:1: lines 1 item: {said}",
    ]
    assert {"a", "b", "c"}.isdisjoint(library.stocks) and "citric-25" in library.stocks


def test_a_faulty_stock_makes_what_uses_it_rest_on_a_fault_however_far(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {
        "stocks/bad.toml": stock("water: 1 gg"),
        "stocks/next.toml": stock("bad: 1 g"),
        "drinks/d.toml": drink("stir", "spirit: 60 ml", "next: 10 g"),
    }
    library = read_small(tmp_path, files)
    assert [(fault.file, fault.code) for fault in library.faults] == [
        ("drinks/d.toml", "rests-on-fault"),
        ("stocks/bad.toml", "bad-quantity"),
        ("stocks/next.toml", "rests-on-fault"),
    ]
    assert str(library.faults[0]).endswith("lines 2 item: next in stocks/next.toml has a fault (mend stocks/next.toml first)")
    assert set(library.drinks) == {"sour"}


def test_a_duplicate_id_is_a_fault_on_both_and_neither_is_used(tmp_path: Path) -> None:
    library = read_small(
        tmp_path, {"ingredients/more.toml": item("citric-25"), "drinks/other.toml": drink("stir", "spirit: 60 ml")}
    )
    told = [str(fault) for fault in library.faults if fault.code == "duplicate-id"]
    assert told == [
        "ingredients/more.toml:1:2: citric-25: the id citric-25 is given in stocks/citric-25.toml too; "
        "neither is used (rename one of them)",
        "stocks/citric-25.toml:1:1: the id citric-25 is given in ingredients/more.toml too; neither is used (rename one of them)",
    ]
    assert "citric-25" not in library.items and "citric-25" not in library.stocks
    assert [fault.code for fault in library.faults if fault.file == "drinks/sour.toml"] == ["rests-on-fault"]
    assert set(library.drinks) == {"other"}


# A file that cannot be read gives no ids: its name is the name of a file of ingredients, not of an ingredient.
def test_a_broken_file_of_ingredients_does_not_take_a_stock_with_it(tmp_path: Path) -> None:
    library = read_small(tmp_path, {"ingredients/citric-25.toml": "broken ="})
    assert {fault.file for fault in library.faults} == {"ingredients/citric-25.toml"}
    assert "citric-25" in library.stocks and "sour" in library.drinks


def test_two_broken_files_of_one_name_are_two_faults(tmp_path: Path) -> None:
    library = read_small(tmp_path, {"ingredients/x.toml": "broken =", "stocks/x.toml": "broken = "})
    assert {fault.file for fault in library.faults} == {"ingredients/x.toml", "stocks/x.toml"}
    assert "sour" in library.drinks


def test_a_broken_file_of_ingredients_leaves_its_drinks_told_and_the_others_whole(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {"ingredients/gone.toml": "x = \n", "drinks/d.toml": drink("stir", "rum: 60 ml")}
    library = read_small(tmp_path, files)
    assert [fault.file for fault in library.faults] == ["drinks/d.toml", "ingredients/gone.toml"]
    assert set(library.drinks) == {"sour"}


def test_calibrations_with_what_is_gone_only_warn(tmp_path: Path) -> None:
    library = read_small(tmp_path, {"measures.toml": MEASURES.replace("citric-25", "citric-52")})
    assert [(fault.severity, fault.line) for fault in library.faults] == [("warning", 6)]
    assert "sour" in library.drinks


def test_a_library_without_station_toml_says_so_and_works(tmp_path: Path) -> None:
    library = read_small(tmp_path, without=("station.toml",))
    assert [str(fault) for fault in library.faults] == ["station.toml: is missing (a library has one: format = 1)"]
    assert "sour" in library.drinks


@pytest.mark.parametrize("missing", ["measures.toml", "windows.toml", "stocks/citric-25.toml"])
def test_any_other_file_may_be_missing(missing: str, tmp_path: Path) -> None:
    library = read_small(tmp_path, {"drinks/plain.toml": drink("stir", "spirit: 60 ml")}, without=(missing,))
    assert "plain" in library.drinks
    assert {fault.file for fault in library.faults} <= {"drinks/sour.toml", "measures.toml"}


def test_a_folder_that_is_not_there_is_not_a_library(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        read_library(tmp_path / "gone")
    (tmp_path / "file").write_text("")
    with pytest.raises(NotADirectoryError):
        read_library(tmp_path / "file")


def test_an_empty_folder_is_a_library_with_one_fault(tmp_path: Path) -> None:
    assert [str(fault) for fault in read_library(tmp_path).faults] == ["station.toml: is missing (a library has one: format = 1)"]


def special(folder: Path, kind: str, outside: Path) -> None:
    """Something at drinks/odd.toml that is no file of the library."""
    path = folder / "drinks" / "odd.toml"
    if kind == "folder":
        path.mkdir()
    elif kind == "fifo":
        os.mkfifo(path)
    elif kind == "link out":
        outside.write_text(SOUR)
        path.symlink_to(outside)
    elif kind == "link to nothing":
        path.symlink_to(folder / "gone.toml")
    elif kind == "link to itself":
        path.symlink_to(path)
    elif kind == "large":
        path.write_text(SOUR + "#" * 2_000_000)


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("folder", "is not a plain file (move it out of the library)"),
        ("fifo", "is not a plain file (move it out of the library)"),
        ("link out", "links to a place outside the library (copy the file in)"),
        ("link to nothing", "cannot be read: No such file or directory (check its permissions)"),
        ("link to itself", "cannot be read: Too many levels of symbolic links (check its permissions)"),
        ("large", f"has {len(SOUR.encode()) + 2_000_000} bytes, over 1000000 (a library file is a page or two of text)"),
    ],
)
def test_what_is_no_file_of_the_library_is_told_and_never_waited_for(kind: str, said: str, tmp_path: Path) -> None:
    folder = write_library(tmp_path / "library")
    special(folder, kind, tmp_path / "outside.toml")
    library = read_library(folder)
    assert [str(fault) for fault in library.faults] == [f"drinks/odd.toml: {said}"]
    assert set(library.drinks) == {"sour"}


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads everything")
def test_a_file_without_permission_is_told(tmp_path: Path) -> None:
    folder = write_library(tmp_path, {"drinks/locked.toml": SOUR})
    (folder / "drinks" / "locked.toml").chmod(0)
    told = [str(fault) for fault in read_library(folder).faults]
    assert told == ["drinks/locked.toml: cannot be read: Permission denied (check its permissions)"]


# A file name is bytes, and bytes may be no UTF-8; a key may hold an escape: neither may end the program or steer the terminal.
def test_a_file_whose_name_is_no_text_is_one_fault(tmp_path: Path) -> None:
    folder = write_library(tmp_path)
    (Path(os.fsdecode(os.fsencode(folder) + b"/drinks/\xff.toml"))).write_text(SOUR)
    library = read_library(folder)
    assert set(library.drinks) == {"sour"} and len(library.faults) == 1


@pytest.mark.parametrize(
    "content",
    [
        'name = "A"\nmethod = "shake"\n"a\\u001b[2J\\nb" = 1\n\n[[lines]]\nitem = "spirit"\namount = "60 ml"\n',
        drink("shake", "spirit: 60 ml", more='style = "a\\u001b[2J\\nb"'),
        drink("shake", "spirit: 2 \\u001b[2J\\u000a"),
        drink("sh\\u001b[2J\\nake", "spirit: 2 ml"),
    ],
    ids=["a key", "an id", "an amount", "a choice"],
)
def test_a_fault_is_one_plain_line_whatever_stands_in_the_file(content: str, tmp_path: Path) -> None:
    told = faults(tmp_path, {"drinks/bad.toml": content})
    assert told
    for line in told:
        assert line.isprintable() or "\u00a0" in line, ascii(line)


def test_a_file_name_with_a_line_feed_is_still_one_line(tmp_path: Path) -> None:
    assert [line for line in faults(tmp_path, {"drinks/a\nb.toml": SOUR}) if "\n" in line] == []


# 5 000 hexadecimal digits are an integer of TOML that Python will not write in decimal.
@pytest.mark.parametrize(
    ("file", "content"),
    [
        ("drinks/bad.toml", f"name = 0x{'F' * 5000}\n"),
        ("station.toml", f"format = 0x{'F' * 5000}\n"),
        ("ingredients/bad.toml", item("x", f"abv = 0x{'F' * 5000}")),
        ("ingredients/bad.toml", item("x", f"abv = {'9' * 5000}")),
        ("measures.toml", MEASURES.replace("count = 50", f"count = 0x{'F' * 5000}")),
    ],
)
def test_an_absurd_integer_is_a_fault(file: str, content: str, tmp_path: Path) -> None:
    told = [fault for fault in read_small(tmp_path, {file: content}).faults if fault.file == file]
    assert told and all(len(str(fault)) < 400 for fault in told)


def test_a_tower_of_brackets_is_a_fault(tmp_path: Path) -> None:
    told = faults(tmp_path, {"drinks/bad.toml": "a = " + "[" * 20_000})
    assert len(told) == 1 and told[0] == "drinks/bad.toml: is nested too deeply (flatten it)"


FILES = sorted(SMALL)
tomls = st.sampled_from([HOUSE, ITEMS, MEASURES, WINDOWS, CITRIC, SOUR])
PIECES = r"""= [ ] " [[lines]] -1 nan inf 1e999 0 true {} [] # ' 2026-11-04 citric-25 water sour format [x] lines=3"""
pieces = st.sampled_from([b"\n", b"\xff", b"\0", b'"1,500 ml"', b'"to 1 l"', b'"100 %"', *PIECES.encode().split()])


@st.composite
def mauled(draw: st.DrawFn) -> bytes:
    """A good file with some of it cut out, doubled or replaced."""
    raw = draw(tomls).encode()
    for _ in range(draw(st.integers(0, 4))):
        start = draw(st.integers(0, len(raw)))
        end = min(len(raw), start + draw(st.integers(0, 40)))
        raw = raw[:start] + draw(st.one_of(pieces, st.binary(max_size=4))) + raw[end:]
    return raw


def read_whatever(folder: Path, file: str, raw: bytes) -> tuple[Fault, ...]:
    library = read_library(write_library(folder, {file: raw}))
    found = check(Blends(library))
    for fault in found:
        assert fault.file and fault.code and fault.message and fault.severity in {"error", "warning"}
        assert fault.line >= 0 and fault.column >= 0 and (fault.line > 0) == (fault.column > 0)
    return found


any_file = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@given(st.sampled_from(FILES), st.binary(max_size=60))
@any_file
def test_any_bytes_in_any_file_are_faults_never_a_crash(tmp_path: Path, file: str, raw: bytes) -> None:
    read_whatever(tmp_path, file, raw)


@given(st.sampled_from(FILES), mauled())
@any_file
def test_a_mauled_file_is_faults_never_a_crash(tmp_path: Path, file: str, raw: bytes) -> None:
    read_whatever(tmp_path, file, raw)


@pytest.mark.long
@given(st.sampled_from(FILES), mauled())
@settings(any_file, max_examples=5_000)
def test_very_many_mauled_files(tmp_path: Path, file: str, raw: bytes) -> None:
    read_whatever(tmp_path, file, raw)


def test_reading_again_takes_in_what_changed_and_only_that(tmp_path: Path) -> None:
    reader = LibraryReader(write_library(tmp_path))
    first = reader.read()
    assert reader.read() == first
    assert reader.read().drinks["sour"] is first.drinks["sour"]
    (tmp_path / "drinks" / "sour.toml").write_text(SOUR.replace("Plain Sour", "Sour Again"))
    second = reader.read()
    assert second.drinks["sour"].name == "Sour Again" and second.revision != first.revision
    assert second.items["spirit"] is first.items["spirit"]


def test_a_specs_revision_is_the_digest_of_its_bytes(tmp_path: Path) -> None:
    import hashlib

    library = read_small(tmp_path)
    assert library.drinks["sour"].revision == hashlib.sha256(SOUR.encode()).hexdigest()
