"""A dispenser weighed: what one count holds, how sure that is, what looks wrong, and which drinks it changes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from typing import Final

from station.bar import say
from station.bar.fault import CannotAnswer
from station.bar.nouns import Calibration, Dispenser, Library, Spec
from station.calc.balance import figures
from station.calc.blend import Blends, reached
from station.calc.counting import statistics
from station.calc.drink import Drink, drink
from station.science import outlier

# Grams of one count that can be true. A drop: from 13 to 126 mg of water (Eschbaum 1895), of spirit less than half of it. A
# dash, a spoon, a spray: common practice, no source.
BELIEVABLE_G: Final = {"drop": (0.005, 0.2), "dash": (0.1, 8.0), "barspoon": (1.0, 10.0), "spray": (0.02, 2.0)}
# How far from one step to the next a display that was never zeroed may be; how short a first dash is worth saying.
_STEP_ALIKE: Final = 0.25
_SHORT_FIRST: Final = 0.75
FIRST_DASH: Final = "a bottle's first dash is often about half of the next (common practice, no source): it can be left out"


@dataclass(frozen=True, slots=True)
class Findings:
    """One count, g: its mean, the scatter of one and the standard uncertainty of the mean; between the readings, g, their spread
    (None for one); `outlier` is the place, from 1, of the reading Grubbs' test finds outlying: it is shown and kept."""

    mean_g: float
    scatter_g: float
    mean_sd_g: float
    spread_g: float | None
    outlier: int | None


@dataclass(frozen=True, slots=True)
class Glass:
    """Three figures of a glass."""

    abv_pct: float
    sugar_g_per_100ml: float
    acid_g_per_100ml: float


@dataclass(frozen=True, slots=True)
class Change:
    """One line of a drink that weighs something else now, and the glass it stands in; None for what was not known before.

    `why` says in words why the line of another liquid moves too; "" where it is the one that was weighed.
    """

    id: str
    name: str
    item: str
    item_name: str
    why: str
    amount: str
    was_g: float | None
    now_g: float
    was: Glass | None
    now: Glass


@dataclass(frozen=True, slots=True)
class Calibrated:
    """The answer to `calibrate`: readings from zero, g, the figures of one count, what was believed, and what changes.

    `outlier` is a place among `reads_g`, from 1. `written` says whether it stands in the library now.
    """

    dispenser: str
    name: str
    unit: str
    item: str
    item_name: str
    date: date
    by: str
    count: int
    reads_g: tuple[float, ...]
    mean_g: float
    mean_ml: float | None
    scatter_g: float
    mean_sd_g: float
    spread_g: float | None
    outlier: int | None
    was_g: float | None
    was_basis: str
    remarks: tuple[str, ...]
    changes: tuple[Change, ...]
    written: bool


def findings(calibration: Calibration, library: Library) -> Findings:
    """What the readings say."""
    reads = calibration.reads_g
    mean, scatter, of_mean = statistics(calibration, library)
    whole = sum(reads) / len(reads)
    spread = (sum((one - whole) ** 2 for one in reads) / (len(reads) - 1)) ** 0.5 if len(reads) > 1 else None
    place = outlier.outlier(reads)
    return Findings(mean, scatter, of_mean, spread, None if place is None else place + 1)


def each_from_zero(display_g: Sequence[float]) -> tuple[float, ...]:
    """What each reading added to a display that runs on. Raises CannotAnswer for one that does not go up."""
    for place, (before, after) in enumerate(pairwise(display_g), 2):
        if after <= before:
            raise CannotAnswer(
                f"reading {place}, {say.number(after, 6)} g, is not over the one before, {say.number(before, 6)} g",
                "a display that runs on only goes up: mend the reading, or give them as taken from zero each time",
            )
    return tuple(after - before for before, after in pairwise((0.0, *display_g)))


