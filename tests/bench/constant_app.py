"""The same screens with the engine replaced: what is typed reckons to one of two answers in turn, so that as much is painted.
LIBRARY."""

from __future__ import annotations

import sys
from itertools import cycle

from station.desk import figures
from station.desk.look import shown as really_shown
from station.desk.look import sound_drink as really_sound
from station.tui import start

_ANSWERS: list[object] = []
_TURNS = cycle((0, 1))


def shown(blends: object, made: object) -> object:
    """Two real answers at first, then these again and again."""
    if len(_ANSWERS) < 2:
        _ANSWERS.append(really_shown(blends, made))  # type: ignore[arg-type]
        return _ANSWERS[-1]
    return _ANSWERS[next(_TURNS)]


def sound_drink(blends: object, spec: object) -> object:
    return really_sound(blends, spec) if len(_ANSWERS) < 2 else None  # type: ignore[arg-type]


if __name__ == "__main__":
    figures.shown = shown  # type: ignore[assignment]
    figures.sound_drink = sound_drink  # type: ignore[assignment]
    code = start.start(sys.argv[1])
    sys.exit(code if len(_ANSWERS) == 2 else "the engine was not replaced: it is asked elsewhere now")
