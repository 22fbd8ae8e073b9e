"""The pour view: one line at a time in large figures, kept after every tap, taken up again where it was left.

A reading that is not what was wanted is typed as one sees it; the ways on from there stand below, a key each.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from time import monotonic

from textual import events

from station.bar import say
from station.bar.amount import AmountError
from station.bar.fault import CannotAnswer
from station.bar.nouns import Spec
from station.calc.answers import Batched
from station.desk.logging import news
from station.desk.on_shelf import Shelf
from station.desk.open_pour import Doubtful, OpenPour, open_pour
from station.desk.opening import Opened
from station.desk.pour_log import Asked, hold, release
from station.desk.wrong_bottle import can_be_it
from station.tui.item_search import ItemSearch
from station.tui.pane import KeyAction, Pane, at_most
from station.tui.pour_keys import OTHER_KEYS, OVER_KEYS, STEP_KEYS, STOP_KEYS, TYPING_KEYS, WAY_KEYS, WHOLE, WHOLE_KEYS
from station.tui.pour_rows import (
    Block,
    all_told,
    end_blocks,
    foot,
    head,
    other_screen,
    step_screen,
    stop_blocks,
    that_fit,
    way_blocks,
    whole_way,
)
from station.tui.view import Host, View

# A second tap sooner than this is a wet finger's bounce.
TAP_SECONDS = 0.3
# A digit later than this after another is a change of mind, sooner it is a reading being typed again.
MIND_SECONDS = 1.0


class PourPane(Pane):
    """All of the view; a tap is “done, next”, or on a way on takes that."""

    def __init__(self, view: PourView) -> None:
        super().__init__(id="pour-pane")
        self.view = view

    def keys(self) -> tuple[KeyAction, ...]:
        view, pour = self.view, self.view.pour
        if pour is not None and pour.stop:
            return STOP_KEYS
        if pour is not None and pour.ways:
            if view.told:
                return WAY_KEYS
            return WHOLE_KEYS if view.whole else (*WAY_KEYS, WHOLE)
        if pour is not None and pour.over:
            return OVER_KEYS
        # A reading that was refused is typed again or forgotten: a tap for “next” by habit would confirm what it was not.
        return OTHER_KEYS if view.other else TYPING_KEYS if view.typing or (pour is not None and pour.doubt) else STEP_KEYS

    def typed(self, character: str) -> bool:
        return self.view.typed(character)

    def run(self, action: KeyAction) -> None:
        """The keys are the view's: it knows where the pour stands."""
        self.view.run(action)

    def on_click(self, event: events.Click) -> None:
        self.view.tap(event.y)

    def paint(self) -> None:
        self.view.paint()


