"""The open spec: what is saved, what was typed since, undo and redo, and the draft that outlives a killed program."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from math import ceil, floor
from typing import Any

from station.bar.amount import Amount, AmountError, parse_amount, rewritten
from station.bar.fault import CannotAnswer
from station.bar.nouns import Line, Spec
from station.bar.units import COUNTED, g_per, ml_per
from station.calc.answers import Shown
from station.desk.kept import EDITS, drafts_of
from station.desk.look import find_spec, in_full, shown, sound_drink
from station.desk.opening import Opened
from station.files.edit import EditRefused, edited
from station.files.save import Busy, ChangedOnDisk, NotWritable, OutsideLibrary, save

_FALLBACK_STEP_ML = 7.5
_ROUNDING = 1e-9

Texts = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Typing:
    """The amount being typed: which line, the text so far, and what is wrong with it, if anything is."""

    place: int
    text: str
    wrong: str = ""


@dataclass(slots=True)
class Document:
    """One spec, open. `states` are the amounts after each edit, oldest first; `at` is the one that stands."""

    opened: Opened
    saved: Spec
    states: list[Texts]
    at: int = 0
    typing: Typing | None = None
    message: str = ""
    _answers: dict[Texts, Shown | str] = field(default_factory=dict)
    _named: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        self._named = tuple(line.dispenser for line in self.saved.lines)

    @property
    def spec(self) -> Spec:
        """The spec as it stands, with what is being typed as far as it can be read."""
        return self._spec(self._live())

    @property
    def texts(self) -> Texts:
        return self.states[self.at]

    @property
    def unsaved(self) -> bool:
        return self.texts != texts_of(self.saved) or self.typing is not None

    @property
    def answer(self) -> Shown | str:
        """The spec as it stands, reckoned; or in one sentence why it cannot be."""
        return self._answer(self._live())

    @property
    def answer_saved(self) -> Shown | str:
        """The saved spec, reckoned: what the figures were before."""
        return self._answer(texts_of(self.saved))

    @property
    def acid_detail(self) -> Shown | str:
        """The spec as it stands with how sour it counts, which is reckoned only when it is asked for."""
        answer = self.answer
        if isinstance(answer, str):
            return answer
        return in_full(answer, sound_drink(self.opened.blends, self.spec), self.opened.library)

    def type(self, place: int, text: str) -> None:
        """An amount as typed so far. The balance moves with it; the draft holds it before this returns."""
        wrong = ""
        try:
            self._amount(text, place)
        except AmountError as error:
            wrong = str(error)
        self.typing = Typing(place, text, wrong)
        self._keep()

    def commit(self) -> bool:
        """Take what was typed as an edit. False, and nothing taken, if it is no amount."""
        if self.typing is None:
            return True
        if self.typing.wrong:
            return False
        live = self._live()
        self.typing = None
        self._push(live)
        return True

    def cancel(self) -> None:
        """Forget what was typed since the last edit."""
        self.typing = None
        self._keep()

    def nudge(self, place: int, steps: int) -> None:
        """One line's amount up or down by the house's jigger step, a whole drop or dash, a gram. It stays above zero."""
        if not self.commit():
            return
        amount = self._amount(self.texts[place], place)
        if amount.value is None:
            return
        step = self._step(amount)
        whole = floor(amount.value / step + _ROUNDING) if steps > 0 else ceil(amount.value / step - _ROUNDING)
        value = (whole + steps) * step
        if value > 0.0:
            self._push(_replaced(self.texts, place, rewritten(amount, value).text))

    def set_amounts(self, texts: Mapping[int, str]) -> None:
        """Other amounts for these lines, as one edit. Raises AmountError for one that its line cannot take."""
        if not self.commit():
            return
        after = self.texts
        for place, text in texts.items():
            after = _replaced(after, place, self._amount(text, place).text)
        self._push(after)

    def undo(self) -> bool:
        """Back by one edit; what is being typed goes first. False if there is nothing to take back."""
        if self.typing is not None:
            self.cancel()
            return True
        return self._move(-1)

    def redo(self) -> bool:
        return self._move(1)

    def save(self) -> None:
        """Write the amounts into the spec's file, every other byte as it was. Raises CannotAnswer; the draft stays then."""
        if not self.commit():
            raise CannotAnswer(self.typing.wrong if self.typing else "", "finish the amount first")
        if isinstance(self.answer, str):
            raise CannotAnswer(f"not saved: {self.answer}", "the edit is kept as a draft")
        if self.opened.read_only:
            raise CannotAnswer(
                "this library is read only", "start station without --library for one of your own; the edit is kept"
            )
        try:
            source = self.opened.reader.source(self.saved.file)
        except KeyError:
            raise CannotAnswer(f"{self.saved.file} is gone", "your edit is kept as a draft") from None
        if source.digest != self.saved.revision:
            raise CannotAnswer(f"{self.saved.file} was changed by another program", "open it again; your edit is kept as a draft")
        try:
            text = edited(source.text, _with_amounts(tomllib.loads(source.text), self._spec(self.texts)))
            save(self.opened.folder, self.saved.file, text, source.digest)
        except (EditRefused, ChangedOnDisk, OutsideLibrary, NotWritable, Busy) as error:
            raise CannotAnswer(f"not saved: {error}", "the edit is kept as a draft") from None
        self.opened.reread()
        self.saved = find_spec(self.opened.library, self.saved.id)
        self._answers.clear()
        drafts_of(self.opened).drop(EDITS, self.saved.id)

    def takes(self, texts: Sequence[object]) -> bool:
        """Whether the lines can take these amounts."""
        try:
            return all(isinstance(text, str) and bool(self._amount(text, place)) for place, text in enumerate(texts))
        except AmountError:
            return False

    def follow(self) -> bool:
        """After the library was read again: the newest saved spec, if nothing is unsaved here; figures anew in any case.

        False if the file was changed or is gone while an edit is open: the edit stays, and a save will be refused.
        """
        self._answers.clear()
        newest = self.opened.library.drinks.get(self.saved.id)
        if newest is not None and newest.revision == self.saved.revision:
            return True
        if newest is None or self.unsaved:
            return False
        self.saved, self.states, self.at = newest, [texts_of(newest)], 0
        self._named = tuple(line.dispenser for line in newest.lines)
        return True

    def drop_draft(self) -> None:
        drafts_of(self.opened).drop(EDITS, self.saved.id)

    def _live(self) -> Texts:
        if self.typing is None or self.typing.wrong:
            return self.texts
        amount = self._amount(self.typing.text, self.typing.place)
        return _replaced(self.texts, self.typing.place, _whole(amount))

    def _spec(self, texts: Texts) -> Spec:
        """The spec with these amounts; one that is not as saved says so in its revision."""
        if texts == texts_of(self.saved):
            return self.saved
        lines = tuple(self._line(place, text) for place, text in enumerate(texts))
        return replace(self.saved, lines=lines, revision=f"edited from {self.saved.revision}")

    def _line(self, place: int, text: str) -> Line:
        """A line with another amount. It keeps its dispenser for as long as the amount is counted in that one's unit."""
        saved = self.saved.lines[place]
        amount = saved.amount if text == saved.amount.text else self._amount(text, place)
        named = self.opened.library.dispensers.get(self._named[place])
        dispenser = self._named[place] if named is None or named.unit == amount.unit else ""
        if amount is saved.amount and dispenser == saved.dispenser:
            return saved
        return replace(saved, amount=amount, dispenser=dispenser)

    def _amount(self, text: str, place: int) -> Amount:
        """What was typed, in the line's unit where it names none; whether it tops a glass is the line's, not the amount's."""
        was = self.saved.lines[place].amount
        amount = parse_amount(text, was.unit)
        if amount.role and amount.role != was.role:
            raise AmountError(text, 0, f"this line is no “{amount.role}”", "write an amount; when it goes in is said in the file")
        if was.role and not amount.role:
            return replace(amount, role=was.role, text=f"{was.role} {amount.text.strip()}")
        if amount.value is None:
            raise AmountError(text, 0, "it does not say how much", f"write e.g. {was.text}")
        return amount

    def _answer(self, texts: Texts) -> Shown | str:
        found = self._answers.get(texts)
        if found is None:
            found = self._answers[texts] = self._reckon(texts)
        return found

    def _reckon(self, texts: Texts) -> Shown | str:
        try:
            return shown(self.opened.blends, sound_drink(self.opened.blends, self._spec(texts)))
        except CannotAnswer as error:
            return str(error)

    def _step(self, amount: Amount) -> float:
        house = self.opened.library.house
        if amount.unit in COUNTED or amount.measures in {"each", "part"}:
            return 1.0
        if amount.measures == "mass":
            return 1.0 / g_per(amount.unit)
        step_ml = min(house.jigger_ml, default=_FALLBACK_STEP_ML)
        if amount.unit == "oz":
            return 0.25
        return step_ml / ml_per(amount.unit, house.ounce, house.spoons)

    def _push(self, texts: Texts) -> None:
        if texts != self.texts:
            del self.states[self.at + 1 :]
            self.states.append(texts)
            self.at += 1
        self._keep()

    def _move(self, by: int) -> bool:
        if not 0 <= self.at + by < len(self.states):
            return False
        self.at += by
        self._keep()
        return True

    def _keep(self) -> None:
        """The draft, written now; a folder that cannot be written is said once, and editing goes on."""
        try:
            if self.unsaved:
                drafts_of(self.opened).write(EDITS, self.saved.id, self._content())
            else:
                drafts_of(self.opened).drop(EDITS, self.saved.id)
            self.message = ""
        except OSError as error:
            self.message = f"the draft cannot be kept: {error.strerror}"

    def _content(self) -> dict[str, Any]:
        typing = [self.typing.place, self.typing.text] if self.typing else None
        return {
            "base": self.saved.revision,
            "states": self.states,
            "at": self.at,
            "typing": typing,
            "when": datetime.now(UTC).isoformat(timespec="seconds"),
        }


