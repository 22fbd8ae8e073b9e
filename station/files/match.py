"""Which table of an edited array continues which of the array as it was, and which of them stay where they stand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from station.files.values import same

Tables = Sequence[dict[str, Any]]

_NAMES = ("item", "spec")


def matched(old: Tables, new: Tables) -> list[int | None]:
    """For each new table the old one it continues, by index: an equal one, best in its place, else one of the same name, else the
    one in its place.

    If both are non-empty at least one is continued.
    """
    sources: list[int | None] = [None] * len(new)
    free = set(range(len(old)))

    def take(continues: Callable[[int, int], bool]) -> None:
        for place, source in enumerate(sources):
            found = None if source is not None else next((one for one in sorted(free) if continues(one, place)), None)
            if found is not None:
                sources[place] = found
                free.remove(found)

    take(lambda one, place: one == place and same(old[one], new[place]))
    take(lambda one, place: same(old[one], new[place]))
    take(lambda one, place: _name(old[one]) is not None and _name(old[one]) == _name(new[place]))
    take(lambda one, place: one == place)
    return sources


def staying(sources: Sequence[int | None]) -> set[int]:
    """The most old tables that keep their order among themselves: a longest rising run of `sources`. All others move."""
    runs: list[list[int]] = [[]]
    for source in sources:
        if source is not None:
            rising = [run for run in runs if not run or run[-1] < source]
            runs.append([*max(rising, key=len), source])
    longest = max(runs, key=len)
    return set(longest)


def _name(table: dict[str, Any]) -> Any:
    return next((table[key] for key in _NAMES if key in table), None)
