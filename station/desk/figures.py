"""An open spec's lines read and reckoned, each state once."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from station.bar.fault import CannotAnswer
from station.bar.nouns import Line, Spec
from station.calc.answers import Shown
from station.desk.look import in_full, shown, sound_drink
from station.desk.open_line import OpenLine, OpenLines, noun_of
from station.desk.opening import Opened


@dataclass(slots=True)
class Figures:
    """What is known of lines as the library stands; `forget` when that, or the saved spec, is another."""

    opened: Opened
    _nouns: dict[OpenLine, Line | str] = field(default_factory=dict)
    _answers: dict[OpenLines, Shown | str] = field(default_factory=dict)
    _in_full: dict[OpenLines, Shown | str] = field(default_factory=dict)

    def forget(self) -> None:
        self._nouns.clear()
        self._answers.clear()
        self._in_full.clear()

    def noun(self, line: OpenLine) -> Line | str:
        """The line, read; or in a few words what it lacks."""
        found = self._nouns.get(line)
        if found is None:
            found = self._nouns[line] = self._read(line)
        return found

    def counting(self, lines: OpenLines) -> OpenLines:
        """The lines as a file says them: without a dispenser that does not count their amount."""
        return tuple(replace(line, dispenser=self._counted_by(line)) if line.dispenser else line for line in lines)

    def spec(self, head: Spec, lines: OpenLines, revision: str) -> Spec:
        """The drink with these lines. One without an amount is not in it."""
        nouns = (self.noun(line) for line in lines)
        return replace(head, lines=tuple(noun for noun in nouns if isinstance(noun, Line)), revision=revision)

    def answer(self, spec: Spec, lines: OpenLines) -> Shown | str:
        """That drink of these lines, reckoned; or in one sentence why it cannot be."""
        found = self._answers.get(lines)
        if found is None:
            found = self._answers[lines] = self._reckon(spec, lines)
        return found

    def in_full(self, spec: Spec, lines: OpenLines) -> Shown | str:
        """The same with how sour it counts and how far off it may be: reckoned only where it is shown."""
        found = self._in_full.get(lines)
        if found is None:
            answer = self.answer(spec, lines)
            whole = answer if isinstance(answer, str) else self._whole(answer, spec)
            found = self._in_full[lines] = whole
        return found

    def lacking(self, spec: Spec, lines: OpenLines) -> str:
        """In one sentence what is missing before these lines are a drink; "" where nothing is."""
        lacks = [noun for line in lines if isinstance(noun := self.noun(line), str)]
        return "; ".join(lacks) if lines else f"{spec.name} has no line yet"

    def _read(self, line: OpenLine) -> Line | str:
        library = self.opened.library
        if not line.amount:
            return f"{library.name_of(line.item)} has no amount yet"
        try:
            return noun_of(line, library)
        except ValueError as error:
            return str(error)

    def _counted_by(self, line: OpenLine) -> str:
        noun = self.noun(line)
        return "" if isinstance(noun, str) else noun.dispenser

    def _whole(self, answer: Shown, spec: Spec) -> Shown:
        return in_full(answer, sound_drink(self.opened.blends, spec), self.opened.library)

    def _reckon(self, spec: Spec, lines: OpenLines) -> Shown | str:
        if lacking := self.lacking(spec, lines):
            return lacking
        try:
            return shown(self.opened.blends, sound_drink(self.opened.blends, spec))
        except CannotAnswer as error:
            return str(error)
