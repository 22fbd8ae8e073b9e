"""Quantities as files state them: `2 %`, `90 days`, `1.030 g/ml`, `6.0 g/100ml as citric`, `52 % of initial`, `25 g`."""

from __future__ import annotations

import re
from dataclasses import dataclass

from station.bar import unit_table
from station.bar.amount import Amount, AmountError, parse_amount
from station.bar.composition import ACIDS
from station.bar.units import g_per

_NUMBER = r"(?P<number>\d+(?:[.,]\d+)?|[.,]\d+)"
_PERCENT = re.compile(rf"{_NUMBER}\s*%")
_DILUTION = re.compile(rf"{_NUMBER}\s*%(?:\s*of\s+(?P<basis>initial|final))?")
_SPAN = re.compile(rf"{_NUMBER}\s*(?P<unit>hours?|h|days?|d|weeks?|months?)")
_MG_PER_L = re.compile(rf"{_NUMBER}\s*mg\s*/\s*l", re.IGNORECASE)
_DENSITY = re.compile(rf"{_NUMBER}\s*g\s*/\s*ml", re.IGNORECASE)
_CELSIUS = re.compile(r"(?P<sign>[-−]?)\s*" + _NUMBER + r"\s*°?\s*c", re.IGNORECASE)
_ACIDITY = re.compile(
    rf"{_NUMBER}\s*g\s*/\s*(?P<per>100\s*ml|l)(?:\s+as\s+(?P<acid>[a-z]+))?(?:\s+to\s+ph\s*(?P<end>[\d.]+))?", re.IGNORECASE
)
_HOURS = {"h": 1, "d": 24, "w": 7 * 24, "m": 30 * 24}


class QuantityError(ValueError):
    """What was written is not such a quantity: why, and what to write instead."""

    def __init__(self, reason: str, remedy: str) -> None:
        super().__init__(f"{reason} ({remedy})")
        self.reason, self.remedy = reason, remedy


