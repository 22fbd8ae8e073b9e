"""Answers to the questions asked backwards as plain text: a mis-pour's ways on, a drink tuned."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from station.bar import say
from station.bar.amount import spell_unit
from station.bar.nouns import Library
from station.calc.backwards import Corrected, InSoFar, Move, OffCard, Tuned, TunedLine, Way, Wished
from station.calc.balance import Balance
from station.calc.correct import ADD, AGAIN_DRAW_OFF, LEAVE, outside
from station.calc.mispour import A_TENTH
from station.cards.layout import caution_rows, table, wrap
from station.cards.serving import serves_said
from station.cards.text import FIGURE_NAMES, FIGURE_UNITS, WIDTH, let_down, plainly, state

_NAMES = {**FIGURE_NAMES, "volume": "Volume", "salt": "Salt"}
_UNITS = {**FIGURE_UNITS, "volume": "ml"}
_TITLES = {
    "take out": "Take it out again",
    "weigh again": "Empty the cup and weigh it again",
    "draw off": "Draw off, then add",
    "nearest": "Come near the card",
    "make less": "There is no more of it: make less, in proportion",
}
_AS_ON_CARD = "ABV, sugar, acid and salt as on the card"
# More figures than that nobody wishes.
_MOST_DIGITS = 7
# At most 19 characters: the least screen has no more.
_SHORT = {
    "take out": "take it out",
    "weigh again": "weigh the cup again",
    "weigh again, draw off": "cup again, draw off",
    "draw off": "draw off, make up",
    "nearest": "come near the card",
    "make less": "no more: make less",
}


@plainly
def corrected(answer: Corrected, library: Library, width: int = WIDTH) -> list[str]:
    """What is in, and every way on, best first."""
    card = f"{say.grams(answer.total_g)}, {serves_said(answer.serves)} serves as the card has it"
    head = [answer.name, f"{state(answer.diluted)} · {card}", ""]
    if answer.stop:
        return [*head, *wrap(f"STOP: {answer.stop} Discard the mix, do not correct it. Wash the vessel.", width, hang="")]
    rows = [(_named(line), say.grams(line.in_g), "of", say.grams(line.wanted_g), line.known) for line in answer.lines]
    numbered = enumerate(answer.ways, 1)
    ways = [text for number, way in numbered for text in ("", *way_lines(way, number, answer.balance, width))]
    notes = [part for note in answer.notes for part in ("", *wrap(note, width, hang=""))]
    return [*head, *table(rows, right=frozenset({1, 3}), width=width), *notes, *ways]


def _named(one: InSoFar | Move) -> str:
    return let_down(one.name) if one.let_down else one.name


def way_lines(way: Way, number: int, card: Balance, width: int) -> list[str]:
    """One way on, under its number; `card` is the mix as the card has it."""
    return [
        *wrap(f"{number} {title(way)}: {does(way)}", width, "  "),
        *wrap(f"  {ends(way)}", width, "    "),
        *(part for said in _against(way, card) for part in wrap(f"  {said}", width, "    ")),
        *(wrap(f"  does not fit: {way.note}", width, "    ") if way.note else []),
    ]


def _against(way: Way, card: Balance) -> list[str]:
    """What of the vessel's figures and lines is not the card's; that the figures are, once, where all are."""
    off = off_card(way)
    figures = list(dict.fromkeys((differs(way, card), moved(way.moved))))
    if len(figures) > 1:
        figures = [one for one in figures if one != _AS_ON_CARD]
    return [*figures, off] if off else figures


def title(way: Way) -> str:
    if way.way == LEAVE:
        return {"in": "Leave it", "short": "Leave it short"}.get(_left(way), "Leave it as it is")
    if way.way == ADD:
        return {1: "Raise the other lines to it, in proportion", 0: "Add what is missing of it"}.get(
            _grows(way), "Make less, in proportion, as far as what is left goes"
        )
    if way.way == AGAIN_DRAW_OFF:
        return "Empty the cup, draw off, then add" if way.draws_g else "Empty the cup, take out what is over, then add"
    return _TITLES[way.way]


def short(way: Way) -> str:
    """The way in a few words, for where there is one row for it."""
    if way.way == LEAVE:
        return {"in": "leave it in", "short": "leave it short"}.get(_left(way), "leave it as it is")
    if way.way == ADD:
        return {1: "raise the others", 0: "add what is missing"}.get(_grows(way), "make less")
    return _SHORT[way.way]


def _left(way: Way) -> str:
    """How what is left ends: with too much of some lines "in", or with some "short"; "" with neither or both."""
    over = any(one.ends_g > one.wanted_g for one in way.off)
    under = any(one.ends_g < one.wanted_g for one in way.off)
    return "" if over == under else "in" if over else "short"


def _grows(way: Way) -> int:
    """Whether it makes more than the card (1), as much (0) or less (-1)."""
    by = (way.size or 0.0) - 1.0
    return 0 if abs(by) <= 1e-9 else 1 if by > 0.0 else -1


def off_card(way: Way) -> str:
    """The lines whose share of the mix is a tenth or more off the card's, by name; "" for none."""
    said = [_off_said(one) for one in way.off if one.by is not None and abs(one.by) >= A_TENTH]
    return f"not as on the card, of the mix by weight: {'; '.join(said)}" if said else ""


