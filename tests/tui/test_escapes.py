from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from station.tui.escapes import ESC, Escapes


def _all(*reads: tuple[str, float]) -> list[str]:
    escapes = Escapes(0.1)
    return [piece for text, now in reads for piece in escapes.pieces(text, now)]


def test_escape_and_a_letter_in_one_read_are_two_keys() -> None:
    assert _all(("\x1bb", 0.0)) == [ESC, "b"]
    assert _all(("12\x1b\x1bb", 0.0)) == ["12", ESC, ESC, "b"]
    assert _all(("\x1b\r\x1b\x1b[A", 0.0)) == [ESC, "\r", ESC, "\x1b[A"]


def test_a_sequence_stays_whole() -> None:
    for sequence in ("\x1b[A", "\x1bOA", "\x1b[<0;3;4M", "\x1b]11;rgb:0/0/0\x1b\\", "\x1bP1$r0m\x1b\\"):
        assert "".join(_all((sequence, 0.0))) == sequence
        assert ESC not in _all((sequence, 0.0))


def test_an_arrow_key_in_two_reads_is_one_sequence() -> None:
    assert _all(("\x1b", 0.0), ("", 0.05), ("[A", 0.09)) == ["\x1b[A"]


def test_escape_alone_is_the_key_when_nothing_follows_in_time() -> None:
    assert _all(("\x1b", 0.0), ("", 0.05), ("", 0.11)) == [ESC]
    assert _all(("\x1b", 0.0), ("b", 0.01)) == [ESC, "b"]


@given(st.lists(st.tuples(st.text("\x1b[Oab1", max_size=4), st.floats(0, 1)), max_size=6))
def test_nothing_that_was_read_is_lost(reads: list[tuple[str, float]]) -> None:
    escapes, now, given_on = Escapes(0.1), 0.0, ""
    for text, wait in reads:
        now += wait
        given_on += "".join(escapes.pieces(text, now))
    given_on += "".join(escapes.pieces("", now + 1.0))
    assert given_on == "".join(text for text, _ in reads)
