"""What a pour comes to by what is in its vessel: now, and once what is still to do is done; beside what the card planned."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from station.bar.composition import Composition
from station.calc import correct
from station.calc.balance import Balance, balance
from station.calc.pour import DONE, Event, Line, Pour, Step, tolerated_g
from station.calc.pour_events import after
from station.calc.scales import VESSEL


@dataclass(frozen=True, slots=True)
class Serve:
    """What the card makes of a serve: ml of the mix, the glass it ends in, its style's window of the glass ({} without one).

    `undiluted` is what meets the ice of it, `ice_g` the water such a liquid takes up there: none where the mix has its water.
    """

    ml: float
    glass: Composition
    window: Mapping[str, tuple[float, float]]
    undiluted: Composition
    ice_g: Callable[[Composition], float]


@dataclass(frozen=True, slots=True)
class Off:
    """A line that will be over (g above 0) or short at the end, by more than its weighing may miss.

    `readability_g` is that of its scale, None where it has none; `on_card` whether the card has that line at all,
    `let_down` whether it is a weaker solution of the item that was weighed; `by` what g is of what was wanted, infinite of none.
    """

    item: str
    g: float
    readability_g: float | None = None
    on_card: bool = True
    let_down: bool = False
    by: float = math.inf


@dataclass(frozen=True, slots=True)
class AsPoured:
    """One vessel of a card. `now` is of what is in, cups too; `ends` of what will be in; `planned` of what the card wanted.

    The glasses are of a serve of the card's volume. `moved` is each figure of the mix relative to the card (correct.moved_by),
    `outside` those past the `taste` tolerance; `window` the style's. `unknown_g` is what the scale showed over what was weighed.
    """

    planned: Balance
    now: Balance
    ends: Balance
    planned_serves: float
    serves: float
    planned_glass: Balance
    glass: Balance
    off: tuple[Off, ...]
    moved: Mapping[str, float | None]
    outside: tuple[str, ...]
    taste: float
    window: Mapping[str, tuple[float, float]]
    unknown_g: float = 0.0


def as_poured(pour: Pour, serve: Serve) -> AsPoured:
    """What it comes to; where a mis-pour still wants a way on, as if it were left."""
    ended = to_the_end(pour)
    planned, ends = mix_of(pour, [line.wanted_g for line in pour.lines]), mix_of(ended, ended.held[VESSEL])
    now = mix_of(pour, [sum(of_line) for of_line in zip(*pour.held.values(), strict=True)])
    moved = correct.moved_by(planned, ends)
    return AsPoured(
        planned=balance(planned),
        now=balance(now),
        ends=balance(ends),
        planned_serves=planned.volume_ml / serve.ml,
        serves=ends.volume_ml / serve.ml,
        planned_glass=balance(serve.glass),
        glass=balance(_glass(serve, planned, ends)),
        off=_off(ended),
        moved=moved,
        outside=correct.outside(moved, pour.taste),
        taste=pour.taste,
        window=serve.window,
        unknown_g=pour.unknown_g,
    )


def to_the_end(pour: Pour) -> Pour:
    """The pour once all that is still to do was done as asked."""
    pour = replace(pour, off=None)
    while pour.ahead:
        pour = after(pour, Event(DONE))
    return pour


def mix_of(pour: Pour, grams: list[float] | tuple[float, ...]) -> Composition:
    """What so many grams of each line make together."""
    return Composition.total(line.per_g * g for line, g in zip(pour.lines, grams, strict=True))


def load_g(pour: Pour, step: Step, reads: float) -> float:
    """What stands on the scale when it reads that after the step: what it was zeroed on too, and the vessel (no cup's tare is
    known)."""
    if step.apart:
        return reads
    return reads + pour.zero_g.get(step.into, 0.0) + (pour.tare_g if step.into == VESSEL else 0.0)


def volume_ml(pour: Pour, line: Line, grams: float) -> float:
    """What the vessel holds once so much of that line is in it too."""
    return (mix_of(pour, pour.held[VESSEL]) + line.per_g * grams).volume_ml


def _glass(serve: Serve, planned: Composition, ends: Composition) -> Composition:
    """The card's glass with a serve of what is in the vessel in place of the planned one, and what the ice then brings."""
    if planned.volume_ml <= 0.0 or ends.volume_ml <= 0.0:
        return serve.glass
    one, card = ends * (serve.ml / ends.volume_ml), planned * (serve.ml / planned.volume_ml)
    ice_g = serve.ice_g(serve.undiluted.less(card) + one)
    return (serve.glass.less(card) + one).less(Composition.of(water=serve.ice_g(serve.undiluted))) + Composition.of(water=ice_g)


def _off(ended: Pour) -> tuple[Off, ...]:
    parts = ended.parts
    by = [part.there_g - part.wanted_g for part in parts]
    scales = [ended.scales.get(line.scale) for line in ended.lines]
    return tuple(
        Off(
            item=line.item,
            g=g,
            readability_g=scale.readability_g if scale else None,
            on_card=line.wanted_g > 0.0,
            let_down=line.let_down,
            by=abs(g) / parts[place].wanted_g if line.wanted_g else math.inf,
        )
        for place, (line, g, scale) in enumerate(zip(ended.lines, by, scales, strict=True))
        if abs(g) > tolerated_g(ended, place, line.scale)
    )