def refuse_unbelievable(unit: str, calibration: Calibration) -> None:
    """Raises CannotAnswer where a count of that weight can hardly be, or the scale seems never to have been zeroed."""
    low, high = BELIEVABLE_G[unit]
    for place, grams in enumerate(calibration.reads_g, 1):
        one = grams / calibration.count
        if not low <= one <= high:
            raise CannotAnswer(
                f"reading {place}, {say.number(grams, 6)} g for {calibration.count}, is {say.number(one)} g a {unit}; "
                f"{low:g} to {high:g} g is believable",
                "check g against kg, and the count; if it is true, take it anyway",
            )
    if _runs_on(calibration.reads_g):
        raise CannotAnswer(
            "each reading is one more of the same than the last: a display that was never zeroed?",
            "say that it runs on; if each was from zero, take it anyway",
        )


def remarks(unit: str, calibration: Calibration) -> Iterable[str]:
    """What is worth saying about the readings, in words."""
    reads = calibration.reads_g
    if unit == "dash":
        yield FIRST_DASH
        others = reads[1:]
        if others and reads[0] < _SHORT_FIRST * sum(others) / len(others):
            yield f"the first reading is {say.percent(reads[0] * len(others) / sum(others), 'of the others’ mean')}"
    if len(reads) == 1:
        yield "one reading tells no spread: a dropper in use is off by up to 15 % (USP <1101>), which is taken for it"


def with_calibration(library: Library, dispenser: Dispenser, calibration: Calibration) -> Library:
    """The library as it would be."""
    after = replace(dispenser, calibrations=(*dispenser.calibrations, calibration))
    return replace(library, dispensers={**library.dispensers, dispenser.id: after})


def changes(before: Blends, after: Blends, unit: str, item: str) -> tuple[Change, ...]:
    """Every line of a drink that weighs something else, or is of something else, once the dispenser is calibrated with `item`.

    The lines of that liquid first, then others by liquid.
    """
    stocks = before.library.stocks.values()
    moved = reached(before.library, {one.id for one in stocks if any(line.amount.unit == unit for line in one.lines)})
    found: list[Change] = []
    for spec in before.library.drinks.values():
        if any(line.amount.unit == unit or line.item in moved for line in spec.lines):
            found += _changed(spec, before, after, moved, unit, item)
    return tuple(sorted(found, key=lambda one: (one.item != item, one.item)))


def _why(item: str, weighed: str, unit: str, counted: bool, library: Library) -> str:
    """Why a line of `item` moves when a count of `weighed` was weighed."""
    if not counted:
        return f"its own lines are counted by the {unit}"
    if item == weighed:
        return ""
    return f"no {unit} of it was weighed, so it goes by this dispenser's newest weighing, of {library.name_of(weighed)}"


def _changed(spec: Spec, before: Blends, after: Blends, moved: set[str], unit: str, item: str) -> Iterable[Change]:
    now, was = _made(spec, after), _made(spec, before)
    if now is None:
        return
    for place, poured in enumerate(now.poured):
        old = was.poured[place] if was else None
        of_another = old is not None and poured.line.item in moved and old.stuff != poured.stuff
        if old is None or of_another or _differ(old.dose.mass_g, poured.dose.mass_g):
            was_g = old.dose.g if old else None
            yield Change(
                spec.id,
                spec.name,
                poured.line.item,
                after.library.name_of(poured.line.item),
                _why(poured.line.item, item, unit, poured.line.amount.unit == unit, after.library),
                poured.line.amount.text,
                was_g,
                poured.dose.mass_g,
                Glass(*figures(was.glass)) if was else None,
                Glass(*figures(now.glass)),
            )


def _made(spec: Spec, blends: Blends) -> Drink | None:
    try:
        return drink(spec, blends)
    except CannotAnswer:
        return None


def _differ(was: float, now: float) -> bool:
    return abs(now - was) > 1e-9 * max(was, now)


def _runs_on(reads: Sequence[float]) -> bool:
    """Whether the readings climb by steps alike, the first from nothing."""
    steps = [after - before for before, after in pairwise((0.0, *reads))]
    return len(reads) > 2 and all(abs(step - steps[0]) <= _STEP_ALIKE * steps[0] for step in steps[1:])
