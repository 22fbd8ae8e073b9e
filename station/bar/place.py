"""Where something stands in a text."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """A line and a column in characters, both counted from 1."""

    line: int
    column: int

    @classmethod
    def at(cls, text: str, offset: int) -> Place:
        """The place of the character at `offset`; lines end at a line feed only, as in TOML."""
        return cls(text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset))

    def __str__(self) -> str:
        return f"{self.line}:{self.column}"
