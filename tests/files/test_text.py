"""Bytes to text and back."""

from __future__ import annotations

import pytest

from station.bar.place import Place
from station.files.text import NotUtf8, decode, encode, newline_of


def test_one_byte_order_mark_is_taken_off_and_put_back() -> None:
    raw = b"\xef\xbb\xbfa = 1\n"
    assert decode(raw) == "a = 1\n"
    assert encode("a = 2\n", replaces=raw) == b"\xef\xbb\xbfa = 2\n"
    assert encode("a = 2\n", replaces=b"a = 1\n") == b"a = 2\n"
    assert decode(b"\xef\xbb\xbf" * 2) == "\ufeff"


def test_a_byte_that_is_not_utf8_is_placed_in_characters() -> None:
    with pytest.raises(NotUtf8) as caught:
        decode(b"\xef\xbb\xbfa = 1\r\nb = '\xc3\xa9\xe9'\n")
    assert caught.value.place == Place(2, 7)
    assert str(caught.value) == "line 2, column 7: byte 0xE9 is not UTF-8"
    assert isinstance(caught.value, UnicodeDecodeError)


@pytest.mark.parametrize(("text", "newline"), [("", "\n"), ("a", "\n"), ("a\n", "\n"), ("a\r\nb\n", "\r\n"), ("\nb\r\n", "\n")])
def test_lines_go_on_ending_as_the_first_does(text: str, newline: str) -> None:
    assert newline_of(text) == newline
