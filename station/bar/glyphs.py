"""Signs beyond ASCII: the one table of what stands for them where a font or a locale has none.

Letters of people's own words lose their accents; fractions and raised figures keep their value, as 1½ must never read 11.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping

_SIGNS = {
    "▸": ">", "•": "*", "·": "-", "×": "x", "…": "~", "–": "-", "—": "-", "−": "-",
    "→": "->", "←": "<-", "↑": "^", "↓": "v", "▲": "^", "▼": "v", "●": "O", "█": "#",
    "○": "o", "◆": "#", "◈": "@", "◀": "<", "▶": ">", "━": "=", "─": "-", "│": "|", "┤": "|", "└": "+",
    "┏": "+", "┓": "+", "┗": "+", "┛": "+", "┃": "|",
    "“": '"', "”": '"', "‘": "'", "’": "'", "\u00a0": " ", "\ufffd": "?",
    "°": "", "±": "+/-", "≥": ">=", "≤": "<=",
}  # fmt: skip
# As names of keys: an arrow head could be read as a letter, or as Ctrl.
_KEYS = {"↑": "Up", "↓": "Dn", "←": "Lt", "→": "Rt", "⌫": "Bksp", "⇧": "Shift+"}
# Dots of a picture.
_BRAILLE = ("\u2801", "\u28ff")
_LETTERS = {"ß": "ss", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "ø": "o", "Ø": "O", "ł": "l", "Ł": "L", "đ": "d", "ı": "i"}
# A coercion's target (PEP 538): Python sets it where the locale was C.
_COERCED = frozenset({"C.UTF-8", "C.utf8", "UTF-8"})

SIGNS = frozenset({*_SIGNS, *_KEYS})

_only = False


def use_ascii(on: bool) -> None:
    """Whether this process's terminal shows ASCII only."""
    global _only  # noqa: PLW0603  # one process, one terminal
    _only = on


def ascii_only() -> bool:
    return _only


def wants_ascii(environment: Mapping[str, str], coerced: bool = False) -> bool:
    """Whether the environment asks for ASCII: `STATION_ASCII`, else a locale that names no UTF-8. None named: it may be shown.

    `coerced`: the interpreter found the C locale and may have set LC_CTYPE itself.
    """
    if said := environment.get("STATION_ASCII", ""):
        return said != "0"
    ctype = environment.get("LC_CTYPE", "")
    named = environment.get("LC_ALL") or ("" if coerced and ctype in _COERCED else ctype) or environment.get("LANG", "")
    return bool(named) and "utf" not in named.lower()


def in_ascii(text: str) -> str:
    """The text in ASCII; a sign nothing stands for is a question mark."""
    if text.isascii():
        return text
    parts: list[str] = []
    for char in text:
        stands = char if char.isascii() else _SIGNS.get(char)
        parts.append(_spelled(char, parts[-1][-1:] if parts else "") if stands is None else stands)
    return "".join(parts)


def key_in_ascii(name: str) -> str:
    """A key's name in ASCII."""
    return in_ascii("".join(_KEYS.get(char, char) for char in name))


def _spelled(char: str, before: str) -> str:
    if _BRAILLE[0] <= char <= _BRAILLE[1]:
        return "."
    if char in _LETTERS:
        return _LETTERS[char]
    if (digit := unicodedata.decimal(char, None)) is not None:
        return str(digit)
    flat = unicodedata.normalize("NFKD", char).replace("\u2044", "/")
    if "/" in flat and flat != char and unicodedata.numeric(char, None) is not None:
        return f" {flat}" if before.isdigit() else flat
    if unicodedata.digit(char, None) is not None:
        return f"^{unicodedata.digit(char)}"
    if unicodedata.combining(char):
        return ""
    return "".join(one for one in flat if one.isascii()) or "?"
