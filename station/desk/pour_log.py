"""Where a pour stands: every confirmed weighing is in the log before the screen says so, and there it is taken up again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from station.bar import say
from station.bar.fault import CannotAnswer
from station.bar.logged import CORRECTED, DISCARDED, FINISHED, HELD, RELEASED, USED_UP, VOIDED, Lot, Mark, Weighing
from station.bar.nouns import Library, Spec
from station.calc import keeping
from station.calc.answers import Batched
from station.calc.batch import BatchLine
from station.cards.poured import strength
from station.desk.kept import POURS
from station.desk.logging import add as log_marks
from station.desk.logging import has_log, log_of, named, new_uuid, session, told
from station.desk.on_shelf import Shelf
from station.desk.opening import Opened
from station.desk.pouring import card_of

_OVER = frozenset({FINISHED, USED_UP, DISCARDED})
_ON_ICE = frozenset({"shake", "stir"})


@dataclass(frozen=True, slots=True)
class Asked:
    """What a batch was asked to be: its target as typed, the water switch, the rounding."""

    target: str = ""
    water: bool | None = None
    rounding: str = ""


@dataclass(frozen=True, slots=True)
class Of:
    """What a weighing is of, and the scale it stood on."""

    item: str
    scale: str


@dataclass(frozen=True, slots=True)
class Ended:
    """What a pour came to by what is in it: g, ml, strength as a label says it, and the mark of what was left off the card."""

    g: float | None = None
    ml: float | None = None
    strength: str = ""
    off_plan: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a pour stands: what was asked, the card it belongs to, the weighings confirmed from the first on.

    `lot` is what it is logged as, in the log or not yet; `lines` the card's, by line number; `parts` the lots they come from.
    What a correction adds or takes out is a weighing more, numbered on; `corrections` are marks about the weighing before them.
    """

    asked: Asked
    card: str
    done: int
    lot: Lot | None = None
    lines: tuple[BatchLine, ...] = ()
    parts: Mapping[str, str] = field(default_factory=dict)
    weighed: tuple[Weighing, ...] = ()
    corrections: tuple[Mark, ...] = ()

    @property
    def last(self) -> Weighing | None:
        """The weighing that was confirmed last."""
        return max((one for one in self.weighed if one.line < self.done), key=lambda one: one.line, default=None)


def left_at(opened: Opened, spec: str, card: str = "") -> Place | None:
    """Where that drink's newest pour was left, if one was (of that `card`, where one is asked). Raises CannotAnswer."""
    if not has_log(opened):
        return None
    log = log_of(opened)
    with told():
        lots = [lot for lot in log.lots_of(spec) if lot.kind == "batch" and (not card or lot.card == card)]
        over = {mark.lot for mark in log.of_lots(Mark, [lot.uuid for lot in lots]) if mark.kind in _OVER}
        open_lots = [lot for lot in lots if lot.uuid not in over]
        if not open_lots:
            return None
        newest = open_lots[-1]
        return _at(newest, log.of_lots(Weighing, [newest.uuid]), log.of_lots(Mark, [newest.uuid]))


def begin(opened: Opened, spec: Spec, answer: Batched, asked: Asked, shelf: Shelf, now: datetime) -> Place:
    """A pour of that card taken up where it was left, else begun: nothing is logged before its first line.

    Raises CannotAnswer.
    """
    card = card_of(answer)
    held = opened.unwritten.read(POURS, card) if opened.look else None
    left = held["place"] if held else left_at(opened, answer.id, card)
    lines = answer.mixes[0].lines
    parts = {item: one.lot.uuid for item, one in shelf.lots.items()}
    if left is not None:
        return replace(left, asked=asked, lines=lines, parts=parts)
    return Place(asked, card, 0, _lot(opened, spec, answer, asked, now), lines, parts)