def open_document(opened: Opened, name: str) -> Document:
    """The spec of that id, opened as it is saved. Raises CannotAnswer with its faults."""
    spec = find_spec(opened.library, name)
    return Document(opened, spec, [texts_of(spec)])


def _whole(amount: Amount) -> str:
    """An amount's text with its unit, where only a number was typed."""
    text = amount.text.strip()
    if text[-1:].isalpha() or amount.value is None:
        return text
    return rewritten(amount, amount.value).text


def texts_of(spec: Spec) -> Texts:
    """The amounts of a spec as they are written."""
    return tuple(line.amount.text for line in spec.lines)


def _replaced(texts: Texts, place: int, text: str) -> Texts:
    return (*texts[:place], text, *texts[place + 1 :])


def _with_amounts(data: dict[str, Any], spec: Spec) -> dict[str, Any]:
    """The file's data with the spec's amounts, and its dispensers where they still count."""
    return {**data, "lines": [_written(row, line) for row, line in zip(data["lines"], spec.lines, strict=True)]}


def _written(row: dict[str, Any], line: Line) -> dict[str, Any]:
    kept = {key: value for key, value in row.items() if key != "with" or line.dispenser}
    return {**kept, "amount": line.amount.text, **({"with": line.dispenser} if line.dispenser else {})}
