"""Escape told from the start of a sequence, so that Escape and a letter in one breath are two keys and never Alt."""

from __future__ import annotations

import re

ESC = "\x1b"

# Escape before a character that begins no sequence a terminal sends: [ O ] P ^ _ X do, and \ ends one.
_ALONE = re.compile(r"\x1b(?=[^\[O\]P^_X\\])", re.DOTALL)


class Escapes:
    """Takes text as it is read and gives it on in pieces; a piece that is ESC alone is the key."""

    def __init__(self, patience_s: float) -> None:
        self._patience_s = patience_s
        self._held_since: float | None = None

    def pieces(self, text: str, now: float) -> list[str]:
        """What can be told of by now. An Escape at the end of what was read is held until the next read, or `patience_s`."""
        if self._held_since is not None:
            if not text and now - self._held_since < self._patience_s:
                return []
            text = ESC + text
            if text == ESC:
                self._held_since = None
                return [ESC]
        self._held_since = now if text.endswith(ESC) else None
        text = text.removesuffix(ESC)
        found: list[str] = []
        start = 0
        for alone in _ALONE.finditer(text):
            found += [text[start : alone.start()], ESC]
            start = alone.end()
        return [piece for piece in (*found, text[start:]) if piece]
