"""A library file's bytes as text and back: UTF-8, with the byte order mark some editors put in front."""

from __future__ import annotations

from codecs import BOM_UTF8

from station.bar.place import Place


class NotUtf8(UnicodeDecodeError):
    """A file holds a byte that is not UTF-8; `place` is where."""

    def __init__(self, body: bytes, start: int, end: int) -> None:
        super().__init__("utf-8", body, start, end, "not UTF-8")
        before = body[:start].decode("utf-8")
        self.place = Place.at(before, len(before))

    def __str__(self) -> str:
        return f"line {self.place.line}, column {self.place.column}: byte 0x{self.object[self.start]:02X} is not UTF-8"


def decode(raw: bytes) -> str:
    """The text of a file, without the one byte order mark it may start with (tomllib refuses it; `encode` puts it back).

    Raises NotUtf8 with the place of the first bad byte.
    """
    body = raw.removeprefix(BOM_UTF8)
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        raise NotUtf8(body, error.start, error.end) from None


def encode(text: str, replaces: bytes = b"") -> bytes:
    """The bytes of `text`, with a byte order mark if the file it replaces has one. Raises UnicodeEncodeError."""
    mark = BOM_UTF8 if replaces.startswith(BOM_UTF8) else b""
    return mark + text.encode("utf-8")


def newline_of(text: str) -> str:
    """How the lines of `text` end: as its first one does."""
    first = text.find("\n")
    return "\r\n" if first > 0 and text[first - 1] == "\r" else "\n"
