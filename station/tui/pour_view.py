"""The pour view: one line at a time in large figures, kept after every tap, taken up again where it was left."""

from __future__ import annotations

from dataclasses import replace
from time import monotonic
from typing import ClassVar

from textual import events

from station.bar import say
from station.calc.answers import Batched
from station.cards.text import state, until
from station.desk.opening import Opened
from station.desk.pouring import Place, Step, card_of, confirm, finish, left_at, steps
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
        self.view.host.back()

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
        self.place = Place("", None, "", 0)
        self.steps: tuple[Step, ...] = ()
        self.done = 0
        self._tapped = 0.0

    @property
    def active_pane(self) -> Pane:
        return self.pane

    def take(self, answer: Batched, target: str, water: bool | None, rounding: str = "") -> None:
        """A card to pour; one that was left half-way goes on after its last confirmed line."""
        self.answer, self.steps = answer, steps(answer, self.shelf.library)
        self.place = Place(target, water, card_of(answer), 0, rounding)
        left = left_at(self.shelf, answer.id)
        self.done = min(left.done, len(self.steps)) if left and left.card == self.place.card else 0
        self.host.say(f"Taken up again: {self.done} of {len(self.steps)} lines were confirmed." if self.done else "")
        self.paint()

    def next(self) -> None:
        """This line is in. A bounce of the same tap is none."""
        now = monotonic()
        if now - self._tapped < TAP_SECONDS:
            return
        self._tapped = now
        if self.done >= len(self.steps):
            self.host.back()
        else:
            self._move(1)

    def previous(self) -> None:
        if self.done > 0:
            self._move(-1)

    def paint(self) -> None:
        if self.answer is None:
            return
        width = max(self.size.width - 1, 20)
        rows = _head(self.answer, self.done, len(self.steps))
        rows += (
            self._step_rows(self.steps[self.done], width) if self.done < len(self.steps) else self._end_rows(self.answer, width)
        )
        self.pane.show(rows + _foot(self.answer, width))

    def _move(self, by: int) -> None:
        """Confirm or take back one line. Where the pour stands is kept before the screen says so."""
        assert self.answer is not None
        self.done += by
        news = ""
        try:
            if self.done == len(self.steps):
                finish(self.shelf, self.answer.id)
            else:
                confirm(self.shelf, self.answer.id, replace(self.place, done=self.done))
        except OSError as error:
            news = f"where you are cannot be kept: {error.strerror}"
        self.host.say(news, "warn")
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