@dataclass(frozen=True, slots=True)
class Keeps:
    """How long something keeps, by the house's own word: in days (the day made is day 1) or by the clock."""

    hours: int
    by_the_day: bool

    def __str__(self) -> str:
        count, unit = (self.hours // 24, "day") if self.by_the_day else (self.hours, "hour")
        return f"{count} {unit}{'s' if count != 1 else ''}"


@dataclass(frozen=True, slots=True)
class StatedDilution:
    """Water added by ice or by hand, as a spec states it: `value` is a fraction of the initial or final volume, or grams."""

    value: float
    basis: str


@dataclass(frozen=True, slots=True)
class Acidity:
    """Titratable acidity in g per 100 ml, in the acid the statement names (citric unless it says another), to its end point."""

    g_per_100_ml: float
    acid: str = "citric"
    end_ph: float | None = None


def mass_g(text: str) -> float:
    """Grams of a stated mass: `25 g`, `1.2 kg`. Raises QuantityError."""
    read = given(text)
    if read.measures != "mass":
        raise QuantityError(f"“{text}” is no mass", "write e.g. 25 g")
    return (read.value or 0.0) * g_per(read.unit)


def volume(text: str) -> Amount:
    """A stated volume, left as written: what its ounce means is the house's to say. Raises QuantityError."""
    read = given(text)
    if read.measures != "volume":
        raise QuantityError(f"“{text}” is no volume", "write e.g. 1.5 l")
    return read


def metric_ml(text: str) -> float:
    """Millilitres of a volume in ml, cl, dl or l. Raises QuantityError."""
    read = volume(text)
    if read.unit not in unit_table.ML:
        raise QuantityError(f"“{text}” is in no metric unit", "write e.g. 0.8 ml")
    return (read.value or 0.0) * unit_table.ML[read.unit]


def tolerance(text: str) -> float:
    """The fraction a tolerance states, above 0 and under 50 %. Raises QuantityError."""
    value = percent(text)
    if not 0.0 < value < 0.5:
        raise QuantityError(f"a tolerance of {text.strip()} is out of range", "write e.g. 1 %")
    return value


def share(text: str) -> float:
    """The fraction a percentage states, under 100 %. Raises QuantityError."""
    value = percent(text)
    if value >= 1.0:
        raise QuantityError(f"{text.strip()} leaves nothing", "write less than 100 %")
    return value


def mg_per_l(text: str) -> float:
    """`30 mg/l`. Raises QuantityError."""
    return _match(_MG_PER_L, text, "content in mg/l", "write e.g. 30 mg/l")


def percent(text: str) -> float:
    """The fraction a percentage states. Raises QuantityError."""
    return _match(_PERCENT, text, "percentage", "write e.g. 2 %") / 100.0


def keeps(text: str) -> Keeps:
    """`1 day`, `36 hours`, `2 weeks`. Raises QuantityError."""
    found = _SPAN.fullmatch(text.strip())
    if not found:
        raise QuantityError(f"“{text}” is no length of time", "write e.g. 36 hours or 90 days")
    unit = found["unit"][0]
    hours = _float(found["number"]) * _HOURS[unit]
    if not 1 <= hours <= 24 * 3650:
        raise QuantityError(f"“{text}” is out of range", "write 1 hour to 3650 days")
    return Keeps(round(hours), by_the_day=unit != "h")


def density(text: str) -> float:
    """Density in g/ml. Raises QuantityError outside 0.5 to 2."""
    value = _match(_DENSITY, text, "density", "write e.g. 1.030 g/ml")
    if not 0.5 <= value <= 2.0:
        raise QuantityError(f"a density of {value:g} g/ml is out of range", "write 0.5 to 2 g/ml")
    return value


def freezer_c(text: str) -> float:
    """A freezer's temperature in °C: `-12 °C`. Raises QuantityError outside -60 to 0."""
    found = _CELSIUS.fullmatch(text.strip())
    if not found:
        raise QuantityError(f"“{text}” is no temperature", "write e.g. -18 °C")
    value = -_float(found["number"]) if found["sign"] else _float(found["number"])
    if not -60.0 <= value <= 0.0:
        raise QuantityError(f"a freezer at {value:g} °C is out of range", "write -60 to 0 °C")
    return value


def acidity(text: str) -> Acidity:
    """`6.0 g/100ml`, `6.5 g/l as tartaric to pH 7.0`. Raises QuantityError."""
    found = _ACIDITY.fullmatch(text.strip())
    acid = (found["acid"] or "citric").lower() if found else ""
    if not found or acid not in ACIDS:
        raise QuantityError(f"“{text}” is no acidity", "write e.g. 6.0 g/100ml, or 6.5 g/l as tartaric")
    value = _float(found["number"]) / (10.0 if found["per"].lower() == "l" else 1.0)
    if value > 30.0:
        raise QuantityError(f"an acidity of {value:g} g/100 ml is out of range", "write 0 to 30 g/100ml")
    return Acidity(value, acid, float(found["end"]) if found["end"] else None)


def dilution(text: str) -> StatedDilution:
    """`52 % of initial`, `34 % of final`, `30 g`. A bare % is refused with both readings. Raises QuantityError."""
    found = _DILUTION.fullmatch(text.strip())
    if not found:
        return StatedDilution(mass_g(text), "g")
    value = _float(found["number"]) / 100.0
    if not found["basis"]:
        as_final = f", of final = {100 * value / (1 - value):.3g} % of initial" if value < 1 else ""
        raise QuantityError(
            f"“{text.strip()}” has no basis: of initial = {100 * value / (1 + value):.3g} % of final{as_final}",
            "write e.g. 52 % of initial",
        )
    if value >= (1.0 if found["basis"] == "final" else 5.0):
        raise QuantityError(f"“{text.strip()}” is out of range", "write e.g. 52 % of initial")
    return StatedDilution(value, found["basis"])


def given(text: str) -> Amount:
    """A number and a unit, without top, float, rinse or to. Raises QuantityError."""
    try:
        read = parse_amount(text)
    except AmountError as error:
        raise QuantityError(error.reason, error.remedy) from None
    if read.role or read.value is None:
        raise QuantityError(f"“{read.role}” says when it goes in, not how much", "write e.g. 60 ml")
    return read


def mass_or_volume(text: str) -> Amount:
    """A stated mass or volume. Raises QuantityError."""
    read = given(text)
    if read.measures not in {"mass", "volume"}:
        raise QuantityError(f"“{text}” is no mass or volume", "write e.g. 1 kg or 90 ml")
    return read


def _match(pattern: re.Pattern[str], text: str, what: str, remedy: str) -> float:
    found = pattern.fullmatch(text.strip())
    if not found:
        raise QuantityError(f"“{text}” is no {what}", remedy)
    return _float(found["number"])


def _float(number: str) -> float:
    return float(number.replace(",", "."))
