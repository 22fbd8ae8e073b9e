"""What is on hand, as a card says it: how far each goes, what is to be made of it, what to have more of."""

from __future__ import annotations

import math
from collections.abc import Iterator

from station.bar import say
from station.bar.nouns import WATER, Library
from station.bar.shown_as import volume_in
from station.calc.answers import Batched
from station.calc.on_hand import Allowance, Press, TooLittle
from station.cards.layout import wrap

# What rounding may leave of something that is all used, and what three figures do not show of it.
_NOTHING, _UNSEEN = 1e-6, 5e-4


def on_hand(answer: Batched, library: Library, width: int) -> list[str]:
    """Lines under a card's totals; none where nothing was said to be there."""
    there = answer.on_hand
    if there is None:
        return []
    return [line for text in _said(there, answer, library) for line in wrap(text, width)]


def _said(there: Allowance, answer: Batched, library: Library) -> Iterator[str]:
    grams = (_used(item, g, there.used_g.get(item, 0.0), library) for item, g in there.on_hand_g.items())
    pieces = (_counted(item, n, there.used_pieces.get(item, 0.0), library) for item, n in there.on_hand_pieces.items())
    yield f"On hand: {'; '.join((*grams, *pieces))}."
    yield from (_press(one, there.on_hand_pieces[one.fruit], library) for one in there.press)
    if there.make_g:
        yield f"To make first: {', '.join(f'{say.grams(g)} {library.name_of(stock)}' for stock, g in there.make_g.items())}."
    yield from (_too_little(one, library) for one in there.too_little)
    yield from _over(there, answer, library)
    yield _then(there, library)


def _used(item: str, grams: float, used: float, library: Library) -> str:
    name, left = library.name_of(item), grams - used
    if left <= _UNSEEN * grams:
        return f"{name} all {_grams(item, grams, library)}"
    if used <= _NOTHING * grams:
        return f"{name} {_grams(item, grams, library)}, all of it stays"
    return f"{name} {_grams(item, grams, library)}, {_grams(item, left, library)} stays"


def _counted(item: str, pieces: float, used: float, library: Library) -> str:
    """Of pieces: one that is cut into is used."""
    name, left = library.name_of(item), math.floor(pieces - used + _NOTHING)
    if left <= 0:
        return f"{name} all {_pieces(pieces)}"
    if used <= _NOTHING:
        return f"{name} {_pieces(pieces)}, all of them stay"
    return f"{name} {_pieces(pieces)}, {say.number(left, 6)} stay{'s' if left == 1 else ''}"


def _press(one: Press, pieces: float, library: Library) -> str:
    """What the fruit that is there gives, and how much of it to press."""
    fruit, juice = library.name_of(one.fruit), library.name_of(one.juice)
    gives, each, ml = (volume_in(library.house, ml) for ml in (pieces * one.each_ml, one.each_ml, one.ml))
    count = math.ceil(one.pieces - _NOTHING)
    of_them = "all of them" if count >= pieces else f"{say.number(count, 6)} of them, {ml}"
    yields = f"{say.number(pieces, 4)} × {fruit} give about {gives} {juice}, by the usual yield of {each} each."
    return f"{yields} To press first: {of_them}."


def _too_little(one: TooLittle, library: Library) -> str:
    name = library.name_of(one.stock)
    short = f"; there is too little {library.name_of(one.short_of)} for that" if one.short_of else ""
    return f"So little {name} cannot be weighed here: make at least {_at_least(one.least_g)} of it{short}."


def _at_least(grams: float) -> str:
    """Rounded up: what is said can be weighed."""
    step = 10.0 ** (math.floor(math.log10(grams)) - 2)
    return say.grams(math.ceil(grams / step * (1.0 - 1e-9)) * step)


def _over(there: Allowance, answer: Batched, library: Library) -> Iterator[str]:
    """What the card's own lines take more of than there is, past a weighing's tolerance: rounded, or let down with water."""
    takes = _takes(answer)
    made = {**there.make_g, **{one.juice: one.g for one in there.press}}
    for item, grams in there.on_hand_g.items():
        more = takes.get(item, 0.0) - grams - made.get(item, 0.0)
        if more > library.house.weigh * grams:
            yield f"NOT ENOUGH {library.name_of(item)}: as this card weighs it {say.grams(more)} more is taken than there is."


def _takes(answer: Batched) -> dict[str, float]:
    takes: dict[str, float] = {}
    for mix in answer.mixes:
        for line in mix.lines:
            weaker = line.intermediate
            takes[line.item] = takes.get(line.item, 0.0) + mix.count * (weaker.item_g if weaker else line.weigh_g)
            if weaker is not None:
                takes[WATER] = takes.get(WATER, 0.0) + mix.count * weaker.water_g
    for added in answer.service:
        takes[added.item] = takes.get(added.item, 0.0) + (added.total_g or 0.0)
    return takes


def _then(there: Allowance, library: Library) -> str:
    name, then = library.name_of(there.limited_by), there.then
    if then is None:
        return f"The limit is {name}, and nothing else."
    other = library.name_of(then.limited_by)
    if then.serves <= there.serves * (1.0 + _NOTHING):
        return f"The limits are {name} and {other}: they run out together."
    pieces = then.more_pieces is not None
    more = _pieces(math.ceil((then.more_pieces or 0.0) - _NOTHING)) if pieces else _grams(there.limited_by, then.more_g, library)
    verb = "made" if there.limited_by in library.stocks else "at hand"
    return f"The limit is {name}. With {more} more of it {verb}: {say.number(then.serves, 4)} serves, then it is {other}."


def _grams(item: str, grams: float | None, library: Library) -> str:
    """Grams, and how many pieces that is of what is bought by the piece."""
    noun = library.items.get(item)
    each_g = noun.each_g if noun else None
    return f"{say.grams(grams)} ({_pieces((grams or 0.0) / each_g)})" if each_g else say.grams(grams)


def _pieces(count: float) -> str:
    said = say.number(count, 4 if count < 1000 else 6)
    return f"{said} piece{'' if said == '1' else 's'}"
