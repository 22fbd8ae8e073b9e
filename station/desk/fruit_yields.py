"""What the log says a fruit gives, written into the house's own files."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Sequence

from station.bar import say
from station.bar.fault import CannotAnswer
from station.calc.lot_answers import PieceYield
from station.desk.opening import Opened
from station.desk.writing import in_one_sentence, make, ready, source_of
from station.files.edit import edited
from station.files.save import Change

# One delivery says little of the next.
LEAST_LOTS = 3


def written(opened: Opened, rows: Sequence[PieceYield]) -> list[str]:
    """Put `low` and `usual` of every juice with enough lots into its file. Raises CannotAnswer; then nothing is changed."""
    ready(opened)
    enough = [row for row in rows if row.fruit and row.lots >= LEAST_LOTS]
    if not enough:
        raise CannotAnswer(f"no juice has {LEAST_LOTS} lots that say how many fruit", "log more with --pieces and --amount")
    files: dict[str, list[PieceYield]] = {}
    for row in enough:
        files.setdefault(opened.library.items[row.item].file, []).append(row)
    with in_one_sentence():
        changes = [_change(opened, file, found) for file, found in files.items()]
    make(opened, changes)
    return list(files)


def _change(opened: Opened, file: str, rows: Sequence[PieceYield]) -> Change:
    source = source_of(opened, file)
    wanted = copy.deepcopy(tomllib.loads(source.text))
    for row in rows:
        wanted[row.item]["from"] |= {"low": _ml(row.least_ml), "usual": _ml(row.mean_ml)}
    return Change(file, edited(source.text, wanted), source.digest)


def _ml(value: float) -> str:
    return f"{say.number(value)} ml"
