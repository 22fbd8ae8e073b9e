"""The pour view: one line at a time in large figures, kept after every tap, taken up again where it was left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from time import monotonic
from typing import ClassVar

from textual import events

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.logged import ASKED
from station.bar.nouns import Spec
from station.calc.answers import Batched
from station.cards.text import state, until
from station.desk.logging import news
from station.desk.on_shelf import Shelf
from station.desk.opening import Opened
from station.desk.pour_log import Asked, Confirmed, Place, begin, confirm, finish, hold, release, take_back, unfinish
from station.desk.pouring import Step, steps
from station.tui.figures import HEIGHT, large
from station.tui.pane import KeyAction, Pane, Row, row, wrapped
from station.tui.view import Host, View

# A second tap sooner than this is a wet finger's bounce.
TAP_SECONDS = 0.3


class PourPane(Pane):
    """All of the view; a tap anywhere is “done, next”."""

    KEYS: ClassVar[tuple[KeyAction, ...]] = (
        KeyAction("pour.next", ("space", "enter", "down", "right"), "next", hint="Space", label="done, next"),
        KeyAction("pour.previous", ("backspace", "up", "left"), "previous", hint="⌫", label="back one line"),
        KeyAction("pour.leave", ("escape",), "leave", hint="Esc", label="leave, it is kept"),
    )

    def __init__(self, view: PourView) -> None:
        super().__init__(id="pour-pane")
        self.view = view

    def next(self) -> None:
        self.view.next()

    def previous(self) -> None:
        self.view.previous()

    def leave(self) -> None:
        self.view.left()

    def on_click(self, event: events.Click) -> None:
        self.view.next()

    def paint(self) -> None:
        self.view.paint()


class PourView(View):
    """What to add, and what the scale should read then."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.pane = PourPane(self)
        super().__init__(host, self.pane, name="pour")
        self.shelf = shelf
        self.answer: Batched | None = None
        self.place = Place(Asked(), "", 0)
        self.steps: tuple[Step, ...] = ()
        self.finished = False
        self._tapped = 0.0

    @property
    def active_pane(self) -> Pane:
        return self.pane

    @property
    def done(self) -> int:
        """How many steps are confirmed: the weighings, and the end."""
        return len(self.steps) if self.finished else min(self.place.done, len(self.place.lines))

    def take(self, spec: Spec, answer: Batched, target: str, water: bool | None, rounding: str, lots: Shelf) -> bool:
        """A card to pour; one that was left half-way goes on after its last confirmed line. False where the log refuses."""
        self.answer, self.steps, self.finished = answer, steps(answer, self.shelf.library), False
        try:
            self.place = begin(self.shelf, spec, answer, Asked(target, water, rounding), lots, _now())
            said = hold(self.shelf, self.place, _now())
            if self.place.done >= len(self.steps):
                self._end()
        except CannotAnswer as error:
            self.host.say(str(error), "warn")
            return False
        again = f"Taken up again: {self.done} of {len(self.steps)} lines were confirmed." if self.place.done else ""
        self.host.say(" ".join(part for part in (said, again, *news(self.shelf)) if part), "warn" if said else "accent")
        self.paint()
        return True

    def left(self) -> None:
        """The person leaves: what is confirmed is kept, and no one else is warned of them any more."""
        self._release()
        self.host.back()

    def on_unmount(self) -> None:
        self._release()

    def _release(self) -> None:
        place, self.place = self.place, replace(self.place, lot=None)
        try:
            if not self.finished:
                release(self.shelf, place, _now())
        except CannotAnswer as error:
            self.host.say(str(error), "warn")

    def next(self) -> None:
        """This line is in. A bounce of the same tap is none."""
        now = monotonic()
        if now - self._tapped < TAP_SECONDS:
            return
        self._tapped = now
        if self.finished:
            self.host.back()
            return
        line = self.place.done
        wanted = self.place.lines[line].g if line < len(self.place.lines) else 0.0
        self.confirm(wanted, ASKED)

    def confirm(self, actual_g: float, known: str) -> None:
        """The step one is at is done, its weighing logged as it is known; then the screen says so."""
        line, lines = self.place.done, self.place.lines
        self._logged(lambda: self._confirmed(line, actual_g, known) if line < len(lines) else self._end())

    def previous(self) -> None:
        """Take back what was confirmed last."""
        self._logged(self._taken_back)

    def paint(self) -> None:
        if self.answer is None:
            return
        width = max(self.size.width - 1, 20)
        rows = _head(self.answer, self.done, len(self.steps))
        rows += (
            self._step_rows(self.steps[self.done], width) if self.done < len(self.steps) else self._end_rows(self.answer, width)
        )
        self.pane.show(rows + _foot(self.answer, width))

    def _confirmed(self, line: int, actual_g: float, known: str) -> None:
        self.place = confirm(self.shelf, self.place, line, self.place.lines[line].g, actual_g, known, _now())
        if self.place.done >= len(self.steps):
            self._end()

    def _end(self) -> None:
        self.place = finish(self.shelf, self.place, _now())
        self.finished = True

    def _taken_back(self) -> None:
        if self.finished:
            self.place, self.finished = unfinish(self.shelf, self.place, _now()), False
            if self.place.done < len(self.steps):
                return
        self.place = take_back(self.shelf, self.place, _now())

    def _logged(self, step: Callable[[], None]) -> None:
        """Do it, then say it; what the log refuses is said, and nothing is done."""
        said = ""
        try:
            step()
        except Confirmed as error:
            self.place, said = error.place, str(error)
        except (CannotAnswer, AmountError) as error:
            said = str(error)
        self.host.say(" ".join([said, *news(self.shelf)]).strip(), "warn")
        self.paint()

    def _step_rows(self, step: Step, width: int) -> list[Row]:
        """The step; where the screen is low only the reading is large."""
        low = self.size.height < 2 * HEIGHT + 11
        rows: list[Row] = [row(step.title, "strong")]
        rows += [row(f"add {step.amount} {step.into}")] if low else [row(f"add, {step.into}:", "dim"), *_big(step.amount, width)]
        rows += [row(), row(f"until {step.scale} reads:", "dim"), *_big(step.reads, width)]
        rows += wrapped(step.note, width, "warn")
        following = self.steps[self.done + 1] if self.done + 1 < len(self.steps) else None
        return [*rows, row(), row(f"then: {following.title} {following.amount}" if following else "then: done", "dim")]

    def _end_rows(self, answer: Batched, width: int) -> list[Row]:
        library = self.shelf.library
        rows = [row("All lines are in. Turn it over before the first pour.", "strong"), row()]
        fills = [one for one in answer.fills if one.count > answer.mixes[0].count]
        rows += [row(f"Fill {one.count} × {library.house.vessels[one.vessel].name}: {say.grams(one.g)} each") for one in fills]
        rows += [row(f"{one.when}: {library.name_of(one.item)}, {one.each} a glass") for one in answer.service]
        rows += [row(f"use by {until(answer.use_by, library.house)}"), row()]
        for one in answer.cautions:
            rows += wrapped(f"{one.word}: {one.text}", width, "dim" if one.word == "NOTE" else "warn", "  ")
        return rows


def _head(answer: Batched, done: int, total: int) -> list[Row]:
    line = f"line {done + 1} of {total}" if done < total else "done"
    serves = say.number(answer.full_serves, 6)
    return [((f"{answer.name}  ", "strong"), (state(answer.diluted), "accent")), row(f"{line} · {serves} full serves"), row()]


def _foot(answer: Batched, width: int) -> list[Row]:
    allergens = ", ".join(answer.allergens) or "none stated by the suppliers"
    return wrapped(f"Allergens: {allergens} · {say.number(answer.standard_drinks)} standard drinks in it", width, "text", "  ")


def _big(text: str, width: int) -> list[Row]:
    return [row(line, "accent") for line in large(text, width)]


def _now() -> datetime:
    return datetime.now(UTC)
