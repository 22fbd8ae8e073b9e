"""A batch poured line by line: what to do, step after step."""

from __future__ import annotations

from dataclasses import dataclass

from station.bar import say
from station.bar.nouns import Library, Scale
from station.calc.answers import Batched
from station.calc.batch import BatchLine, Mix
from station.calc.scales import VESSEL
from station.cards.text import what


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do: what goes in, how much, into what, and what that scale should read then."""

    title: str
    amount: str
    into: str
    reads: str
    scale: str
    note: str


def steps(answer: Batched, library: Library) -> tuple[Step, ...]:
    """Every weighing of the first mix, the cup before the vessel, and the cup tipped in last."""
    mix = answer.mixes[0]
    listed = [_step(line, library) for line in mix.lines]
    if any(line.into != VESSEL for line in mix.lines):
        listed.append(_tip(mix, library))
    return tuple(listed)


def card_of(answer: Batched) -> str:
    """What a pour's place belongs to: the same card asks for the same grams in the same order."""
    lines = ",".join(f"{line.item}={line.weigh_g:.3f}" for line in answer.mixes[0].lines)
    return f"{answer.spec_revision[:16]}:{answer.diluted}:{lines}"


def _step(line: BatchLine, library: Library) -> Step:
    scale = library.house.scales.get(line.scale)
    step = scale.readability_g if scale else None
    acids = ", ".join(f"{say.grams(grams)} of it {acid}" for acid, grams in line.acid_g.items())
    into = "into the vessel" if line.into == VESSEL else f"into the {line.into}"
    times = f"{line.times} weighings, each reads that" if line.times > 1 else ""
    note = "; ".join(part for part in (acids, times, line.rounded, line.note) if part)
    return Step(what(line, library), say.grams(line.weigh_g, step), into, say.grams(line.reads_g, step), _name(scale), note)


def _tip(mix: Mix, library: Library) -> Step:
    straight = [line for line in mix.lines if line.into == VESSEL]
    scale = library.house.scales.get(straight[-1].scale) if straight else None
    step = scale.readability_g if scale else None
    cup = sum(line.weigh_g for line in mix.lines if line.into != VESSEL)
    return Step(
        "Tip the cup in",
        say.grams(cup),
        "into the vessel",
        say.grams(mix.g, step),
        _name(scale),
        "rinse it with a little of the mix",
    )


def _name(scale: Scale | None) -> str:
    return scale.name if scale else "no scale"
