"""Where one stands in a card whose rows are made anew: with other figures, or broken for another width."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import accumulate, chain, takewhile

from station.tui.pane import Row


@dataclass(frozen=True, slots=True)
class Stand:
    """The rows of a card as they were when one last scrolled, the first of them in sight, and the width they were broken for."""

    rows: Sequence[Row]
    first: int
    width: int

    def among(self, rows: Sequence[Row], width: int) -> int:
        """The place in `rows` of what stood first: of one width by its label, of another by its words."""
        words = [_words(one) for one in self.rows]
        blank = next((place for place, found in enumerate(words[self.first :]) if found), 0)
        top, after = self.first + blank, [_words(one) for one in rows]
        place = _same_row(words, top, after) if width == self.width else _same_words(words, top, after)
        return max(0, place - blank)


def _same_row(before: Sequence[list[str]], at: int, after: Sequence[list[str]]) -> int:
    """The nearest row with the same label: its words before the first figure. The same row where none has it."""
    label = _label(before[at])
    return min((place for place, one in enumerate(after) if _label(one) == label), key=lambda place: abs(place - at), default=at)


def _label(words: Sequence[str]) -> list[str]:
    return list(takewhile(lambda word: not any(map(str.isdecimal, word)), words))


def _same_words(before: Sequence[list[str]], at: int, after: Sequence[list[str]]) -> int:
    """The row on which the first word of that row stands now; for a word that is gone the next that stayed."""
    old, new, word = [*chain(*before)], [*chain(*after)], sum(map(len, before[:at]))
    kept = [(0, 0, len(old))] if old == new else SequenceMatcher(None, old, new).get_matching_blocks()
    now = next((b + max(0, word - a) for a, b, count in kept if a + count > word), len(new))
    return next((place for place, count in enumerate(accumulate(map(len, after))) if count > now), len(after))


def _words(row: Row) -> list[str]:
    return "".join(text for text, _ in row).split()