def confirm(
    opened: Opened, place: Place, line: int, wanted_g: float, actual_g: float, known: str, now: datetime, of: Of | None = None
) -> Place:
    """Log a weighing, on the disk when this returns. A line that was confirmed before, here or elsewhere, is not logged again.

    `of` says what was weighed, where it is not the card's line of that number. Raises CannotAnswer, then nothing was
    confirmed; AmountError where nobody is named.
    """
    person, lot, here = _writing(opened, place, now)
    one = of or Of(place.lines[line].item, place.lines[line].scale)
    row = Weighing(
        new_uuid(), lot.uuid, line, one.item, wanted_g, actual_g, known, here, person, place.parts.get(one.item, ""), one.scale
    )
    first = replace(lot, by=person, made=lot.made if place.weighed else here)
    if opened.look:
        weighed = [*place.weighed, row]
        return _remembered(opened, replace(place, lot=first, weighed=tuple(weighed), done=_done(weighed)))
    held = () if place.weighed else (Mark(new_uuid(), lot.uuid, HELD, here, person, about=session(opened)),)
    with told():
        confirmed = log_of(opened).confirm(row, first, *held, *place.weighed)
        weighed, marks = log_of(opened).of_lots(Weighing, [lot.uuid]), log_of(opened).of_lots(Mark, [lot.uuid])
    corrections = tuple(mark for mark in marks if mark.kind == CORRECTED)
    place = replace(place, lot=first, weighed=tuple(weighed), done=_done(weighed), corrections=corrections)
    if not confirmed.new:
        raise Confirmed(place, confirmed.row)
    return place


def correct(opened: Opened, place: Place, why: str, now: datetime, g: float | None = None) -> Place:
    """Log what was done about the last weighing: a way on, the mix drawn off (grams), the scale zeroed. Raises as confirm."""
    if place.last is None:
        return place
    person, lot, here = _writing(opened, place, now)
    mark = Mark(new_uuid(), lot.uuid, CORRECTED, here, person, about=place.last.uuid, g=g, why=why)
    _add(opened, lot, mark)
    return _remembered(opened, replace(place, corrections=(*place.corrections, mark)))


def uncorrect(opened: Opened, place: Place, now: datetime) -> Place:
    """The last such mark made void. Raises CannotAnswer, AmountError."""
    if not place.corrections:
        return place
    person, lot, here = _writing(opened, place, now)
    _add(opened, lot, Mark(new_uuid(), lot.uuid, VOIDED, here, person, about=place.corrections[-1].uuid, why="taken back"))
    return _remembered(opened, replace(place, corrections=place.corrections[:-1]))


class Confirmed(CannotAnswer):
    """The line had been confirmed by another station: by whom, and where the pour stands now."""

    def __init__(self, place: Place, row: Weighing) -> None:
        super().__init__(f"{row.by} confirmed this line at {row.at:%H:%M} already", "look at what the scale reads")
        self.place = place


def take_back(opened: Opened, place: Place, now: datetime) -> Place:
    """The last confirmed weighing made void. Raises CannotAnswer, AmountError."""
    last = place.last
    if last is None:
        return place
    person, lot, here = _writing(opened, place, now)
    _add(opened, lot, Mark(new_uuid(), lot.uuid, VOIDED, here, person, about=last.uuid, why="taken back"))
    weighed = tuple(one for one in place.weighed if one.uuid != last.uuid)
    return _remembered(opened, replace(place, weighed=weighed, done=_done(weighed)))


def finish(opened: Opened, place: Place, now: datetime, ended: Ended = Ended()) -> Place:  # frozen
    """The pour is over, its cup tipped in, and came to that: nothing to come back to. Raises CannotAnswer, AmountError."""
    person, lot, here = _writing(opened, place, now)
    end = Mark(new_uuid(), lot.uuid, FINISHED, here, person, g=ended.g, why=ended.off_plan, ml=ended.ml, strength=ended.strength)
    _add(opened, lot, end)
    opened.unwritten.drop(POURS, place.card)
    return place


def discard(opened: Opened, place: Place, why: str, now: datetime) -> Place:
    """The pour ends with all of it poured away. Raises CannotAnswer, AmountError."""
    person, lot, here = _writing(opened, place, now)
    _add(opened, lot, Mark(new_uuid(), lot.uuid, DISCARDED, here, person, why=why))
    opened.unwritten.drop(POURS, place.card)
    return place


def unfinish(opened: Opened, place: Place, now: datetime) -> Place:
    """The end taken back. Raises CannotAnswer, AmountError."""
    person, lot, here = _writing(opened, place, now)
    if opened.look:
        return place
    with told():
        ends = [mark for mark in log_of(opened).of_lots(Mark, [lot.uuid]) if mark.kind == FINISHED]
    _add(opened, lot, *(Mark(new_uuid(), lot.uuid, VOIDED, here, person, about=mark.uuid, why="taken back") for mark in ends))
    return place


