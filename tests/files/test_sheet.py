"""A sheet is read as data: delimiters, marks, quotes and lines found; what is no sheet, or no honest cell, is said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from station.files import sheet as module
from station.files.sheet import NoSheet, Sheet, bytes_of, read_sheet

NEEDED, BESIDES = ("drink", "item", "amount", "method"), ("glass",)
NAME_THEM = "name the columns in its first line: drink,item,amount,method,glass"
PLAIN = "drink,item,amount,method,glass\nA,rum,60 ml,shake,coupe\nA,lime,22.5 ml,,\n"


def read(text: str | bytes) -> Sheet:
    return read_sheet("f.csv", text if isinstance(text, bytes) else text.encode(), NEEDED, BESIDES)


def test_rows_are_cells_by_column_with_their_line() -> None:
    sheet = read(PLAIN)
    assert [row.line for row in sheet.rows] == [2, 3]
    assert sheet.rows[0].cells == {"drink": "A", "item": "rum", "amount": "60 ml", "method": "shake", "glass": "coupe"}
    assert (sheet.ignored, sheet.faults) == ((), ())


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_delimiter_line_ends_and_byte_order_mark_are_the_writers(delimiter: str, newline: str, mark: bytes) -> None:
    text = PLAIN.replace(",", delimiter).replace("\n", newline)
    assert read(mark + text.encode()) == read(PLAIN)


def test_a_decimal_comma_is_no_delimiter_beside_semicolons() -> None:
    sheet = read("drink;item;amount;method\nA;rum;22,5 ml;shake\nA;lime;7,5 ml;shake\n")
    assert [row.cells["amount"] for row in sheet.rows] == ["22,5 ml", "7,5 ml"]


def test_columns_stand_in_any_order_and_others_are_left_out() -> None:
    sheet = read("Notes, Method ,AMOUNT,item,drink,price\n=1+1\x1b,shake,60 ml,rum,A,9\n")
    assert sheet.rows[0].cells == {"method": "shake", "amount": "60 ml", "item": "rum", "drink": "A"}
    assert (sheet.ignored, sheet.faults) == (("notes", "price"), ())


def test_blank_rows_count_as_lines_but_are_no_rows() -> None:
    sheet = read("drink,item,amount,method\n\n,,,\nA,rum,60 ml,shake\n")
    assert [row.line for row in sheet.rows] == [4]


def test_a_short_row_is_blank_to_its_end() -> None:
    assert read("drink,item,amount,method\nA,rum\n").rows[0].cells["amount"] == ""


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("A\x1b[31m,rum,60 ml,shake,", "f.csv:2:1: drink: “A�[31m” holds a character that cannot be shown (type it anew)"),
        ("A,rum\u202e,60 ml,shake,", "f.csv:2:1: item: “rum�” holds a character that cannot be shown (type it anew)"),
        ('"A\nB",rum,60 ml,shake,', "f.csv:2:1: drink: the cell holds a line break (write it on one line)"),
        ("A" * 100_000 + ",rum,60 ml,shake,", "f.csv:2:1: drink: the cell has 100000 characters (at most 200)"),
        ("A,rum,60 ml,shake,coupe,more", "f.csv:2:1: the row has 6 cells, the header 5 (put a cell that holds the delimiter"),
        ('A,"ru"m,60 ml,shake,', "f.csv:2:1: is not CSV from here on: ',' expected after '\"' (check its quotes)"),
        ("A" * 200_000 + ",rum,60 ml,shake,", "f.csv:2:1: is not CSV from here on: field larger than field limit (131072)"),
        ('A,"rum,60 ml,shake,', "f.csv:2:1: is not CSV from here on: unexpected end of data (check its quotes)"),
    ],
)
def test_a_hostile_cell_is_refused_in_one_line(row: str, said: str) -> None:
    sheet = read(f"drink,item,amount,method,glass\n{row}\n")
    assert len(sheet.faults) == 1 and str(sheet.faults[0]).startswith(said)
    assert sheet.rows == ()


def test_rows_after_a_bad_one_are_read_and_their_lines_are_true() -> None:
    sheet = read('drink,item,amount,method\n"A\n\nB",rum,60 ml,shake\nC,rum,60 ml,shake\n')
    assert [(row.line, row.cells["drink"]) for row in sheet.rows] == [(5, "C")]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", f"f.csv has no header row ({NAME_THEM})"),
        (b"just words\n", f"f.csv has no header row ({NAME_THEM})"),
        (b"drink,item,method\n", f"f.csv has no column amount ({NAME_THEM})"),
        (b"drink,item,amount,amount,method\n", "f.csv has 2 columns amount (keep one)"),
        ("drink,item,amount,method\n".encode("utf-16"), "f.csv is not UTF-8 text: line 1, column 1: byte 0xFF is not UTF-8"),
    ],
)
def test_what_is_no_sheet_is_said(raw: bytes, said: str) -> None:
    with pytest.raises(NoSheet) as caught:
        read(raw)
    assert str(caught.value).startswith(said)


@pytest.mark.parametrize("name", ["/nowhere/x.csv", "/", "a\0b"])
def test_a_file_that_cannot_be_read_is_said(name: str) -> None:
    with pytest.raises(NoSheet, match="cannot be read"):
        bytes_of(name)


def test_a_sheet_has_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "LARGEST_BYTES", 1000)
    with pytest.raises(NoSheet, match="has over 1000 bytes"):
        bytes_of("/dev/zero")


ROWS = st.text(max_size=200).map(lambda text: b"drink,item,amount,method\n" + text.encode("utf-8", "ignore"))


@given(st.one_of(st.binary(max_size=200), ROWS))
def test_any_bytes_are_rows_and_faults_or_no_sheet(raw: bytes) -> None:
    try:
        sheet = read(raw)
    except NoSheet as error:
        assert "\n" not in str(error)
    else:
        assert all("\n" not in str(fault) for fault in sheet.faults)
        assert all(set(row.cells) >= set(NEEDED) for row in sheet.rows)
