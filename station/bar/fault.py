"""What is wrong, where, and what to do about it: one noun for a library's faults, one exception for an unanswerable question."""

from __future__ import annotations

from dataclasses import dataclass

from station.bar.say import LONGEST_MESSAGE as LONGEST_LINE
from station.bar.say import plain


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing wrong in a library. `severity` is "error" or "warning"; line and column count from 1, 0 where there is none."""

    file: str
    line: int
    column: int
    key: str
    code: str
    severity: str
    message: str
    remedy: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        key = f" {self.key}:" if self.key else ""
        remedy = f" ({self.remedy})" if self.remedy else ""
        return plain(f"{place}:{key} {self.message}{remedy}", LONGEST_LINE)


class CannotAnswer(Exception):
    """The data says no: what was asked is not found, impossible, or rests on a fault. One sentence and what to do."""

    def __init__(self, message: str, remedy: str = "", faults: tuple[Fault, ...] = ()) -> None:
        super().__init__(message)
        self.message, self.remedy, self.faults = message, remedy, faults

    def __str__(self) -> str:
        return plain(f"{self.message} ({self.remedy})" if self.remedy else self.message, LONGEST_LINE)