def hold(opened: Opened, place: Place, now: datetime) -> str:
    """Note that this session has the pour open; who else has it open, in a sentence. Raises CannotAnswer, AmountError."""
    if opened.look:
        return ""
    with told():
        log_of(opened).sessions.here(session(opened))
    if place.lot is None or not place.weighed:
        return ""
    person, lot, here = _writing(opened, place, now)
    own = session(opened)
    with told():
        other = _holder(log_of(opened).of_lots(Mark, [lot.uuid]), own)
        if other and not log_of(opened).sessions.runs(other.about):
            other = None
    _add(opened, lot, Mark(new_uuid(), lot.uuid, HELD, here, person, about=own))
    return f"{other.by} has it open since {other.at:%H:%M}: only one of you pours." if other else ""


def release(opened: Opened, place: Place, now: datetime) -> None:
    """This session has left the pour. Raises CannotAnswer, AmountError."""
    if place.lot is not None and place.weighed and not opened.look:
        person, lot, here = _writing(opened, place, now)
        _add(opened, lot, Mark(new_uuid(), lot.uuid, RELEASED, here, person, about=session(opened)))


def _writing(opened: Opened, place: Place, now: datetime) -> tuple[str, Lot, datetime]:
    """Who writes, of which lot, and the moment by the house's clock."""
    if place.lot is None:
        raise CannotAnswer("this pour is no lot of the log", "open its card again")
    return "" if opened.look else named(opened), place.lot, keeping.in_house(now, opened.library.house)


def _remembered(opened: Opened, place: Place) -> Place:
    """The place itself; a look-up keeps it in memory, to come back to until it ends."""
    if opened.look:
        opened.unwritten.write(POURS, place.card, {"place": place})
    return place


def _add(opened: Opened, lot: Lot, *marks: Mark) -> None:
    """Log the marks; a look-up pours without a log, and forgets it at its end."""
    if not opened.look:
        log_marks(opened, lot, *marks)


def _holder(marks: Sequence[Mark], own: str) -> Mark | None:
    """The session that took the pour up last and has not left it; None where that is this one."""
    held = [mark for mark in marks if mark.kind in {HELD, RELEASED}]
    last = held[-1] if held else None
    return last if last is not None and last.kind == HELD and last.about != own else None


def _at(lot: Lot, weighed: Sequence[Weighing], marks: Sequence[Mark]) -> Place:
    asked = Asked(lot.target, lot.water, lot.rounding)
    corrections = tuple(mark for mark in marks if mark.kind == CORRECTED)
    return Place(asked, lot.card, _done(weighed), lot, weighed=tuple(weighed), corrections=corrections)


def _done(weighed: Sequence[Weighing]) -> int:
    """How many lines from the first on are confirmed."""
    lines = {one.line for one in weighed}
    return next(count for count in range(len(lines) + 1) if count not in lines)


def _lot(opened: Opened, spec: Spec, answer: Batched, asked: Asked, now: datetime) -> Lot:
    mix = answer.mixes[0]
    return Lot(
        uuid=new_uuid(),
        kind="batch",
        item=answer.id,
        name=answer.name,
        made=keeping.in_house(now, opened.library.house),
        by="",
        use_by=answer.use_by,
        g=mix.g,
        ml=mix.ml,
        diluted=answer.diluted,
        strength=strength(answer.balance),
        store="freezer" if answer.for_freezer else "fridge",
        allergens=answer.allergens,
        may_contain=answer.may_contain,
        finishing=_finishing(answer, spec, opened.library),
        target=asked.target,
        water=asked.water,
        rounding=asked.rounding,
        card=card_of(answer),
        revision=answer.spec_revision,
        text=text_of(opened, spec),
    )


def _finishing(answer: Batched, spec: Spec, library: Library) -> tuple[str, ...]:
    """What is still to be done with it at the glass, as its label says it."""
    ice = "pour it cold, no ice work" if answer.diluted else f"{spec.method} it on ice" if spec.method in _ON_ICE else ""
    lines = [f"{one.when}: {one.each} {library.name_of(one.item)}" for one in answer.service]
    return tuple(step for step in ("turn it over before the first pour", ice, *lines) if step)


def text_of(opened: Opened, spec: Spec) -> str:
    """The exact text a spec was read from; one that was edited and not saved says so at its head, with its lines."""
    try:
        source = opened.reader.source(spec.file)
    except KeyError:
        source = None
    if source is not None and source.digest == spec.revision:
        return source.text
    lines = "".join(f"# {say.plain(line.amount.text)} {line.item}\n" for line in spec.lines)
    return f"# Poured from an edit that was not saved; its lines were:\n{lines}{source.text if source else ''}"
