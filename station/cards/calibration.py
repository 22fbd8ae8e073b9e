"""A calibration and a conversion as plain text."""

from __future__ import annotations

from collections.abc import Iterable

from station.bar import say
from station.bar.amount import spell_unit
from station.calc.calibrating import Calibrated, Change, Glass
from station.calc.converting import Converted, InUnit
from station.calc.counting import Counted
from station.cards.layout import table, wrap
from station.cards.text import WIDTH, plainly

_TEST = "Grubbs' test at 5 %, Technometrics 11 (1969) 1"
_OF_GLASS = "* of the glass: acid as citric by titration, after the dilution the drink has"
MOST_CHANGES = 20
# Under this a change is a sentence, not a row.
NARROW = 78


@plainly
def calibrated(answer: Calibrated, width: int = WIDTH) -> list[str]:
    """Readings, what they make of one count, what was believed before, and which drinks it changes."""
    done = "written into measures.toml" if answer.written else "nothing is written yet"
    return [
        f"{answer.name}, {answer.item_name}",
        f"{answer.date.day} {answer.date:%b %Y}{f', {answer.by}' if answer.by else ''} · {done}",
        "",
        *figures(answer, width),
        "",
        *changes(answer.changes, width),
    ]


def figures(answer: Calibrated, width: int) -> list[str]:
    """The readings and the figures of one count."""
    ml = f" = {say.number(answer.mean_ml)}{say.GAP}ml" if answer.mean_ml is not None else ""
    spread = f", spread {_g(answer.spread_g, 2)}" if answer.spread_g is not None else ""
    each = spell_unit(answer.unit, answer.count)
    was = f"Believed before: {_g(answer.was_g)} ({answer.was_basis})" if answer.was_g else "Not known before"
    lines = [
        f"{len(answer.reads_g)} × {answer.count} {each}, from zero: {', '.join(readings(answer))}{spread}",
        f"One {answer.unit}: {_g(answer.mean_g)}{ml}; one is ± {_g(answer.scatter_g, 2)}, their mean ± {_g(answer.mean_sd_g, 2)}",
        "± is one standard uncertainty.",
        was,
        *([f"* far from the others ({_TEST}); it is kept: weigh again, or leave it out yourself"] if answer.outlier else []),
        *answer.remarks,
    ]
    return [part for line in lines for part in wrap(line, width) or [""]]


def readings(answer: Calibrated) -> list[str]:
    """The readings as they were, an outlying one marked."""
    return [f"{_g(grams, 5)}{' *' if place == answer.outlier else ''}" for place, grams in enumerate(answer.reads_g, 1)]


def believed(name: str, unit: str, count: Counted | None, width: int) -> list[str]:
    """What a count weighs as long as nothing new was read, how well that is known and where it comes from."""
    if count is None:
        return wrap(f"What one {unit} of {name} weighs is not known yet.", width)
    sure = f"single {spell_unit(unit, 2)} scatter by ± {_g(count.scatter_g, 2)}"
    lines = [f"Until now one {unit} of {name} is {_g(count.g)} ± {_g(count.all_share_g, 2)}; {sure}", f"By: {count.basis}"]
    lines += ["± is one standard uncertainty."]
    return [part for line in lines for part in wrap(line, width)]


def changes(found: Iterable[Change], width: int) -> list[str]:
    """A row a line that changes, under its liquid and why it does: its grams, then the glass it stands in.

    A line whose figures are the same as they are said is no change.
    """
    listed, seen = list(found), []
    for one in listed:
        if _grams(one)[0] != _grams(one)[1] or any("→" in figure for figure in _glass(one)):
            seen.append(one)
    lines = _by_liquid(seen[:MOST_CHANGES], width)
    rest = [f"… and {len(seen) - MOST_CHANGES} more lines"] if len(seen) > MOST_CHANGES else []
    small = len(listed) - len(seen)
    rest += [f"{small} more {'line moves' if small == 1 else 'lines move'} by less than these figures show."] if small else []
    head = ["It changes:"] if seen else ["It changes no drink."]
    return [*head, *lines, *(part for line in rest for part in wrap(line, width))]


def _by_liquid(found: list[Change], width: int) -> list[str]:
    """The rows of each liquid, in their order, under its name and the reason."""
    lines: list[str] = []
    for head in dict.fromkeys(_liquid(one) for one in found):
        mine = [one for one in found if _liquid(one) == head]
        lines += wrap(f"{head}:", width)
        if width < NARROW:
            lines += [part for one in mine for part in wrap(f"  {_sentence(one)}", width, hang="    ")]
            continue
        rows = [(f"  {one.name}", one.amount, " → ".join(_grams(one)), *_glass(one)) for one in mine]
        lines += table([("", "", "", "acid g/100 ml*", "ABV % vol"), *rows], width=width)
    return [*lines, *(wrap(_OF_GLASS, width) if lines and width >= NARROW else [])]


def _liquid(one: Change) -> str:
    return f"{one.item_name} ({one.why or 'weighed now'})"


@plainly
def converted(answer: Converted, width: int = WIDTH) -> list[str]:
    """The amount in every unit, each with its basis."""
    rows = [(*_in_unit(one), one.basis) for one in answer.rows]
    sd = f" ± {_g(answer.g_sd, 2)}"
    lines = [f"{answer.amount} {answer.name} = {_g(answer.g, 4)}{sd} ({answer.basis})", "", *table(rows, right=frozenset({0}))]
    if answer.share is not None:
        share = answer.share
        parts = f"1 part in {say.number(1.0 / share.fraction, 4)}"
        lines += ["", f"of {share.whole}: {say.percent(share.fraction, share.basis)}, {parts} ({share.basis})"]
    return [part for line in lines for part in wrap(line, max(width, 110)) or [""]]


def _sentence(one: Change) -> str:
    acid, abv = _glass(one)
    return f"{one.name}, {one.amount}: {' → '.join(_grams(one))}; in the glass acid {acid} g/100 ml as citric, ABV {abv} % vol"


def _grams(one: Change) -> tuple[str, str]:
    """What the line weighed and what it weighs, as said."""
    return _g(one.was_g), _g(one.now_g)


def _in_unit(one: InUnit) -> tuple[str, str]:
    if one.said:
        return say.number(one.value, 4), f"ml in jiggers: {one.said}"
    return say.number(one.value, 4), one.unit


def _glass(one: Change) -> tuple[str, str]:
    return tuple(_moved(one, figure) for figure in ("acid_g_per_100ml", "abv_pct"))  # type: ignore[return-value]  # two figures


def _moved(one: Change, figure: str) -> str:
    was, now = _figure(one.was, figure), _figure(one.now, figure)
    return f"{was} → {now}" if was != now else now


def _figure(glass: Glass | None, figure: str) -> str:
    return say.number(getattr(glass, figure) if glass else None)


def _g(grams: float | None, digits: int = 3) -> str:
    return f"{say.number(grams, digits)}{say.GAP}g"