class PourView(View):
    """What to add, and what the scale should read then."""

    def __init__(self, host: Host, shelf: Opened) -> None:
        self.pane = PourPane(self)
        self.search = ItemSearch(self._took_other, self._found_none)
        super().__init__(host, self.pane, self.search, name="pour")
        self.shelf = shelf
        self.pour: OpenPour | None = None
        # What the scale is said to read, whether that was refused: then the next digit begins another; of what, if not of what
        # was asked for.
        self.typing, self.refused, self.other = "", False, ""
        # Which of the places something else can have gone into is meant, and how far down one reads of a way alone.
        self.place = self.down = 0
        self.at = 0
        # The digits typed where a way on is asked for: one marks a way, more are a reading and no choice.
        self.marking = ""
        # Whether the way at hand has the screen for itself, and whether each of them has room beside the others.
        self.whole, self.told = False, True
        self._tapped = self._marked = 0.0
        self._blocks: list[Block] = []

    @property
    def active_pane(self) -> Pane:
        return self.search if self.has_class("-search") else self.pane

    def take(self, spec: Spec, answer: Batched, target: str, water: bool | None, rounding: str, lots: Shelf) -> bool:
        """A card to pour; one that was left half-way goes on where it was. False where the log refuses."""
        self.typing, self.other, self.marking, self.at, self.whole = "", "", "", 0, False
        self._look_for(False)
        try:
            pour = open_pour(self.shelf, spec, answer, Asked(target, water, rounding), lots, _now())
            said = hold(self.shelf, pour.place, _now())
        except (AmountError, CannotAnswer) as error:
            self.host.say(str(error), "warn")
            return False
        self.pour = pour
        lines = f"{pour.pour.poured} of {pour.pour.weighings} lines"
        again = f"Taken up again: {lines} were confirmed." if pour.place.done else ""
        self.host.say(" ".join(part for part in (said, again, *news(self.shelf)) if part), "warn" if said else "accent")
        self.paint()
        return True

    def leave(self) -> None:
        """The person leaves: what is confirmed is kept, and no one else is warned of them any more."""
        said = self._release()
        self.host.back()
        self.host.say(said, "warn")

    def on_unmount(self) -> None:
        self._release()

    def _release(self) -> str:
        """No one else is warned of this session any more; what the log refused."""
        pour, self.pour = self.pour, None
        try:
            if pour is not None and not pour.finished:
                release(self.shelf, pour.place, _now())
        except (AmountError, CannotAnswer) as error:
            return str(error)
        return ""

    def next(self) -> None:
        """This line is in. A bounce of the same tap is none."""
        if self.pour is None or self._bounced():
            return
        pour = self.pour
        if pour.over:
            self.leave()
        else:
            self._do(lambda: pour.as_asked(_now()))

    def typed(self, character: str) -> bool:
        """A digit: of the way on to mark, or of what the scale reads."""
        if self.pour is None or self.pour.over or self.pour.stop:
            return False
        if self.pour.ways:
            return self._mark(character, len(self.pour.ways))
        before = "" if self.refused else self.typing
        if character.isdecimal() or (character in ".," and before) or (character == "~" and not before):
            self.typing, self.refused = before + character, False
            self.paint()
            return True
        return False

    def _mark(self, character: str, ways: int) -> bool:
        """A digit marks a way and does nothing; what can only be a reading typed again is said to be none."""
        if not (character.isdecimal() or character in ".,"):
            return False
        now = monotonic()
        self.marking = (self.marking if now - self._marked < MIND_SECONDS else "") + character
        self._marked = now
        if self._marks(ways):
            self.at, self.down = int(self.marking) - 1, 0
            self.host.say(f"{self.marking} is marked, Enter does it")
        else:
            self.host.say(f"{self.marking} is no way on; ⌫ takes the reading back", "warn")
        self.paint()
        return True

    def _marks(self, ways: int) -> bool:
        return len(self.marking) == 1 and self.marking.isdecimal() and 1 <= int(self.marking) <= ways

    def ask_way(self) -> None:
        self.host.say("a digit marks a way, Enter does it")

    def ask_reading(self) -> None:
        self.host.say("type what the scale reads, then Enter")

    def take_reading(self) -> None:
        """What was typed is what the scale reads."""
        if self.pour is None:
            return
        if not self.typing:
            self.ask_reading()
            return
        text, self._tapped = self.typing, monotonic()
        pour, other = self.pour, self.other

        def read() -> None:
            with suppress(Doubtful):  # the doubt stands under the step, and what is typed again is taken
                if other:
                    pour.other(other, text, _now(), self.into)
                else:
                    pour.as_read(text, _now())
                self.other = ""

        self.refused = not self._do(read)
        if not self.refused:
            self.typing, self.marking, self.at = "", "", 0
            self.paint()

    def rub(self) -> None:
        self.typing, self.refused = self.typing[:-1], False
        self.paint()

    def forget(self) -> None:
        """What was typed, and what else went in, was not."""
        self.typing, self.refused, self.other = "", False, ""
        if self.pour is not None:
            self.pour.no_reading()
        self.host.say("")
        self.paint()

    def ask_other(self) -> None:
        """Which bottle it was, where it was not the one asked for."""
        pour = self.pour
        if pour is not None and self._do(pour.refuse_other):
            self.search.ask("What went in instead?", lambda words: can_be_it(self.shelf.library, pour.pour, words))
            self._look_for(True)

    def _took_other(self, item: str) -> None:
        self.other, self.typing, self.place = item, "", 0
        self._look_for(False)

    @property
    def into(self) -> str:
        """Where what else went in is said to have gone."""
        places = self.pour.can_go_into(self.other) if self.pour is not None and self.other else ("",)
        return places[self.place % len(places)]

    def other_place(self) -> None:
        """It went into the other of cup and vessel."""
        self.place += 1
        self.paint()

    def _found_none(self) -> None:
        self._look_for(False)

    def _look_for(self, on: bool) -> None:
        self.set_class(on, "-search")
        self.search.activate(on)
        self.paint()
        self.host.refresh_keys()

    def discard(self) -> None:
        """All of it is poured away, and the log says why."""
        pour, done = self.pour, []
        if pour is not None and not self._bounced() and self._do(lambda: done.append(pour.discard(_now()))):
            self.leave()
            self.host.say(done[0])

    def zeroed(self) -> None:
        pour = self.pour
        if pour is not None and not pour.over and self._do(lambda: pour.zeroed(_now())):
            self.host.say(f"zeroed: it reads 0 g now, the {say.grams(pour.in_vessel_g)} in it still count")

    def move(self, by: int) -> None:
        if self.pour is not None:
            self.marking, self.at = "", max(0, min(len(self.pour.ways) - 1, self.at + by))
            self.paint()

    def show_whole(self) -> None:
        """All of the way at hand alone, or the list again."""
        self.whole, self.down = not self.whole, 0
        self.paint()

    def read_on(self, by: int) -> None:
        """Further down, or up, in a way that has the screen for itself."""
        self.down = max(0, self.down + by)
        self.paint()

    def choose_at(self) -> None:
        """Do the marked way; not at once where a reading was typed."""
        if self.pour is None or self._bounced():
            return
        marking, reading = self.marking, bool(self.marking) and not self._marks(len(self.pour.ways))
        self.marking = ""
        if reading:
            self.host.say(f"nothing done: {marking} is no way on; ⌫ undoes the reading", "warn")
        else:
            self.choose(self.at + 1)

    def choose(self, number: int) -> None:
        """Take that way on: the rest of the card is right at once."""
        pour = self.pour
        if pour is None:
            return
        self._tapped, self.marking, self.at, self.whole = monotonic(), "", 0, False
        if self._do(lambda: pour.choose(number, _now())):
            self.host.say("what is still to go in follows; ⌫ takes it back")

    def previous(self) -> None:
        """Take back what happened last."""
        pour = self.pour
        if pour is not None:
            self.marking, self.at, self.whole = "", 0, False
            self._do(lambda: pour.take_back(_now()))

    def tap(self, y: int) -> None:
        if self.pour is None:
            return
        if self.typing or self.other or self.pour.doubt:
            self.take_reading()
        elif not self.pour.ways and not self.pour.stop:
            self.next()
        elif (number := self._way_at(y)) and not self._bounced():
            self.choose(number)
        self.host.refresh_keys()

    def paint(self) -> None:
        if self.pour is None:
            return
        self._blocks = self._made(self.pour, max(self.pane.size.width - 1, 20), self.pane.size.height)
        rows, size = [one for block in self._blocks for one in block.rows], self.pane.size
        if self.whole and self.pour.ways and not self.told:
            self.down = min(self.down, max(0, len(rows) - size.height))
            rows = rows[self.down :]
        key = "→" if self.pour.ways and not self.whole and not self.told else ""
        self.pane.show(at_most(rows, size.height, size.width, key) if size.height else rows)

    def _made(self, pour: OpenPour, width: int, height: int) -> list[Block]:
        library, first = self.shelf.library, head(pour, width, height)
        if pour.stop:
            return that_fit([*first, *stop_blocks(pour, width)], height)
        if pour.over:
            return that_fit([*first, *end_blocks(pour, library, width, height)], height)
        last = foot(pour, library, width)
        if pour.ways:
            room = height - sum(len(block.rows) for block in (*first, *last))
            self.told = all_told(pour, width, room)
            if self.whole and not self.told:
                return whole_way(pour, self.at, first, last, width, height)
            return that_fit([*first, *way_blocks(pour, self.at, width, room), *last], height)
        if self.other:
            return that_fit(other_screen(pour, self.other, self.into, self.typing, library, width, height), height)
        return that_fit(step_screen(pour, self.typing, library, width, height), height)

    def _do(self, what: Callable[[], object]) -> bool:
        """Do it, then say it; what cannot be, or the log refuses, is said, and nothing is done. Whether it was done."""
        said = ""
        try:
            what()
        except (AmountError, CannotAnswer) as error:
            said = str(error)
        self.host.say(" ".join([said, *news(self.shelf)]).strip(), "warn")
        self.paint()
        return not said

    def _bounced(self) -> bool:
        now = monotonic()
        bounced = now - self._tapped < TAP_SECONDS
        self._tapped = self._tapped if bounced else now
        return bounced

    def _way_at(self, y: int) -> int:
        """The number of the way on that stands in that row, 0 for none."""
        y += self.down
        for block in self._blocks:
            if 0 <= y < len(block.rows):
                return block.way
            y -= len(block.rows)
        return 0


def _now() -> datetime:
    return datetime.now(UTC)
