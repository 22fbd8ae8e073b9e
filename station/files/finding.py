"""Which rows of a list hold the words a person typed, misspelt ones too."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import TypeVar

from station.files.index import Index, Rows

# Words shorter than this are begun, not misspelt.
_SHORTEST = 4
# How alike two words must be, as difflib's ratio, to be one misspelt. By trial: two letters swapped or one wrong in five pass.
_ALIKE = 0.74
_MOST_MEANINGS = 12


T = TypeVar("T")
# What a row is found by, without capitals, and the row.
Findable = tuple[str, T]


def found(index: Index, words: str, retired: bool = False) -> Rows:
    """The rows not retired (or those that are) that hold every word: names that begin with the words, names that hold them, then
    the rest. Where none does, the rows that hold a word like each of them.
    """
    places = index.places(retired)
    if not words.strip():
        return Rows(index, places)
    nearest: tuple[list[int], ...] = ([], [], [])
    for place in holding(list(zip(map(index.texts.__getitem__, places), places, strict=True)), words):
        nearest[nearness(index.names[place], index.ids[place], words)].append(place)
    return Rows(index, [*nearest[0], *nearest[1], *nearest[2]])


def holding(rows: Sequence[Findable[T]], words: str) -> list[T]:
    """The rows whose text holds every word; where none does, a word like each of them."""
    wanted = words.casefold().split()
    return _holding(rows, [(word,) for word in wanted]) or _alike(rows, wanted)


def nearness(name: str, own_id: str, words: str) -> int:
    """How near a row found by these words is: 0 its name or id begins with them, 1 its name holds them, 2 something else does."""
    start, shown = words.casefold().strip(), name.casefold()
    return 0 if shown.startswith(start) or own_id.startswith(start) else 1 if start in shown else 2


def _holding(rows: Sequence[Findable[T]], meanings: Sequence[Collection[str]]) -> list[T]:
    """The rows that hold one of the meanings of every word."""
    held = rows
    for first, *others in meanings:
        held = [row for row in held if first in row[0] or (others and any(one in row[0] for one in others))]
    return [row for _, row in held]


def _alike(rows: Sequence[Findable[T]], wanted: Sequence[str]) -> list[T]:
    if not any(len(word) >= _SHORTEST for word in wanted):
        return []
    known = {word for text, _ in rows for word in text.split()}
    return _holding(rows, [_meanings(word, known) for word in wanted])


def _meanings(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """The word itself, and the words it may be misspelt from, also while their end is not typed yet."""
    if len(word) < _SHORTEST:
        return (word,)
    from difflib import get_close_matches

    letters = set(word)
    begun = {one[: len(word)] for one in known if len(letters.difference(one)) <= 1 and len(one) >= len(word) - 1}
    return (word, *get_close_matches(word, begun, _MOST_MEANINGS, _ALIKE))
