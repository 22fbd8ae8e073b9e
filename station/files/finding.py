"""Which rows of the list hold the words a person typed, misspelt ones too."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from station.bar.listed import Listed
from station.files.index import Entry

# Words shorter than this are begun, not misspelt.
_SHORTEST = 4
# How alike two words must be, as difflib's ratio, to be one misspelt. By trial: two letters swapped or one wrong in five pass.
_ALIKE = 0.74
_MOST_MEANINGS = 12


def found(entries: Iterable[Entry], words: str) -> tuple[Listed, ...]:
    """The rows not retired that hold every word: names that begin with the words, names that hold them, then the rest.

    Where none does, the rows that hold a word like each of them.
    """
    start = words.casefold().strip()
    wanted = start.split()
    standing = [entry for entry in entries if not entry.retired]
    rows = _holding(standing, [(word,) for word in wanted]) or _alike(standing, wanted)
    return tuple(sorted(rows, key=lambda row: (_nearness(row, start), row.name.casefold(), row.id)))


def _holding(entries: Sequence[Entry], meanings: Sequence[Collection[str]]) -> list[Listed]:
    """The rows that hold one of the meanings of every word."""
    return [entry.listed for entry in entries if all(any(one in entry.text for one in meant) for meant in meanings)]


def _alike(entries: Sequence[Entry], wanted: Sequence[str]) -> list[Listed]:
    if not any(len(word) >= _SHORTEST for word in wanted):
        return []
    known = {word for entry in entries for word in entry.text.split()}
    return _holding(entries, [_meanings(word, known) for word in wanted])


def _meanings(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """The word itself, and the words it may be misspelt from, also while their end is not typed yet."""
    if len(word) < _SHORTEST:
        return (word,)
    from difflib import get_close_matches

    letters = set(word)
    begun = {one[: len(word)] for one in known if len(letters.difference(one)) <= 1 and len(one) >= len(word) - 1}
    return (word, *get_close_matches(word, begun, _MOST_MEANINGS, _ALIKE))


def _nearness(row: Listed, words: str) -> int:
    name = row.name.casefold()
    return 0 if name.startswith(words) or row.id.startswith(words) else 1 if words in name else 2