def _off_said(one: OffCard) -> str:
    by = one.by or 0.0
    if by <= -0.9995:
        return f"no {one.name}"
    if by >= 1.0:
        return f"{say.number(1.0 + by, 2)} times the {one.name}"
    return f"{say.number(100.0 * abs(by), 2)}{say.GAP}% {'more' if by > 0.0 else 'less'} {one.name}"


def does(way: Way) -> str:
    """What the hands do."""
    if way.way == LEAVE:
        return f"add {_moves(way.adds)}, as on the card" if way.adds else "nothing more goes in"
    parts = [f"take out {_moves(way.takes_out)}"] if way.takes_out else []
    parts += [f"stir it, draw off {say.grams(way.draws_g)}"] if way.draws_g else []
    parts += [f"add {_moves(way.adds)}"] if way.adds else []
    return ", then ".join(parts) or "nothing more goes in"


def ends(way: Way) -> str:
    """What it ends in: mass, volume, serves."""
    return f"makes in all {say.grams(way.total_g)} = {say.volume(way.total_ml)}, {serves_said(way.serves)} serves"


def differs(way: Way, card: Balance) -> str:
    """The figures of the mix that are not the card's, ABV, sugar and acid with their basis and the card's own beside them."""
    made, was = way.balance.figures, card.figures
    said = [
        f"{word} {now}{_unit(name)} (card {planned})"
        for name, word in (("abv", "ABV"), ("sugar", "sugar"), ("acid", "acid"))
        if (now := say.number(made[name])) != (planned := say.number(was[name]))
    ]
    salt = _relative(way.moved["salt"])
    said += [f"salt {salt} (relative)"] if salt != f"0{say.GAP}%" else []
    return f"in the vessel {', '.join(said)}" if said else _AS_ON_CARD


def worst(way: Way, taste: float) -> str:
    """The figure that is furthest past the taste tolerance and by how much, relative; "" where none is."""
    past = {name: math.inf if way.moved[name] is None else abs(way.moved[name] or 0.0) for name in outside(way.moved, taste)}
    if not past:
        return ""
    name = max(past, key=lambda one: past[one])
    return f"{_word(name)} {'new' if way.moved[name] is None else _relative(way.moved[name])}"


def _word(figure: str) -> str:
    """A figure's name within a sentence."""
    return _NAMES[figure] if figure == "abv" else _NAMES[figure].lower()


def _unit(name: str) -> str:
    return f"{say.GAP}{_UNITS[name].replace(' ', say.GAP, 1)}"


def moved(by: Mapping[str, float | None]) -> str:
    """How far each figure of the mix is from the card's, relative."""
    said = [f"{_NAMES[name]} {_relative(value)}" for name, value in by.items() if value != 0.0]
    if all(value is not None and abs(value) < 5e-5 for value in by.values()):
        return _AS_ON_CARD
    return f"against the card: {', '.join(said)} (relative)"


