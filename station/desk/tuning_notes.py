"""What must be said of a tuned drink beside its figures: what nobody wished and moves all the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from station.bar import say
from station.bar.amount import rewritten, spell_number
from station.bar.nouns import Library
from station.calc import tune, tuned_pour
from station.calc.backwards import OutOfRange
from station.calc.blend import Blends
from station.calc.drink import Drink
from station.calc.tune import Tuning, Wish

WORDS: Mapping[str, str] = {"acid": "acid", "sugar": "sugar", "ratio": "sugar to acid", "abv": "ABV", "volume": "volume"}
UNITS: Mapping[str, str] = {"acid": "g/100 ml as citric", "sugar": "g/100 ml", "ratio": "", "abv": "% vol", "volume": "ml"}
# From so much on, relative, a volume nobody wished is said to move; and a poured amount to be another than the exact one (our own
# weighing, no source).
_VOLUME, _TIMES = 0.1, 1.5
_NOTHING = 1e-4


def notes(
    blends: Blends, before: Drink, exact: Tuning, poured: Tuning, places: Sequence[int], wishes: Sequence[Wish]
) -> tuple[str, ...]:
    """The sentences. Raises CannotAnswer."""
    library = blends.library
    lines = _of_lines(before, exact, poured, places, library)
    left = out_of_range(blends, before, exact, poured, wishes)
    return (*_of_ranges(left), *_of_volume(blends, before, exact, poured, places, wishes), *lines)


def out_of_range(blends: Blends, before: Drink, exact: Tuning, poured: Tuning, wishes: Sequence[Wish]) -> tuple[OutOfRange, ...]:
    """The figures nobody wished that stood in their usual ranges and do not any more, exactly or as poured."""
    windows = tuned_pour.windows_of(before.spec, blends, wishes)
    was, then, made = (tune.figures_of(one.glass) for one in (before, exact.drink, poured.drink))
    stood = tuned_pour.inside(was, windows)
    stay = tuned_pour.inside(then, windows), tuned_pour.inside(made, windows)
    return tuple(
        OutOfRange(name, *windows[name], was[name], then[name], made[name], *(name not in inside for inside in stay))
        for name in windows
        if name in stood and not all(name in inside for inside in stay)
    )


def _of_ranges(left: Sequence[OutOfRange]) -> Iterator[str]:
    if left:
        hold = "it, wish it within its range" if len(left) == 1 else "one, wish it within its range"
        yield f"OUT OF THE USUAL RANGE: {'; '.join(map(_out_of_range, left))}. To hold {hold}, too."


def _out_of_range(one: OutOfRange) -> str:
    kinds = [("exactly", one.exact, one.out_exactly), ("as poured", one.pourable, one.out_as_poured)]
    found = " and ".join(f"{say.number(value)} {kind}" for kind, value, out in kinds if out)
    return f"{WORDS[one.figure]} {found} (usually {say.number(one.low)} to {say.number(one.high)}{say.GAP}{UNITS[one.figure]})"


def _of_volume(
    blends: Blends, before: Drink, exact: Tuning, poured: Tuning, places: Sequence[int], wishes: Sequence[Wish]
) -> Iterator[str]:
    was, then, made = (one.glass.volume_ml for one in (before, exact.drink, poured.drink))
    moved = max(abs(one / was - 1.0) for one in (then, made)) if was else 0.0
    if moved <= _VOLUME or any(wish.figure == "volume" for wish in wishes):
        return
    said = f"THE VOLUME MOVES: from {say.volume(was)} to {say.volume(then)} exactly, {say.volume(made)} as poured"
    if exact.missed:
        yield f"{said}."
        return
    size = float(f"{was:.3g}")
    held = tune.can_be(before.spec, blends, places, [*wishes, Wish("volume", size, size)])
    first = "To keep it," if held else f"At {say.volume(size)} these lines cannot give the rest: let another move, and"
    yield f"{said}. {first} wish volume={spell_number(size)}, too."


def _of_lines(before: Drink, exact: Tuning, poured: Tuning, places: Sequence[int], library: Library) -> Iterator[str]:
    for place, value, made in zip(places, exact.amounts, poured.amounts, strict=True):
        line = before.poured[place].line
        name, own = library.name_of(line.item), line.amount.value or 1.0
        if value <= _NOTHING * own:
            yield f"{name} comes to nothing: the exact drink has no such line."
        elif len(places) > 1 and not min(own, value) / _TIMES <= made <= max(own, value) * _TIMES:
            amount = rewritten(before.spec.lines[place].amount, made).text
            yield f"{name} makes up for what the other lines cannot be poured to: {amount}."
        if line.batch_amount is not None:
            yield f"{name} has an amount of its own for batches, which does not follow."
