"""Amounts as people write them: `22.5 ml`, `3/4 oz`, `1½ oz`, `22,5 ml`, `2 drops`, `a dash`, `top 60 ml`, `to 1 l`.

Number, fraction and unit are taken apart here: a units library reads `1 1/2 oz` as 0.5 and `1,5 oz` as 15.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from difflib import get_close_matches

from station.bar.ratio import readings
from station.bar.say import LONGEST_MESSAGE, plain
from station.bar.units import COUNTED, MEASURES, WORDS

ROLES = ("top", "float", "rinse", "to")
# Four decimals are as fine as an amount is written.
SMALLEST, LARGEST = 1e-4, 1e7

_MINUS = frozenset({"-", "−"})
_ROLE = re.compile(rf"({'|'.join(ROLES)})\b\s*", re.IGNORECASE)
_ARTICLE = re.compile(r"(?:an?|one)\b\s*", re.IGNORECASE)
_NUMBER = re.compile(
    r"""(?P<whole>\d+)\s+(?P<top>\d+)\s*/\s*(?P<bottom>\d+)     # 1 1/2
      | (?P<top2>\d+)\s*/\s*(?P<bottom2>\d+)                    # 3/4
      | (?P<decimal>\d*(?:[.,]\d+)+|\d+[.,]?)                   # 22.5  22,5  .75  22.
    """,
    re.VERBOSE,
)
_GROUPED = re.compile(r"(?!0,)\d+,\d{3}")


class AmountError(ValueError):
    """What was typed is no amount: where (`start`, characters from 0), why, and what to write instead.

    `nothing` tells a well-written zero from what cannot be read.
    """

    def __init__(self, text: str, start: int, reason: str, remedy: str, nothing: bool = False) -> None:
        super().__init__(plain(f"{reason} ({remedy})", LONGEST_MESSAGE))
        self.text, self.start, self.reason, self.remedy, self.nothing = text, start, reason, remedy, nothing


@dataclass(frozen=True, slots=True)
class Amount:
    """A number and a unit as a person wrote it. `value` is None for a bare `top`, `float` or `rinse`."""

    text: str
    value: float | None
    unit: str
    role: str = ""

    @property
    def measures(self) -> str:
        """volume, mass, counted, each, part, or "" where no unit is given."""
        return MEASURES.get(self.unit, "")


def parse_amount(text: str, unit: str = "") -> Amount:
    """Read an amount. `unit` is what a bare number means (a field that already shows one). Raises AmountError."""
    typed = _plain(text)
    role, rest = _role(typed)
    if role and role != "to" and not rest.strip():
        return Amount(text, None, "", role)
    start = len(typed) - len(rest)
    value, tail = _number(text, rest, start)
    if not SMALLEST <= value <= LARGEST:
        reason = f"the amount is {'zero' if value == 0.0 else 'too small' if value < SMALLEST else 'too large'}"
        raise AmountError(text, start, reason, "write how much goes in, e.g. 22.5 ml", nothing=value == 0.0)
    return Amount(text, value, _unit(text, tail, len(typed) - len(tail), unit), role)


def parse_number(text: str) -> float:
    """A number on its own, zero and below too. Raises AmountError for what is none, or can be read two ways."""
    body = text.strip()
    sign = -1.0 if body[:1] in _MINUS else 1.0
    value, tail = _number(text, body.lstrip("".join(_MINUS)), 0)
    if tail:
        raise AmountError(text, 0, f"“{body}” is no number", "write e.g. 40")
    return sign * value


def rewritten(amount: Amount, value: float) -> Amount:
    """The same amount with another number, as a person would write it."""
    number = spell_number(value)
    role = f"{amount.role} " if amount.role else ""
    return replace(amount, text=f"{role}{number} {spell_unit(amount.unit, float(number))}", value=float(number))


def spell_number(value: float) -> str:
    """A number as it is typed: at most four decimals, no trailing zeros, a leading zero, never an exponent."""
    return f"{value:.4f}".rstrip("0").rstrip(".")


def spell_unit(unit: str, value: float) -> str:
    """The unit's word for that many: `1 drop`, `2 drops`, `22.5 ml`."""
    if unit in {*COUNTED, "part", "cup", "pint"} and value != 1:
        return "dashes" if unit == "dash" else f"{unit}s"
    return unit


