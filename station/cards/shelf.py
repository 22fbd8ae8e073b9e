"""What was done to the library, or would be, as plain text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from station.bar import say
from station.bar.shelf import ImportPlan, Migration, PlannedDrink, Respelled, Shelved, UnknownItem
from station.cards.layout import table


def shelved(answer: Shelved) -> list[str]:
    """One line."""
    others = len(answer.files) - 1
    also = f", in {_count(others, 'other file')} too" if others > 0 else ""
    said = {
        "new": f"{answer.id} is new: {', '.join(answer.files)}",
        "copy": f"{answer.id} is a copy of {answer.was}: {', '.join(answer.files)}",
        "rename": f"{answer.was} is now {answer.id}{also}",
        "retire": f"{answer.id} is retired: off the list, its file stays",
        "unretire": f"{answer.id} is on the list",
    }
    return [say.plain(said[answer.did])]


def import_plan(answer: ImportPlan, names: Mapping[str, str]) -> list[str]:
    """What a sheet would bring, what stands against it, and how it stands now. `names`: of the items it may use."""
    lines = sum(len(drink.lines) for drink in answer.drinks)
    return [
        f"{answer.file}: {_count(len(answer.drinks), 'drink')}, {_count(lines, 'line')}",
        *(line for drink in answer.drinks for line in _planned(drink, names)),
        *_unknown(answer.unknown),
        *(str(fault) for fault in answer.faults),
        *([f"columns left out: {', '.join(answer.ignored_columns)}"] if answer.ignored_columns else []),
        _standing(answer),
    ]


def migration(answer: Migration) -> list[str]:
    """What another reading of the library's text rewrites."""
    if answer.was == answer.becomes:
        return [f"nothing to do: format {answer.was.format}, ounce {answer.was.ounce}, spoons {answer.was.spoons}"]
    moved = f"{say.number(answer.largest_change_ml)}{say.GAP}ml, {say.number(answer.largest_change_pct)}{say.GAP}% of it"
    return [
        *_readings(answer),
        *table([_respelled(one) for one in answer.amounts]),
        f"{_count(len(answer.amounts), 'amount')} in {_count(len(answer.files), 'file')}; largest change of one: {moved}",
        f"written; the library as it was is in {answer.copy}" if answer.written else "nothing is written yet: --write writes it",
    ]


def _planned(drink: PlannedDrink, names: Mapping[str, str]) -> list[str]:
    head = " · ".join(part for part in (drink.id, drink.name, drink.method, drink.glass) if part)
    rows = [("", line.amount, names.get(line.item, f"? {line.item}")) for line in drink.lines]
    return ["", say.plain(head), *table(rows, right=frozenset({1}))]


def _unknown(found: Iterable[UnknownItem]) -> list[str]:
    lines = []
    for one in found:
        near = f"; nearest: {', '.join(one.nearest)}" if one.nearest else ""
        rows = ", ".join(map(str, one.rows[:10])) + (", …" if len(one.rows) > 10 else "")
        lines.append(say.plain(f"no one item goes by “{one.name}” ({'line' if len(one.rows) == 1 else 'lines'} {rows}){near}"))
    return ["", *lines] if lines else []


def _standing(answer: ImportPlan) -> str:
    if answer.written:
        return f"written: {_count(len(answer.written), 'new file')}"
    return "nothing is written yet: --write writes it" if answer.writable else "nothing can be written until this is mended"


def _readings(answer: Migration) -> list[str]:
    pairs = (("ounce", answer.was.ounce, answer.becomes.ounce), ("spoons", answer.was.spoons, answer.becomes.spoons))
    return [f"{name}: {was} → {becomes}" for name, was, becomes in pairs if was != becomes]


def _respelled(one: Respelled) -> tuple[str, str, str]:
    return f"{one.file}:{one.line}:{one.column}", one.key, f"{one.was} → {one.becomes}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
