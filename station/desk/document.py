"""The open spec: what is saved, what was typed since, undo and redo, and the draft that outlives a killed program."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import Any, ClassVar

from station.bar.amount import Amount, AmountError, rewritten
from station.bar.fault import CannotAnswer
from station.bar.nouns import EDITED, UNWRITTEN, WHENS, Spec
from station.calc.answers import Shown
from station.desk import line_edits
from station.desk.figures import Figures
from station.desk.history import History
from station.desk.kept import EDITS
from station.desk.look import find_spec
from station.desk.nudging import nudged
from station.desk.open_line import OpenLine, OpenLines, opened_lines, packed, table_of
from station.desk.opening import Opened
from station.desk.shelving import must_be_sound, new_drink
from station.desk.units_kept_equal import equals
from station.desk.writing import save_edit
from station.files.edit import edited
from station.files.sound import drink_findings

# How a draft is written; those before the second held amounts alone.
DRAFT_SHAPE = 2


@dataclass(frozen=True, slots=True)
class Typing:
    """The amount being typed: which line, the text so far, and what is wrong with it, if anything is."""

    place: int
    text: str
    wrong: str = ""


@dataclass
class Document(History[OpenLines]):
    """One spec, open. `states` are its lines after each edit.

    `saved_lines` are those of the file. `unwritten` holds what a drink that has no file yet is beside its lines, as its file
    will say it; None once there is one.
    """

    KEPT: ClassVar[str] = EDITS

    opened: Opened
    saved: Spec
    states: list[OpenLines] = field(default_factory=list)
    at: int = 0
    typing: Typing | None = None
    message: str = ""
    unwritten: Mapping[str, str] | None = None
    saved_lines: OpenLines = ()
    _figures: Figures = field(init=False)
    # The line whose unit was changed last, and as it was before the first such change in a row.
    _turned: tuple[OpenLine, OpenLine] | None = None

    def __post_init__(self) -> None:
        self._figures = Figures(self.opened)
        self.saved_lines = self._lines_on_disk()
        self.states = self.states or [self.saved_lines]

    @property
    def name(self) -> str:
        return self.saved.id

    @property
    def lines(self) -> OpenLines:
        """The lines as they stand; an amount being typed is not yet part of them."""
        return self.state

    @property
    def texts(self) -> tuple[str, ...]:
        """Their amounts."""
        return tuple(line.amount for line in self.lines)

    @property
    def spec(self) -> Spec:
        """The spec as it stands, with what is being typed as far as it can be read. A line without an amount is not in it."""
        return self._spec(self._live())

    @property
    def lacking(self) -> str:
        """In one sentence what is missing before the lines are a drink; "" where nothing is."""
        return self._figures.lacking(self.saved, self._live())

    @property
    def unit_taken(self) -> str:
        """The unit that what is being typed takes; "" where it says its own."""
        typing = self.typing
        if typing is None:
            return ""
        line = self.lines[typing.place]
        return line_edits.unit_taken(line, typing.text, self._unit(line))

    @property
    def unsaved(self) -> bool:
        return self.typing is not None or self._moved

    @property
    def differs(self) -> bool:
        """Whether anything is otherwise than in the file: an amount merely opened for typing is not."""
        typing = self.typing
        return self._moved or (typing is not None and typing.text != self.lines[typing.place].amount)

    @property
    def _moved(self) -> bool:
        """Whether the lines, what is being typed aside, are not those of the file."""
        return self.unwritten is not None or self._figures.counting(self.lines) != self.saved_lines

    @property
    def answer(self) -> Shown | str:
        """The spec as it stands, reckoned; or in one sentence why it cannot be."""
        live = self._live()
        return self._figures.answer(self._spec(live), live)

    @property
    def answer_saved(self) -> Shown | str:
        """The saved spec, reckoned: what the figures were before."""
        return self._figures.answer(self.saved, self.saved_lines)

    @property
    def acid_detail(self) -> Shown | str:
        """The spec as it stands with how sour it counts, which is reckoned only when it is asked for."""
        live = self._live()
        return self._figures.in_full(self._spec(live), live)

    def when(self, place: int) -> str:
        """When that line goes in."""
        return line_edits.when_of(self.lines[place], self._unit(self.lines[place]))

    def when_stated(self, place: int) -> str:
        """When that line goes in, where its amount does not say so by itself."""
        return line_edits.when_stated(self.lines[place], self._unit(self.lines[place]))

    def type(self, place: int, text: str) -> None:
        """An amount as typed so far. The balance moves with it; the draft holds it before this returns."""
        wrong = ""
        try:
            self._typed(place, text)
        except AmountError as error:
            wrong = str(error)
        self.typing = Typing(place, text, wrong)
        self._keep()

    def commit(self) -> bool:
        """Take what was typed as an edit. False, and nothing taken, if it is no amount; nothing typed is no edit."""
        if self.typing is None:
            return True
        if not self.typing.text.strip() and not self.lines[self.typing.place].amount:
            self.cancel()
            return True
        if self.typing.wrong:
            return False
        live = self._live()
        self.typing = None
        self._push(live)
        return True

    def nudge(self, place: int, steps: int) -> None:
        """One line's amount up or down by the house's jigger step, a whole drop or dash, a gram. It stays above zero."""
        if not self.commit() or place >= len(self.lines):
            return
        line, house = self.lines[place], self.opened.library.house
        amount = line_edits.amount_of(line, self._unit(line)) or Amount("", 0.0, self._unit(line))
        value = nudged(amount, steps, house)
        if value > 0.0:
            self._push(line_edits.replaced(self.lines, place, replace(line, amount=rewritten(amount, value).text)))

    def add(self, place: int, item: str) -> bool:
        """A line of that item, without an amount yet, which then stands at that place. False if what is typed is no amount."""
        if not self.commit():
            return False
        self._push(line_edits.added(self.lines, place, OpenLine(item, key=self._new_key())))
        return True

    def put_in_place(self, place: int, amounts: Sequence[tuple[str, str]]) -> None:
        """Lines of these items and amounts in place of that one, going in when it did, as one edit."""
        if self.commit() and place < len(self.lines):
            when = "" if self.when(place) == WHENS[0] else self.when(place)
            new = [OpenLine(item, text, when=when, key=key) for key, (item, text) in enumerate(amounts, self._new_key())]
            self._push((*self.lines[:place], *new, *self.lines[place + 1 :]))

    def remove(self, place: int) -> None:
        """Take that line out, with what was being typed in it."""
        if self.typing is not None and self.typing.place == place:
            self.typing = None
        if self.commit() and place < len(self.lines):
            self._push(line_edits.removed(self.lines, place))

    def shift(self, place: int, by: int) -> bool:
        """That line further down or up, as far as there are lines. False if it stays."""
        if not self.commit() or not 0 <= place + by < len(self.lines):
            return False
        self._push(line_edits.moved(self.lines, place, by))
        return True

    def set_item(self, place: int, item: str) -> None:
        """Another item in that line; its amount and what else it says stay."""
        if self.commit() and place < len(self.lines):
            self._push(line_edits.replaced(self.lines, place, replace(self.lines[place], item=item)))

    def turn_when(self, place: int) -> None:
        """That line going in at the next time: batch, service, finish. One that topped or floated no longer does."""
        if self.commit() and place < len(self.lines):
            line, unit = self.lines[place], self._unit(self.lines[place])
            turned = line_edits.with_when(line, line_edits.next_when(self.when(place)), unit)
            self._push(line_edits.replaced(self.lines, place, turned))

    def turn_unit(self, place: int) -> str:
        """That line's amount in the next unit that makes sense, as many grams as it was; how near it is, in one sentence.

        Turned on, it comes round to exactly what it was. Raises CannotAnswer where it has no weight, or no other unit.
        """
        if not self.commit() or place >= len(self.lines):
            return ""
        line = self.lines[place]
        was = self._turned[1] if self._turned and self._turned[0] is line else line
        noun = self._figures.noun(was)
        if isinstance(noun, str):
            raise CannotAnswer(noun, "type it first")
        ways = equals(noun, self.opened.blends, was.dispenser, self.saved.ounce)
        here = next((at for at, one in enumerate(ways) if one.text == line.amount), 0)
        one = ways[(here + 1) % len(ways)]
        if one.text == line.amount:
            raise CannotAnswer(f"no other unit says {line.amount} of {self.opened.library.name_of(line.item)}")
        turned = replace(line, amount=one.text)
        self._push(line_edits.replaced(self.lines, place, turned))
        self._turned = (turned, was)
        return f"{one.text} for {was.amount}: {one.said}"

    def set_amounts(self, texts: Mapping[int, str]) -> None:
        """Other amounts for these lines, as one edit. Raises AmountError for one that its line cannot take."""
        if not self.commit():
            return
        lines = self.lines
        for place, text in texts.items():
            lines = line_edits.replaced(lines, place, line_edits.typed(lines[place], text, self._unit(lines[place])))
        self._push(lines)

    def save(self) -> None:
        """Write the lines into the spec's file, every other byte as it was. Raises CannotAnswer; the draft stays then."""
        if not self.commit():
            raise CannotAnswer(self.typing.wrong if self.typing else "", "finish the amount first")
        if isinstance(self.answer, str):
            raise CannotAnswer(f"not saved: {self.answer}", "the edit is kept as a draft")
        if self.opened.read_only:
            raise CannotAnswer(
                "this library is read only", "start station without --library for one of your own; the edit is kept"
            )
        counting = self._figures.counting(self.lines)
        if self.unwritten is None:
            self._write(counting)
        else:
            new_drink(self.opened, self.saved.id, {**self.unwritten, "lines": [table_of(line) for line in counting]})
            self.unwritten = None
        self.opened.reread()
        self.saved, self.saved_lines = find_spec(self.opened.library, self.saved.id), counting
        self._figures.forget()
        self.drop_draft()

    def follow(self) -> bool:
        """After the library was read again: the newest saved spec, if nothing is unsaved here; figures anew in any case.

        False if the file was changed or is gone while an edit is open: the edit stays, and a save will be refused.
        """
        self._figures.forget()
        newest = self.opened.library.drinks.get(self.saved.id)
        if newest is None and self.unwritten is not None:
            return True
        if newest is not None and newest.revision == self.saved.revision:
            return True
        if newest is None or self.unsaved:
            return False
        self.saved = newest
        self.saved_lines = self._lines_on_disk()
        self.begin(self.saved_lines)
        return True

    @property
    def overtaken(self) -> bool:
        """Whether another program has saved the spec since, by the library as last read, under an edit that is open here."""
        newest = self.opened.library.drinks.get(self.saved.id)
        return self.unsaved and self.unwritten is None and newest is not None and newest.revision != self.saved.revision

    def stand_on_newest(self) -> None:
        """For one overtaken: the edit as one step over what the other saved. Undo leads back to that, a save replaces it."""
        edit = self.lines
        self.saved = find_spec(self.opened.library, self.saved.id)
        self.saved_lines = self._lines_on_disk()
        self.begin(self.saved_lines, edit)
        self._figures.forget()
        self._keep()

    def _write(self, lines: OpenLines) -> None:
        """The lines in the file. Raises CannotAnswer."""
        places = {line.key: place for place, line in enumerate(self.saved_lines)}

        def with_lines(text: str) -> str:
            wanted = {**tomllib.loads(text), "lines": [table_of(line) for line in lines]}
            must_be_sound(self.saved.file, drink_findings(self.saved.file, wanted, self.opened.library))
            return edited(text, wanted, {"lines": [places.get(line.key) for line in lines]})

        save_edit(self.opened, self.saved.file, self.saved.revision, with_lines)

    def _new_key(self) -> int:
        """A key that no line of any state has; those after it are as free."""
        return 1 + max((line.key for state in (*self.states, self.saved_lines) for line in state), default=-1)

    def _lines_on_disk(self) -> OpenLines:
        return () if self.unwritten is not None else opened_lines(self.opened.reader.source(self.saved.file).data["lines"])

    def _live(self) -> OpenLines:
        if self.typing is None or self.typing.wrong:
            return self.lines
        return line_edits.replaced(self.lines, self.typing.place, self._typed(self.typing.place, self.typing.text))

    def _typed(self, place: int, text: str) -> OpenLine:
        line = self.lines[place]
        return line_edits.typed(line, text, self._unit(line))

    def _unit(self, line: OpenLine) -> str:
        library = self.opened.library
        return line_edits.unit_typed(library.items.get(line.item), library.house)

    def _spec(self, lines: OpenLines) -> Spec:
        """The spec with these lines; one that is not as saved says so in its revision."""
        if self.unwritten is not None:
            return self._figures.spec(self.saved, lines, UNWRITTEN)
        if self._figures.counting(lines) == self.saved_lines:
            return self.saved
        return self._figures.spec(self.saved, lines, f"{EDITED}{self.saved.revision}")

    def _content(self) -> dict[str, Any]:
        """What the draft holds: each line once (states share those that did not change), and every state as places among them."""
        rows = {id(line): line for state in self.states for line in state}
        places = {one: place for place, one in enumerate(rows)}
        states = [[places[id(line)] for line in state] for state in self.states]
        return {
            "shape": DRAFT_SHAPE,
            "base": self.saved.revision,
            "unwritten": None if self.unwritten is None else dict(self.unwritten),
            "lines": [packed(line) for line in rows.values()],
            "states": states,
            "at": self.at,
            "typing": [self.typing.place, self.typing.text] if self.typing else None,
            "when": datetime.now(UTC).isoformat(timespec="seconds"),
        }


def open_document(opened: Opened, name: str) -> Document:
    """The spec of that id, opened as it is saved. Raises CannotAnswer with its faults."""
    return Document(opened, find_spec(opened.library, name))