@plainly
def tuned(answer: Tuned, width: int = WIDTH) -> list[str]:
    """The amounts, exact and as they can be poured, and the figures they give in the glass."""
    head = ("", "was", "exactly", "poured", "")
    lines = [
        (line.name, line.was_text, amount_said(line), line.pourable_text, say.grams(line.pourable_g)) for line in answer.lines
    ]
    rows = [_wish_row(wish) for wish in answer.wishes]
    rest = [name for name in ("volume", "abv", "sugar", "acid", "ratio") if name not in {wish.figure for wish in answer.wishes}]
    rows += [_other_row(name, answer) for name in rest]
    return [
        answer.name,
        "tuned in the glass, after dilution" if answer.possible else "what was wished cannot be had; this is the nearest",
        "",
        *(line for said in (answer.why, missed_as_poured(answer)) if said for line in (*wrap(said, width, hang=""), "")),
        *table([head, *lines], right=frozenset({1, 2, 3, 4}), width=width),
        "",
        *table([("", "was", "exactly", "poured", "", ""), *rows], right=frozenset({1, 2, 3})),
        "",
        *rounding_lines(answer, width),
        *(line for note in answer.notes for line in wrap(note, width, hang="")),
        *caution_rows(answer.cautions, width),
    ]


def missed_as_poured(answer: Tuned, short: bool = False) -> str:
    """Which wishes are met exactly and no more as poured, and what to do; "" for none. `short` without what to do."""
    missed = [one for one in answer.wishes if one.met and not one.met_as_poured]
    said = [
        f"{_word(one.figure)} {say.number(one.pourable, digits(one.low, one.high))}, wished {span_said(one.low, one.high)}"
        for one in missed
    ]
    if not missed:
        return ""
    return f"NOT MET AS POURED: {'; '.join(said)}." + ("" if short else f" {_remedy(missed)}")


def _remedy(missed: Sequence[Wished]) -> str:
    """A line that would make up for it, for all that is missed or for what it would."""
    names = list(dict.fromkeys(one.finer_name for one in missed if one.finer))
    if not names:
        return "Take it exactly, to be weighed: no line that stays makes up for it."
    helped = [_word(one.figure) for one in missed if one.finer]
    only = "" if len(helped) == len(missed) else f", for {' and '.join(helped)}"
    return f"Take it exactly, or let {' and '.join(names)} move, too{only}."


def digits(*wished: float) -> int:
    """As many figures as a wish was written with, three at least; of one from another unit, as 5 oz in ml, four."""
    return max(next((few for few in range(3, _MOST_DIGITS) if float(f"{one:.{few}g}") == one), 4) for one in wished)


def span_said(low: float, high: float) -> str:
    """A wish as it was wished."""
    return " to ".join(say.number(one, digits(one)) for one in dict.fromkeys((low, high)))


def rounding_lines(answer: Tuned, width: int) -> list[str]:
    """What pouring in jigger steps and whole drops moves, against the exact amounts."""
    costs = [f"{_NAMES[one.figure]} {_relative(one.rounding)}" for one in answer.wishes if one.rounding is not None]
    return wrap(f"Poured instead of exactly: {', '.join(costs)} (relative).", width, hang="") if costs else []


def _wish_row(wish: Wished) -> tuple[str, ...]:
    many = digits(wish.low, wish.high)
    figures = (say.number(one, many) for one in (wish.was, wish.exact, wish.pourable))
    missed = ": not met" if not wish.met else "" if wish.met_as_poured else ": not as poured"
    return (_NAMES[wish.figure], *figures, _UNITS[wish.figure], f"wished {span_said(wish.low, wish.high)}{missed}")


def _other_row(name: str, answer: Tuned) -> tuple[str, ...]:
    balances = (answer.before, answer.exact, answer.pourable)
    figures = [say.number(one.ml if name == "volume" else one.figures[name]) for one in balances]
    return (_NAMES[name], *figures, _UNITS[name], "")


def _relative(by: float | None) -> str:
    """A relative change with its sign; a dash where there was nothing to compare with."""
    if by is None:
        return say.NOTHING
    text = say.fixed(100.0 * abs(by), 1)
    return f"{'' if text == '0' else '+' if by > 0 else '−'}{text}{say.GAP}%"


def amount_said(line: TunedLine) -> str:
    """The exact amount as it is read out: three figures and its unit."""
    return f"{say.number(line.exact)} {spell_unit(line.unit, line.exact)}"


def _moves(moves: tuple[Move, ...]) -> str:
    """What is worth a hand's movement; what is not is said after it."""
    said = [f"{say.grams(one.g)} {_named(one)}{f' ({one.note})' if one.note else ''}" for one in moves if not one.slight]
    if len(said) > 1:
        said[-1] += f" ({say.grams(sum(one.g for one in moves if not one.slight))} together)"
    slight = [_named(one) for one in moves if one.slight]
    if slight:
        said.append(f"no more {', '.join(slight)} (within weighing tolerance)")
    return "; ".join(said)
