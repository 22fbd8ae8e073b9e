"""A mis-pour mended: what can still be done with a mix in which something weighs other than it should.

Everything is reckoned in grams, so a restored mix has every proportion of the card exactly; only what is weighed rounds.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from station.calc.come_near import NEAREST, is_clearly_nearer, nearest
from station.calc.mispour import (
    A_TENTH,
    MOVES,
    OVER_FILL,
    SAME,
    Choice,
    Part,
    Room,
    choice,
    figures,
    moved_by,
    outside,
    wanted,
)

__all__ = [
    "ADD",
    "AGAIN",
    "AGAIN_DRAW_OFF",
    "DRAW_OFF",
    "LEAVE",
    "LESS",
    "MOVES",
    "NEAREST",
    "OVER_FILL",
    "TAKE_OUT",
    "Choice",
    "Part",
    "Room",
    "choices",
    "figures",
    "less",
    "moved_by",
    "outside",
    "size_restored",
    "wanted",
]

LEAVE, TAKE_OUT, AGAIN, ADD, DRAW_OFF = "leave", "take out", "weigh again", "add", "draw off"
AGAIN_DRAW_OFF, LESS = "weigh again, draw off", "make less"


def choices(parts: Sequence[Part], room: Room, taste: float) -> tuple[Choice, ...]:
    """What can be done, best first: what fits before what does not, then what restores with the least waste.

    Leaving it comes first where no figure moves by more than `taste` and no line by a tenth, and last where one does. Where only
    coming near is left, leaving it, if it fits, comes first too, unless that is clearly nearer: the furthest figure past taste by
    less than half as much, a trace counting as one, and no line one tastes for itself further off by a tenth or more (own rule:
    what brings less is not worth the work). A way may do things one after the other: take out and bring the rest up, empty the
    cup and draw off, draw off and come near.
    """
    found = (take(parts, room) for take in (_take_out, _again, _add, _draw_off, _again_and_draw_off))
    ways = [one for one in found if one is not None]
    left = choice(LEAVE, parts, room, _ahead(parts))
    first = left.within(taste) and left.fits and all(map(_near, parts, left.ends_g))
    if not any(one.fits for one in ways):
        near = nearest(parts, room, taste)
        ways.append(near)
        first = first or (left.fits and not is_clearly_nearer(parts, near, left, taste))
    ways.sort(key=lambda one: not one.fits)
    return (left, *ways) if first else (*ways, left)


def less(parts: Sequence[Part], room: Room, place: int) -> Choice | None:
    """The whole made smaller to a line that is short, of which there is no more; where a cup is too full for that, it is weighed
    again. None where the line is not short, or what is in is too much for it already."""
    ended = [replace(part, can_add=part.can_add and at != place) for at, part in enumerate(parts)]
    emptied = [replace(part, cup_g=0.0) for part in ended]
    for left, out in ((ended, ()), (emptied, [part.cup_g for part in parts])):
        size = size_restored(left) if left[place].there_g else None
        if size is not None and size < 1.0 - SAME:
            return choice(LESS, parts, room, _up_to(left, size), out=out, size=size)
    return None


def _near(part: Part, end_g: float) -> bool:
    return abs(end_g - part.wanted_g) <= A_TENTH * part.wanted_g


def _ahead(parts: Sequence[Part]) -> list[float]:
    """What the card yet brings, of what there is."""
    return [part.ahead_g if part.can_add else 0.0 for part in parts]


def size_restored(parts: Sequence[Part], drawn: float = 0.0) -> float | None:
    """The size, over the card's, at which additions alone restore every proportion once a fraction of the vessel is drawn.

    It is the card's own where that can be, the least above it, or the largest below it that what is left allows.
    """
    shares = [part.left_g(drawn) / part.wanted_g if part.wanted_g else math.inf for part in parts if part.there_g]
    ends = [part.left_g(drawn) / part.wanted_g for part in parts if part.wanted_g and not part.can_add]
    return _size(max(shares, default=0.0), min(ends, default=math.inf))


def _size(least: float, most: float) -> float | None:
    """The size nearest the card's from `least` up to `most`; None where there is none."""
    if math.isinf(least) or least > most * (1.0 + SAME) or most <= 0.0:
        return None
    return min(max(1.0, least), most)


