"""A spec as it stands in the list."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Listed:
    """One spec in the list; a file that could not be used stands there under its own name, marked."""

    id: str
    name: str
    method: str
    style: str
    tags: tuple[str, ...]
    faulty: bool
