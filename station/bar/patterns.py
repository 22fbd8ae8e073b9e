"""How amounts and quantities are spelled, as patterns an editor checks while they are typed (ECMA-262, no flags).

A pattern may let by what the reader refuses (a range, a sum), never refuse what the reader takes. Only the JSON Schemas need
them; the reader has its own way with an amount, which ends in a sentence.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from station.bar.amount import ROLES
from station.bar.composition import ACIDS
from station.bar.unit_table import ML
from station.bar.units import MEASURES, WORDS


def _any_case(words: str) -> str:
    """The words in capitals or not; a space stands for one or more."""
    return "".join(rf"[{char}{char.upper()}]" if char.isalpha() else r"\s+" if char == " " else char for char in words)


def _one_of(words: Iterable[str]) -> str:
    return f"({'|'.join(_any_case(one) for one in words)})"


# Not zero, at most 15 digits on a side, and no comma before exactly three digits unless a lone 0 stands before it.
_DECIMAL = r"(?=[\d.,]*[1-9])(\d{0,14}\.\d{1,14}|0?,\d{1,14}|\d{1,14},(?!\d{3}(?!\d))\d{0,14}|\d{1,15}\.?)"
_FRACTION = r"(\d{1,13}\s+)?\d{1,13}\s*[/\u2044]\s*\d{1,13}"
# ½ and its like: which characters are such signs is the reader's to know.
_WITH_SIGN = r"(\d{1,15}\s*)?[^\x00-\x7F]{1,2}"
_NUMBER = r"(\d+([.,]\d+)?|[.,]\d+)"


def _amount(units: Iterable[str]) -> str:
    """A number and one of the units."""
    words = _one_of(sorted(word for word, unit in WORDS.items() if unit in units))
    article = _one_of(("a", "an", "one"))
    return rf"(({_FRACTION}|{_DECIMAL}|{_WITH_SIGN})\s*|{article}\s+){words}"


def _amount_or_role() -> str:
    bare = _one_of(role for role in ROLES if role != "to")
    return rf"({bare}|({_one_of(ROLES)}\s*)?{_amount(MEASURES)})"


def _measuring(what: str) -> list[str]:
    return [unit for unit, measures in MEASURES.items() if measures == what]


def _per(one: str, other: str) -> str:
    return rf"{_any_case(one)}\s*/\s*{_any_case(other)}"


def _acidity() -> str:
    per = rf"[gG]\s*/\s*(100\s*{_any_case('ml')}|[lL])"
    as_acid = rf"(\s+{_any_case('as')}\s+{_one_of(ACIDS)})?"
    return rf"{_NUMBER}\s*{per}{as_acid}(\s+{_any_case('to ph')}\s*[\d.]+)?"


def _spelled(title: str, body: str, *examples: str) -> Mapping[str, object]:
    return {"title": title, "type": "string", "pattern": rf"^\s*{body}\s*$", "examples": list(examples)}


_PERCENTAGE = _spelled("percentage", rf"{_NUMBER}\s*%", "2 %")

# By the name of the function that reads it.
SPELLED: Mapping[str, Mapping[str, object]] = {
    "amount": _spelled("amount", _amount_or_role(), "22.5 ml", "3/4 oz", "2 drops", "top 60 ml"),
    "mass_g": _spelled("mass", _amount(_measuring("mass")), "25 g"),
    "volume": _spelled("volume", _amount(_measuring("volume")), "1.5 l"),
    "metric_ml": _spelled("metric volume", _amount(ML), "0.8 ml"),
    **dict.fromkeys(("percent", "share", "tolerance"), _PERCENTAGE),
    "keeps": _spelled("length of time", rf"{_NUMBER}\s*(hours?|h|days?|d|weeks?|months?)", "36 hours", "90 days"),
    "density": _spelled("density", rf"{_NUMBER}\s*{_per('g', 'ml')}", "1.030 g/ml"),
    "freezer_c": _spelled("temperature", rf"([-−]\s*)?{_NUMBER}(\s*°)?\s*[cC]", "-18 °C"),
    "given": _spelled("amount", _amount(MEASURES), "22.5 ml", "2 drops", "1 each"),
    "mass_or_volume": _spelled("mass or volume", _amount((*_measuring("mass"), *_measuring("volume"))), "1 kg", "90 ml"),
    "mg_per_l": _spelled("content", rf"{_NUMBER}\s*{_per('mg', 'l')}", "30 mg/l"),
    "acidity": _spelled("acidity", _acidity(), "6.0 g/100ml", "6.5 g/l as tartaric"),
    "dilution": _spelled(
        "dilution",
        rf"({_NUMBER}\s*%\s*of\s+(initial|final)|{_amount(_measuring('mass'))})",
        "52 % of initial",
        "34 % of final",
        "30 g",
    ),
    "clock": _spelled("time of day", r"([01]\d|2[0-3]):[0-5]\d", "05:00"),
    "zone": _spelled("time zone", r"[A-Za-z0-9_+/-]+", "Europe/Lisbon"),
}