def _alone(parts: Sequence[Part]) -> Iterator[tuple[int, float]]:
    """The place and grams of what is the only thing in the vessel, and of what is in a cup."""
    for held in ([part.in_g for part in parts], [part.cup_g for part in parts]):
        there = [place for place, grams in enumerate(held) if grams > 0.0]
        if len(there) == 1:
            yield there[0], held[there[0]]


def _take_out(parts: Sequence[Part], room: Room) -> Choice | None:
    """Out of a vessel or cup that holds one thing only so much, and every other line brought up, that the card is restored."""
    stays = [part.there_g for part in parts]
    for place, grams in _alone(parts):
        stays[place] -= grams
    stuck = [g / part.wanted_g if part.wanted_g else math.inf for part, g in zip(parts, stays, strict=True) if g > 0.0]
    ends = [part.share for part in parts if part.wanted_g and not part.can_add]
    size = _size(max(stuck, default=0.0), min(ends, default=math.inf))
    if size is None:
        return None
    over = [max(0.0, part.there_g - size * part.wanted_g) for part in parts]
    out = [g if g > SAME * max(part.wanted_g, 1.0) else 0.0 for part, g in zip(parts, over, strict=True)]
    return choice(TAKE_OUT, parts, room, _up_to(parts, size), out=out, size=size) if any(out) else None


def _again(parts: Sequence[Part], room: Room) -> Choice | None:
    """A cup that is not tipped in yet is emptied and weighed again; nothing of the vessel is lost."""
    if sum(part.cup_g > 0.0 for part in parts) < 2 or not _cup_is_over(parts):
        return None
    emptied = [replace(part, cup_g=0.0) for part in parts]
    size = size_restored(emptied)
    if size is None:
        return None
    return choice(AGAIN, parts, room, _up_to(emptied, size), out=[part.cup_g for part in parts], size=size)


def _cup_is_over(parts: Sequence[Part]) -> bool:
    return any(part.cup_g > 0.0 and part.share > 1.0 + SAME for part in parts)


def _add(parts: Sequence[Part], room: Room) -> Choice | None:
    size = size_restored(parts)
    return None if size is None else choice(ADD, parts, room, _up_to(parts, size), size=size)


def _draw_off(parts: Sequence[Part], room: Room) -> Choice | None:
    """So much of the mix drawn off that additions bring it back to the card's own size.

    Only what is in the vessel is mixed and can be drawn; a cup stays as it is. One thing alone is taken out, not drawn.
    """
    grown = size_restored(parts)
    if grown is None or grown <= 1.0 + SAME or sum(part.in_g > 0.0 for part in parts) < 2:
        return None
    # No part may be over once what its cup holds is tipped in.
    kept = min((part.wanted_g - part.cup_g) / part.in_g for part in parts if part.in_g > 0.0)
    in_cups = max(part.cup_g / part.wanted_g for part in parts if part.wanted_g)
    if not 0.0 <= kept < 1.0 - SAME or in_cups > 1.0 + SAME:
        return None
    adds = _up_to(parts, 1.0, 1.0 - kept)
    return None if _lacks(parts, adds) else choice(DRAW_OFF, parts, room, adds, drawn=1.0 - kept, size=1.0)


def _again_and_draw_off(parts: Sequence[Part], room: Room) -> Choice | None:
    """Cup and vessel both over: the cup is emptied and weighed again, and the vessel drawn off, or its one thing taken out."""
    if not _cup_is_over(parts):
        return None
    emptied = [replace(part, cup_g=0.0) for part in parts]
    of_vessel = _draw_off(emptied, room) or _take_out(emptied, room)
    if of_vessel is None:
        return None
    there = sum(part.in_g for part in parts)
    out = [part.cup_g + gone for part, gone in zip(parts, of_vessel.takes_out_g, strict=True)]
    drawn = of_vessel.draws_g / there
    return choice(AGAIN_DRAW_OFF, parts, room, of_vessel.adds_g, out=out, drawn=drawn, size=of_vessel.size)


def _up_to(parts: Sequence[Part], size: float, drawn: float = 0.0) -> list[float]:
    return [max(0.0, size * part.wanted_g - part.left_g(drawn)) for part in parts]


def _lacks(parts: Sequence[Part], adds: Sequence[float]) -> bool:
    """Whether something is to be added of which there is none left."""
    return any(add > SAME * part.wanted_g and not part.can_add for part, add in zip(parts, adds, strict=True))