def _plain(text: str) -> str:
    """One character for each of the text's, so that places stay true: vulgar fraction signs are left to _number."""
    return "".join(" " if char.isspace() else char for char in text.replace("\u2044", "/")).rstrip()


def _role(plain: str) -> tuple[str, str]:
    body = plain.lstrip()
    found = _ROLE.match(body)
    return (found[1].lower(), body[found.end() :]) if found else ("", body)


def _number(text: str, rest: str, start: int) -> tuple[float, str]:
    if rest[:1] in _MINUS:
        raise AmountError(text, start, "an amount cannot be below zero", "write a positive number, e.g. 22.5 ml")
    if both := readings(rest):
        raise AmountError(text, start, both, "write the parts out, each with its item and its grams")
    article = _ARTICLE.match(rest)
    if article and rest[article.end() :]:
        return 1.0, rest[article.end() :]
    if rest[:1] and _vulgar(rest[0]) is not None:
        return _vulgar(rest[0]) or 0.0, rest[1:].lstrip()
    found = _NUMBER.match(rest)
    if not found:
        raise AmountError(text, start, "no number here", "write a number and a unit, e.g. 22.5 ml, 3/4 oz or 2 drops")
    value, tail = _value(text, found, start), rest[found.end() :].lstrip()
    if tail[:1] and _vulgar(tail[0]) is not None and found[0].isdigit():
        return value + (_vulgar(tail[0]) or 0.0), tail[1:].lstrip()
    return value, tail


def _vulgar(char: str) -> float | None:
    """What a sign such as ½ stands for; None for signs that are no fraction of one, as ² and ①."""
    value = unicodedata.numeric(char, None) if unicodedata.category(char) == "No" else None
    return value if value is not None and 0.0 < value < 1.0 else None


def _value(text: str, found: re.Match[str], start: int) -> float:
    digits = found[0]
    if len(digits) > 15:
        raise AmountError(text, start, "the number is too long", "write at most 15 digits")
    if found["decimal"]:
        return _decimal(text, digits, start)
    whole, top, bottom = (
        int(part or 0) for part in (found["whole"], found["top"] or found["top2"], found["bottom"] or found["bottom2"])
    )
    if bottom == 0:
        raise AmountError(text, start, "a fraction over zero", "write e.g. 3/4 oz")
    return whole + top / bottom


def _decimal(text: str, digits: str, start: int) -> float:
    if _GROUPED.fullmatch(digits):
        small, large = digits.replace(",", "."), digits.replace(",", "")
        unit = text[start + len(digits) :].strip()
        readings = f"{spell_number(float(small))} {unit} or {large} {unit}?".replace(" ?", "?").replace("  ", " ")
        raise AmountError(text, start, f"{digits} can be read two ways: {readings}", "write it without the comma")
    if digits.count(".") + digits.count(",") > 1:
        raise AmountError(text, start, f"{digits} has two decimal marks", "write e.g. 1500 ml or 1.5 l")
    return float(digits.replace(",", "."))


def _unit(text: str, tail: str, start: int, default: str) -> str:
    word = " ".join(tail.split())
    if not word:
        if default:
            return default
        raise AmountError(text, start, "no unit here", "say which, e.g. ml, oz, g, drops, dashes, barspoon")
    if known := WORDS.get(word.lower()):
        return known
    meant = " or ".join(_meant(word.lower()))
    raise AmountError(
        text,
        start,
        f"“{word}” is no unit here",
        f"did you mean {meant}?" if meant else "e.g. ml, oz, g, drops, dashes, barspoon",
    )


def _meant(word: str) -> list[str]:
    """Counts the letters begin, before any unit they resemble: a decilitre must not be offered for a drop."""
    begun = [spell_unit(unit, 2) for unit in COUNTED if unit.startswith(word)]
    return begun or (get_close_matches(word, WORDS, n=1, cutoff=0.6) if len(word) > 1 else [])
